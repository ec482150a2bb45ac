"""What changed between two revisions of a definition, in the trade's terms."""
