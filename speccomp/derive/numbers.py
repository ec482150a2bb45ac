"""A derived number with its formula, inputs and source, and what could not be derived."""

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Generic, TypeVar, cast

from speccomp.calc.errors import CalcError
from speccomp.findings import Span
from speccomp.model.shared import NOWHERE, span_field
from speccomp.quantities import Kind, Quantity, QuantityError, Toleranced

V = TypeVar("V", Quantity, float, int)
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Formula:
    """
    How a number comes about.

    `text` is the formula in plain signs, `kind` what it gives (None for a plain number), `source`
    the publication it is from, or `common practice, no source`.
    """

    text: str
    kind: Kind | None
    source: str


@dataclass(frozen=True, slots=True)
class Input:
    """
    One value that a number was computed from.

    `text` is the value as the author wrote it, at `span`; of another derived number it is empty,
    and `number` is the name of that one.
    """

    name: str
    text: str
    span: Span = span_field()
    number: str = ""


@dataclass(frozen=True, slots=True)
class Number(Generic[V]):
    """
    A derived number.

    `name` is dotted, such as `weighing.liquid.smallest-mix`; `title` says it in plain words;
    `note` holds the assumptions. Nothing is rounded but what is set or read on a scale.
    """

    name: str
    title: str
    value: V
    formula: Formula
    inputs: tuple[Input, ...]
    note: str = ""

    @property
    def kind(self) -> Kind | None:
        """What the number is, for print; None for a plain number."""
        return self.formula.kind


AnyNumber = Number[Quantity] | Number[float] | Number[int]


@dataclass(frozen=True, slots=True)
class Gap:
    """
    Something that was not derived.

    `name` is what, as numbers are named; `reason` one sentence; `hint` what to write. `fault`
    tells that a value is there with which the arithmetic cannot work, not that one is missing.
    """

    name: str
    reason: str
    hint: str
    fault: bool
    span: Span = span_field()


@dataclass(slots=True)
class Ledger:
    """Collects the numbers and gaps while they are derived."""

    _numbers: dict[str, AnyNumber] = field(default_factory=dict)
    _gaps: list[Gap] = field(default_factory=list)
    _known: dict[Hashable, object] = field(default_factory=dict)

    @property
    def numbers(self) -> Mapping[str, AnyNumber]:
        """All numbers by name."""
        return MappingProxyType(self._numbers)

    @property
    def gaps(self) -> tuple[Gap, ...]:
        """What was not derived."""
        return tuple(self._gaps)

    def add(
        self,
        name: str,
        title: str,
        value: V,
        formula: Formula,
        inputs: tuple[Input, ...],
        note: str = "",
    ) -> Number[V]:
        """Record a number and return it; a name that is taken gets a number behind it."""
        free, count = name, 2
        while free in self._numbers:
            free, count = f"{name}-{count}", count + 1
        number = Number(free, title, value, formula, inputs, note)
        self._numbers[free] = number
        return number

    def once(self, key: Hashable, compute: Callable[[], T]) -> T:
        """Return what a computation gives, made once for equal keys, which hold all it reads."""
        if key not in self._known:
            self._known[key] = compute()
        return cast(T, self._known[key])

    def missing(self, name: str, reason: str, hint: str, span: Span = NOWHERE) -> None:
        """Record what is not derived because the files do not say enough."""
        self._gaps.append(Gap(name, reason, hint, False, span))

    def impossible(self, name: str, reason: str, span: Span = NOWHERE, hint: str = "") -> None:
        """Record what is not derived because a value makes no sense."""
        self._gaps.append(Gap(name, reason, hint or "correct the value", True, span))

    def attempt(self, name: str, span: Span, compute: Callable[[], T | None]) -> T | None:
        """Return what a computation gives; None and a gap where a value makes no sense."""
        try:
            return compute()
        except (CalcError, QuantityError) as error:
            self.impossible(name, str(error), span)
        except ArithmeticError:
            self.impossible(name, "A value is too large or too small to calculate with.", span)
        return None


def written(name: str, value: Toleranced, span: Span = NOWHERE) -> Input:
    """Return a value of a file as an input."""
    return Input(name, value.text.strip(), span)


def derived_from(number: AnyNumber) -> Input:
    """Return another number as an input."""
    return Input(number.title, "", number=number.name)
