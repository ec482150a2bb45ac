"""What is wrong with the place that a revision was asked for from."""


class InputError(ValueError):
    """A revision that cannot be had; the message says which, and why."""
