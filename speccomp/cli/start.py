"""Start the program; what stops it from outside ends in one line and an exit status of its own."""

import contextlib
import os
import sys
from collections.abc import Iterator

INTERRUPTED = 130
"""Exit status after Ctrl-C: 128 and the number of the signal, as shells have it."""

UNWRITABLE = 4
"""Exit status where a disk, or whoever reads the output, refused."""


def start() -> None:
    """Run the command line. An interrupt is caught from here on, while modules are loaded too."""
    with ends_calmly():
        from speccomp.cli.main import main

        main(prog_name="speccomp")


@contextlib.contextmanager
def ends_calmly() -> Iterator[None]:
    """Turn an interrupt, or an output that takes no more, into one line and an exit status."""
    try:
        try:
            yield
        finally:
            if sys.stdout is not None:
                sys.stdout.flush()
    except KeyboardInterrupt:
        _end("interrupted before it was done", INTERRUPTED)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        what = f"{error.filename} failed" if error.filename else "the output cannot be written"
        _end(f"{what}: {reason}", UNWRITABLE)


def _end(sentence: str, status: int) -> None:
    with contextlib.suppress(OSError, ValueError, AttributeError):
        # What is still in the buffer would be tried again, and fail again, at the very end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    with contextlib.suppress(OSError, ValueError):
        print(f"error: {sentence}", file=sys.stderr, flush=True)
    sys.exit(status)
