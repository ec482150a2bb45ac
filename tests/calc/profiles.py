"""Short spellings for cures in tests: degC, h and K/min."""

from speccomp.calc.cure import CureProfile, Hold, Ramp, cure_profile
from speccomp.calc.limits import Limits
from speccomp.quantities import quantity


def limits(text: str, unit: str) -> Limits:
    """Read `lower|target|upper` with blanks for what is absent."""
    return Limits(*(quantity(float(part), unit) if part else None for part in text.split("|")))


def hold(at: str, hours: str) -> Hold:
    """Make a hold."""
    return Hold(limits(at, "degC"), limits(hours, "h"))


def ramp(to: str, rate: str) -> Ramp:
    """Make a ramp."""
    return Ramp(limits(to, "degC"), limits(rate, "K/min"))


def profile(start: str, *segments: Hold | Ramp) -> CureProfile:
    """Make a cure."""
    return cure_profile(limits(start, "degC"), segments)
