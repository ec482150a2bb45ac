"""The one table of all rules."""

from collections.abc import Iterable, Mapping

from speccomp.findings import Severity
from speccomp.rules import (
    control_frequency,
    control_gaps,
    control_gauge,
    control_plan,
    order,
    parts,
    references,
    revision_history,
    revision_index,
    stages_model,
    stages_schema,
    stages_source,
    stages_waiver,
    step_equipment,
    step_needs,
    step_profile,
    wording_actions,
    wording_words,
)
from speccomp.rules.facts import Check
from speccomp.rules.rule import Rule, page_of

_E, _W, _N = Severity.ERROR, Severity.WARNING, Severity.NOTE

# Rules of this package: name, severity, function with its manual page as docstring.
_CHECKS: tuple[tuple[str, Severity, Check], ...] = (
    ("step.missing-limit", _E, step_needs.missing_limit),
    ("step.no-end-condition", _E, step_needs.no_end_condition),
    ("step.nothing-judged", _E, step_needs.nothing_judged),
    ("step.missing-record", _E, step_needs.missing_record),
    ("step.missing-mass", _E, step_needs.missing_mass),
    ("step.missing-equipment", _E, step_equipment.missing_equipment),
    ("step.odd-equipment", _W, step_equipment.odd_equipment),
    ("step.oven-at-ambient", _W, step_equipment.oven_at_ambient),
    ("step.missing-profile", _E, step_profile.missing_profile),
    ("step.ramp-at-ambient", _E, step_profile.ramp_at_ambient),
    ("step.hold-off-ramp-end", _E, step_profile.hold_off_ramp_end),
    ("step.jump-between-holds", _W, step_profile.jump_between_holds),
    ("step.ramp-without-upper-rate", _W, step_profile.ramp_without_upper_rate),
    ("step.hold-without-minimum", _E, step_profile.hold_without_minimum),
    ("order.mix-before-weigh", _E, order.mix_before_weigh),
    ("order.apply-before-mix", _W, order.apply_before_mix),
    ("order.cure-before-apply", _W, order.cure_before_apply),
    ("order.discs-checked-before-cast", _W, order.discs_checked_before_cast),
    ("control.no-technique", _E, control_gaps.no_technique),
    ("control.no-sample", _E, control_gaps.no_sample),
    ("control.no-frequency", _E, control_gaps.no_frequency),
    ("control.no-reaction", _E, control_gaps.no_reaction),
    ("control.no-responsible", _E, control_gaps.no_responsible),
    ("control.no-record", _E, control_gaps.no_record),
    ("control.vague-frequency", _E, control_frequency.vague_frequency),
    ("control.frequency-malformed", _E, control_frequency.frequency_malformed),
    ("control.sample-malformed", _E, control_frequency.sample_malformed),
    ("control.wrong-gauge", _E, control_gauge.wrong_gauge),
    ("control.gauge-out-of-range", _E, control_gauge.gauge_out_of_range),
    ("control.calibration-overdue", _E, control_gauge.calibration_overdue),
    ("control.reaction-only-tells", _W, control_plan.reaction_only_tells),
    ("control.special-by-eye", _W, control_plan.special_by_eye),
    ("control.duplicate", _W, control_plan.duplicate),
    ("control.product-unchecked", _W, control_plan.product_unchecked),
    ("wording.vague", _W, wording_words.vague),
    ("wording.should", _W, wording_words.should),
    ("wording.uncontrolled-value", _W, wording_words.uncontrolled_value),
    ("wording.several-actions", _W, wording_actions.several_actions),
    ("wording.not-imperative", _W, wording_actions.not_imperative),
    ("wording.long-sentence", _W, wording_actions.long_sentence),
    ("wording.many-actions", _W, wording_actions.many_actions),
    ("wording.instruction-in-note", _W, wording_actions.instruction_in_note),
    ("revision.not-in-scheme", _E, revision_index.not_in_scheme),
    ("revision.wrong-next", _E, revision_index.wrong_next),
    ("revision.no-change-note", _E, revision_index.no_change_note),
    ("revision.first-has-from", _E, revision_index.first_has_from),
    ("revision.number-pattern", _E, revision_index.number_pattern),
    ("revision.bad-pattern", _E, revision_index.bad_pattern),
    ("revision.history-order", _E, revision_history.history_order),
    ("revision.history-gap", _W, revision_history.history_gap),
    ("revision.not-from-last", _E, revision_history.not_from_last),
    ("revision.date-order", _E, revision_history.date_order),
    ("reference.unused-material", _W, references.unused_material),
    ("reference.unused-reaction", _W, references.unused_reaction),
    ("reference.unused-record", _W, references.unused_record),
    ("reference.hides-plant", _W, references.hides_plant),
    ("part.duplicate-number", _E, parts.duplicate_number),
    ("part.no-drawing", _N, parts.no_drawing),
)
# Rules that other stages report: their manual pages.
_STAGES: tuple[Mapping[str, str], ...] = (
    stages_source.PAGES,
    stages_schema.PAGES,
    stages_model.PAGES,
    stages_waiver.PAGES,
)
_WARNINGS = frozenset({"waiver.pointless", "waiver.too-long"})


def _rules() -> Iterable[Rule]:
    for name, severity, check in _CHECKS:
        yield Rule(name, (severity,), check, page_of(check))
    for pages in _STAGES:
        for name, text in pages.items():
            yield Rule(name, (_W if name in _WARNINGS else _E,), None, text)


RULES: Mapping[str, Rule] = {rule.name: rule for rule in _rules()}
"""All rules by name, in the order in which they run and are listed."""


def page(name: str) -> str | None:
    """Return the manual page of a rule as text, or nothing where there is no such rule."""
    rule = RULES.get(name)
    return rule.text if rule else None
