"""Arrange the model as documents: plain text views, no markup, no arithmetic."""
