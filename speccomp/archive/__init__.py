"""The archive: released files as bytes and digests, and a ledger of what happened to them."""
