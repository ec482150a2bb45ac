"""Reading a toleranced value: the one grammar of every limit in every file."""

from speccomp.quantities.complaints import complaint_about
from speccomp.quantities.errors import QuantityError
from speccomp.quantities.kinds import Kind
from speccomp.quantities.limits import value_from
from speccomp.quantities.phrases import NotAPhraseError, read_phrase
from speccomp.quantities.toleranced import Toleranced
from speccomp.quantities.unit_choice import accepted_form

_FORMS = "write it as `26 ± 1 g`, `82 +5/-3 degC`, `18 to 24 h`, `at least 3 min` or `at most 5 K`"


def parse_toleranced(text: str, kind: Kind | None) -> Toleranced:
    """
    Read one toleranced value.

    | written | means |
    |---|---|
    | `26 ± 1 g`, `26 +/- 1 g`, `26 g ± 4 %` | target and limits; the per-cent is of the target |
    | `82 +5/-3 degC` | target and limits; the tolerance is a temperature difference |
    | `180 degF ± 6 K` | target and limits, the tolerance in another unit |
    | `18 to 24 h`, `18–24 h` | limits, no target |
    | `at least 3 min`, `≥ 3 min`, `at most 0.5 mm`, `≤ 0.5 mm` | one limit |
    | `3 min` | a target that is no limit |

    In `50 % ± 5 %` the tolerance is five points. `kind` says what the value is a value of; None
    takes it from the unit where the unit leaves no choice. Raises QuantityError, and nothing
    else, with the place of the fault in the text and the accepted form as its hint.
    """
    try:
        phrase = read_phrase(text)
    except NotAPhraseError as odd:
        hint = _FORMS if kind is None else accepted_form(kind)
        if complaint := complaint_about(text, hint):
            raise complaint from None
        found = text[odd.start : odd.end]
        message = (
            f"cannot read `{found}` in `{text.strip()}`"
            if found
            else (f"`{text.strip()}` ends too early")
        )
        raise QuantityError(message, odd.start, odd.end, hint) from None
    return value_from(phrase, kind, text)
