"""How things are called in print."""

from collections.abc import Sequence

from speccomp.model.plant import Equipment, Plant
from speccomp.model.process import Process, Step
from speccomp.quantities import Toleranced, print_toleranced

STANDING_NOTE = (
    "These are the usual cautions of the trade. They do not replace the maker’s safety data "
    "sheet, the plant’s own rules, local codes or licensed practice. Where they differ, the "
    "stricter one counts."
)
INHERITED_LEGEND = "* from the plant’s control defaults"

# Methods that the schema names, as they read after the title of their operation.
_METHODS = {
    ("apply", "brush"): "by brush",
    ("apply", "spatula"): "by spatula",
    ("apply", "trowel"): "by trowel",
    ("dispense", "syringe"): "by hand syringe",
    ("dispense", "squeeze-bottle"): "by squeeze bottle",
    ("dispense", "metered"): "by metering dispenser",
    ("dispense", "air-powered"): "by air-powered dispenser",
    ("dispense", "pour"): "by pouring",
    ("cure", "ambient"): "at shop temperature",
    ("cure", "oven"): "in the oven",
    ("cure", "moist air"): "in moist air",
    ("cure", "water"): "under water",
}

_FIGURES = (
    ("range", "range"),
    ("readability", "readability"),
    ("permissible_error", "permissible error ±"),
    ("capacity", "up to"),
    ("speed", "speed"),
    ("ramp", "ramp"),
    ("non_uniformity", "non-uniformity ±"),
    ("control_tolerance", "control ±"),
    ("sensor_error", "sensor ±"),
    ("resolution", "resolution"),
    ("uncertainty", "uncertainty ±"),
)


def printed(value: Toleranced | None, plant: Plant) -> str:
    """Return a value in the plant's print units, or an empty text for none."""
    return print_toleranced(value, plant.units) if value is not None else ""


def equipment_name(equipment: Equipment) -> str:
    """Return the name of a piece of equipment with the number on the machine."""
    return f"{equipment.name} ({equipment.tag})" if equipment.tag else equipment.name


def equipment_figures(equipment: Equipment, plant: Plant) -> str:
    """Return what a piece of equipment can do, as one line."""
    figures = [
        f"{label} {printed(value, plant)}".replace("± ", "±\u00a0")
        for key, label in _FIGURES
        if (value := getattr(equipment, key)) is not None
    ]
    if equipment.material:
        figures.append(f"made of {equipment.material}")
    return ", ".join(figures)


def operation_name(step: Step) -> str:
    """Return what is done at a step and how, in words: Dispense by squeeze bottle."""
    title, method = step.operation.title, step.method
    if not method:
        return title
    words = _METHODS.get((step.operation.name, method))
    return f"{title} {words}" if words else f"{title}: {method}"


def role_title(process: Process, role: str) -> str:
    """Return the printed name of a role."""
    return process.plant.roles.get(role, role)


def sentence_case(text: str) -> str:
    """Return a text with its first letter large and the others as they are."""
    return text[:1].upper() + text[1:]


def listed(words: Sequence[str], last: str = "and") -> str:
    """Return words as a list in a sentence: one, two and three."""
    return f"{', '.join(words[:-1])} {last} {words[-1]}" if len(words) > 1 else "".join(words)


def frequency(every: str) -> str:
    """Return a frequency as it is read aloud: each batch, every 2 h, at start of shift."""
    if not every:
        return ""
    if every[0].isdigit():
        return f"every {every}"
    if every.startswith(("start", "end", "before", "after", "first", "last")):
        return f"at {every}" if every.startswith(("start", "end")) else every
    return f"each {every}"
