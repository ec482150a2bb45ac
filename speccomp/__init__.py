"""Compile schema-checked process definitions into work instructions and control plans."""

__version__ = "0.1.0"
