"""Checks of a whole definition: one rule for each fault, and one table of all rules."""
