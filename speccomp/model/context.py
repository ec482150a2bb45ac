"""What the steps of a definition are read against."""

from collections.abc import Mapping
from dataclasses import dataclass

from speccomp.model.material import Material
from speccomp.model.plant import Plant
from speccomp.model.process import Ratio
from speccomp.model.shared import Reaction, Record
from speccomp.source.project import Sources


@dataclass(frozen=True, slots=True)
class Context:
    """The plant, the cards and the plans that the steps name."""

    sources: Sources
    plant: Plant
    materials: Mapping[str, Material]
    reactions: Mapping[str, Reaction]
    records: Mapping[str, Record]
    ratio: Ratio | None
