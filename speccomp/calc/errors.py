"""What the arithmetic says about a value that it cannot work with."""


class CalcError(ValueError):
    """A value that the arithmetic cannot work with; the message is one sentence that names it."""


class KindError(CalcError):
    """A quantity of the wrong kind, such as a length where a mass is needed."""


class RangeError(CalcError):
    """A value outside the range in which the formula holds."""


class LimitError(CalcError):
    """Limits that are missing, are out of order, or leave no room."""
