"""Current that a conductor may carry: table, heat around it, other circuits beside it."""

from math import sqrt

from sizing.guards import require, require_between, require_positive

# NEC (NFPA 70, 2020) Table 310.16, copper, 30 °C, not more than three conductors: 60, 75, 90 °C [A].
# Row 6 AWG and the 90 °C column checked against public copies, others from memory.
COPPER_AMPACITY: dict[str, tuple[float, float, float]] = {
    "14 AWG": (15, 20, 25), "12 AWG": (20, 25, 30), "10 AWG": (30, 35, 40), "8 AWG": (40, 50, 55),
    "6 AWG": (55, 65, 75), "4 AWG": (70, 85, 95), "3 AWG": (85, 100, 115), "2 AWG": (95, 115, 130),
    "1 AWG": (110, 130, 145), "1/0 AWG": (125, 150, 170), "2/0 AWG": (145, 175, 195),
    "3/0 AWG": (165, 200, 225), "4/0 AWG": (195, 230, 260),
}  # fmt: skip
# The same table, aluminium and copper-clad aluminium (all from memory).
ALUMINIUM_AMPACITY: dict[str, tuple[float, float, float]] = {
    "12 AWG": (15, 20, 25), "10 AWG": (25, 30, 35), "8 AWG": (35, 40, 45), "6 AWG": (40, 50, 55),
    "4 AWG": (55, 65, 75), "3 AWG": (65, 75, 85), "2 AWG": (75, 90, 100), "1 AWG": (85, 100, 115),
    "1/0 AWG": (100, 120, 135), "2/0 AWG": (115, 135, 150), "3/0 AWG": (130, 155, 175), "4/0 AWG": (150, 180, 205),
}  # fmt: skip
INSULATION_RATINGS = (60.0, 75.0, 90.0)  # °C, columns of the table
TABLE_AMBIENT = 30.0  # °C

# NEC (NFPA 70, 2020) Table 310.15(B)(1), by rating of the insulation: top of the band [°C], factor.
AMBIENT_FACTORS: dict[float, tuple[tuple[float, float], ...]] = {
    75.0: (
        (25, 1.05), (30, 1.00), (35, 0.94), (40, 0.88), (45, 0.82),
        (50, 0.75), (55, 0.67), (60, 0.58), (65, 0.47), (70, 0.33),
    ),
    90.0: (
        (25, 1.04), (30, 1.00), (35, 0.96), (40, 0.91), (45, 0.87), (50, 0.82),
        (55, 0.76), (60, 0.71), (65, 0.65), (70, 0.58), (75, 0.50), (80, 0.41),
    ),
}  # fmt: skip

# NEC (NFPA 70, 2020) Table 310.15(C)(1): most current-carrying conductors of the row, factor.
BUNDLING_FACTORS: tuple[tuple[int, float], ...] = ((3, 1.0), (6, 0.80), (9, 0.70), (20, 0.50))


def table_ampacity(size: str, insulation_rating: float) -> float:
    """Return the current a copper conductor carries at 30 °C, alone in its raceway.

        I_table = NEC Table 310.16

    Parameters
    ----------
    size : size, of the conductor [text], one of 14 AWG … 4/0 AWG
    insulation_rating : T_ins, temperature rating of insulation and terminals [°C], one of 60, 75, 90

    Returns
    -------
    I_table, ampacity before correction [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The terminals' rating limits the column for the final answer. The code in force at the
    site comes first.

    Source: NEC (NFPA 70, 2020) Table 310.16, see the constant.
    """
    require(size in COPPER_AMPACITY, "size", size, "one of 14 AWG … 4/0 AWG")
    require(insulation_rating in INSULATION_RATINGS, "insulation_rating", insulation_rating, "one of 60, 75, 90 °C")
    return COPPER_AMPACITY[size][INSULATION_RATINGS.index(insulation_rating)]


def aluminium_table_ampacity(size: str, insulation_rating: float) -> float:
    """Return the current an aluminium conductor carries at 30 °C, alone in its raceway.

        I_table = NEC Table 310.16, aluminium

    Parameters
    ----------
    size : size, of the conductor [text], one of 12 AWG … 4/0 AWG
    insulation_rating : T_ins, temperature rating of insulation and terminals [°C], one of 60, 75, 90

    Returns
    -------
    I_table, ampacity before correction [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Only in terminals marked for aluminium (110.14). The code in force at the site comes first.

    Source: NEC (NFPA 70, 2020) Table 310.16, aluminium columns (from memory).
    """
    require(size in ALUMINIUM_AMPACITY, "size", size, "one of 12 AWG … 4/0 AWG")
    require(insulation_rating in INSULATION_RATINGS, "insulation_rating", insulation_rating, "one of 60, 75, 90 °C")
    return ALUMINIUM_AMPACITY[size][INSULATION_RATINGS.index(insulation_rating)]


def ambient_factor(insulation_rating: float, ambient_temperature: float) -> float:
    """Return the factor on ampacity for air warmer or cooler than 30 °C.

        f = √[(T_ins − T_a) / (T_ins − 30 °C)]

    Parameters
    ----------
    insulation_rating : T_ins, temperature rating of the insulation [°C], 60 … 90
    ambient_temperature : T_a, air around the cable [°C], −40 … < T_ins

    Returns
    -------
    f, factor [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The table of the code prints this at the top of each 5 K band. On a roof in the sun the
    air in a raceway is warmer than the shade.

    Source: NEC (NFPA 70, 2020) 310.15(B), equation of the ambient correction.
    """
    require_between("insulation_rating", insulation_rating, 60, 90, "°C")
    require(
        -40 <= ambient_temperature < insulation_rating,
        "ambient_temperature",
        ambient_temperature,
        f"−40 … below {insulation_rating:g} °C",
    )
    return sqrt((insulation_rating - ambient_temperature) / (insulation_rating - TABLE_AMBIENT))


def table_ambient_factor(insulation_rating: float, ambient_temperature: float) -> float:
    """Return the printed factor on ampacity for the temperature of the air.

        f = Table 310.15(B)(1), row that holds T_a

    Parameters
    ----------
    insulation_rating : T_ins, temperature rating of the insulation [°C], one of 75, 90
    ambient_temperature : T_a, air around the cable [°C], above 20 … 80, at 75 °C rating to 70

    Returns
    -------
    f, factor [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: NEC (NFPA 70, 2020) Table 310.15(B)(1), see the constant.
    """
    require(insulation_rating in AMBIENT_FACTORS, "insulation_rating", insulation_rating, "one of 75, 90 °C")
    rows = AMBIENT_FACTORS[insulation_rating]
    holds = 20 < ambient_temperature <= rows[-1][0]
    require(holds, "ambient_temperature", ambient_temperature, f"above 20 … {rows[-1][0]:g} °C")
    return next(factor for top, factor in rows if ambient_temperature <= top)


def bundling_factor(conductors: int) -> float:
    """Return the factor on ampacity for current-carrying conductors that lie together.

        f = 1 to 3: 1.0, 4 to 6: 0.80, 7 to 9: 0.70, 10 to 20: 0.50

    Parameters
    ----------
    conductors : n, current-carrying conductors in the raceway [1], 1 … 20

    Returns
    -------
    f, factor [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: NEC (NFPA 70, 2020) Table 310.15(C)(1).
    """
    require_between("conductors", conductors, 1, 20, "1")
    return next(factor for most, factor in BUNDLING_FACTORS if conductors <= most)


def corrected_ampacity(table_ampacity: float, ambient_factor: float, bundling_factor: float) -> float:
    """Return the ampacity where the conductor lies.

        I = I_table · f_ambient · f_bundling

    Parameters
    ----------
    table_ampacity : I_table, ampacity at 30 °C, alone [A], > 0
    ambient_factor : f_ambient, for the temperature of the air [1], > 0 … 1.5
    bundling_factor : f_bundling, for conductors that lie together [1], > 0 … 1

    Returns
    -------
    I, ampacity [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: NEC (NFPA 70, 2020) 310.15(B) and (C).
    """
    require_positive("table_ampacity", table_ampacity, "A")
    require(0 < ambient_factor <= 1.5, "ambient_factor", ambient_factor, "> 0 … 1.5")
    require(0 < bundling_factor <= 1, "bundling_factor", bundling_factor, "> 0 … 1")
    return table_ampacity * ambient_factor * bundling_factor
