"""Current that a cable of a metric size may carry, by how it is laid: IEC 60364-5-52."""

from math import sqrt

from sizing.guards import require, require_between

SIZES = (1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0)  # mm²
ALUMINIUM_SIZES = (16.0, 25.0, 35.0, 50.0, 70.0, 95.0)  # mm²
PVC = 70.0  # °C at the conductor
XLPE = 90.0  # °C at the conductor

# IEC 60364-5-52:2009, copper, two loaded conductors, air at 30 °C, ground at 20 °C and 2.5 K·m/W (all from memory):
# Tables B.52.2 (PVC) and B.52.3 (XLPE), methods B1, C and D1. A row holds a current [A] for each of SIZES.
CURRENTS: dict[tuple[str, float], tuple[float, ...]] = {
    ("raceway", PVC): (17.5, 24, 32, 41, 57, 76, 101, 125, 151, 192, 232),
    ("raceway", XLPE): (23, 31, 42, 54, 75, 100, 133, 164, 198, 253, 306),
    ("free_air", PVC): (19.5, 27, 36, 46, 63, 85, 112, 138, 168, 213, 258),
    ("free_air", XLPE): (24, 33, 45, 58, 80, 107, 138, 171, 209, 269, 328),
    ("buried", PVC): (22, 29, 37, 46, 60, 78, 99, 119, 140, 173, 204),
    ("buried", XLPE): (25, 33, 43, 53, 71, 91, 116, 139, 164, 203, 239),
}
# The same tables, aluminium (all from memory). A row holds a current [A] for each of ALUMINIUM_SIZES.
ALUMINIUM_CURRENTS: dict[tuple[str, float], tuple[float, ...]] = {
    ("raceway", PVC): (60, 79, 97, 118, 150, 181),
    ("raceway", XLPE): (79, 105, 130, 157, 200, 242),
    ("free_air", PVC): (66, 83, 103, 125, 160, 195),
    ("free_air", XLPE): (84, 101, 126, 154, 198, 241),
    ("buried", PVC): (61, 77, 93, 109, 135, 159),
    ("buried", XLPE): (71, 90, 108, 128, 158, 186),
}
AIR = 30.0  # °C, of the tables
GROUND = 20.0  # °C, of the tables

# IEC 60364-5-52:2009 Table B.52.17, item 1, circuits bunched (from memory).
CIRCUIT_FACTORS = (1.0, 0.80, 0.70, 0.65, 0.60, 0.57, 0.54, 0.52, 0.50)


def iec_table_ampacity(size: str, insulation_rating: float, method: str) -> float:
    """Return the current a copper cable of a metric size carries, alone, in the table's surroundings.

        I_table = IEC 60364-5-52 Tables B.52.2 and B.52.3, column B1, C or D1

    Parameters
    ----------
    size : size, as on the cable [text], one of 1.5 … 95 mm²
    insulation_rating : T_ins, temperature rating of the insulation [°C], 70 … 150; below 90 the PVC table
    method : method, how it is laid [text], one of raceway (B1), free_air (C), buried (D1)

    Returns
    -------
    I_table, ampacity before correction [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    In free air a cable clear of the wall carries some 8 % more than column C.

    Source: IEC 60364-5-52:2009, Tables B.52.2 and B.52.3, two loaded conductors (all from memory).
    """
    named = {f"{one:g} mm²": place for place, one in enumerate(SIZES)}
    require(size in named, "size", size, "one of 1.5 … 95 mm²")
    require_between("insulation_rating", insulation_rating, PVC, 150, "°C")
    require(method in ("raceway", "free_air", "buried"), "method", method, "one of raceway, free_air, buried")
    return CURRENTS[method, XLPE if insulation_rating >= XLPE else PVC][named[size]]


def iec_aluminium_ampacity(size: str, insulation_rating: float, method: str) -> float:
    """Return the current an aluminium cable of a metric size carries, alone, in the table's surroundings.

        I_table = IEC 60364-5-52 Tables B.52.2 and B.52.3, aluminium, column B1, C or D1

    Parameters
    ----------
    size : size, as on the cable [text], one of 16 … 95 mm²
    insulation_rating : T_ins, temperature rating of the insulation [°C], 70 … 150; below 90 the PVC table
    method : method, how it is laid [text], one of raceway (B1), free_air (C), buried (D1)

    Returns
    -------
    I_table, ampacity before correction [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Only in terminals made for aluminium.

    Source: IEC 60364-5-52:2009, Tables B.52.2 and B.52.3, aluminium, two loaded conductors (all from memory).
    """
    named = {f"{one:g} mm²": place for place, one in enumerate(ALUMINIUM_SIZES)}
    require(size in named, "size", size, "one of 16 … 95 mm²")
    require_between("insulation_rating", insulation_rating, PVC, 150, "°C")
    require(method in ("raceway", "free_air", "buried"), "method", method, "one of raceway, free_air, buried")
    return ALUMINIUM_CURRENTS[method, XLPE if insulation_rating >= XLPE else PVC][named[size]]


def surroundings_factor(conductor_temperature: float, surroundings: float, reference: float) -> float:
    """Return the factor on ampacity for surroundings warmer or cooler than those of the table.

        f = √[(T_c − T_a) / (T_c − T_ref)]

    Parameters
    ----------
    conductor_temperature : T_c, highest of the conductor, 70 for PVC, 90 for XLPE [°C], 60 … 150
    surroundings : T_a, of the air or the ground [°C], −40 … < T_c
    reference : T_ref, of the table, 30 in air, 20 in the ground [°C], 20 … 40

    Returns
    -------
    f, factor [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Tables B.52.14 and B.52.15 print it to two places.

    Source: heat balance of a conductor, loss with the square of the current; IEC 60364-5-52:2009 annex B.
    """
    require_between("conductor_temperature", conductor_temperature, 60, 150, "°C")
    require_between("reference", reference, 20, 40, "°C")
    is_cooler = -40 <= surroundings < conductor_temperature
    require(is_cooler, "surroundings", surroundings, f"−40 … below {conductor_temperature:g} °C")
    return sqrt((conductor_temperature - surroundings) / (conductor_temperature - reference))


def circuits_factor(circuits: int) -> float:
    """Return the factor on ampacity for circuits that lie together.

        f = 1: 1.0, 2: 0.80, 3: 0.70, 4: 0.65, 5: 0.60, 6: 0.57, 7: 0.54, 8: 0.52, 9: 0.50

    Parameters
    ----------
    circuits : n, loaded circuits in the bunch [1], 1 … 9

    Returns
    -------
    f, factor [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: IEC 60364-5-52:2009, Table B.52.17, item 1 (from memory).
    """
    require_between("circuits", circuits, 1, len(CIRCUIT_FACTORS), "1")
    require(circuits == int(circuits), "circuits", circuits, "a whole number")
    return CIRCUIT_FACTORS[int(circuits) - 1]
