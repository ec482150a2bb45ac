"""Which unit a text means for a kind of limit, and what to say if it means none."""

import re
from difflib import get_close_matches

from speccomp.quantities.complaints import complaint_about
from speccomp.quantities.errors import QuantityError
from speccomp.quantities.kinds import KINDS, Kind, kinds_of_unit, with_article
from speccomp.quantities.phrases import Phrase, UnitText
from speccomp.quantities.units import all_spellings, ambiguous_unit, canonical_unit, unit_called

_NOUN = re.compile(r"[^\W\d_][\w -]{1,29}")
_OWN_PER_CENT = ("%", "% RH")


def accepted_form(kind: Kind) -> str:
    """Return a hint that shows how a value of the kind is written."""
    return f"write {with_article(kind)}, for example `{KINDS[kind].example}`"


def kind_from(unit: UnitText, text: str) -> Kind:
    """
    Return the kind that a unit stands for by itself.

    Raises QuantityError if it stands for none or for several; the several are named.
    """
    kinds = kinds_of_unit(unit.text)
    if len(kinds) == 1:
        return kinds[0]
    if not kinds:
        raise _unknown(unit, None, text)
    choices = [with_article(kind) for kind in kinds]
    named = f"{', '.join(choices[:-1])} or {choices[-1]}"
    subject = f"`{unit.text}`" if unit.text else f"`{text.strip()}`, which has no unit,"
    hint = f"say which kind of value it is, as in `{{value: {text.strip()}, kind: {kinds[0]}}}`"
    raise QuantityError(f"{subject} can be {named}", unit.start, unit.end, hint)


def unit_for_kind(unit: UnitText, kind: Kind, text: str, subject: str = "") -> str:
    """
    Return the canonical unit that a value of a kind, or the subject named, was written in.

    Raises QuantityError for a missing, unknown, ambiguous or wrong unit.
    """
    canonical = canonical_unit(unit.text)
    if canonical in KINDS[kind].units:
        return canonical
    others = kinds_of_unit(unit.text)
    if kind is Kind.COUNT and others in ((), (Kind.COUNT,)) and _NOUN.fullmatch(unit.text):
        return " ".join(unit.text.split())
    if not unit.text:
        raise QuantityError(f"`{text.strip()}` has no unit", 0, len(text), accepted_form(kind))
    if not others:
        raise _unknown(unit, kind, text)
    named = " or ".join(with_article(other) for other in others)
    hint = "write `lbf` for a force in pounds" if (kind, canonical) == (Kind.FORCE, "lb") else ""
    raise QuantityError(
        f"{subject or f'`{text.strip()}`'} is {named}; {with_article(kind)} is wanted",
        unit.start,
        unit.end,
        hint or accepted_form(kind),
    )


def tolerance_unit_for(phrase: Phrase, unit: str, kind: Kind, text: str) -> str:
    """
    Return the canonical unit of the tolerance: the value's own, `%` of the target, or another.

    Raises QuantityError for a unit that cannot measure the tolerance.
    """
    own = phrase.tolerance_unit
    if own is None:
        if kind is Kind.RATIO and unit == "%":
            raise QuantityError(
                f"`{text.strip()}` can be per cent of the parts or parts in a hundred",
                phrase.unit.start,
                phrase.unit.end,
                "write `26 pbw ± 4 %` for per cent of the parts, `26 % ± 4 %` for the other",
            )
        return unit
    if canonical_unit(own.text) in _OWN_PER_CENT and unit not in _OWN_PER_CENT:
        if kind is Kind.TEMPERATURE:
            raise QuantityError(
                f"per cent of a temperature has no meaning in `{text.strip()}`",
                own.start,
                own.end,
                f"write the tolerance in `K` or `{unit}`",
            )
        return "%"
    measured = Kind.TEMPERATURE_DIFFERENCE if kind is Kind.TEMPERATURE else kind
    tolerance = unit_for_kind(own, measured, text, f"the tolerance in `{own.text}`")
    if unit_called(tolerance).powers != unit_called(unit).powers:
        raise QuantityError(
            f"a tolerance in `{own.text}` does not fit a value in `{phrase.unit.text}`",
            own.start,
            own.end,
            accepted_form(kind),
        )
    return unit if kind is Kind.HUMIDITY else tolerance


def _unknown(unit: UnitText, kind: Kind | None, text: str) -> QuantityError:
    if meant := ambiguous_unit(unit.text):
        return QuantityError(
            f"`{unit.text}` has more than one meaning", unit.start, unit.end, f"write `{meant}`"
        )
    hint = accepted_form(kind) if kind else "write a unit such as `g`, `mm`, `degC` or `min`"
    if complaint := complaint_about(text, hint):
        return complaint
    if close := _closest(unit.text, kind):
        hint = f"did you mean `{close}`?"
    return QuantityError(f"`{unit.text}` is not a known unit", unit.start, unit.end, hint)


def _closest(text: str, kind: Kind | None) -> str:
    """Return the unit whose spelling is nearest to a text, case aside; nothing if none is near."""
    wanted = KINDS[kind].units if kind else [unit for each in KINDS.values() for unit in each.units]
    spellings: dict[str, str] = {}
    for spelling, unit in [*all_spellings().items(), *((unit, unit) for unit in wanted)]:
        if unit in wanted:
            spellings.setdefault(spelling.casefold(), unit)
    tidy = canonical_unit(text).casefold()
    near = get_close_matches(tidy, spellings, n=1, cutoff=0.75)
    return spellings[near[0]] if near else ""
