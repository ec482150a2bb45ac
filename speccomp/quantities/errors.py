"""The one error that reading, converting and printing a quantity can end in."""


class QuantityError(ValueError):
    """
    A value that cannot be used, and why, in one sentence about the text as it was written.

    `start` and `end` count characters from 0 inside the text that was read, end exclusive; both
    are 0 where no text was read. `hint` shows what would be accepted.
    """

    def __init__(self, message: str, start: int = 0, end: int = 0, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.start = start
        self.end = max(start, end)
        self.hint = hint
