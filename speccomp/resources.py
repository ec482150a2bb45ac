"""Find the schemas, templates and caution packs, in a checkout and in an installed wheel alike."""

from functools import cache
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


@cache
def resource_folder(name: str) -> Path:
    """
    Return the folder `schemas`, `templates` or `packs`.

    In a wheel it lies inside the package, in a checkout beside it; the packs are always inside.
    Errors: FileNotFoundError where the installation is incomplete.
    """
    for folder in (_PACKAGE / name, _PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"the installation lacks the folder {name!r}; install speccomp again")
