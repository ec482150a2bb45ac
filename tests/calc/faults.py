"""What a call complains about, as one line of text."""

from collections.abc import Callable

import pytest

from speccomp.calc.errors import CalcError


def fault(call: Callable[[], object]) -> str:
    """Return the class and the message of the error that a call raises."""
    with pytest.raises(CalcError) as caught:
        call()
    return f"{type(caught.value).__name__}: {caught.value}"
