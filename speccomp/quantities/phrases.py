"""The shape of a toleranced value before its units mean anything: numbers, units, their places."""

from dataclasses import dataclass
from decimal import Decimal

from speccomp.quantities.errors import QuantityError
from speccomp.quantities.scanner import Tokens
from speccomp.quantities.toleranced import Form

_MOST_DIGITS = 20
_LARGEST_POWER = 30


class NotAPhraseError(Exception):
    """The text stops following the grammar at a place."""

    def __init__(self, start: int, end: int) -> None:
        super().__init__(start, end)
        self.start = start
        self.end = end


@dataclass(frozen=True, slots=True)
class Number:
    """A number with its author's digits and its place."""

    value: Decimal
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class UnitText:
    """A unit as written and its place; an empty text at the place where none stands."""

    text: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Phrase:
    """
    What was written: the form, its numbers, the unit, and the tolerance's unit if it has its own.

    `first` is the target, the lower end or the one limit; `second` is the upper end or the
    tolerance above; `third` the tolerance below.
    """

    form: Form
    first: Number
    unit: UnitText
    second: Number | None = None
    third: Number | None = None
    tolerance_unit: UnitText | None = None


def read_phrase(text: str) -> Phrase:
    """
    Read the shape of a toleranced value.

    Raises NotAPhraseError where the text leaves the grammar, and QuantityError for a text or a
    number that is too long.
    """
    tokens = Tokens(text)
    if bound := tokens.take("at_least", "at_most"):
        form = Form.AT_LEAST if bound.sort == "at_least" else Form.AT_MOST
        phrase = Phrase(form, _number(tokens), _unit(tokens, text))
    else:
        first = _number(tokens)
        phrase = _after_first(tokens, text, first, _unit(tokens, text))
    rest = tokens.peek()
    if rest.sort != "end":
        raise NotAPhraseError(rest.start, len(text.rstrip()))
    return phrase


def _after_first(tokens: Tokens, text: str, first: Number, unit: UnitText) -> Phrase:
    if tokens.take("plusminus"):
        tolerance = _number(tokens)
        own = _unit(tokens, text)
        return _with_tolerance(first, unit, tolerance, tolerance, own)
    if tokens.peek().sort == "sign" and tokens.peek(1).sort == "number":
        plus, minus = _two_tolerances(tokens)
        return _with_tolerance(first, unit, plus, minus, _unit(tokens, text))
    if tokens.take("to", "dash"):
        second = _number(tokens)
        last = _unit(tokens, text)
        if unit.text and unit.text != last.text:
            raise NotAPhraseError(last.start, last.end)
        return Phrase(Form.RANGE, first, last, second)
    return Phrase(Form.EXACT, first, unit)


def _with_tolerance(
    first: Number, unit: UnitText, plus: Number, minus: Number, own: UnitText
) -> Phrase:
    if not unit.text:
        return Phrase(Form.PLUS_MINUS, first, own, plus, minus)
    if not own.text:
        start, end = min(plus.start, minus.start), max(plus.end, minus.end)
        hint = "write the unit once, behind the tolerance, as in `26 ± 1 g`"
        raise QuantityError("the tolerance has no unit", start, end, hint)
    return Phrase(Form.PLUS_MINUS, first, unit, plus, minus, own)


def _two_tolerances(tokens: Tokens) -> tuple[Number, Number]:
    one_sign, one = tokens.take("sign"), _digits(tokens)
    if (slash := tokens.peek()).text == "/":
        tokens.take(slash.sort)
    other_sign = tokens.take("sign")
    if one_sign is None or other_sign is None:
        raise NotAPhraseError(one.start, one.end)
    other = _digits(tokens)
    if (one_sign.text == "+") == (other_sign.text == "+"):
        raise NotAPhraseError(one_sign.start, other.end)
    return (one, other) if one_sign.text == "+" else (other, one)


def _number(tokens: Tokens) -> Number:
    sign = tokens.take("sign")
    digits = _digits(tokens)
    if sign is None:
        return digits
    if sign.end != digits.start:
        raise NotAPhraseError(sign.start, digits.end)
    value = digits.value if sign.text == "+" else digits.value.copy_negate()
    return Number(value, sign.start, digits.end)


def _digits(tokens: Tokens) -> Number:
    token = tokens.take("number")
    if token is None:
        odd = tokens.peek()
        raise NotAPhraseError(odd.start, odd.end)
    value = Decimal(token.text)
    if len(token.text) > _MOST_DIGITS or (abs(value.adjusted()) > _LARGEST_POWER):
        raise QuantityError(
            f"`{token.text}` is a number of more than {_MOST_DIGITS} digits or beyond "
            f"1e{_LARGEST_POWER}",
            token.start,
            token.end,
        )
    return Number(value, token.start, token.end)


def _unit(tokens: Tokens, text: str) -> UnitText:
    start = tokens.peek().start
    end = start
    while tokens.peek().sort == "word" or (
        end > start and tokens.peek().sort == "join" and tokens.peek(1).sort == "word"
    ):
        end = tokens.peek().end
        tokens.take("word", "join")
    return UnitText(text[start:end], start, end)
