"""
Tables of MIL-STD-105E (10 May 1989) for single sampling by attributes.

Table I and the normal plans of Table II-A for AQL 0.65 to 6.5 % follow published copies; the other
columns and the tightened plans of Table II-B follow the tables' diagonal rule, from memory. ISO
2859-1 and ANSI/ASQ Z1.4 use the same normal plans. Reduced inspection is not included: the editions
differ in its rejection numbers, and no copy of Table II-C could be read that others confirm.
"""

LETTERS = "ABCDEFGHJKLMNPQR"
SAMPLE_SIZES = (2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250, 2000)
LEVELS = ("S-1", "S-2", "S-3", "S-4", "I", "II", "III")
AQLS = (0.10, 0.15, 0.25, 0.40, 0.65, 1.0, 1.5, 2.5, 4.0, 6.5)
"""Acceptance quality limits in per cent nonconforming."""

CODE_LETTERS: tuple[tuple[int | None, str], ...] = (
    (8, "AAAAAAB"),
    (15, "AAAAABC"),
    (25, "AABBBCD"),
    (50, "ABBCCDE"),
    (90, "BBCCCEF"),
    (150, "BBCDDFG"),
    (280, "BCDEEGH"),
    (500, "BCDEFHJ"),
    (1200, "CCEFGJK"),
    (3200, "CDEGHKL"),
    (10000, "CDFGJLM"),
    (35000, "CDFHKMN"),
    (150000, "DEGJLNP"),
    (500000, "DEGJMPQ"),
    (None, "DEHKNQR"),
)
"""Largest lot size of the row, and its code letter at each of LEVELS."""

SMALLEST_LOT = 2

NORMAL = {
    "A": "dn dn dn dn dn dn dn dn dn  0",
    "B": "dn dn dn dn dn dn dn dn  0 up",
    "C": "dn dn dn dn dn dn dn  0 up dn",
    "D": "dn dn dn dn dn dn  0 up dn  1",
    "E": "dn dn dn dn dn  0 up dn  1  2",
    "F": "dn dn dn dn  0 up dn  1  2  3",
    "G": "dn dn dn  0 up dn  1  2  3  5",
    "H": "dn dn  0 up dn  1  2  3  5  7",
    "J": "dn  0 up dn  1  2  3  5  7 10",
    "K": " 0 up dn  1  2  3  5  7 10 14",
    "L": "up dn  1  2  3  5  7 10 14 21",
    "M": "dn  1  2  3  5  7 10 14 21 up",
    "N": " 1  2  3  5  7 10 14 21 up up",
    "P": " 2  3  5  7 10 14 21 up up up",
    "Q": " 3  5  7 10 14 21 up up up up",
    "R": " 5  7 10 14 21 up up up up up",
}
"""Acceptance number of each code letter at each of AQLS; up and dn are the arrows."""

TIGHTENED = {
    "A": "dn dn dn dn dn dn dn dn dn dn",
    "B": "dn dn dn dn dn dn dn dn dn  0",
    "C": "dn dn dn dn dn dn dn dn  0 dn",
    "D": "dn dn dn dn dn dn dn  0 dn dn",
    "E": "dn dn dn dn dn dn  0 dn dn  1",
    "F": "dn dn dn dn dn  0 dn dn  1  2",
    "G": "dn dn dn dn  0 dn dn  1  2  3",
    "H": "dn dn dn  0 dn dn  1  2  3  5",
    "J": "dn dn  0 dn dn  1  2  3  5  8",
    "K": "dn  0 dn dn  1  2  3  5  8 12",
    "L": " 0 dn dn  1  2  3  5  8 12 18",
    "M": "dn dn  1  2  3  5  8 12 18 up",
    "N": "dn  1  2  3  5  8 12 18 up up",
    "P": " 1  2  3  5  8 12 18 up up up",
    "Q": " 2  3  5  8 12 18 up up up up",
    "R": " 3  5  8 12 18 up up up up up",
}
"""As NORMAL, for tightened inspection."""
