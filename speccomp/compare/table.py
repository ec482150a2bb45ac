"""The one table of what is done with a difference, by where it is."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from speccomp.compare import (
    cards,
    cautions,
    controls,
    defaults,
    document,
    limits_of_steps,
    plant_changes,
    ratio,
    routes,
    steps,
)
from speccomp.compare.change import Change
from speccomp.compare.differences import Difference
from speccomp.compare.paths import Path, part_after
from speccomp.compare.sides import Sides

One = Callable[[Sides, Difference], Iterator[Change]]
Many = Callable[[Sides, Sequence[Difference]], Iterator[Change]]

DETECTORS: tuple[Many, ...] = (
    routes.moved_steps,
    routes.split_steps,
    routes.merged_steps,
    routes.moved_limits,
    defaults.moved_defaults,
)
"""What looks at all differences first, for one cause of several of them."""

GROUPS: tuple[tuple[str, Many], ...] = (
    ("change", document.change_note),
    ("ratio", ratio.ratio_changes),
    ("materials/*", cards.card_changes),
    ("cautions/*", cautions.caution_changes),
    ("waivers/*", cautions.waiver_changes),
    ("plant/cautions/*", plant_changes.library_changes),
    ("plant/topics/*", plant_changes.library_changes),
)
"""What is given all differences below a path together; `*` stands for any one part."""

FIELDS: tuple[tuple[str, One], ...] = (
    ("number", document.document_data),
    ("title", document.document_data),
    ("revision", document.document_data),
    ("date", document.document_data),
    ("language", document.document_language),
    ("author", document.document_data),
    ("author_role", document.document_data),
    ("contact", document.document_data),
    ("department", document.document_data),
    ("customer", document.document_data),
    ("phase", document.document_phase),
    ("purpose", document.document_text),
    ("scope", document.document_text),
    ("history/**", document.history),
    ("parts/#order", document.listed),
    ("parts/**", document.part_changes),
    ("batch/**", document.batch_changes),
    ("batch", document.batch_changes),
    ("protective_gear", document.gear_of_document),
    ("reactions/**", document.reaction_changes),
    ("records/**", document.record_changes),
    ("references/#order", document.listed),
    ("references/**", document.reference_changes),
    ("plant/equipment/**", plant_changes.equipment_changes),
    ("plant/**", plant_changes.plant_changes),
    ("steps/*", steps.step_present),
    ("steps/*/id", steps.step_renamed),
    ("steps/*/title", steps.step_text),
    ("steps/*/why", steps.step_text),
    ("steps/*/note", steps.step_text),
    ("steps/*/actions", steps.step_actions),
    ("steps/*/operation", steps.step_setting),
    ("steps/*/material", steps.step_setting),
    ("steps/*/method", steps.step_setting),
    ("steps/*/covered", steps.step_setting),
    ("steps/*/keep", steps.step_keep),
    ("steps/*/containers/**", steps.step_containers),
    ("steps/*/specimen/**", steps.step_specimen),
    ("steps/*/specimen", steps.step_specimen),
    ("steps/*/equipment", steps.step_equipment),
    ("steps/*/gear", steps.gear_changes),
    ("steps/*/records", steps.step_records),
    ("steps/*/reaction", controls.setting_changes),
    ("steps/*/responsible", controls.setting_changes),
    ("steps/*/block", steps.step_block),
    ("steps/*/use", steps.step_block),
    ("steps/*/images/#order", document.listed),
    ("steps/*/images/*", steps.images_present),
    ("steps/*/images/*/**", steps.image_content),
    ("steps/*/characteristics/#order", document.listed),
    ("steps/*/characteristics/*", limits_of_steps.limit_present),
    ("steps/*/characteristics/*/name", limits_of_steps.limit_name),
    ("steps/*/characteristics/*/requirement", limits_of_steps.limit_requirement),
    ("steps/*/characteristics/*/product", limits_of_steps.limit_condition),
    ("steps/*/characteristics/*/condition", limits_of_steps.limit_condition),
    ("steps/*/characteristics/*/validated", limits_of_steps.limit_validated),
    ("steps/*/characteristics/*/control/**", controls.control_changes),
    ("steps/*/profile/*", limits_of_steps.segment_present),
    ("steps/*/profile/*/temperature", limits_of_steps.segment_limit),
    ("steps/*/profile/*/time", limits_of_steps.segment_limit),
    ("steps/*/profile/*/rate", limits_of_steps.segment_limit),
    ("steps/*/profile/*/validated_temperature", limits_of_steps.limit_validated),
    ("steps/*/profile/*/validated_time", limits_of_steps.limit_validated),
    ("steps/*/profile/*/validated_rate", limits_of_steps.limit_validated),
    ("steps/*/profile/*/control/**", controls.control_changes),
)
"""What is given single differences; `**` at the end stands for one or more parts."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """A pattern of paths as it is written in the table."""

    parts: tuple[str, ...]

    @classmethod
    def of(cls, text: str) -> "Pattern":
        """Read a pattern."""
        return cls(tuple(text.split("/")))

    def matches(self, path: Path) -> bool:
        """Tell whether a path is one of the pattern."""
        parts = self.parts
        if parts[-1] == "**":
            parts = parts[:-1]
            return len(path) > len(parts) and _fits(parts, path)
        return len(path) == len(parts) and _fits(parts, path)

    def group_of(self, path: Path) -> Path | None:
        """Return the path of the group that a path belongs to, if it is one of the pattern."""
        return (
            path[: len(self.parts)]
            if len(path) >= len(self.parts) and _fits(self.parts, path)
            else None
        )


def _fits(parts: Sequence[str], path: Path) -> bool:
    return all(wanted in ("*", part_after(part)) for wanted, part in zip(parts, path, strict=False))
