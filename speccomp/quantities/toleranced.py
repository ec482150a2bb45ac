"""The toleranced value: one limit as the author wrote it, and what it allows."""

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from speccomp.quantities.errors import QuantityError
from speccomp.quantities.kinds import Kind
from speccomp.quantities.registry import Quantity, quantity
from speccomp.quantities.rounding import decimal_above, decimal_below
from speccomp.quantities.units import convert, unit_called

_SAME = Fraction(5, 10**12)


class Form(StrEnum):
    """How a toleranced value is written."""

    PLUS_MINUS = "plus-minus"
    RANGE = "range"
    AT_LEAST = "at least"
    AT_MOST = "at most"
    EXACT = "exact"


@dataclass(frozen=True, slots=True, eq=False)
class Toleranced:
    """
    A target with limits, a range, one limit, or a bare target that is no limit.

    Numbers are decimals with the author's digits, in `unit` (canonical, `` for a bare number).
    `lower` and `upper` are the limits; a plus-minus form also has `target`, `plus` and `minus`,
    the latter in `tolerance_unit`, where `%` beside another unit means per cent of the target.
    Two values are equal if their digits and units are: 12.50 mm is not 12.5 mm. `text` is what
    was read; equality ignores it.
    """

    kind: Kind
    form: Form
    unit: str
    target: Decimal | None = None
    lower: Decimal | None = None
    upper: Decimal | None = None
    plus: Decimal | None = None
    minus: Decimal | None = None
    tolerance_unit: str = ""
    text: str = field(default="", compare=False)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Toleranced):
            return NotImplemented
        return self._as_written() == other._as_written()

    def __hash__(self) -> int:
        return hash(self._as_written())

    def _as_written(self) -> tuple[str, ...]:
        numbers = (self.target, self.lower, self.upper, self.plus, self.minus)
        return (self.kind, self.form, self.unit, self.tolerance_unit, *map(str, numbers))

    @property
    def is_limit(self) -> bool:
        """Tell whether anything is forbidden; a bare target forbids nothing."""
        return self.lower is not None or self.upper is not None

    @property
    def is_point(self) -> bool:
        """Tell whether the numbers are points on a scale with a zero of its own."""
        return self.kind is Kind.TEMPERATURE

    @property
    def has_computed_limits(self) -> bool:
        """Tell whether the limits must be computed: a tolerance in per cent or in another unit."""
        return self.form is Form.PLUS_MINUS and self.tolerance_unit != self.unit

    @property
    def nominal(self) -> Decimal:
        """The target, else the middle of the range, else the one limit; in `unit`."""
        if self.target is not None:
            return self.target
        ends = [Fraction(end) for end in (self.lower, self.upper) if end is not None]
        return decimal_below(sum(ends, Fraction(0)) / len(ends))

    @property
    def lower_quantity(self) -> Quantity | None:
        """The lower limit as a quantity in the author's unit."""
        return self._quantity(self.lower)

    @property
    def upper_quantity(self) -> Quantity | None:
        """The upper limit as a quantity in the author's unit."""
        return self._quantity(self.upper)

    @property
    def target_quantity(self) -> Quantity | None:
        """The target as a quantity in the author's unit."""
        return self._quantity(self.target)

    @property
    def nominal_quantity(self) -> Quantity:
        """The nominal value as a quantity in the author's unit."""
        return quantity(float(self.nominal), self._registry_unit, self.kind)

    def _quantity(self, number: Decimal | None) -> Quantity | None:
        if number is None:
            return None
        return quantity(float(number), self._registry_unit, self.kind)

    @property
    def _registry_unit(self) -> str:
        return "" if self.kind is Kind.COUNT else self.unit

    def exact_in(self, number: Decimal, unit: str) -> Fraction:
        """
        Return one of the value's numbers in another canonical unit of its kind, exactly.

        Raises QuantityError if the units do not convert.
        """
        return convert(Fraction(number), self.unit, unit, point=self.is_point)

    def exact_limits_in(self, unit: str) -> tuple[Fraction | None, Fraction | None]:
        """
        Return the limits in another canonical unit, exactly.

        Raises QuantityError if the units do not convert.
        """
        low, high = self._exact_limits
        at = self.is_point
        return (
            None if low is None else convert(low, self.unit, unit, point=at),
            None if high is None else convert(high, self.unit, unit, point=at),
        )

    @property
    def _exact_limits(self) -> tuple[Fraction | None, Fraction | None]:
        """The limits in `unit`; a third of a degree has no exact decimal in `lower`."""
        target, plus, minus = self.target, self.plus, self.minus
        if not self.has_computed_limits or target is None or plus is None or minus is None:
            low, high = self.lower, self.upper
            return None if low is None else Fraction(low), None if high is None else Fraction(high)
        below = exact_tolerance(target, minus, self.tolerance_unit, self.unit)
        above = exact_tolerance(target, plus, self.tolerance_unit, self.unit)
        return Fraction(target) - below, Fraction(target) + above

    def bounds_in(self, unit: str) -> tuple[Decimal | None, Decimal | None]:
        """
        Return the limits in another canonical unit, to 28 digits and never wider.

        Raises QuantityError if the units do not convert.
        """
        low, high = self.exact_limits_in(unit)
        lower = None if low is None else decimal_above(low)
        upper = None if high is None else decimal_below(high)
        return lower, upper

    def band_in(self, unit: str) -> Decimal | None:
        """
        Return the width between the limits in another canonical unit; None without both limits.

        A width is a difference, so the zero of a temperature scale does not enter.
        """
        low, high = self._exact_limits
        if low is None or high is None:
            return None
        return decimal_below(convert(high - low, self.unit, unit))

    def contains(self, other: "Toleranced") -> bool:
        """
        Tell whether everything the other value allows is allowed by this one.

        A bare target counts as itself alone. Raises QuantityError if the two do not compare.
        """
        if self.kind is not other.kind:
            raise QuantityError(f"{self.kind} and {other.kind} do not compare")
        low, high = self._ends(self.unit)
        other_low, other_high = other._ends(self.unit)
        above = low is None or (other_low is not None and low <= other_low)
        below = high is None or (other_high is not None and other_high <= high)
        return above and below

    def _meaning_in(self, unit: str) -> tuple[Fraction | None, ...]:
        target = None if self.target is None else self.exact_in(self.target, unit)
        return (target, *self.exact_limits_in(unit))

    def _ends(self, unit: str) -> tuple[Fraction | None, Fraction | None]:
        if self.is_limit or self.target is None:
            return self.exact_limits_in(unit)
        return (self.exact_in(self.target, unit),) * 2


def exact_tolerance(target: Decimal, by: Decimal, by_unit: str, unit: str) -> Fraction:
    """Return a tolerance in the target's unit: a difference, or per cent of the target."""
    if by_unit == "%" != unit:
        return abs(Fraction(target)) * Fraction(by) / 100
    return convert(Fraction(by), by_unit, unit)


def same_meaning(first: Toleranced, second: Toleranced) -> bool:
    """
    Tell whether two values say the same in possibly different units or digits.

    Target and limits must agree to 12 significant digits after conversion. `25 to 27 g` does not
    say the same as `26 ± 1 g`: it has no target.
    """
    if first.kind is not second.kind or not _convertible(first, second):
        return False
    ours, theirs = first._meaning_in(first.unit), second._meaning_in(first.unit)
    return all(_agree(one, other) for one, other in zip(ours, theirs, strict=True))


def _agree(one: Fraction | None, other: Fraction | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one - other) <= _SAME * max(abs(one), abs(other))


def _convertible(first: Toleranced, second: Toleranced) -> bool:
    return unit_called(first.unit).powers == unit_called(second.unit).powers
