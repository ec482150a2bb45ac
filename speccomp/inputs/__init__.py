"""Where revisions come from: files, git, released PDF files, an archive."""
