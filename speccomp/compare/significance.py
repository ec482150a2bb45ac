"""How much a change matters, and the one table of rules that decide it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum


class Significance(StrEnum):
    """What a change calls for, the weightiest first."""

    SAFETY = "safety"
    SPECIAL = "special characteristic"
    REQUALIFICATION = "requalification needed"
    CONTROL = "control changed"
    DOCUMENT = "document only"

    @property
    def rank(self) -> int:
        """0 for the weightiest."""
        return list(Significance).index(self)


CLASSES: Mapping[str, Significance] = {
    "safety": Significance.SAFETY,
    "special": Significance.SPECIAL,
    "requalification": Significance.REQUALIFICATION,
    "control": Significance.CONTROL,
    "editorial": Significance.DOCUMENT,
}
"""The classes that a change note can give, and what each says the content is at the most."""


@dataclass(frozen=True, slots=True)
class SignificanceRule:
    """A rule that decides how much a change matters: one sentence, and where it comes from."""

    name: str
    significance: Significance
    text: str
    source: str


_OWN = "own rule: in doubt the weightier one"
_ISO_SPECIAL = (
    "ISO 9001:2015, 8.5.1 f: what cannot be verified afterwards is validated again (from memory)"
)
_ISO_CHANGE = "ISO 9001:2015, 8.5.6: changes of production are reviewed and controlled"

_ROWS: tuple[tuple[str, Significance, str, str], ...] = (
    (
        "caution",
        Significance.SAFETY,
        "Cautions, protective gear and emergency equipment keep people from harm.",
        "ANSI Z535.6 and ISO 3864 for the signal words; the level is our own rule",
    ),
    (
        "hazard-data",
        Significance.SAFETY,
        "Hazard data of a material decide which cautions are needed.",
        "Regulation (EC) No 1272/2008 (CLP); the level is our own rule",
    ),
    (
        "safety-characteristic",
        Significance.SAFETY,
        "The limit is marked as a characteristic that is about safety.",
        "IATF 16949:2016, 8.3.3.3: special characteristics (from memory)",
    ),
    (
        "safety-waiver",
        Significance.SAFETY,
        "The waiver accepts a finding about people’s safety.",
        _OWN,
    ),
    (
        "special-characteristic",
        Significance.SPECIAL,
        "The limit is marked as a special characteristic.",
        "IATF 16949:2016, 8.3.3.3: special characteristics (from memory)",
    ),
    ("cure", Significance.REQUALIFICATION, "Cures cannot be verified afterwards.", _ISO_SPECIAL),
    (
        "ratio",
        Significance.REQUALIFICATION,
        "The mixing ratio decides strength, shrinkage and set.",
        "AMC 20-29 (2010), Appendix 3: constituents and their processing are substantiated",
    ),
    (
        "material",
        Significance.REQUALIFICATION,
        "The process is qualified for the materials it names.",
        "AMC 20-29 (2010), Appendix 3: a change of material is substantiated again",
    ),
    (
        "weighed",
        Significance.REQUALIFICATION,
        "What is weighed makes the mixing ratio and the size of the mix.",
        "World Health Organization, GMP training modules: revalidation after change of batch size",
    ),
    ("mix", Significance.REQUALIFICATION, "Mixing cannot be verified afterwards.", _ISO_SPECIAL),
    (
        "special-process",
        Significance.REQUALIFICATION,
        "The plant file lists it as a special process.",
        _ISO_SPECIAL,
    ),
    (
        "time-window",
        Significance.REQUALIFICATION,
        "The time from mixing decides how the material sets.",
        "common practice, no source",
    ),
    (
        "order-of-work",
        Significance.REQUALIFICATION,
        "The order in which the material is worked decides its state.",
        "AMC 20-29 (2010), Appendix 3: the processing route (from memory)",
    ),
    (
        "equipment-of-special-process",
        Significance.REQUALIFICATION,
        "Equipment of a cure, a mix or a listed special process has to be qualified.",
        "World Health Organization, GMP training modules: revalidation after change of equipment",
    ),
    (
        "like-for-like",
        Significance.CONTROL,
        "The piece is qualified, not the process: the change note calls it like for like, and its "
        "data in the plant file are the same.",
        "World Health Organization, GMP training modules: equipment other than like for like",
    ),
    (
        "site",
        Significance.REQUALIFICATION,
        "Another plant has other equipment, air and people.",
        "GHTF/SG3/N99-10:2004, 6.4: transfer to another site",
    ),
    (
        "climate",
        Significance.REQUALIFICATION,
        "Elevation and shop climate decide boiling point, drying and pot life.",
        "common practice, no source",
    ),
    (
        "part",
        Significance.REQUALIFICATION,
        "Cures are qualified for a section and its open faces.",
        "AS9102B, 4.6: a design change asks for a new first article review",
    ),
    (
        "narrower",
        Significance.CONTROL,
        "Nothing is allowed that was not allowed before.",
        "own rule, after ICH Q8(R2): moving inside a proven range is no change of it (from memory)",
    ),
    (
        "inside-validated",
        Significance.CONTROL,
        "The new limits lie inside the range that has been validated.",
        "ICH Q8(R2), proven acceptable range (from memory)",
    ),
    ("limit", Significance.CONTROL, "A requirement changed.", _ISO_CHANGE),
    (
        "control-plan",
        Significance.CONTROL,
        "What the control plan says changed.",
        "IATF 16949:2016, 8.5.1.1 and Annex A",
    ),
    ("work", Significance.CONTROL, "What has to be done changed.", _ISO_CHANGE),
    (
        "explanation",
        Significance.CONTROL,
        "What the document says about the work changed, not what has to be done.",
        _OWN,
    ),
    (
        "resolution",
        Significance.CONTROL,
        "The same is asked for, but gauges are chosen by the digits of a limit.",
        "common practice, no source",
    ),
    (
        "language",
        Significance.CONTROL,
        "Those who do the work have to read it in their language.",
        "IATF 16949:2016, 8.5.1.2: instructions in the language of those who follow them",
    ),
    ("product-caution", Significance.CONTROL, "Notices keep the product from harm.", _OWN),
    ("waiver", Significance.CONTROL, "A waiver lets something pass for a time.", _OWN),
    ("plant-policy", Significance.CONTROL, "The plant’s own rules for checks changed.", _OWN),
    (
        "reference",
        Significance.CONTROL,
        "A document that is new, gone or of another edition may ask for something else, until "
        "someone has looked.",
        "IATF 16949:2016, 7.5.3.2.2: a changed specification is reviewed",
    ),
    ("unknown", Significance.CONTROL, "No rule knows this kind of difference.", _OWN),
    (
        "restated",
        Significance.DOCUMENT,
        "The same requirement, written otherwise.",
        "ISO 80000-1: a value does not depend on the unit it is written in (from memory)",
    ),
    (
        "wording",
        Significance.DOCUMENT,
        "Numbers, units, negations, comparisons and names in the text are the same.",
        _OWN,
    ),
    ("document-data", Significance.DOCUMENT, "Data about the document, not the work.", _OWN),
    (
        "not-used-here",
        Significance.DOCUMENT,
        "The definition does not use it, or says elsewhere what follows from it.",
        _OWN,
    ),
)

RULES: Mapping[str, SignificanceRule] = {row[0]: SignificanceRule(*row) for row in _ROWS}
"""All rules of significance by name."""


def weightiest_first(names: Iterable[str]) -> tuple[str, ...]:
    """Return names of rules, each once, the one that decides first."""
    return tuple(sorted(dict.fromkeys(names), key=lambda name: RULES[name].significance.rank))
