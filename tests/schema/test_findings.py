"""What a schema refuses becomes one finding, at its place, in plain words."""

import pytest

from speccomp.findings import Finding, Severity, Span
from speccomp.schema import FileKind, check_schema
from speccomp.source.yaml_tree import parse_tree

PROCESS = """\
process: PD-100
title: Seal the end
revision: A
date: 2026-03-02
author: {name: R. Example, role: engineer}
plant: plant.yaml
purpose: Close the end.
scope: All heaters.
parts:
  - {number: TH-8, name: Heater}
steps:
  - id: mix
    operation: mix
    do: Mix the paste.
    limits: {mixing time: 3 to 5 min}
  - id: fill
    operation: dispense
    method: syringe
    do: Fill the sheath.
"""


def findings_of(text: str, kind: FileKind = FileKind.PROCESS) -> tuple[Finding, ...]:
    outcome = parse_tree(text, "d.yaml")
    assert outcome.value is not None, outcome.findings
    return check_schema(outcome.value, kind)


def only(text: str, kind: FileKind = FileKind.PROCESS) -> Finding:
    found = findings_of(text, kind)
    assert len(found) == 1, [finding.message for finding in found]
    assert found[0].severity is Severity.ERROR
    return found[0]


def changed(old: str, new: str) -> str:
    assert PROCESS.count(old) == 1
    return PROCESS.replace(old, new)


def underlined(text: str, span: Span) -> str:
    """Return what the finding underlines; it has to stand on one line to be a caret line."""
    assert span.line == span.end_line
    return text.splitlines()[span.line - 1][span.column - 1 : span.end_column - 1]


def test_the_definition_fits() -> None:
    assert findings_of(PROCESS) == ()


# old text, new text, rule, place, what is underlined, message, hint
CASES = {
    "mistyped key at the top": (
        "scope: All",
        "scoop: All",
        "schema.unknown-key",
        (8, 1, 8, 6),
        "scoop",
        "the file has no `scoop`",
        "did you mean `scope`?",
    ),
    "mistyped key in a step": (
        "    limits: {mixing",
        "    limit: {mixing",
        "schema.unknown-key",
        (15, 5, 15, 10),
        "limit",
        "item 1 of `steps` (`mix`) has no `limit`",
        "did you mean `limits`?",
    ),
    "mistyped key in a limit": (
        "3 to 5 min}",
        "{vlaue: 3 to 5 min}}",
        "schema.unknown-key",
        (15, 28, 15, 33),
        "vlaue",
        "`mixing time` has no `vlaue`",
        "did you mean `value`?",
    ),
    "key that is like no other": (
        "{number: TH-8, name: Heater}",
        "{number: TH-8, name: Heater, colour: red}",
        "schema.unknown-key",
        (10, 34, 10, 40),
        "colour",
        "item 1 of `parts` has no `colour`",
        "known here: number, name, drawing, fill_volume, thickest_section, open_faces",
    ),
    "missing at the top": (
        "title: Seal the end\n",
        "",
        "schema.missing-key",
        (1, 1, 1, 8),
        "process",
        "the file lacks `title`",
        "add `title: Seal the cold end of a cartridge heater` "
        "(What the process does, without abbreviations (ISO 7200: title).)",
    ),
    "missing in a mapping": (
        "{name: R. Example, role: engineer}",
        "{name: R. Example}",
        "schema.missing-key",
        (5, 1, 5, 7),
        "author",
        "`author` lacks `role`",
        "add `role: manufacturing-engineer` (Role from the plant file.)",
    ),
    "missing in an item": (
        "    do: Mix the paste.\n",
        "",
        "schema.missing-key",
        (12, 5, 12, 7),
        "id",
        "item 1 of `steps` (`mix`) lacks `do`",
        "add `do: Mix the paste at slow speed.` "
        "(What the operator does: imperative, one action in each text.)",
    ),
    "missing for the operation": (
        "operation: dispense\n    method: syringe\n",
        "operation: retain-sample\n",
        "schema.missing-key",
        (16, 5, 16, 7),
        "id",
        "item 2 of `steps` (`fill`) lacks `keep`, which operation `retain-sample` needs",
        "add `keep: 2 years` (How long a retained sample or stock is kept.)",
    ),
    "missing choice": (
        "steps:\n",
        "ratio: {powder: 100, liquid: 26 ± 1, filler: 5 ± 1}\nsteps:\n",
        "schema.missing-key",
        (11, 1, 11, 6),
        "ratio",
        "`ratio` lacks `by`",
        "add `by`, one of: weight, volume (Whether the parts are of weight or of volume.)",
    ),
    "text where a list belongs": (
        "  - {number: TH-8, name: Heater}",
        "  TH-8",
        "schema.wrong-type",
        (10, 3, 10, 7),
        "TH-8",
        "`parts` must be a list, not `TH-8`",
        "for example: [{number: CH-500-12, name: Cartridge heater 500 W}]",
    ),
    "mapping where text belongs": (
        "do: Mix the paste.",
        "do: {action: Mix the paste.}",
        "schema.wrong-type",
        (14, 9, 14, 33),
        "{action: Mix the paste.}",
        "`do` must be a text or a list, not a mapping",
        "for example: Mix at slow speed.",
    ),
    "text where a step belongs": (
        "steps:\n",
        "steps:\n  - Mix the paste.\n",
        "schema.wrong-type",
        (12, 5, 12, 19),
        "Mix the paste.",
        "item 1 of `steps` must be a mapping of names to values, not `Mix the paste.`",
        "for example: {id: mix, operation: mix, do: Mix at slow speed., "
        "limits: {mixing time: 3 to 5 min}}",
    ),
    "nothing where a mapping belongs": (
        " {name: R. Example, role: engineer}",
        "",
        "schema.wrong-type",
        (5, 8, 5, 8),
        "",
        "`author` must be a mapping of names to values, not nothing",
        "for example: {name: R. Example, role: manufacturing-engineer}",
    ),
    "fraction where a whole number belongs": (
        "name: Heater}",
        "name: Heater, open_faces: 1.5}",
        "schema.wrong-type",
        (10, 46, 10, 49),
        "1.5",
        "`open_faces` must be a whole number, not `1.5`",
        "for example: 1",
    ),
    "mistyped choice": (
        "operation: mix\n",
        "operation: mixx\n",
        "schema.not-one-of",
        (13, 16, 13, 20),
        "mixx",
        "`operation` cannot be `mixx`",
        "did you mean `mix`?",
    ),
    "choice in other letters": (
        "method: syringe",
        "method: Syringe",
        "schema.not-one-of",
        (18, 13, 18, 20),
        "Syringe",
        "`method` cannot be `Syringe`",
        "did you mean `syringe`?",
    ),
    "choice that is like no other": (
        "steps:\n",
        "phase: trial\nsteps:\n",
        "schema.not-one-of",
        (11, 8, 11, 13),
        "trial",
        "`phase` cannot be `trial`",
        "write one of: prototype, pre-launch, production",
    ),
    "profile on a mix": (
        "    limits: {mixing time: 3 to 5 min}",
        "    profile: [{hold: {at: 82 ± 5 degC, for: 4 to 5 h}}]",
        "schema.misplaced-key",
        (15, 5, 15, 12),
        "profile",
        "`profile` is not for operation `mix`",
        "it is for: cure",
    ),
    "empty text": (
        "title: Seal the end",
        "title:",
        "schema.empty",
        (2, 1, 2, 6),
        "title",
        "`title` is empty",
        "for example: Seal the cold end of a cartridge heater",
    ),
    "empty list": (
        "limits: {mixing time: 3 to 5 min}",
        "with: []",
        "schema.empty",
        (15, 5, 15, 9),
        "with",
        "`with` is empty",
        "for example: [bench-scale]",
    ),
    "ratio of one material": (
        "steps:\n",
        "ratio: {by: weight, powder: 100}\nsteps:\n",
        "schema.empty",
        (11, 1, 11, 6),
        "ratio",
        "`ratio` has 2 entries; the least is 3",
        "for example: {by: weight, powder: 100, liquid: 26 ± 1}",
    ),
    "date in words": (
        "2026-03-02",
        "2 March 2026",
        "schema.malformed",
        (4, 7, 4, 19),
        "2 March 2026",
        "`date` cannot be `2 March 2026`",
        "write year-month-day, for example 2026-11-25",
    ),
    "id in capitals": (
        "id: mix",
        "id: Mix it",
        "schema.malformed",
        (12, 9, 12, 15),
        "Mix it",
        "`id` cannot be `Mix it`",
        "A short name in lower-case letters, digits and hyphens; for example: weigh-powder",
    ),
    "name in capitals": (
        "steps:\n",
        "materials: {Powder: powder.yaml}\nsteps:\n",
        "schema.malformed",
        (11, 13, 11, 19),
        "Powder",
        "the name cannot be `Powder`",
        "A short name in lower-case letters, digits and hyphens; for example: weigh-powder",
    ),
    "line feed after a number": (
        "process: PD-100",
        'process: "PD-100\\n"',
        "schema.malformed",
        (1, 10, 1, 20),
        '"PD-100\\n"',
        "`process` cannot be `PD-100⏎`",
        "Identification number of the document, unique in the plant (ISO 7200: identification "
        "number): letters, digits, dot, hyphen; for example: PD-117",
    ),
    "long title": (
        "title: Seal the end",
        "title: " + "x" * 121,
        "schema.malformed",
        (2, 8, 2, 129),
        "x" * 121,
        "`title` has 121 characters; the most is 120",
        "What the process does, without abbreviations (ISO 7200: title).",
    ),
    "too large": (
        "name: Heater}",
        "name: Heater, open_faces: 3}",
        "schema.out-of-bounds",
        (10, 46, 10, 47),
        "3",
        "`open_faces` is 3; it must be at most 2",
        "for example: 1",
    ),
    "too small": (
        "name: Heater}",
        "name: Heater, open_faces: 0}",
        "schema.out-of-bounds",
        (10, 46, 10, 47),
        "0",
        "`open_faces` is 0; it must be at least 1",
        "for example: 1",
    ),
    "nought where more is asked": (
        "{mixing time: 3 to 5 min}",
        "{mixing time: {value: 3 to 5 min, plan: {lot: 9, level: I, aql: 0.0}}}",
        "schema.out-of-bounds",
        (15, 77, 15, 80),
        "0.0",
        "`aql` is 0.0; it must be more than 0",
        "for example: 1.0",
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_a_fault_is_one_finding_at_its_place(case: str) -> None:
    old, new, rule, place, what, message, hint = CASES[case]
    text = changed(old, new)
    finding = only(text)
    assert finding.rule == rule
    span = finding.span
    assert (span.line, span.column, span.end_line, span.end_column) == place
    assert underlined(text, span) == what
    assert finding.message == message
    assert finding.hint == hint


def test_hold_and_ramp_in_one_segment() -> None:
    text = PROCESS + (
        "  - id: cure\n    operation: cure\n    method: oven\n    do: Start.\n    profile:\n"
        "      - hold: {at: 82 ± 5 degC, for: 4 h}\n        ramp: {to: 90 degC, at: 1 K/min}\n"
    )
    finding = only(text)
    assert finding.rule == "schema.malformed"
    assert finding.message == "item 1 of `profile` has 2 entries, `hold`, `ramp`; the most is 1"
    assert finding.span == Span("d.yaml", 25, 9, 26, 41)


def test_a_mistyped_operation_is_one_fault() -> None:
    # Which keys belong beside it cannot be said while the operation itself is not known.
    text = changed("operation: mix\n", "operation: mixx\n    covered: true\n    keep: 2 years\n")
    assert only(text).rule == "schema.not-one-of"


def test_a_mistyped_key_is_not_missing_as_well() -> None:
    text = changed("operation: mix\n", "operatoin: mix\n")
    assert [finding.rule for finding in findings_of(text)] == ["schema.unknown-key"]


def test_all_faults_of_a_file_are_found() -> None:
    text = changed("scope: All heaters.\n", "scoop: All heaters.\n").replace("2026-03-02", "soon")
    assert {(f.rule, f.span.line) for f in findings_of(text)} == {
        ("schema.unknown-key", 8),
        ("schema.malformed", 4),
    }


EQUIPMENT = """\
plant: works
name: Works
owner: Works (invented)
print: {system: SI, paper: A4}
shop: {temperature: 18 to 26 degC}
equipment:
  scale:
    type: scale
    name: Scale
    readability: 0.1 g
    permissible_error: 0.2 g
    capacity: 6 kg
roles: {operator: {title: Operator}}
approvals: [operator]
control_defaults: {sample: 1, every: batch, reaction: stop, responsible: operator, record: log}
reactions: {stop: {title: Stop, do: Stop., responsible: operator}}
records: {log: {title: Log, keep: 1 year}}
numbering: {documents: "PD-[0-9]{3}", revisions: letters}
"""


def test_what_a_type_of_equipment_needs_is_told() -> None:
    assert findings_of(EQUIPMENT, FileKind.PLANT) == ()
    text = EQUIPMENT.replace("    permissible_error: 0.2 g\n", "")
    finding = only(text, FileKind.PLANT)
    assert finding.message == "`scale` lacks `permissible_error`, which type `scale` needs"
    assert underlined(text, finding.span) == "scale"
    assert finding.hint.startswith("add `permissible_error: 0.2 g`")


def test_what_a_type_of_equipment_does_not_have_is_told() -> None:
    text = EQUIPMENT.replace("    capacity: 6 kg\n", "    capacity: 6 kg\n    measures: mass\n")
    finding = only(text, FileKind.PLANT)
    assert finding.rule == "schema.misplaced-key"
    assert finding.message == "`measures` is not for type `scale`"
    assert finding.hint == "it is for: gauge, dispenser"
    assert underlined(text, finding.span) == "measures"


@pytest.mark.parametrize("text", ["012", "no", "4:1", "1:30", "2026-11-25", "~", "0x1F", "1e3"])
def test_what_other_readers_of_yaml_change_stays_text(text: str) -> None:
    # The traps of YAML 1.1: octal, boolean, base 60, date, null.
    definition = changed("title: Seal the end", f"title: {text}")
    assert findings_of(definition) == ()
    tree = parse_tree(definition, "d.yaml").value
    assert tree is not None
    assert isinstance(tree.data, dict)
    assert tree.data["title"] == text


COVERED = "operation: mix\n    covered: "


@pytest.mark.parametrize("truth", ["true", "false"])
def test_true_and_false_are_truth(truth: str) -> None:
    assert findings_of(changed("operation: mix", COVERED + truth)) == ()


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("yes", "true"),
        ("on", "true"),
        ("True", "true"),
        ("Y", "true"),
        ("no", "false"),
        ("off", "false"),
        ("FALSE", "false"),
    ],
)
def test_another_word_for_truth_is_refused_with_the_right_one(written: str, meant: str) -> None:
    text = changed("operation: mix", COVERED + written)
    finding = only(text)
    assert finding.message == f"`covered` must be true or false, not `{written}`"
    assert finding.hint == f"write `{meant}`"
    assert underlined(text, finding.span) == written


def test_no_truth_at_all() -> None:
    finding = only(changed("operation: mix", COVERED + "sometimes"))
    assert finding.hint == "for example: true"


@pytest.mark.parametrize("number", ["007", "+7", "7"])
def test_a_whole_number_may_be_written_in_more_ways(number: str) -> None:
    batch = f"batch: {{parts: {number}, loss: 8 %}}\nsteps:\n"
    assert findings_of(changed("steps:\n", batch)) == ()


@pytest.mark.parametrize("number", ["7.0", "7e3", "0x7", "seven", "٧", "9" * 16])
def test_other_texts_are_no_whole_number(number: str) -> None:
    batch = f"batch: {{parts: {number}, loss: 8 %}}\nsteps:\n"
    assert only(changed("steps:\n", batch)).rule == "schema.wrong-type"


def test_a_finding_is_one_line_whatever_it_quotes() -> None:
    text = changed("operation: mix\n", 'operation: "mix\\nwell"\n')
    assert only(text).message == "`operation` cannot be `mix⏎well`"
