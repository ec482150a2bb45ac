"""A wanted value and its limits, as the formulas take and return them."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

from speccomp.calc.errors import LimitError
from speccomp.calc.magnitudes import shown
from speccomp.quantities import Quantity

T = TypeVar("T", float, Quantity)


@dataclass(frozen=True, slots=True)
class Limits(Generic[T]):
    """
    A target between a lower and an upper limit, all of one kind.

    Any of the three may be absent: a range has no target, a one-sided limit only one side, and
    a bare target no limits.
    """

    lower: T | None = None
    target: T | None = None
    upper: T | None = None


def read_limits(
    limits: Limits[Quantity], read: Callable[[Quantity, str], float], name: str
) -> Limits[float]:
    """
    Return limits as plain numbers, in order.

    `read` turns one quantity into a number; `name` is what the limits are of.
    Raises LimitError when nothing is given or the order is wrong, and what `read` raises.
    """

    def side(value: Quantity | None, which: str) -> float | None:
        return None if value is None else read(value, f"{which} {name}".strip())

    numbers = Limits(
        side(limits.lower, "lowest"), side(limits.target, ""), side(limits.upper, "highest")
    )
    given = [v for v in (limits.lower, limits.target, limits.upper) if v is not None]
    require_order(numbers, name, " to ".join(shown(v) for v in given))
    return numbers


def require_order(limits: Limits[float], name: str, written: str) -> None:
    """Raise LimitError unless something is given and lower <= target <= upper."""
    given = [v for v in (limits.lower, limits.target, limits.upper) if v is not None]
    if not given:
        raise LimitError(f"The {name} has neither a target nor a limit.")
    if given != sorted(given):
        raise LimitError(f"The limits of the {name} are out of order: {written}.")


def nominal(limits: Limits[float]) -> float:
    """
    Return the value aimed at: the target, or the middle of a range, or the only limit.

    Raises LimitError when nothing is given.
    """
    if limits.target is not None:
        return limits.target
    match limits.lower, limits.upper:
        case float() | int() as lower, float() | int() as upper:
            return (lower + upper) / 2
        case (float() | int() as only, None) | (None, float() | int() as only):
            return only
    raise LimitError("There is neither a target nor a limit to aim at.")


def bounds(limits: Limits[float]) -> tuple[float | None, float | None]:
    """Return the least and the greatest value allowed; a bare target allows only itself."""
    if limits.lower is None and limits.upper is None:
        return limits.target, limits.target
    return limits.lower, limits.upper
