"""The project folder, and what a path written in one of its files means."""

import difflib
import itertools
import os
import pathlib
import re
import unicodedata
from dataclasses import dataclass

from speccomp.findings import Finding, Outcome, Span
from speccomp.source.refusal import refuse

PROJECT_MARK = ".speccomp"
"""Name of the file that marks the top folder of a project."""

_ELSEWHERE = re.compile(r"(?P<scheme>[A-Za-z][A-Za-z0-9+.-]*:)|(?P<root>[/\\])|(?P<home>~)")
_KINDS = {"scheme": "a drive or web address", "root": "an absolute path", "home": "a home folder"}
_WRITE_RELATIVE = "write a path inside the project, starting from the folder of this file"
_MOST_NAMES = 1000
_LONGEST_NAME = 255
_SUFFIXES = (".yaml", ".yml")
_CLOSE = 0.7


@dataclass(frozen=True, slots=True)
class Project:
    """A folder, absolute and without symbolic links, that holds all files of a project."""

    root: pathlib.Path

    def path_of(self, file: pathlib.Path) -> str:
        """
        Return the path of a file in the project, with forward slashes.

        A file outside the project gets a path that starts with `..`; reading it is refused.
        """
        place = file.absolute()
        relative = os.path.relpath(_real(place.parent) / place.name, self.root)
        return pathlib.PurePath(relative).as_posix()


def find_project(start: pathlib.Path) -> Project:
    """
    Return the project of a file or folder.

    It is the nearest folder at or above that holds a file named `.speccomp`, else the nearest that
    holds `.git`, else the folder itself.
    """
    place = start.absolute()
    is_folder, is_file, exists = os.path.isdir, os.path.isfile, os.path.exists
    folder = _real(place) if is_folder(place) else _real(place.parent)
    for name, holds in ((PROJECT_MARK, is_file), (".git", exists)):
        for candidate in (folder, *folder.parents):
            if holds(candidate / name):
                return Project(candidate)
    return Project(folder)


def resolve_reference(
    project: Project, from_file: str, reference: str, asked_at: Span
) -> Outcome[str]:
    """
    Return the project path of what a reference means in the file it is written in.

    Nothing is read, and the file need not exist. Findings: `source.outside-project`,
    `source.backslash`, `source.not-found` for an empty reference.
    """
    if not reference.strip():
        hint = "write the path of a file, starting from the folder of this file"
        return Outcome(None, (refuse("not-found", asked_at, "no file is named here", hint),))
    folder = pathlib.PurePosixPath(from_file).parent.as_posix()
    joined = _join(folder, reference, asked_at)
    if joined.value is None:
        return joined
    located = locate(project, joined.value, asked_at)
    return joined if located.value is not None else Outcome(None, located.findings)


def locate(project: Project, path: str, asked_at: Span) -> Outcome[pathlib.Path]:
    """
    Return where a project path leads on disk, symbolic links followed.

    Findings: `source.outside-project`, `source.backslash`, `source.not-found`.
    """
    joined = _join("", path, asked_at)
    if joined.value is None:
        return Outcome(None, joined.findings)
    try:
        place = _real(project.root / joined.value)
    except ValueError:
        message = "no file can have the name given here"
        return Outcome(None, (refuse("not-found", asked_at, message, _WRITE_RELATIVE),))
    if not place.is_relative_to(project.root):
        message = f"`{_shown(path)}` leads by a symbolic link out of the project folder"
        hint = "copy the file into the project"
        return Outcome(None, (refuse("outside-project", asked_at, message, hint),))
    return Outcome(place)


def describe_missing(project: Project, path: str, asked_at: Span) -> Finding:
    """Return the finding about a file that does not exist, with what may have been meant."""
    folder = project.root
    parts = pathlib.PurePosixPath(path).parts
    for number, name in enumerate(parts, start=1):
        if not os.path.lexists(folder / name):
            known = "/".join(parts[:number])
            kind = "file" if number == len(parts) else "folder"
            message = f"there is no {kind} `{_shown(known)}` in the project"
            return refuse("not-found", asked_at, message, _suggestion(folder, name))
        folder /= name
    message = f"`{_shown(path)}` is a symbolic link to a file that does not exist"
    return refuse("not-found", asked_at, message, "correct the link, or copy the file")


def describe_folder(place: pathlib.Path, path: str, asked_at: Span) -> Finding:
    """Return the finding about a folder where a file is wanted, with what it holds."""
    files = [name for name in _names_in(place) if name.endswith(_SUFFIXES)]
    hint = f"name a file in it: {_listed(files)}" if files else "name a file"
    shown = place.name if path == "." else _shown(path)
    return refuse("not-readable", asked_at, f"`{shown}` is a folder, not a file", hint)


def _real(place: pathlib.Path) -> pathlib.Path:
    """Return a path without symbolic links; unlike `Path.resolve` it bears links in a circle."""
    return pathlib.Path(os.path.realpath(place))


def _shown(text: str) -> str:
    """Return a path short enough for a sentence."""
    return text if len(text) <= 100 else f"...{text[-97:]}"


def _join(folder: str, reference: str, asked_at: Span) -> Outcome[str]:
    """Return the project path of a reference seen from a project folder, by its letters alone."""
    shown = _shown(reference)
    if match := _ELSEWHERE.match(reference):
        message = f"`{shown}` is {_KINDS[match.lastgroup or '']}, not a path inside the project"
        return Outcome(None, (refuse("outside-project", asked_at, message, _WRITE_RELATIVE),))
    if "\\" in reference:
        message = f"`{shown}` holds a backslash"
        hint = f"write forward slashes: {_shown(reference.replace(chr(92), '/'))}"
        return Outcome(None, (refuse("backslash", asked_at, message, hint),))
    parts = [part for part in folder.split("/") if part not in ("", ".")]
    for part in reference.split("/"):
        if part == "..":
            if not parts:
                message = f"`{shown}` leads out of the project folder"
                hint = "copy the file into the project; its top folder holds a file `.speccomp`"
                return Outcome(None, (refuse("outside-project", asked_at, message, hint),))
            parts.pop()
        elif part not in ("", "."):
            parts.append(part)
    return Outcome("/".join(parts) or ".")


def _suggestion(folder: pathlib.Path, name: str) -> str:
    """Return a hint that names what a folder holds and may have been meant."""
    names = _names_in(folder)
    if not names or len(name) > _LONGEST_NAME:
        return "check the name and the folder"
    for other in names:
        if unicodedata.normalize("NFC", other) == name:
            return "a file is named so with decomposed letters; rename it with composed ones"
    stems = {_stem(other): other for other in reversed(names)}
    close = difflib.get_close_matches(_stem(name), stems, n=1, cutoff=_CLOSE)
    if close:
        return f"did you mean `{stems[close[0]]}`?"
    alike = [other for other in names if name.endswith(_SUFFIXES) and other.endswith(_SUFFIXES)]
    return f"the folder holds {_listed(alike or names)}"


def _stem(name: str) -> str:
    """Return a name without the ending that all files share, which makes any two names alike."""
    folded = name.strip().casefold()
    return folded.removesuffix(".yaml").removesuffix(".yml")


def _listed(names: list[str]) -> str:
    shown = ", ".join(f"`{name}`" for name in names[:5])
    return f"{shown}{' and more' if len(names) > 5 else ''}"


def _names_in(folder: pathlib.Path) -> list[str]:
    """Return the names in a folder that can be shown, sorted; none of a very full one."""
    try:
        with os.scandir(folder) as entries:
            names = [entry.name for entry in itertools.islice(entries, _MOST_NAMES + 1)]
    except (OSError, ValueError):
        return []
    shown = sorted(name for name in names if name.isprintable() and not name.startswith("."))
    return shown if len(names) <= _MOST_NAMES else []
