"""The people whose signatures count, from a plant file that is kept outside the archive."""

from datetime import date
from pathlib import Path

from speccomp.archive.check_keys import check_keys
from speccomp.archive.store import Archive
from speccomp.findings import Finding, has_errors
from speccomp.model.resolve_plant import resolve_plant
from speccomp.pipeline import check_file
from speccomp.release.refusal import Refused
from speccomp.release.signing import signers_of
from speccomp.schema import FileKind, recognise


def check_against_plant(archive: Archive, plant_file: Path) -> list[Finding]:
    """
    Report what the people of a plant file did not sign, though it says that they had to.

    Errors: Refused where the file is no plant file without errors.
    """
    checked = check_file(plant_file, date.min)
    sources = checked.sources
    if sources is None or recognise(sources.main.data) is not FileKind.PLANT:
        raise Refused(f"{plant_file} is no plant file")
    if has_errors(checked.findings):
        raise Refused(f"{plant_file} has errors, the first: {checked.findings[0].message}")
    rules = resolve_plant(sources.main, []).release
    return check_keys(archive, signers_of(rules), required=rules.signatures == "required")
