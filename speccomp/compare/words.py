"""How ids and other short values are called in print: equipment by name, a step by title."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from speccomp.model.operations import OPERATIONS
from speccomp.model.process import Process

_DIGEST = 16


@dataclass(frozen=True, slots=True)
class Words:
    """What the ids in a field of a definition are called, by field and id."""

    names: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    def of(self, name: str, text: str) -> str:
        """Return a text of a field as it is printed; one that is not known stays as it is."""
        if name == "every":
            return _frequency(text)
        if name == "sha512" and len(text) > _DIGEST:
            return f"{text[:_DIGEST]}…"
        return self.names.get(name, {}).get(text, text)


PLAIN = Words()
"""Every text as it stands in the files."""


def words_of(process: Process) -> Words:
    """Return what the ids of a definition and its plant are called."""
    plant = process.plant
    equipment = {
        key: f"{item.name} ({item.tag})" if item.tag else item.name
        for key, item in plant.equipment.items()
    }
    records = {key: record.title for key, record in process.records.items()}
    return Words(
        {
            "equipment": equipment,
            "gauge": equipment,
            "reaction": {key: plan.title for key, plan in process.reactions.items()},
            "record": records,
            "records": records,
            "responsible": plant.roles,
            "role": plant.roles,
            "special": {key: entry.title.lower() for key, entry in plant.special.items()},
            "material": {key: card.name for key, card in process.materials.items()},
            "before": {step.id: step.title for step in process.steps},
            "topic": {key: topic.title for key, topic in plant.topics.items()},
            "operation": {key: item.title.lower() for key, item in OPERATIONS.items()},
            "product": {"yes": "product characteristic", "no": "process characteristic"},
        }
    )


def _frequency(every: str) -> str:
    """Return a frequency as it is read aloud: each batch, every 2 h, at start of shift."""
    if every[:1].isdigit():
        return f"every {every}"
    if every.startswith(("start", "end")):
        return f"at {every}"
    return every if every.startswith(("before", "after", "first", "last")) else f"each {every}"
