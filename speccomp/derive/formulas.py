"""The formulas behind the derived numbers: text, what they give, and who says so."""

from dataclasses import replace

from speccomp.derive.numbers import Formula
from speccomp.quantities import Kind

_PRACTICE = "common practice, no source"
_ARITHMETIC = "arithmetic"
_GEOMETRY = "geometry"
_WRITTEN = "as written in the file"
_PARTS = "definition of parts by weight"
_IDEAL = "ideal mixing, volumes add"
_CRANK = "Crank, The Mathematics of Diffusion, 2nd ed. 1975"
_WINDOW = "worst case of independent scale errors, common practice, no source"
_DENSITIES = "worst case of independent densities, common practice, no source"
_GUM = "JCGM 100:2008 (GUM), 4.3.7 and 5.1.2, from memory"
_C1074 = "ASTM C1074, from memory"
_WORST = "worst case, common practice, no source"

# Water.
PRESSURE_AS_MEASURED = Formula("p, the lowest that is measured", Kind.PRESSURE, _WRITTEN)
PRESSURE_AT_ELEVATION = Formula(
    "p = 101 325 Pa (1 − 6.5 K/km H/288.15 K)^5.2559, H the geopotential height",
    Kind.PRESSURE,
    "U.S. Standard Atmosphere 1976",
)
BOILING_POINT = Formula(
    "T at which the saturation pressure of water is p, region 4",
    Kind.TEMPERATURE,
    "IAPWS R7-97(2012)",
)

# Mixture and batch.
DENSITY_ON_CARD = Formula("ρ, as on the card", Kind.DENSITY, _WRITTEN)
IDEAL_DENSITY = Formula("1/ρ = Σ wᵢ/ρᵢ, wᵢ = pᵢ/Σp", Kind.DENSITY, _IDEAL)
IDEAL_DENSITY_BY_VOLUME = Formula("ρ = Σ pᵢρᵢ/Σp", Kind.DENSITY, _IDEAL)
IDEAL_DENSITY_OF_BULK = Formula(
    "1/ρ = Σ wᵢ/ρᵢ, wᵢ = pᵢ ρ_bulk,i/Σ p ρ_bulk; of a liquid ρ_bulk is ρ", Kind.DENSITY, _IDEAL
)
EXTRA_VOLUME = Formula("V = V_discs + m_sample/ρ", Kind.VOLUME, _PRACTICE)
EXTRA_MASS = Formula("m = ρ V", Kind.MASS, "definition of density")
PASTE_MASS = Formula("m = ρ v (1 + f)", Kind.MASS, _PRACTICE)
PASTE_VOLUME = Formula("V = n v (1 + f) + V_extra", Kind.VOLUME, _PRACTICE)
PASTE_MASS_WITH_EXTRA = Formula("m = ρ (n v (1 + f) + V_extra)", Kind.MASS, _PRACTICE)
ORDER_MASS = Formula("m = n m_part + mixes m_mix", Kind.MASS, _ARITHMETIC)
COMPONENT_MASS = Formula("mᵢ = m pᵢ/Σp", Kind.MASS, _PARTS)
WHOLE_CONTAINERS = Formula("⌈needed/content⌉", Kind.COUNT, _PRACTICE)
PARTS_FROM_MASS = Formula("n = ⌊(m/ρ − V_extra)/(v_max (1 + f))⌋", Kind.COUNT, _PRACTICE)
MIX_FROM_REFERENCE = Formula("m = P Σp/p_ref", Kind.MASS, _PARTS)
MIX_FROM_REFERENCE_VOLUME = Formula("m = V ρ Σp/p_ref", Kind.MASS, _PARTS)
MIXER_RANGE = Formula("m, as in the plant file", Kind.MASS, _WRITTEN)
MIXER_RANGE_BY_VOLUME = Formula("m = ρ V", Kind.MASS, "definition of density")

# Weighing.
SMALLEST_REFERENCE = Formula(
    "P = max((u + r_lo u_P)/(r − r_lo), (u + r_hi u_P)/(r_hi − r)); "
    "of a range (2u + (r_lo + r_hi) u_P)/(r_hi − r_lo)",
    Kind.MASS,
    _WINDOW,
)
SMALLEST_READABLE = Formula(
    "P, but at least (2u + (r_lo + r_hi) u_P + d)/(r_hi − r_lo)", Kind.MASS, _WINDOW
)
READING_UP = Formula("P = d ⌈P/d⌉", Kind.MASS, _PRACTICE)
ROW_READING = Formula("multiples of d around P", Kind.MASS, _PRACTICE)
EXACT_WINDOW = Formula("L from r_lo (P + u_P) + u to r_hi (P − u_P) − u", Kind.MASS, _WINDOW)
WINDOW = Formula(
    "L from r_lo (P + u_P) + u to r_hi (P − u_P) − u, rounded inward to d", Kind.MASS, _WINDOW
)
WINDOW_TARGET = Formula("L = r P, rounded to d inside the window", Kind.MASS, _WINDOW)
LARGEST_ERROR_ONE_SCALE = Formula(
    "u = min(P (r − r_lo)/(1 + r_lo), P (r_hi − r)/(1 + r_hi))", Kind.MASS, _WINDOW
)
LARGEST_ERROR = Formula(
    "u = min(P (r − r_lo) − r_lo u_P, P (r_hi − r) − r_hi u_P)", Kind.MASS, _WINDOW
)
MEASURED_RATIO = Formula(
    "from r_lo k_hi to r_hi k_lo, k = a/a_ref, a the amount per part: 1, ρ or 1/ρ",
    None,
    _DENSITIES,
)
WORST_RATIO = Formula("(L − u)/(P + u_P) to (L + u)/(P − u_P)", None, _WINDOW)
WORST_RATIO_IN_PARTS = Formula(
    "(L − u)/((P + u_P) k_hi) to (L + u)/((P − u_P) k_lo), k from parts to amounts",
    None,
    _WINDOW,
)
STATED_RATIO = Formula("(L_lo − u)/(P_hi + u_P) to (L_hi + u)/(P_lo − u_P)", None, _WINDOW)
STATED_RATIO_IN_PARTS = Formula(
    "(L_lo − u)/((P_hi + u_P) k_hi) to (L_hi + u)/((P_lo − u_P) k_lo), k from parts to amounts",
    None,
    _WINDOW,
)
NOMINAL_RATIO = Formula("L/P", None, _PARTS)
NOMINAL_RATIO_IN_PARTS = Formula("L/(P k), k from parts to amounts", None, _PARTS)
RATIO_UNCERTAINTY = Formula("U = 2 r √(((u/L)² + (u_P/P)²)/3), r = L/P", None, _GUM)
RATIO_UNCERTAINTY_IN_PARTS = Formula(
    "U = 2 r √(((u/L)² + (u_P/P)² + (a_k/k)²)/3), r = L/(P k), a_k half the width of k",
    None,
    _GUM,
)
AMOUNT_FROM_MASS = Formula("V = m/ρ", Kind.VOLUME, "definition of density")

# Pot life and clock.
POT_LIFE_Q10 = Formula("t = t_ref Q10^(−(T − T_ref)/10 K)", Kind.TIME, _PRACTICE)
POT_LIFE_ARRHENIUS = Formula("t = t_ref exp((E/R)(1/T − 1/T_ref))", Kind.TIME, "Arrhenius equation")
USABLE_LIFE = Formula("t (1 − margin)", Kind.TIME, _PRACTICE)
SUM_OF_TIMES = Formula("Σ of the longest times", Kind.TIME, _ARITHMETIC)
TIME_AS_WRITTEN = Formula("t, as written", Kind.TIME, _WRITTEN)
GREATEST_AGE = Formula("mixing + waiting + limit", Kind.TIME, _ARITHMETIC)
AGE_AGAIN = Formula(
    "Σ of the longest times since mixing began, or the age that a step allows",
    Kind.TIME,
    _ARITHMETIC,
)
TIME_OF_MIX = Formula("t = t_mix + t_transfer + ⌈n/stations⌉ t_cycle", Kind.TIME, _PRACTICE)
PARTS_IN_TIME = Formula(
    "n = stations ⌊(t_pot (1 − margin) − t_mix − t_transfer)/t_cycle⌋", Kind.COUNT, _PRACTICE
)
MIXES = Formula(
    "⌈N/n⌉ mixes, equal but for one part, larger ones first; n the fewest that order, stated "
    "parts per mix, pot life and mixer allow, at least 1",
    Kind.COUNT,
    _PRACTICE,
)
SIZE_LISTED = Formula("n, as written", Kind.COUNT, _WRITTEN)
SIZE_CHOSEN = Formula(
    "the most parts of a mix, and half of that where mixer and scales allow it",
    Kind.COUNT,
    _PRACTICE,
)
LONGEST_LIMIT = Formula("t (1 − margin) − (age − limit)", Kind.TIME, _ARITHMETIC)
OVERRUN = Formula("time of the mix − t (1 − margin), zero when kept", Kind.TIME, _ARITHMETIC)
CLOCK = Formula(
    "each mix starts when the one before is filled; use by = start + t_pot (1 − margin); "
    "discard at = start + t_pot",
    Kind.TIME,
    _PRACTICE,
)

# Cure.
OVEN_ERROR = Formula(
    "control tolerance + non-uniformity + sensor error", Kind.TEMPERATURE_DIFFERENCE, _WORST
)
HIGHEST_PART_TEMPERATURE = Formula("highest setpoint + oven error", Kind.TEMPERATURE, _WORST)
DURATION = Formula("Σ hold times and |T_end − T_start|/rate", Kind.TIME, _ARITHMETIC)
FASTEST_RATE = Formula("upper limit of the rate", Kind.RAMP_RATE, _WRITTEN)
ALLOWED_TEMPERATURE = Formula("boiling point − margin", Kind.TEMPERATURE, _PRACTICE)
STEAM_SPARE = Formula(
    "allowed − highest possible part temperature", Kind.TEMPERATURE_DIFFERENCE, _WORST
)
HIGHEST_SETPOINT = Formula("allowed − oven error − tolerance", Kind.TEMPERATURE, _WORST)
DIFFUSION_PATH = Formula("L = section/open faces", Kind.LENGTH, _CRANK)
THICKNESS_FACTOR = Formula("(L/L_card)²", None, _CRANK)
SCALED_DRYING_TIME = Formula("t = t_card (L/L_card)²", Kind.TIME, _CRANK)
CREDITED_TIME = Formula(
    "Σ shortest times of the holds that are not colder than the card's", Kind.TIME, _PRACTICE
)
PRESSURE_DEVIATION = Formula("p/p_standard − 1", Kind.FRACTION, _ARITHMETIC)
MISSING_TIME = Formula("required − credited, zero when met", Kind.TIME, _ARITHMETIC)
SUM_OF_HOLDS = Formula("Σ shortest times of the holds", Kind.TIME, _ARITHMETIC)
WATER_LEFT = Formula(
    "Σ 8/((2n+1)²π²) exp(−(2n+1)²π² D t/(4L²))", Kind.FRACTION, f"{_CRANK}, eqs 4.17-4.20"
)
AGE_NURSE_SAUL = Formula("t_e = ∫ max(0, T − T₀) dt/(T_ref − T₀)", Kind.TIME, _C1074)
AGE_ARRHENIUS = Formula("t_e = ∫ exp(−(E/R)(1/T − 1/T_ref)) dt", Kind.TIME, _C1074)

# Gauges and samples.
STEPS = Formula("(upper − lower)/d", None, _PRACTICE)
UNCERTAINTY_RATIO = Formula(
    "(upper − lower)/(2U); one-sided distance/U", None, "ANSI/NCSL Z540.3, from memory"
)
_DECISION = "accept from lower + U to upper − U, reject below lower − U or above upper + U"
_DECISION_LIMITS = {
    kind: Formula(_DECISION, kind, "JCGM 106:2012, guard band of one U, from memory")
    for kind in Kind
}
SUCCESS_RUN = "success-run theorem, binomial with none found"
DETECTED_FRACTION = Formula("p = 1 − (1 − C)^(1/n)", Kind.FRACTION, SUCCESS_RUN)
ZERO_ACCEPTANCE = Formula("n = ⌈ln(1 − C)/ln(1 − p)⌉", Kind.COUNT, SUCCESS_RUN)
DETECTION = Formula("C = 1 − (1 − p)^n", Kind.FRACTION, SUCCESS_RUN)
_HYPERGEOMETRIC = "hypergeometric distribution, none found"
LOT_ZERO_ACCEPTANCE = Formula(
    "least n with C(N − D, n)/C(N, n) ≤ 1 − C", Kind.COUNT, _HYPERGEOMETRIC
)
LOT_DETECTION = Formula("1 − C(N − D, n)/C(N, n)", Kind.FRACTION, _HYPERGEOMETRIC)
SAMPLING_PLAN = Formula(
    "code letter of the lot, then the plan at the AQL",
    Kind.COUNT,
    "MIL-STD-105E, Tables I, II-A and II-B",
)
OPERATING_CHARACTERISTIC = Formula(
    "Σ C(n, d) p^d (1 − p)^(n − d), d = 0..Ac, solved for p",
    Kind.FRACTION,
    "binomial distribution, operating characteristic of type B",
)

# Discs and specimens.
GREATEST_COUNT = Formula("the greatest number asked for", Kind.COUNT, _WRITTEN)
CIRCLE_AREA = Formula("A = π D²/4", Kind.AREA, _GEOMETRY)
DISC_VOLUME = Formula("V = π D² t/4", Kind.VOLUME, _GEOMETRY)
ALL_DISCS = Formula("n V", Kind.VOLUME, _ARITHMETIC)
SHRINKAGE_AS_WRITTEN = Formula("s, the upper limit", Kind.FRACTION, _WRITTEN)
SHRINKAGE_FROM_GAP = Formula(
    "s = (D − (D − 2 gap))/D", Kind.FRACTION, "ASTM C531; geometry of the gap"
)
SMALLEST_DISC = Formula("D (1 − s)", Kind.LENGTH, "ASTM C531")
DISC_UNCERTAINTY = Formula(
    "U = √(U_disc² + ((1 − s) U_mould)²)",
    Kind.LENGTH,
    "JCGM 100:2008 (GUM), 5.1.2, from memory",
)
DISC_MASS = Formula("m = ρ V", Kind.MASS, "definition of density")
MASS_LOSS_UNCERTAINTY = Formula(
    "U = √(u² + ((1 − loss) u)²)/m",
    Kind.FRACTION,
    "JCGM 100:2008 (GUM), 5.1.2, from memory",
)
SAMPLE_MASS = Formula("m, as written", Kind.MASS, _WRITTEN)
SAMPLE_VOLUME = Formula("V, as written", Kind.VOLUME, _WRITTEN)
AREA = Formula("b d, or π D²/4", Kind.AREA, _GEOMETRY)
SHAPE = Formula("L/d, or length over width", None, _GEOMETRY)
COMPRESSION = Formula("F/A", Kind.STRESS, "ASTM C109, C579")
BRIQUET = Formula("F/A at the waist", Kind.STRESS, "ASTM C307")
FLEXURE_3_POINT = Formula("3 F L/(2 b d²)", Kind.STRESS, "ASTM C580 method A, ASTM C293")
FLEXURE_THIRD_POINT = Formula("F L/(b d²)", Kind.STRESS, "ASTM C78")
FLEXURE_QUARTER_POINT = Formula("3 F L/(4 b d²)", Kind.STRESS, "ASTM C1161")
SPLITTING = Formula("2 F/(π L D)", Kind.STRESS, "ASTM C496, ASTM D3967 with flat platens")
_FORCES = {
    formula.text: Formula(f"F from the strength {formula.text}", Kind.FORCE, formula.source)
    for formula in (
        COMPRESSION,
        BRIQUET,
        FLEXURE_3_POINT,
        FLEXURE_THIRD_POINT,
        FLEXURE_QUARTER_POINT,
        SPLITTING,
    )
}


_MEASURED = {
    formula: replace(formula, kind=Kind.VOLUME)
    for formula in (
        SMALLEST_REFERENCE,
        SMALLEST_READABLE,
        READING_UP,
        ROW_READING,
        EXACT_WINDOW,
        WINDOW,
        WINDOW_TARGET,
        LARGEST_ERROR_ONE_SCALE,
        LARGEST_ERROR,
    )
}


def measured(formula: Formula, kind: Kind) -> Formula:
    """Return the formula of a reading for what is measured out: a mass or a volume."""
    return _MEASURED[formula] if kind is Kind.VOLUME else formula


def decision_limit(kind: Kind) -> Formula:
    """Return the formula of guard-banded limits for a kind."""
    return _DECISION_LIMITS[kind]


def force_at_limit(strength: Formula) -> Formula:
    """Return the formula of a strength, solved for the force."""
    return _FORCES[strength.text]


FORMULAS: tuple[Formula, ...] = (
    *(value for value in list(globals().values()) if isinstance(value, Formula)),
    *_DECISION_LIMITS.values(),
    *_FORCES.values(),
    *_MEASURED.values(),
)
"""Every formula."""
