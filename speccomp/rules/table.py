"""The one table of all rules."""

from collections.abc import Iterable, Mapping

from speccomp.findings import Severity
from speccomp.rules import (
    arithmetic,
    batch,
    control_frequency,
    control_gaps,
    control_gauge,
    control_plan,
    curing,
    drying,
    gauges,
    handling,
    materials,
    order,
    ovens,
    parts,
    pot_life,
    references,
    revision_history,
    revision_index,
    sampling,
    stages_model,
    stages_schema,
    stages_source,
    stages_waiver,
    step_equipment,
    step_needs,
    step_profile,
    storage,
    weighing,
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
    ("value.not-calculable", _E, arithmetic.not_calculable),
    ("ratio.outside-card", _E, materials.ratio_outside_card),
    ("ratio.other-basis", _W, materials.ratio_other_basis),
    ("ratio.partner-not-on-card", _E, materials.ratio_partner_not_on_card),
    ("ratio.no-partner-data", _N, materials.ratio_no_partner_data),
    ("declaration.missing", _E, materials.declaration_missing),
    ("declaration.negative", _W, materials.declaration_negative),
    ("storage.temperature-outside-card", _E, storage.temperature_outside_card),
    ("storage.humidity-outside-card", _E, storage.humidity_outside_card),
    ("storage.longer-than-shelf-life", _E, storage.longer_than_shelf_life),
    ("storage.no-turn-over", _W, storage.no_turn_over),
    ("reblend.missing", _E, handling.reblend_missing),
    ("order.addition-reversed", _E, handling.addition_reversed),
    ("mix.retempering", _E, handling.retempering),
    ("wait.uncovered", _E, handling.wait_uncovered),
    ("weigh.window-empty", _E, weighing.window_empty),
    ("weigh.window-below-readability", _E, weighing.window_below_readability),
    ("weigh.masses-off-ratio", _E, weighing.masses_off_ratio),
    ("weigh.over-capacity", _E, weighing.over_capacity),
    ("batch.below-smallest-mass", _E, batch.below_smallest_mass),
    ("batch.order-too-small", _E, batch.order_too_small),
    ("batch.outside-mixer", _E, batch.outside_mixer),
    ("batch.over-parts-per-mix", _E, batch.over_parts_per_mix),
    ("batch.fills-fewer-parts", _W, batch.fills_fewer_parts),
    ("potlife.batch-outlives", _E, pot_life.batch_outlives),
    ("potlife.hot-shop", _W, pot_life.hot_shop),
    ("potlife.mixing-too-long", _E, pot_life.mixing_too_long),
    ("potlife.applied-too-late", _E, pot_life.applied_too_late),
    ("potlife.transfer-too-short", _W, pot_life.transfer_too_short),
    ("potlife.no-limit", _W, pot_life.no_limit),
    ("cure.steam", _E, drying.steam),
    ("cure.drying-too-short", _E, drying.too_short),
    ("cure.not-dried", _W, drying.not_dried),
    ("cure.section-beyond-qualified", _W, drying.section_beyond_qualified),
    ("cure.section-far-beyond-qualified", _E, drying.section_far_beyond_qualified),
    ("cure.no-drying-data", _N, curing.no_drying_data),
    ("cure.steam-unknown", _W, curing.steam_unknown),
    ("cure.ambient-too-short", _E, curing.ambient_too_short),
    ("cure.final-too-short", _E, curing.final_too_short),
    ("test.electrical-before-dry", _E, curing.electrical_before_dry),
    ("cure.ramp-too-fast", _E, ovens.ramp_too_fast),
    ("cure.oven-out-of-range", _E, ovens.oven_out_of_range),
    ("cure.pressure-off-elevation", _W, ovens.pressure_off_elevation),
    ("gauge.too-coarse", _E, gauges.too_coarse),
    ("gauge.coarse", _W, gauges.coarse),
    ("gauge.too-uncertain", _W, gauges.too_uncertain),
    ("gauge.cannot-accept", _E, gauges.cannot_accept),
    ("gauge.force-out-of-range", _E, gauges.force_out_of_range),
    ("sampling.cannot-show-claim", _E, sampling.cannot_show_claim),
    ("sampling.larger-than-lot", _E, sampling.larger_than_lot),
    ("sampling.plan-mismatch", _E, sampling.plan_mismatch),
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
