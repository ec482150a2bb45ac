"""Files of a project as text with positions, before anything in them has a meaning."""
