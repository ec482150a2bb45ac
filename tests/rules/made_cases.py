"""Faults that no fragment of text can show: made on the disk, or in a rule."""

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

from speccomp.derive import derive
from speccomp.findings import Finding, Severity
from speccomp.pipeline import check_all, check_file
from speccomp.rules.facts import Facts
from speccomp.rules.rule import Rule
from speccomp.rules.run import check_rules
from tests.compare.made_previous import PREVIOUS_CASES


def _check(folder: Path, today: date) -> tuple[Finding, ...]:
    return check_file(folder / "definition.yaml", today, folder).findings


def _with_text(text: str) -> Callable[[Path, date], tuple[Finding, ...]]:
    def make(folder: Path, today: date) -> tuple[Finding, ...]:
        (folder / "definition.yaml").write_text(text, encoding="utf-8")
        return _check(folder, today)

    return make


def _encoding(folder: Path, today: date) -> tuple[Finding, ...]:
    path = folder / "definition.yaml"
    path.write_bytes(path.read_text(encoding="utf-8").encode("cp1252"))
    return _check(folder, today)


def _too_large(folder: Path, today: date) -> tuple[Finding, ...]:
    path = folder / "definition.yaml"
    path.write_text(path.read_text(encoding="utf-8") + "#" * 2_000_000, encoding="utf-8")
    return _check(folder, today)


def _too_many_files(folder: Path, today: date) -> tuple[Finding, ...]:
    card = (folder / "powder.yaml").read_text(encoding="utf-8")
    lines = []
    for number in range(250):
        (folder / f"card-{number}.yaml").write_text(card, encoding="utf-8")
        lines.append(f"  powder-{number}: card-{number}.yaml")
    path = folder / "definition.yaml"
    text = path.read_text(encoding="utf-8")
    before, _, after = text.partition("materials: {")
    after = after.partition("\n")[2]
    path.write_text("\n".join([before + "materials:", *lines, after]), encoding="utf-8")
    return _check(folder, today)


def _unread(folder: Path, today: date) -> tuple[Finding, ...]:
    path = folder / "definition.yaml"
    path.write_text(path.read_text(encoding="utf-8") + "contact: A\n" * 500, encoding="utf-8")
    return _check(folder, today)


def _duplicate(folder: Path, today: date) -> tuple[Finding, ...]:
    path, copy = folder / "definition.yaml", folder / "copy.yaml"
    copy.write_bytes(path.read_bytes())
    first, second = check_all([path, copy], today, folder)
    assert first.findings == ()
    return second.findings


def _unread_keys(folder: Path, today: date) -> tuple[Finding, ...]:
    path = folder / "definition.yaml"
    keys = "".join(f"key-{n}: x\n" for n in range(20_000))
    path.write_text(path.read_text(encoding="utf-8") + keys, encoding="utf-8")
    findings = _check(folder, today)
    assert len(findings) == 101
    return findings


def _crash(folder: Path, today: date) -> tuple[Finding, ...]:
    def divides(facts: Facts) -> Iterator[Finding]:
        yield Finding(Severity.NOTE, "part.no-drawing", facts.process.span, str(1 // 0))

    process = check_file(folder / "definition.yaml", today, folder).process
    assert process is not None
    return check_rules(
        Facts(process, today, derive(process)),
        {"x.divides": Rule("x.divides", (Severity.NOTE,), divides, "")},
    )


def _nothing_known(folder: Path, today: date) -> tuple[Finding, ...]:
    path = folder / "cleaner.yaml"
    lines = path.read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not line.startswith("hazards:")]
    path.write_text("\n".join(kept) + "\n", encoding="utf-8")
    return _check(folder, today)


MADE_CASES: dict[str, Callable[[Path, date], tuple[Finding, ...]]] = {
    "source.encoding": _encoding,
    "source.too-large": _too_large,
    "source.too-many-files": _too_many_files,
    "source.empty": _with_text("# nothing here\n"),
    "source.not-a-mapping": _with_text("- process\n- title\n"),
    "source.unread": _unread,
    "schema.unknown-kind": _with_text("title: Seal the end\n"),
    "internal.rule-crashed": _crash,
    "hazard.nothing-known": _nothing_known,
    "revision.duplicate": _duplicate,
    "schema.unread": _unread_keys,
    **PREVIOUS_CASES,
}
