"""
The units of the trade with their exact factors: the one table that all conversion rests on.

Factors are those of NIST SP 811 (2008), Appendix B, in their exact form: the international foot
and pound of 1959, the US gallon of 231 cubic inches, the imperial gallon of 4.54609 L, standard
gravity 9.80665 m/s2, conventional mercury at 13 595.1 kg/m3, the torr as 1/760 atmosphere, the
thermochemical calorie of 4.184 J. A month and a year are the mean ones of the Julian calendar;
where a date is meant, the calendar decides and not this table.
"""

BASE_UNITS: dict[str, str] = {
    "kg": "kilogram = [mass]",
    "m": "meter = [length]",
    "s": "second = [time]",
    "K": "kelvin = [temperature]; offset: 0",
    "A": "ampere = [current]",
    "mol": "mole = [substance]",
    # A turn and a degree are kept apart from pure numbers, so that 60 rpm never becomes 6.28 /s.
    "rev": "revolution = [rotation]",
    "deg": "degree = [angle]",
    # Parts by weight and by volume are bare numbers that do not convert into each other.
    "pbw": "parts_by_weight = []",
    "pbv": "parts_by_volume = []",
}
"""Symbol of each base unit, and how the registry defines it."""

UNIT_ROWS: tuple[tuple[str, str, str, str, str], ...] = (
    # symbol, registry name, factor, base units, other spellings
    ("kg", "kilogram", "1", "kg", "kilogram, kilograms, kilo, kilos, kgs"),
    ("g", "gram", "0.001", "kg", "gram, grams, gramme, grammes"),
    ("mg", "milligram", "0.000001", "kg", "milligram, milligrams"),
    ("t", "tonne", "1000", "kg", "tonne, tonnes, metric ton, metric tons"),
    ("lb", "pound", "0.45359237", "kg", "lbs, pound, pounds"),
    ("oz", "ounce", "0.028349523125", "kg", "ounce, ounces"),
    ("grain", "grain", "0.00006479891", "kg", "grains"),
    ("short ton", "short_ton", "907.18474", "kg", "short tons, US ton, US tons"),
    ("m", "meter", "1", "m", "metre, metres, meter, meters"),
    ("cm", "centimeter", "0.01", "m", "centimetre, centimetres, centimeter, centimeters"),
    ("mm", "millimeter", "0.001", "m", "millimetre, millimetres, millimeter, millimeters"),
    ("µm", "micrometer", "0.000001", "m", "um, micron, microns, micrometre, micrometer"),
    ("nm", "nanometer", "0.000000001", "m", "nanometre, nanometer"),
    ("in", "inch", "0.0254", "m", "inch, inches, \", ″, ''"),
    ("ft", "foot", "0.3048", "m", "foot, feet, ', ′"),
    ("mil", "thou", "0.0000254", "m", "mils, thou, thous"),
    ("m2", "square_meter", "1", "m2", "sq m"),
    ("cm2", "square_centimeter", "0.0001", "m2", "sq cm"),
    ("mm2", "square_millimeter", "0.000001", "m2", "sq mm"),
    ("in2", "square_inch", "0.00064516", "m2", "sq in"),
    ("ft2", "square_foot", "0.09290304", "m2", "sq ft"),
    ("m3", "cubic_meter", "1", "m3", "cu m"),
    ("cm3", "cubic_centimeter", "0.000001", "m3", "cc, ccm, cu cm"),
    ("mm3", "cubic_millimeter", "0.000000001", "m3", "cu mm"),
    ("L", "liter", "0.001", "m3", "l, litre, litres, liter, liters"),
    ("mL", "milliliter", "0.000001", "m3", "ml, millilitre, millilitres, milliliter, milliliters"),
    ("µL", "microliter", "0.000000001", "m3", "uL, ul, µl"),
    ("in3", "cubic_inch", "0.000016387064", "m3", "cu in"),
    ("ft3", "cubic_foot", "0.028316846592", "m3", "cu ft"),
    ("gal", "gallon", "0.003785411784", "m3", "gallon, gallons, US gal, gals"),
    ("qt", "quart", "0.000946352946", "m3", "quart, quarts, US qt, qts"),
    ("pt", "liquid_pint", "0.000473176473", "m3", "pint, pints, US pt"),
    ("cup", "cup", "0.0002365882365", "m3", "cups, US cup"),
    (
        "fl oz",
        "fluid_ounce",
        "0.0000295735295625",
        "m3",
        "floz, US fl oz, fluid ounce, fluid ounces",
    ),
    ("imp gal", "imperial_gallon", "0.00454609", "m3", "imperial gallon, imperial gallons"),
    ("s", "second", "1", "s", "sec, secs, second, seconds"),
    ("min", "minute", "60", "s", "mins, minute, minutes"),
    ("h", "hour", "3600", "s", "hr, hrs, hour, hours"),
    ("d", "day", "86400", "s", "day, days"),
    ("weeks", "week", "604800", "s", "week, wk, wks"),
    ("months", "month", "2629800", "s", "month"),
    ("years", "year", "31557600", "s", "year, yr, yrs"),
    ("K", "kelvin", "1", "K", "kelvin, kelvins"),
    ("degC", "degree_Celsius", "1", "K", "deg C, celsius, Celsius, degrees C, degrees Celsius"),
    ("degF", "degree_Fahrenheit", "5/9", "K", "deg F, fahrenheit, Fahrenheit, degrees F"),
    ("N", "newton", "1", "kg m s-2", "newton, newtons"),
    ("kN", "kilonewton", "1000", "kg m s-2", "kilonewton, kilonewtons"),
    ("lbf", "pound_force", "4.4482216152605", "kg m s-2", "pounds force, pound-force"),
    ("ozf", "ounce_force", "0.27801385095378125", "kg m s-2", "ounce-force"),
    ("Pa", "pascal", "1", "kg m-1 s-2", "pascal, pascals"),
    ("hPa", "hectopascal", "100", "kg m-1 s-2", ""),
    ("kPa", "kilopascal", "1000", "kg m-1 s-2", ""),
    ("MPa", "megapascal", "1000000", "kg m-1 s-2", ""),
    ("GPa", "gigapascal", "1000000000", "kg m-1 s-2", ""),
    ("mPa", "millipascal", "0.001", "kg m-1 s-2", ""),
    ("bar", "bar", "100000", "kg m-1 s-2", ""),
    ("mbar", "millibar", "100", "kg m-1 s-2", ""),
    ("atm", "standard_atmosphere", "101325", "kg m-1 s-2", ""),
    ("Torr", "torr", "101325/760", "kg m-1 s-2", "torr"),
    ("mmHg", "millimeter_Hg", "133.322387415", "kg m-1 s-2", "mm Hg"),
    ("inHg", "inch_Hg", "3386.388640341", "kg m-1 s-2", "in Hg, in. Hg"),
    ("psi", "pound_force_per_square_inch", "4.4482216152605/0.00064516", "kg m-1 s-2", "PSI"),
    ("ksi", "kip_per_square_inch", "4448.2216152605/0.00064516", "kg m-1 s-2", "KSI"),
    ("P", "poise", "0.1", "kg m-1 s-1", "poise"),
    ("cP", "centipoise", "0.001", "kg m-1 s-1", "cps, cp, centipoise"),
    ("rpm", "revolution_per_minute", "1/60", "rev s-1", "RPM"),
    ("rev", "revolution", "1", "rev", "revolution, revolutions"),
    ("deg", "degree", "1", "deg", "°, degree, degrees"),
    ("mV", "millivolt", "0.001", "kg m2 s-3 A-1", ""),
    ("V", "volt", "1", "kg m2 s-3 A-1", "volt, volts"),
    ("kV", "kilovolt", "1000", "kg m2 s-3 A-1", "kilovolt, kilovolts"),
    ("µA", "microampere", "0.000001", "A", "uA"),
    ("mA", "milliampere", "0.001", "A", ""),
    ("A", "ampere", "1", "A", "amp, amps, ampere, amperes"),
    ("mohm", "milliohm", "0.001", "kg m2 s-3 A-2", "milliohm, milliohms"),
    ("ohm", "ohm", "1", "kg m2 s-3 A-2", "ohms"),
    ("kohm", "kiloohm", "1000", "kg m2 s-3 A-2", "kohms, kilohm, kilohms"),
    ("Mohm", "megaohm", "1000000", "kg m2 s-3 A-2", "Mohms, megohm, megohms"),
    ("Gohm", "gigaohm", "1000000000", "kg m2 s-3 A-2", "Gohms, gigohm"),
    ("mW", "milliwatt", "0.001", "kg m2 s-3", ""),
    ("W", "watt", "1", "kg m2 s-3", "watt, watts"),
    ("kW", "kilowatt", "1000", "kg m2 s-3", ""),
    ("J", "joule", "1", "kg m2 s-2", ""),
    ("kJ", "kilojoule", "1000", "kg m2 s-2", ""),
    ("kcal", "kilocalorie", "4184", "kg m2 s-2", ""),
    ("mol", "mole", "1", "mol", ""),
    ("pbw", "parts_by_weight", "1", "pbw", "parts by weight, parts by mass, p.b.w"),
    ("pbv", "parts_by_volume", "1", "pbv", "parts by volume, p.b.v"),
    ("%", "percent", "0.01", "", "percent, per cent, pct"),
    ("% RH", "percent_relative_humidity", "0.01", "", "%RH, % rh, %rh, % r.h, RH %"),
)
"""Every unit without a quotient or product in its symbol; factors into SI base units, exact."""

OFFSETS: dict[str, str] = {"degC": "273.15", "degF": "45967/180"}
"""Zero of a temperature scale in kelvin, exact: 459.67 x 5/9 for Fahrenheit."""

WHOLE_SPELLINGS: dict[str, str] = {
    "lb/in2": "psi",
    "lbf/in2": "psi",
    "r/min": "rpm",
    "rev/min": "rpm",
    "Nm": "N·m",
    "Ncm": "N·cm",
    "ft·lbf": "lbf·ft",
    "ft·lb": "lbf·ft",
    "lb·ft": "lbf·ft",
    "in·lbf": "lbf·in",
    "in·lb": "lbf·in",
    "lb·in": "lbf·in",
    "in·ozf": "ozf·in",
    "in·oz": "ozf·in",
    "oz·in": "ozf·in",
    "gpm": "gal/min",
    "cfm": "ft3/min",
    "fpm": "ft/min",
    "ipm": "in/min",
    "mPas": "mPa·s",
    "Pas": "Pa·s",
}
"""Spellings that stand for a unit as a whole rather than part by part."""

PRINTED: dict[str, str] = {
    "degC": "°C",
    "degF": "°F",
    "deg": "°",
    "m2": "m²",
    "cm2": "cm²",
    "mm2": "mm²",
    "in2": "in²",
    "ft2": "ft²",
    "m3": "m³",
    "cm3": "cm³",
    "mm3": "mm³",
    "in3": "in³",
    "ft3": "ft³",
    "mohm": "mΩ",
    "ohm": "Ω",
    "kohm": "kΩ",
    "Mohm": "MΩ",
    "Gohm": "GΩ",
}
"""Symbols in print where they differ from the ones in files."""

AMBIGUOUS: dict[str, str] = {
    "C": "degC",
    "F": "degF",
    "c": "degC",
    "f": "degF",
}
"""Spellings with more than one meaning (coulomb, farad), and the one probably meant."""
