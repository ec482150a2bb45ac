"""A small project whose plant says how it releases, and the people in it; all invented."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path

from speccomp.archive.keys import make_key_pair
from speccomp.archive.statements import Record
from speccomp.pipeline import Checked, check_file
from speccomp.release.approve import approve, build_approval
from speccomp.release.releasing import Done, Request, release
from speccomp.release.signing import Signing
from tests.rules.fragments import write_project

APPROVED = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
RELEASED = datetime(2026, 3, 3, 9, 0, tzinfo=UTC)
QUALITY = "Q. Example"
CONTROLLER = "D. Example"

RELEASE = """
release:
  signatures: {signatures}
  time_zone: Europe/Berlin
  review_every: 24 months
  register: https://register.invalid/
{approvers}"""


@cache
def key_pair(name: str) -> tuple[bytes, str]:
    """Return a key pair for a person; made once, never used outside tests."""
    return make_key_pair(b"", name)


@dataclass
class Works:
    """A project folder and an archive folder."""

    root: Path
    required: bool = False

    def __post_init__(self) -> None:
        self.definition = write_project(self.project)
        approvers = ""
        if self.required:
            key = key_pair(QUALITY)[1]
            approvers = (
                "  approvers:\n"
                f"    - {{name: {QUALITY}, role: quality-engineer, from: 2026-01-01,\n"
                f"       key: '{key}'}}\n"
            )
        signatures = "required" if self.required else "unsigned"
        self.edit(
            "plant.yaml", lambda t: t + RELEASE.format(signatures=signatures, approvers=approvers)
        )

    @property
    def project(self) -> Path:
        return self.root / "project"

    @property
    def archive(self) -> Path:
        return self.root / "archive"

    def edit(self, name: str, change: Callable[[str], str]) -> None:
        path = self.project / name
        path.write_text(change(path.read_text(encoding="utf-8")), encoding="utf-8")

    def next_revision(self, revision: str, before: str, more: str = "") -> None:
        """Write the next revision: its index and change note, and something else if wanted."""
        note = f"{{from: '{before}', why: Paste ran over the rim, summary: Rim wiped twice{more}}}"
        self.edit(
            "definition.yaml",
            lambda t: _without(t, "change:").replace(
                f"revision: '{before}'" if f"revision: '{before}'" in t else f"revision: {before}",
                f"revision: {revision}\nchange: {note}",
            ),
        )

    def check(self) -> Checked:
        return check_file(self.definition, RELEASED.date(), self.project)

    def key_file(self, name: str = QUALITY) -> Path:
        path = self.root / f"{name}.key"
        path.write_bytes(key_pair(name)[0])
        return path

    def approve(self, name: str = QUALITY, at: datetime = APPROVED) -> Record:
        checked = self.check()
        signing = Signing(self.key_file(name)) if self.required else Signing()
        statement = build_approval(checked, name, "quality-engineer", at)
        return approve(checked, statement, signing, self.archive)

    def release(
        self, at: datetime = RELEASED, effective: date | None = None, **more: object
    ) -> Done:
        request = Request(CONTROLLER, at, effective, at.date(), **more)  # type: ignore[arg-type]
        return release(self.check(), self.archive, request)


def _without(text: str, key: str) -> str:
    return "".join(line for line in text.splitlines(keepends=True) if not line.startswith(key))
