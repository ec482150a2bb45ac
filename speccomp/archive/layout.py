"""Where things lie in an archive, and the text that explains it to whoever finds the folder."""

import re

README = "README.txt"
LOCK = "lock"
LEDGER = "ledger"
ENTRIES = "ledger/entries.jsonl"
HEAD = "ledger/head.json"
STATEMENTS = "statements"
DOCUMENTS = "documents"
STAGING = "staging"
SET_ASIDE = "set-aside"

TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")
"""A point of time in UTC with seconds (RFC 3339)."""

README_TEXT = """\
An archive of released documents
================================

Everything in this folder is a plain file. Change nothing here by hand: every file is covered by
a digest, and a change is found.

documents/    The released files: a storage root by the Oxford Common File Layout (OCFL) 1.1.
              One object per document number, one version per release or withdrawal, SHA-512.
              The file release.json of a version says which revision it holds; its folder
              sources/ holds what the documents were compiled from.
ledger/       entries.jsonl: what happened, in order, one entry per line, canonical JSON (RFC 8785).
              `prev` is the SHA-256 digest of the line before it, without the line feed; the first
              has 64 zeros. `payload_sha256` is the digest of the record the entry speaks of.
              head.json: number and digest of the last entry.
statements/   Approvals and reviews: what a person stated, and the signature under it (Ed25519 in
              the SSH signature format, over the canonical JSON of the field `statement`).
staging/      Only there while something is written. Without a journal.json in it nothing counts
              yet; with one, the next command completes the change.
set-aside/    Only there when an interrupted change could not be completed: what was left of it.
lock          Held by whoever is writing. It is always empty.
"""
