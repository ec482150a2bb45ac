"""How a plant approves and releases is read from its file."""

from datetime import date
from pathlib import Path

from speccomp.findings import Finding
from speccomp.model.process import Process
from speccomp.model.release_rules import Approver, ReleaseRules
from tests.model.reading import clean, read_there
from tests.rules.fragments import write_project

KEY = "ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIEC4OXZHKJYtjwxfTeqhAGEhigVPeydrJ+zIXpbHn8+T"


def read_with(folder: Path, release: str) -> tuple[Process, tuple[Finding, ...]]:
    write_project(folder, "")
    plant = folder / "plant.yaml"
    plant.write_text(plant.read_text(encoding="utf-8") + release, encoding="utf-8")
    return read_there(folder)


def test_a_plant_that_says_nothing_does_without_signatures(tmp_path: Path) -> None:
    assert clean(tmp_path).plant.release == ReleaseRules()
    assert ReleaseRules().signatures == "unsigned"
    assert ReleaseRules().author_may_approve is False


def test_what_a_plant_says_about_release_is_read(tmp_path: Path) -> None:
    process, findings = read_with(
        tmp_path,
        f"""
release:
  signatures: required
  time_zone: Europe/Berlin
  review_every: 24 months
  author_may_approve: true
  register: https://register.invalid/
  approvers:
    - {{name: Q. Example, role: quality-engineer, key: {KEY}, from: 2026-01-01, to: 2026-12-31}}
    - {{name: E. Example, role: quality-engineer}}
""",
    )
    assert findings == ()
    rules = process.plant.release
    first = Approver(
        "Q. Example",
        "quality-engineer",
        KEY,
        date(2026, 1, 1),
        date(2026, 12, 31),
        rules.approvers[0].span,
    )
    second = Approver("E. Example", "quality-engineer", "", None, None)
    assert rules == ReleaseRules(
        "required",
        (first, second),
        author_may_approve=True,
        review_every="24 months",
        time_zone="Europe/Berlin",
        register="https://register.invalid/",
    )
    assert [first.may_approve_on(date(2026, 12, day)) for day in (30, 31)] == [True, True]
    assert not first.may_approve_on(date(2027, 1, 1))
    assert not first.may_approve_on(date(2025, 12, 31))
    assert second.may_approve_on(date(1990, 1, 1))


def test_names_zones_and_days_that_do_not_exist_are_reported(tmp_path: Path) -> None:
    _, findings = read_with(
        tmp_path,
        """
release:
  signatures: unsigned
  time_zone: Europe/Brelin
  approvers:
    - {name: Q. Example, role: quality-enginer, from: 2026-02-01, to: 2026-01-31}
""",
    )
    assert sorted((finding.rule, finding.message) for finding in findings) == [
        ("reference.unknown-role", "the plant file has no role `quality-enginer`"),
        ("value.malformed", "the last day, 2026-01-31, is before the first, 2026-02-01"),
        ("value.malformed", "there is no time zone `Europe/Brelin`"),
    ]
