"""Which statements, word and pictograms stay when several hazards meet: pure functions."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from speccomp.cautions.hazard_data import hazard_data, statement

DANGER, WARNING = "danger", "warning"


@dataclass(frozen=True, slots=True)
class Label:
    """
    Label elements of one material.

    `signal` is danger, warning, or empty. `optional` are pictograms that may be left out.
    """

    statements: tuple[str, ...]
    signal: str
    pictograms: tuple[str, ...]
    optional: tuple[str, ...]


def label_of(codes: Iterable[str]) -> Label:
    """
    Return the label elements that a set of statement codes asks for.

    Source: CLP articles 20, 26, 27 (article 26 read; the others from memory).
    """
    given = tuple(dict.fromkeys(codes))
    shown, optional = pictograms(given)
    return Label(shown_statements(given), signal_word(given), shown, optional)


def signal_word(codes: Iterable[str]) -> str:
    """Return `danger` if any statement has it, else `warning` if any has it, else nothing."""
    words = {found.signal for code in codes if (found := statement(code)) is not None}
    return DANGER if DANGER in words else WARNING if WARNING in words else ""


def shown_statements(codes: Collection[str]) -> tuple[str, ...]:
    """Return the codes without those that another one makes redundant, in their order."""
    redundant = hazard_data()["redundant"]
    dropped = {code for kept in codes for code in redundant.get(_number(kept), ())}
    return tuple(code for code in codes if code not in dropped)


def _number(code: str) -> str:
    found = statement(code)
    return code[:4] if found is not None and code.startswith("H36") else code


def pictograms(codes: Iterable[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the pictograms that must be shown, and those that may be left out, sorted."""
    because: dict[str, set[str]] = {}
    for code in codes:
        found = statement(code)
        if found is not None and found.pictogram:
            because.setdefault(found.pictogram, set()).add(code)
    for rule in hazard_data()["suppressed"]:
        _suppress(rule, because)
    optional = {
        pictogram
        for rule in hazard_data()["optional"]
        if rule["beside"] in because
        for pictogram in rule["may_leave_out"]
        if pictogram in because
    }
    return tuple(sorted(set(because) - optional)), tuple(sorted(optional))


def _suppress(rule: dict[str, list[str] | str], because: dict[str, set[str]]) -> None:
    """Take a pictogram out of `because`, for some statements or for all."""
    beside, other = str(rule["beside"]), str(rule["not"])
    reasons = because.get(beside, set())
    asked = set(rule.get("because", ())) or reasons
    if not reasons & asked or other not in because:
        return
    spared = because[other] - set(rule["for"]) if "for" in rule else set()
    if spared:
        because[other] = spared
    else:
        del because[other]
