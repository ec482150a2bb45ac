"""What one material can do: by its maker's sheet, else inferred, else assumed."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from speccomp.cautions.hazard_data import group_words, substances
from speccomp.cautions.labels import Label, label_of
from speccomp.cautions.mixtures import Share, classify, share_of
from speccomp.cautions.words import find_phrase
from speccomp.findings import Span
from speccomp.model.material import Material
from speccomp.quantities import Toleranced

ASSUMED = {"powder": ("H372",), "liquid": ("H314",), "paste": ("H314",)}
"""What a material without sheet and composition counts as: the worst of its form in this trade
(own rule, no source)."""


class Origin(StrEnum):
    """From where the hazard statements of a material are known."""

    SHEET = "the maker’s safety data sheet"
    INFERRED = "inferred from the composition"
    ASSUMED = "assumed, as neither sheet nor composition is given"


@dataclass(frozen=True, slots=True)
class Content:
    """A substance or group in a material: its share in per cent, None where only the name tells."""

    per_cent: float | None
    said: str
    span: Span


@dataclass(frozen=True, slots=True)
class MaterialHazards:
    """
    The hazards of one material.

    `codes` are those of its sheet, inferred, or assumed; `reasons` say why, by code, where they
    are inferred. `contents` are the substances and groups in it. `span` is where the codes or the
    composition stand.
    """

    material: Material
    codes: tuple[str, ...]
    origin: Origin
    reasons: Mapping[str, str]
    assumptions: tuple[str, ...]
    contents: Mapping[str, Content]
    span: Span

    @property
    def label(self) -> Label:
        """The label elements that the codes ask for."""
        return label_of(self.codes)

    def said(self, code: str) -> str:
        """Return a code with from where it is known."""
        name = self.material.name
        if self.origin is Origin.SHEET:
            day = self.material.hazards.sheet_date if self.material.hazards else None
            return f"{name}: {code} by its sheet of {day}" if day else f"{name}: {code}"
        if self.origin is Origin.INFERRED:
            return f"{name}: {code}, inferred ({self.reasons.get(code, 'by its composition')})"
        return f"{name}: {code}, assumed without sheet and composition"


def hazards_of(material: Material, local_codes: str = "") -> MaterialHazards:
    """Return the hazards of a material; `local_codes` is us, eu, or empty."""
    contents = _contents(material)
    sheet = material.hazards
    if sheet is not None:
        return MaterialHazards(
            material, sheet.statements, Origin.SHEET, {}, (), contents, sheet.span
        )
    if not material.composition:
        codes = ASSUMED[material.form]
        note = (f"nothing is known of {material.name}; its sheet or composition would tell",)
        return MaterialHazards(material, codes, Origin.ASSUMED, {}, note, contents, material.span)
    shares, assumed = composition_of(material, local_codes)
    inferred = classify(shares, ph=material.ph, local_codes=local_codes)
    return MaterialHazards(
        material,
        inferred.codes,
        Origin.INFERRED,
        dict(zip(inferred.codes, inferred.reasons, strict=True)),
        (*assumed, *inferred.assumptions),
        contents,
        material.composition[0].span,
    )


def composition_of(
    material: Material, local_codes: str = ""
) -> tuple[tuple[Share, ...], tuple[str, ...]]:
    """Return the constituents of a card with what is known of them, and the assumptions."""
    shares: list[Share] = []
    assumed: list[str] = []
    for part in material.composition:
        share, notes = share_of(
            part.substance,
            _per_cent(part.fraction),
            form=material.form,
            local_codes=local_codes,
            molar_ratio=part.molar_ratio,
            weight_ratio=part.weight_ratio,
            codes=part.statements,
        )
        shares.append(share)
        assumed.extend(notes)
    return tuple(shares), tuple(assumed)


def _per_cent(fraction: Toleranced | None) -> float:
    """Return the upper end of a share in per cent."""
    if fraction is None:
        return 0.0
    low, high = fraction.bounds_in("%")
    end = high if high is not None else low
    return float(end if end is not None else fraction.exact_in(fraction.nominal, "%"))


def _contents(material: Material) -> dict[str, Content]:
    if not material.composition:
        return _by_name(material)
    found: dict[str, Content] = {}
    for part in material.composition:
        share = _per_cent(part.fraction)
        known = substances().get(part.substance)
        name = known.name if known else part.substance
        for key in dict.fromkeys((part.substance, *(known.groups if known else ()))):
            before = found.get(key)
            total = share + (before.per_cent or 0.0 if before else 0.0)
            said = f"{before.said}, {name}" if before else f"{material.name} contains {name}"
            found[key] = Content(total, said, before.span if before else part.span)
    return found


def _by_name(material: Material) -> dict[str, Content]:
    """Return the groups that the name or the id of a card without composition tells of."""
    named = f"{material.name} / {material.id}"
    return {
        group: Content(None, f"the name {material.name} says {word}", material.span)
        for group, words in group_words().items()
        for word in words
        if find_phrase(word, named) is not None
    }
