"""Start the program; what stops it from outside ends in one line and an exit status of its own."""

import atexit
import contextlib
import gc
import os
import sys
import traceback
from collections.abc import Iterator
from pathlib import Path

INTERRUPTED = 130
"""Exit status after Ctrl-C: 128 and the number of the signal, as shells have it."""

OWN_FAULT = 3
"""Exit status where speccomp itself failed."""

UNWRITABLE = 4
"""Exit status where a disk, or whoever reads the output, refused."""


def start() -> None:
    """Run the command line. An interrupt is caught from here on, while modules are loaded too."""
    # Nearly all that a command makes is needed until it ends, and then the system takes it back at
    # once: searching it for rubbish on the way and at the end takes a tenth of the time of a check.
    gc.set_threshold(1_000_000)
    atexit.register(gc.freeze)
    with ends_calmly():
        from speccomp.cli.main import main

        main(prog_name="speccomp")


@contextlib.contextmanager
def ends_calmly() -> Iterator[None]:
    """
    Turn what stops a command into one line and an exit status.

    That is an interrupt, an output that takes no more, or a fault of our own, with its place.
    """
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
    except _faults() as error:
        _end(f"a fault of speccomp, please report it: {_described(error)}", OWN_FAULT)


def _faults() -> tuple[type[Exception], ...]:
    """Return what stands for a fault of our own: what is raised for the library to show is none."""
    return (
        ArithmeticError,
        AssertionError,
        AttributeError,
        ImportError,
        LookupError,
        MemoryError,
        NameError,
        RecursionError,
        TypeError,
        ValueError,
        NotImplementedError,
    )


def _described(error: Exception) -> str:
    """Return an error with the place in the code where it was raised."""
    last = traceback.extract_tb(error.__traceback__)[-1]
    words = " ".join(str(error).split())
    return f"{type(error).__name__}: {words} ({Path(last.filename).name}, line {last.lineno})"


def _end(sentence: str, status: int) -> None:
    with contextlib.suppress(OSError, ValueError, AttributeError):
        # What is still in the buffer would be tried again, and fail again, at the very end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    with contextlib.suppress(OSError, ValueError):
        print(f"error: {sentence}", file=sys.stderr, flush=True)
    sys.exit(status)
