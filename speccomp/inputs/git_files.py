"""The files of a project as they were in a revision of a git repository."""

import io
import subprocess
import tarfile
from pathlib import Path

from speccomp.inputs.errors import InputError

_SECONDS = 60


def export_revision(path: Path, root: Path, revision: str, target: Path) -> Path:
    """
    Write the project folder of a file, as it was in a git revision, to an empty folder.

    `root` is the project folder that the file lies in, `revision` whatever git takes for a commit.
    Returns the path of the file in the folder. Errors: InputError.
    """
    inside = path.absolute().relative_to(root)
    top = Path(_git(root, "rev-parse", "--show-toplevel").decode().rstrip("\n"))
    prefix = root.resolve().relative_to(top.resolve())
    commit = _commit(root, revision)
    place = (prefix / inside).as_posix()
    if not _git(root, "ls-tree", "--name-only", "--full-tree", commit, "--", place):
        raise InputError(f"revision {revision} of the repository {top} has no file `{place}`")
    listed = ["--", prefix.as_posix()] if prefix.parts else []
    packed = _git(top, "archive", "--format=tar", commit, *listed)
    with tarfile.open(fileobj=io.BytesIO(packed)) as archive:
        archive.extractall(target, filter="data")
    return target / prefix / inside


def _commit(root: Path, revision: str) -> str:
    """Return the digest of the commit that a revision names."""
    if not revision or revision.startswith("-"):
        raise InputError(f"`{revision}` names no revision of a git repository")
    named = f"{revision}^{{commit}}"
    try:
        found = _git(root, "rev-parse", "--verify", "--quiet", "--end-of-options", named)
    except InputError as error:
        raise InputError(
            f"`{revision}` names no revision of the git repository that holds {root}"
        ) from error
    return found.decode().strip()


def _git(folder: Path, *arguments: str) -> bytes:
    command = ["git", "-C", str(folder), *arguments]
    try:
        done = subprocess.run(
            command, capture_output=True, check=False, timeout=_SECONDS, stdin=subprocess.DEVNULL
        )
    except FileNotFoundError as error:
        raise InputError("git is not installed, so no git revision can be read") from error
    except subprocess.TimeoutExpired as error:
        raise InputError(f"git did not answer within {_SECONDS} s") from error
    if done.returncode:
        said = done.stderr.decode(errors="replace").strip().removeprefix("fatal: ")
        raise InputError(f"git cannot read the repository of {folder}: {said or 'no reason given'}")
    return done.stdout
