"""Wires: size, metal section and resistance at a temperature.

A size is written "10 AWG", "1/0 AWG" or "6 mm²". The section of a metric size is nominal: its
resistance comes from the table of IEC 60228, not from the section.
"""

from collections.abc import Sequence
from math import fsum, inf, pi

from sizing.guards import require, require_between, require_not_negative, require_positive

REFERENCE_TEMPERATURE = 20.0  # °C

# IEC 60028 (1925) annealed copper, 100 % IACS; aluminium 61 % IACS, ASTM B230 (from memory).
RESISTIVITY: dict[str, float] = {"copper": 1.7241e-8, "aluminium": 2.8264e-8}  # Ω·m at 20 °C

# IEC 60287-1-1:2006 Table 1, at 20 °C.
TEMPERATURE_COEFFICIENT: dict[str, float] = {"copper": 0.00393, "aluminium": 0.00403}  # 1/K

STRANDING_FACTOR = 1.02  # lay of the strands, NBS Handbook 100 (1966); ASTM B8

# IEC 60228:2004 Table 1 and 2, plain copper, classes 1 and 2, greatest resistance at 20 °C:
# nominal section [mm²], Ω/km. 70 and 95 mm² from memory.
STRANDED_COPPER_OHM_PER_KM: dict[float, float] = {
    1.5: 12.1, 2.5: 7.41, 4: 4.61, 6: 3.08, 10: 1.83, 16: 1.15, 25: 0.727, 35: 0.524, 50: 0.387, 70: 0.268, 95: 0.193,
}  # fmt: skip
# IEC 60228:2004 Table 2, aluminium, class 2, greatest resistance at 20 °C (from memory).
STRANDED_ALUMINIUM_OHM_PER_KM: dict[float, float] = {
    10: 3.08, 16: 1.91, 25: 1.20, 35: 0.868, 50: 0.641, 70: 0.443, 95: 0.320,
}  # fmt: skip
# IEC 60228:2004 Table 3, plain copper, class 5 (flexible), from memory.
FLEXIBLE_COPPER_OHM_PER_KM: dict[float, float] = {
    1.5: 13.3, 2.5: 7.98, 4: 4.95, 6: 3.30, 10: 1.91, 16: 1.21, 25: 0.780, 35: 0.554, 50: 0.386, 70: 0.272, 95: 0.206,
}  # fmt: skip

AWG_NAMES = ("4/0", "3/0", "2/0", "1/0", *(str(n) for n in range(1, 25)))


def awg_diameter(gauge: float) -> float:
    """Return the diameter of a solid wire of the American Wire Gauge.

        d = 0.127 mm · 92^((36 − n) / 39)

    Parameters
    ----------
    gauge : n, gauge number; 0 for 1/0, −1 for 2/0, −2 for 3/0, −3 for 4/0 [1], −3 … 40

    Returns
    -------
    d, diameter of the metal [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: ASTM B258-18, clause 5 (clause from memory).
    """
    require_between("gauge", gauge, -3, 40, "1")
    return float(0.127e-3 * 92 ** ((36 - gauge) / 39))


def awg_section(gauge: float) -> float:
    """Return the metal section of a wire of the American Wire Gauge.

        A = π · d² / 4,  d = 0.127 mm · 92^((36 − n) / 39)

    Parameters
    ----------
    gauge : n, gauge number; 0 for 1/0, −1 for 2/0, −2 for 3/0, −3 for 4/0 [1], −3 … 40

    Returns
    -------
    A, metal section, the same for solid and stranded [m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: ASTM B258-18, clause 5 (clause from memory).
    """
    return pi * awg_diameter(gauge) ** 2 / 4


def gauge_number(size: str) -> int:
    """Return the gauge number of a size in words: "10 AWG" 10, "2/0 AWG" −1.

        n = 1 − k for k/0

    Parameters
    ----------
    size : size, American Wire Gauge [text], one of 4/0 … 1/0, 1 … 24, followed by AWG

    Returns
    -------
    n, gauge number [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: ASTM B258-18, Table 1.
    """
    name = size.removesuffix("AWG").strip()
    require(name in AWG_NAMES and size.endswith("AWG"), "size", size, "an AWG size such as 10 AWG or 2/0 AWG")
    return 1 - int(name[0]) if name.endswith("/0") else int(name)


def resistance_per_length(section: float, material: str, stranding_factor: float) -> float:
    """Return the resistance of a metre of wire at 20 °C, from its metal section.

        r₂₀ = k · ρ₂₀ / A

    Parameters
    ----------
    section : A, metal section [m²], > 0
    material : ρ₂₀, metal, which gives the resistivity [text], one of copper, aluminium
    stranding_factor : k, 1 for solid, 1.02 for stranded wire [1], 1 … 1.1

    Returns
    -------
    r₂₀, resistance of one conductor [Ω/m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    For AWG. A nominal mm² size holds 5 to 8 % less metal than its name:
    `metric_resistance_per_length`.

    Source: NBS Handbook 100 (1966), copper of 100 % IACS.
    """
    require_positive("section", section, "m²")
    require(material in RESISTIVITY, "material", material, "one of copper, aluminium")
    require_between("stranding_factor", stranding_factor, 1, 1.1, "1")
    return stranding_factor * RESISTIVITY[material] / section


def metric_resistance_per_length(nominal_section: float, conductor_class: int) -> float:
    """Return the greatest resistance of a metre of metric copper conductor at 20 °C.

        r₂₀ = IEC 60228 Table 1/2 (class 1, 2) or Table 3 (class 5)

    Parameters
    ----------
    nominal_section : A_nom, nominal section [m²], a size from 1.5 to 95 mm²
    conductor_class : class, how fine the strands are, 5 is flexible [1], one of 1, 2, 5

    Returns
    -------
    r₂₀, greatest resistance of one plain copper conductor [Ω/m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Tinned copper is up to 3 % higher.

    Source: IEC 60228:2004, Tables 1 to 3 (class 5 from memory).
    """
    require(conductor_class in (1, 2, 5), "conductor_class", conductor_class, "one of 1, 2, 5")
    table = FLEXIBLE_COPPER_OHM_PER_KM if conductor_class == 5 else STRANDED_COPPER_OHM_PER_KM
    require(0 < nominal_section < inf, "nominal_section", nominal_section, "> 0 m²")
    size = round(nominal_section * 1e6, 6)
    require(size in table, "nominal_section", nominal_section, "a size of IEC 60228 from 1.5 to 95 mm²")
    return table[size] / 1000


def aluminium_resistance_per_length(nominal_section: float) -> float:
    """Return the greatest resistance of a metre of stranded metric aluminium conductor at 20 °C.

        r₂₀ = IEC 60228 Table 2, aluminium

    Parameters
    ----------
    nominal_section : A_nom, nominal section [m²], a size from 10 to 95 mm²

    Returns
    -------
    r₂₀, greatest resistance of one aluminium conductor [Ω/m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Thinner aluminium is not made for power: it breaks at the terminal.

    Source: IEC 60228:2004, Table 2 (from memory).
    """
    require(0 < nominal_section < inf, "nominal_section", nominal_section, "> 0 m²")
    size = round(nominal_section * 1e6, 6)
    is_listed = size in STRANDED_ALUMINIUM_OHM_PER_KM
    require(is_listed, "nominal_section", nominal_section, "a size of IEC 60228 from 10 to 95 mm²")
    return STRANDED_ALUMINIUM_OHM_PER_KM[size] / 1000


def conductor_resistance_per_length(size: str, material: str) -> float:
    """Return the resistance of a metre of stranded conductor at 20 °C, from its size in words.

        r₂₀ = 1.02 · ρ₂₀ / A for AWG;  IEC 60228 class 2 for mm²

    Parameters
    ----------
    size : size, as on the cable [text], such as 10 AWG or 6 mm²
    material : metal, of the conductor [text], one of copper, aluminium; metric aluminium from 10 mm²

    Returns
    -------
    r₂₀, resistance of one conductor [Ω/m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: NBS Handbook 100 (1966) with 2 % for stranding; IEC 60228:2004 Table 2.
    """
    require(material in RESISTIVITY, "material", material, "one of copper, aluminium")
    if size.endswith("AWG"):
        return resistance_per_length(awg_section(gauge_number(size)), material, STRANDING_FACTOR)
    number = size.removesuffix("mm²").strip()
    table = STRANDED_COPPER_OHM_PER_KM if material == "copper" else STRANDED_ALUMINIUM_OHM_PER_KM
    metric = {f"{one:g}": one for one in table}
    sizes = "from 1.5 to 95" if material == "copper" else "from 10 to 95, for aluminium"
    require(size.endswith("mm²") and number in metric, "size", size, f"an AWG size, or mm² of IEC 60228 {sizes}")
    if material == "aluminium":
        return aluminium_resistance_per_length(metric[number] * 1e-6)
    return metric_resistance_per_length(metric[number] * 1e-6, conductor_class=2)


def resistance_at_temperature(resistance: float, material: str, temperature: float) -> float:
    """Return a conductor's resistance at a temperature, from that at 20 °C.

        R = R₂₀ · [1 + α₂₀ · (T − 20 °C)]
        with α₂₀ = 0.00393 1/K for copper, 0.00403 1/K for aluminium

    Parameters
    ----------
    resistance : R₂₀, at 20 °C [Ω], ≥ 0
    material : α₂₀, metal, which gives the coefficient [text], one of copper, aluminium
    temperature : T, of the metal [°C], −60 … 250

    Returns
    -------
    R, at T [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Takes resistance per length as well, and gives it back so.

    Source: IEC 60287-1-1:2006, clause 2.1.1 (from memory) and Table 1.
    """
    require_not_negative("resistance", resistance, "Ω")
    require(material in TEMPERATURE_COEFFICIENT, "material", material, "one of copper, aluminium")
    require_between("temperature", temperature, -60, 250, "°C")
    return resistance * (1 + TEMPERATURE_COEFFICIENT[material] * (temperature - REFERENCE_TEMPERATURE))


def resistance_between_temperatures(
    resistance: float, temperature: float, target_temperature: float, material: str
) -> float:
    """Return a winding's or cable's resistance carried from one temperature to another.

        R₂ = R₁ · (T₀ + T₂) / (T₀ + T₁),  T₀ = 1 / α₂₀ − 20 °C

    Parameters
    ----------
    resistance : R₁, at T₁ [Ω], ≥ 0
    temperature : T₁, when measured [°C], −60 … 250
    target_temperature : T₂, wanted [°C], −60 … 250
    material : T₀, metal, which gives the constant [text], one of copper, aluminium

    Returns
    -------
    R₂, at T₂ [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    T₀ is 234.5 °C for copper.

    Source: IEC 60034-1, winding temperature by resistance (from memory); α₂₀ of IEC 60287-1-1:2006 Table 1.
    """
    at_first = resistance_at_temperature(1.0, material, temperature)
    require_between("target_temperature", target_temperature, -60, 250, "°C")
    require_not_negative("resistance", resistance, "Ω")
    return resistance * resistance_at_temperature(1.0, material, target_temperature) / at_first


def series_resistance(resistances: Sequence[float]) -> float:
    """Return the resistance of parts joined one behind the other.

        R = Σ Rᵢ

    Parameters
    ----------
    resistances : Rᵢ, of each part, at its temperature [Ω, …], one or more, each ≥ 0

    Returns
    -------
    R, resistance of the whole [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Kirchhoff's voltage law.
    """
    require(len(resistances) > 0, "resistances", len(resistances), "one or more numbers")
    for one in resistances:
        require_not_negative("resistances", one, "Ω")
    return fsum(resistances)
