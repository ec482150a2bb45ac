"""What is said about texts that are not read: the sentence, the place, and the cure."""

import pytest

from speccomp.quantities import KINDS, Kind, QuantityError, parse_toleranced

# text, kind, text at the place of the fault, part of the message, part of the hint
FAULTS = [
    ("26 mm", Kind.MASS, "mm", "`26 mm` is a length; a mass is wanted", "`26 ± 1 g`"),
    ("2 degC/min", Kind.TEMPERATURE, "degC/min", "is a ramp rate; a temperature", "82 ± 5"),
    ("5 lb", Kind.FORCE, "lb", "is a mass; a force is wanted", "`lbf`"),
    ("26", Kind.MASS, "26", "`26` has no unit", "`26 ± 1 g`"),
    ("26 ± 1", Kind.MASS, "26 ± 1", "has no unit", "`26 ± 1 g`"),
    ("26 g ± 1", Kind.MASS, "1", "tolerance has no unit", "`26 ± 1 g`"),
    ("26 g ± 1 mm", Kind.MASS, "mm", "tolerance in `mm` is a length", "`26 ± 1 g`"),
    ("26 pbw ± 1 pbv", Kind.RATIO, "pbv", "does not fit", "`26 ± 1`"),
    ("5 discs ± 1 coats", Kind.COUNT, "coats", "does not fit", "pieces"),
    ("26 ± 4 %", Kind.RATIO, "%", "per cent of the parts or parts in a hundred", "26 pbw ± 4 %"),
    ("180 degF ± 5 %", Kind.TEMPERATURE, "%", "per cent of a temperature", "`K` or `degF`"),
    ("82 C", Kind.TEMPERATURE, "C", "more than one meaning", "write `degC`"),
    ("180 F", None, "F", "more than one meaning", "write `degF`"),
    ("5 C/min", Kind.RAMP_RATE, "C/min", "more than one meaning", "write `degC/min`"),
    ("26 grms", Kind.MASS, "grms", "not a known unit", "did you mean `g`?"),
    ("5 Psi", Kind.STRESS, "Psi", "not a known unit", "did you mean `psi`?"),
    ("5 mpa", Kind.STRESS, "mpa", "not a known unit", "did you mean `MPa`?"),
    ("5 degC/mn", None, "degC/mn", "not a known unit", "did you mean `degC/min`?"),
    ("5 xyzzy", Kind.TIME, "xyzzy", "not a known unit", "`18 to 24 h`"),
    ("5 oz/in", None, "oz/in", "not a known unit", ""),
    ("82 ± 5 degC", None, "degC", "a temperature or a temperature difference", "say which kind"),
    ("4000 psi", None, "psi", "a pressure or a stress", "say which kind"),
    ("26 ± 1", None, "", "has no unit, can be a ratio, a fraction or a count", "say which kind"),
    ("24 to 18 h", Kind.TIME, "24 to 18", "upside down", "write `18 to 24 h`"),
    ("18 to 18 h", Kind.TIME, "18 to 18", "leaves nothing between", "`18 to 24 h`"),
    ("26 ± 0 g", Kind.MASS, "0", "leaves nothing between", "`26 ± 1 g`"),
    ("26 +0/-0 g", Kind.MASS, "0/-0", "leaves nothing between", "`26 ± 1 g`"),
    ("26 -0/+0 g", Kind.MASS, "0/+0", "leaves nothing between", "`26 ± 1 g`"),
    ("0 g ± 4 %", Kind.MASS, "4", "leaves nothing between", "`26 ± 1 g`"),
    ("26 ± -1 g", Kind.MASS, "-1", "tolerance -1 is below zero", "write `± 1`"),
    ("3 ± 5 min", Kind.TIME, "3 ± 5 min", "goes down to -2 min", "18 to 24 h"),
    ("at most -3 g", Kind.MASS, "at most -3 g", "a mass is never below 0", "26 ± 1 g"),
    ("-300 degC", Kind.TEMPERATURE, "-300 degC", "below absolute zero", "82 ± 5 degC"),
    ("0 ± 1 K", Kind.TEMPERATURE, "0 ± 1 K", "goes down to -1 K", "82 ± 5 degC"),
    ("98 ± 5 % RH", Kind.HUMIDITY, "98 ± 5 % RH", "goes up to 103 % RH", "50 ± 10 % RH"),
    ("2.5 coats", Kind.COUNT, "2.5", "2.5 is not a whole number", "at least 5 pieces"),
    ("20 ± 0.5 pcs", Kind.COUNT, "0.5", "0.5 is not a whole number", "at least 5 pieces"),
    ("3 mm", Kind.COUNT, "mm", "is a length; a count is wanted", "at least 5 pieces"),
    ("1,5 mm", Kind.LENGTH, "1,5", "decimal comma", "write `1.5`"),
    ("1.234,5 mm", Kind.LENGTH, "1.234,5", "has a comma", "a point for the decimals"),
    ("4,000 psi", Kind.STRESS, "4,000", "may group thousands", "`4000` or `4.000`"),
    ("4 000 psi", Kind.STRESS, "4 000", "a space inside the number", "write `4000`"),
    ("4:1", Kind.RATIO, "4:1", "two numbers", "one number"),
    ("1/2 in", Kind.LENGTH, "1/2", "is a fraction", "write `0.5`"),
    ("3 1/2 in", Kind.LENGTH, "3 1/2", "is a fraction", "write `3.5`"),
    ("1/3 in", Kind.LENGTH, "1/3", "is a fraction", "write a decimal number"),
    ("1/0 in", Kind.LENGTH, "1/0", "divides by zero", "write a decimal number"),
    (".500 in", Kind.LENGTH, ".500", "no digit before the point", "write `0.500`"),
    ("5. in", Kind.LENGTH, "5.", "no digit after the point", "write `5`"),
    ("min 3 min", Kind.TIME, "min", "not how a lower limit", "write `at least 3 min`"),
    ("> 3 min", Kind.TIME, ">", "not how a lower limit", "write `at least 3 min`"),
    ("not less than 3 min", Kind.TIME, "not less than", "lower limit", "`at least 3 min`"),
    ("3 min or more", Kind.TIME, "3 min or more", "lower limit", "`at least 3 min`"),
    ("max. 5 mm", Kind.LENGTH, "max.", "not how an upper limit", "write `at most 5 mm`"),
    ("5 mm max", Kind.LENGTH, "5 mm max", "not how an upper limit", "write `at most 5 mm`"),
    ("up to 5 mm", Kind.LENGTH, "up to", "not how an upper limit", "write `at most 5 mm`"),
    ("< 5 mm", Kind.LENGTH, "<", "not how an upper limit", "write `at most 5 mm`"),
    ("about 5 mm", Kind.LENGTH, "about", "allows anything", "write a length"),
    ("~5 mm", None, "~", "allows anything", "write it as `26 ± 1 g`"),
    ("between 18 and 24 h", Kind.TIME, "between 18 and 24 h", "range", "write `18 to 24 h`"),
    ("from 18 h to 24 h", Kind.TIME, "from 18 h to 24 h", "range", "write `18 to 24 h`"),
    ("18-24 h", Kind.TIME, "18-24 h", "may be a range", "write `18 to 24 h`, or `18 +0/-24 h`"),
    ("3 min - 5 min", Kind.TIME, "3 min - 5 min", "may be a range", "write `3 to 5 min`"),
    ("± 5 K", Kind.TEMPERATURE_DIFFERENCE, "± 5 K", "has no target", "`at most 5 K`"),
    ("1 h 30 min", Kind.TIME, "1 h 30 min", "two numbers", "write `90 min`"),
    ("82 +5 degC", Kind.TEMPERATURE, "82 +5 degC", "on one side only", "write `+5/-0`"),
    ("30 min to 1 h", Kind.TIME, "30 min to 1 h", "one unit for both ends", "one unit"),
    ("", Kind.TIME, "", "there is no value", "18 to 24 h"),
    ("thoroughly", Kind.TIME, "thoroughly", "has no number", "write a time"),
    ("ambient", Kind.TEMPERATURE, "ambient", "gives no limits", "`18 to 26 degC`"),
    ("Room temperature", None, "Room temperature", "gives no limits", "those of the shop"),
    ("3 to 5 parsecs", Kind.TIME, "parsecs", "`parsecs` is not a known unit", "18 to 24 h"),
    ("3 – 5 furlongs", None, "furlongs", "not a known unit", "write a unit such as"),
    ("0.6 ± 0.8 mm", Kind.LENGTH, "0.6 ± 0.8 mm", "goes down to -0.2 mm", "`at most 1.4 mm`"),
    ("1 in ± 30 mm", Kind.LENGTH, "1 in ± 30 mm", "below zero", "if it may be negative"),
    ("26 ± g", Kind.MASS, "g", "cannot read `g`", "`26 ± 1 g`"),
    ("26 ± ", Kind.MASS, "", "ends too early", "`26 ± 1 g`"),
    ("82 +5/+3 degC", Kind.TEMPERATURE, "+5/+3", "cannot read", "82 ± 5 degC"),
    ("- 5 degC", Kind.TEMPERATURE, "- 5", "cannot read", "82 ± 5 degC"),
    ("26 ± 1 g; stirred", Kind.MASS, "; stirred", "cannot read", "26 ± 1 g"),
    ("26 (1) g", None, "(1) g", "cannot read", "`18 to 24 h`"),
    ("1e40 g", Kind.MASS, "1e40", "beyond 1e30", ""),
    ("123456789012345678901 g", Kind.MASS, "123456789012345678901", "more than 20 digits", ""),
]


@pytest.mark.parametrize(("text", "kind", "place", "message", "hint"), FAULTS)
def test_fault(text, kind, place, message, hint):
    with pytest.raises(QuantityError) as caught:
        parse_toleranced(text, kind)
    fault = caught.value
    assert message in fault.message
    assert hint in fault.hint
    assert text[fault.start : fault.end] == place
    assert str(fault) == fault.message


def test_text_is_bounded():
    with pytest.raises(QuantityError, match="longer than 200"):
        parse_toleranced("1" * 5000, Kind.MASS)


@pytest.mark.parametrize("kind", Kind)
def test_the_example_in_the_hint_is_accepted(kind):
    example = KINDS[kind].example
    assert parse_toleranced(example, kind).kind is kind


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        (text, kind)
        for text, kind, _, _, _ in FAULTS
        if text in ("24 to 18 h", "1 h 30 min", "min 3 min", "5 mm max", "between 18 and 24 h")
    ],
)
def test_the_cure_is_accepted(text, kind):
    with pytest.raises(QuantityError) as caught:
        parse_toleranced(text, kind)
    parse_toleranced(caught.value.hint.removeprefix("write `").removesuffix("`"), kind)


@pytest.mark.parametrize("text", ["-0.2 to 1.4 mm", "0 ± 0.5 mm", "-0.1 ± 0.3 mm", "0.8 ± 0.8 mm"])
def test_an_offset_may_be_negative(text):
    assert parse_toleranced(text, Kind.LENGTH).lower <= 0
