"""The commands of document control: keys, approve, release, withdraw, review, register, verify."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path

import click

ARCHIVE = click.option(
    "--archive",
    type=click.Path(path_type=Path, file_okay=False),
    required=True,
    envvar="SPECCOMP_ARCHIVE",
    help="Folder of the archive; SPECCOMP_ARCHIVE when left out.",
)
AT = click.option(
    "--at",
    "moment",
    help="Point of time in UTC, such as 2026-11-25T09:30:00Z; now when left out.",
)
NAME = click.option("--name", required=True, help="Name of the person, as in the plant file.")
ROLE = click.option("--role", required=True, help="Id of the role the person acts in.")
KEY = click.option(
    "--key",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Private key to sign with, made by `speccomp keys` or ssh-keygen -t ed25519.",
)
PROJECT = click.option(
    "--project",
    "root",
    type=click.Path(path_type=Path, file_okay=False, exists=True),
    help="Project folder; looked for when left out.",
)
FILE = click.argument("file", type=click.Path(path_type=Path, readable=False))


def parse_moment(text: str | None) -> datetime:
    """Return a point of time to the second. Errors: click.BadParameter."""
    if text is None:
        return datetime.now(UTC).replace(microsecond=0)
    try:
        moment = datetime.fromisoformat(text.replace("Z", "+00:00"))
    except ValueError as error:
        raise click.BadParameter(f"`{text}` is no point of time", param_hint="--at") from error
    if moment.tzinfo is None:
        hint = "end it with Z" if "T" in text else f"write {text}T12:00:00Z"
        raise click.BadParameter(f"`{text}` lacks its zone; {hint}", param_hint="--at")
    return moment.astimezone(UTC).replace(microsecond=0)


@contextmanager
def refusals() -> Iterator[None]:
    """Say why something was refused: exit 1 for a rule, 4 for a disk, a key or a renderer."""
    from speccomp.archive.errors import ArchiveError
    from speccomp.release.refusal import Refused

    try:
        yield
    except Refused as refusal:
        for reason in refusal.reasons:
            click.echo(f"refused: {reason}", err=True)
        sys.exit(1)
    except ArchiveError as error:
        click.echo(f"error: {error}", err=True)
        sys.exit(4)


def ask_passphrase() -> str:
    """Ask for the passphrase of a key."""
    return str(click.prompt("Passphrase of the key", hide_input=True, err=True))


@click.command()
@click.argument("path", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--comment", default="", help="Whose key it is; stands behind the public key.")
@click.option("--no-passphrase", is_flag=True, help="Leave the private key unprotected.")
def keys(path: Path, comment: str, no_passphrase: bool) -> None:
    """
    Make a key pair for signing: PATH and PATH.pub.

    The private key stays with its owner, outside of every project and archive; the line of the
    public key goes into the plant file.
    """
    from speccomp.archive.keys import make_key_pair, write_key_pair
    from speccomp.source.reader import PROJECT_MARK

    with refusals():
        for folder in path.absolute().parents:
            if (folder / PROJECT_MARK).exists():
                click.echo(f"refused: {path} lies inside the project {folder}", err=True)
                sys.exit(1)
        passphrase = "" if no_passphrase else _new_passphrase()
        private, public = make_key_pair(passphrase.encode(), comment)
        write_key_pair(path, private, public)
        click.echo(f"{path} is the private key: keep it to yourself")
        click.echo("Add this to `release: approvers` of the plant file:")
        click.echo(f"  key: {public}")


def _new_passphrase() -> str:
    return str(click.prompt("New passphrase", hide_input=True, confirmation_prompt=True, err=True))


@click.command()
@FILE
@ARCHIVE
@NAME
@ROLE
@KEY
@click.option(
    "--statement",
    "statement_file",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write the text to sign to this file, and stop: for a key that only ssh-keygen can use.",
)
@click.option(
    "--signature",
    "signature_file",
    type=click.Path(path_type=Path, dir_okay=False, exists=True),
    help="Signature made by `ssh-keygen -Y sign -n approve@speccomp` over that text.",
)
@AT
@PROJECT
def approve(  # noqa: PLR0913  # one parameter for each option
    *,
    file: Path,
    archive: Path,
    name: str,
    role: str,
    key: Path | None,
    statement_file: Path | None,
    signature_file: Path | None,
    moment: str | None,
    root: Path | None,
) -> None:
    """
    Approve the exact content of a definition for release.

    Whatever the documents are made from may not change afterwards: any change makes the approval
    void. Exit status: 0, 1 refused, 4 when the disk or the key refused.
    """
    from speccomp.pipeline import check_file
    from speccomp.release.approve import approve as approve_content
    from speccomp.release.approve import build_approval
    from speccomp.release.signing import Signing

    at = parse_moment(moment)
    with refusals():
        checked = check_file(file, at.date(), root)
        _refuse_key_inside(key, checked.project.root)
        statement = build_approval(checked, name, role, at)
        if statement_file is not None:
            statement_file.write_bytes(statement.signed_bytes())
            click.echo(
                f"sign it: ssh-keygen -Y sign -n approve@speccomp -f KEY {statement_file}\n"
                f"then: --signature {statement_file}.sig --at {statement.time}"
            )
            return
        signature = signature_file.read_text(encoding="utf-8") if signature_file else ""
        signing = Signing(key, ask_passphrase, signature)
        record = approve_content(checked, statement, signing, archive)
        how = "signed" if record.signed else "unsigned"
        click.echo(
            f"{statement.document} {statement.revision} approved by {name} as {role}, {how}; "
            f"content {statement.content_sha512[:12]}"
        )


def _refuse_key_inside(key: Path | None, project: Path) -> None:
    from speccomp.release.refusal import Refused

    if key is not None and key.absolute().is_relative_to(project):
        raise Refused(f"{key} lies inside the project; keep private keys elsewhere")


@click.command()
@FILE
@ARCHIVE
@click.option("--by", "controller", required=True, help="Name of the document controller.")
@click.option(
    "--effective",
    required=True,
    help="Day from which on it is in force, year-month-day, or `immediate`.",
)
@click.option(
    "--lots",
    type=click.Choice(["finish-on-old", "switch-now", "hold"]),
    default="finish-on-old",
    show_default=True,
    help="What happens to lots that are being worked on.",
)
@click.option(
    "--takes-over",
    is_flag=True,
    help="The document was released without this archive before; begin with this revision.",
)
@AT
@PROJECT
def release(  # noqa: PLR0913  # one parameter for each option
    *,
    file: Path,
    archive: Path,
    controller: str,
    effective: str,
    lots: str,
    takes_over: bool,
    moment: str | None,
    root: Path | None,
) -> None:
    """
    Release a definition: check, compare, compile, and write one version to the archive.

    Exit status: 0, 1 refused (every reason is said), 4 when the disk or the renderer refused.
    """
    from speccomp.pipeline import check_file
    from speccomp.release.releasing import Request
    from speccomp.release.releasing import release as release_content
    from speccomp.render.pdf import PdfError

    at = parse_moment(moment)
    request = Request(controller, at, _effective_day(effective), at.date(), lots, takes_over)
    with refusals():
        checked = check_file(file, at.date(), root)
        try:
            done = release_content(checked, archive, request)
        except PdfError as error:
            click.echo(f"error: {error}", err=True)
            sys.exit(4)
        for remark in done.remarks:
            click.echo(f"warning: {remark}", err=True)
        record = done.record
        click.echo(
            f"{record.document} {record.revision} released, in force from {record.effective_from}; "
            f"content {record.content_sha512[:12]}"
        )


def _effective_day(text: str) -> date | None:
    if text == "immediate":
        return None
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        hint = "write year-month-day, or `immediate`"
        raise click.BadParameter(f"`{text}` is no day; {hint}", param_hint="--effective") from error


@click.command()
@click.argument("number")
@ARCHIVE
@NAME
@ROLE
@click.option("--reason", required=True, help="Why the document is withdrawn.")
@click.option("--revision", default="", help="Revision; the one in force when left out.")
@KEY
@AT
def withdraw(  # noqa: PLR0913  # one parameter for each option
    *,
    number: str,
    archive: Path,
    name: str,
    role: str,
    reason: str,
    revision: str,
    key: Path | None,
    moment: str | None,
) -> None:
    """Withdraw a released document; no earlier revision comes back into force."""
    from speccomp.release.ending import Declaration
    from speccomp.release.ending import withdraw as withdraw_document
    from speccomp.release.signing import Signing

    declared = Declaration(number, name, role, parse_moment(moment), reason)
    with refusals():
        record = withdraw_document(archive, declared, revision, Signing(key, ask_passphrase))
        click.echo(f"{number} {record.revision} withdrawn; its files stay in the archive")


@click.command()
@click.argument("number")
@ARCHIVE
@NAME
@ROLE
@click.option("--result", required=True, help="What the review came to, in words.")
@click.option(
    "--due",
    type=click.DateTime(["%Y-%m-%d"]),
    help="Day of the next review; the plant's period when left out.",
)
@KEY
@AT
def review(  # noqa: PLR0913  # one parameter for each option
    *,
    number: str,
    archive: Path,
    name: str,
    role: str,
    result: str,
    due: datetime | None,
    key: Path | None,
    moment: str | None,
) -> None:
    """Record the periodic review of a document that stays in force."""
    from speccomp.release.ending import Declaration
    from speccomp.release.ending import review as review_document
    from speccomp.release.signing import Signing

    declared = Declaration(number, name, role, parse_moment(moment), result)
    with refusals():
        day = due.date() if due else None
        following = review_document(archive, declared, day, Signing(key, ask_passphrase))
        click.echo(f"{number} reviewed; the next review is due on {following}")
