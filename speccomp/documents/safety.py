"""What a work instruction says of hazards, first aid, spills and signal words."""

from collections.abc import Collection, Iterable, Mapping
from typing import Any

from speccomp.cautions.hazard_data import hazard_data, statement
from speccomp.cautions.hazards import MaterialHazards, Origin
from speccomp.cautions.triggers import material_hazards
from speccomp.documents.views import Table
from speccomp.model.process import Process, Step
from speccomp.model.shared import Caution, Signal

MEANINGS = {
    Signal.DANGER: "If you do not avoid it, it will kill or injure seriously.",
    Signal.WARNING: "If you do not avoid it, it could kill or injure seriously.",
    Signal.CAUTION: "If you do not avoid it, it could injure lightly or moderately.",
    Signal.NOTICE: "Nobody gets hurt; the product or a machine does.",
}
"""The signal words in our own words, by ANSI Z535.6 and ISO 3864 (secondary sources)."""


def build_signal_words(used: Collection[Signal]) -> Table:
    """Return what the signal words in use mean, the strongest first."""
    rows = tuple((word.upper(), MEANINGS[word]) for word in Signal if word in used)
    return Table(("Word", "What it means here"), rows)


def build_hazards(process: Process) -> Table:
    """Return the hazards of each material: word, statements in full, and from where they are."""
    rows = []
    for item in material_hazards(process).values():
        if item.codes:
            texts = " ".join(f"{code} {_text(code)}" for code in item.label.statements)
            rows.append((item.material.name, item.label.signal or "none", texts, origin_of(item)))
    return Table(("Material", "Signal word on the label", "Statements", "From where"), tuple(rows))


def _text(code: str) -> str:
    found = statement(code)
    if found is None:
        return ""
    return found.text.replace("<name of sensitising substance>", "a sensitising substance")


def origin_of(item: MaterialHazards) -> str:
    """Return from where the statements are; what is inferred or assumed is told in capitals."""
    if item.origin is not Origin.SHEET:
        return item.origin.upper()
    sheet = item.material.hazards
    day = f" of {sheet.sheet_date.isoformat()}" if sheet and sheet.sheet_date else ""
    return f"{item.origin}{day}"


def build_first_aid(process: Process) -> Table:
    """Return what to do first after contact, one line for each route that a statement asks for."""
    known = tuple(material_hazards(process).values())
    rows = []
    for entry in hazard_data()["first_aid"]:
        for line in entry["lines"]:
            because = _because(line, known)
            if because:
                rows.append((entry["route"], line["say"], because))
                break
    return Table(("Where", "What to do first", "Because of"), tuple(rows))


def build_spills(process: Process) -> Table:
    """Return what to do with a spill and in a fire, as far as a statement asks for it."""
    known = tuple(material_hazards(process).values())
    parts: tuple[tuple[str, Iterable[Mapping[str, Any]]], ...] = (
        ("Spill", hazard_data()["spills"]),
        ("Fire", hazard_data()["fires"]),
    )
    rows = [
        (what, line["say"], because)
        for what, lines in parts
        for line in lines
        if (because := _because(line, known))
    ]
    return Table(("What", "What to do", "Because of"), tuple(rows))


def _because(line: Mapping[str, Any], known: Iterable[MaterialHazards]) -> str:
    """Return the materials with the codes that a line is for."""
    found = []
    for hazards in known:
        codes = [code for code in hazards.codes if code.startswith(tuple(line["for"]))]
        if codes:
            told = "" if hazards.origin is Origin.SHEET else f", {hazards.origin.name.lower()}"
            found.append(f"{hazards.material.name} ({', '.join(codes)}{told})")
    return "; ".join(found)


def gear_of_step(step: Step, cautions: Iterable[Caution]) -> tuple[str, ...]:
    """Return what is worn in a step: what the step says, and what the cautions before it say."""
    worn = [item for caution in cautions for item in caution.gear]
    return tuple(dict.fromkeys((*step.gear, *worn)))
