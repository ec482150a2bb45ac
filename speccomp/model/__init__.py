"""The typed model of a definition, its plant and its cards; the only place that reads values."""
