"""Approval, release, register and verification: one module for each command."""
