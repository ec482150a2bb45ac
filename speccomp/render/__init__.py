"""Turn views into HTML, PDF, sheets and terminal text; nothing here knows the model."""
