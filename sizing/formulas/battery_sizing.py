"""How much battery a load asks for, in the order of IEEE 1013."""

from math import inf

from sizing.formulas.tables import between_rows
from sizing.guards import require, require_positive

# IEEE 485-2010 Table 1, capacity multiplier by electrolyte temperature [°C]; 80 °F and 20 °F from a
# public sizing sheet that agrees with the rest.
TEMPERATURE_MULTIPLIERS: tuple[tuple[float, float], ...] = tuple(
    ((fahrenheit - 32) / 1.8, multiplier)
    for fahrenheit, multiplier in ((20, 1.59), (30, 1.40), (40, 1.30), (50, 1.19), (60, 1.11), (70, 1.04), (80, 1.00))
)


def unadjusted_capacity(daily_charge: float, autonomy: float) -> float:
    """Return the charge that the load takes through the days without sun.

        C₀ = Q · t / 86400 s

    Parameters
    ----------
    daily_charge : Q, drawn in a day [A·h], > 0
    autonomy : t, time to bridge, 3 days are 259200 s [s], > 0

    Returns
    -------
    C₀, before any allowance [A·h]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: IEEE 1013-2007, clause 6 (procedure from memory).
    """
    require_positive("daily_charge", daily_charge, "A·h")
    require_positive("autonomy", autonomy, "s")
    return daily_charge * autonomy / 86_400


def capacity_for_share(charge: float, share: float) -> float:
    """Return the capacity of which only a share may be used.

        C = Q / s

    Parameters
    ----------
    charge : Q, charge to be had [A·h], > 0
    share : s, deepest discharge, or what is left at the end of life [1], > 0 … 1

    Returns
    -------
    C, capacity [A·h]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: IEEE 1013-2007, clause 6 (procedure from memory).
    """
    require_positive("charge", charge, "A·h")
    require(0 < share <= 1, "share", share, "> 0 … 1")
    return charge / share


def temperature_multiplier(temperature: float) -> float:
    """Return the factor on lead-acid capacity for a cold battery.

        m = table at T: 80 °F 1.00, 70 1.04, 60 1.11, 50 1.19, 40 1.30, 30 1.40, 20 1.59

    Parameters
    ----------
    temperature : T, lowest temperature of the battery [°C], −6.66 … 26.66

    Returns
    -------
    m, factor [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Another maker's table loses only 10 % at 10 °C. A warmer battery earns no credit.

    Source: IEEE 485-2010, Table 1, straight between rows; ends see the constant.
    """
    return between_rows("temperature", temperature, TEMPERATURE_MULTIPLIERS, "°C")


def required_capacity(
    unadjusted: float,
    daily_charge: float,
    deepest_discharge: float,
    deepest_daily: float,
    end_of_life: float,
    temperature_multiplier: float,
    design_margin: float,
) -> float:
    """Return the rated capacity that a stand-alone system asks for.

        C = max(C₀ / DoD, Q / DoD_day, C₀ / e) · m · (1 + d)

    Parameters
    ----------
    unadjusted : C₀, charge of the days without sun [A·h], > 0
    daily_charge : Q, drawn in a day [A·h], > 0
    deepest_discharge : DoD, deepest at the end of those days [1], > 0 … 1
    deepest_daily : DoD_day, deepest in an ordinary day [1], > 0 … 1
    end_of_life : e, capacity left when the battery is replaced [1], > 0 … 1
    temperature_multiplier : m, for the lowest battery temperature [1], ≥ 1
    design_margin : d, for what the load may grow [1], ≥ 0

    Returns
    -------
    C, rated capacity at the functional hour rate [A·h]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: IEEE 1013-2007, clause 6 (procedure from memory).
    """
    require(1 <= temperature_multiplier < inf, "temperature_multiplier", temperature_multiplier, "≥ 1")
    require(0 <= design_margin < inf, "design_margin", design_margin, "≥ 0")
    require(0 < deepest_discharge <= 1, "deepest_discharge", deepest_discharge, "> 0 … 1")
    require(0 < deepest_daily <= 1, "deepest_daily", deepest_daily, "> 0 … 1")
    require(0 < end_of_life <= 1, "end_of_life", end_of_life, "> 0 … 1")
    require_positive("unadjusted", unadjusted, "A·h")
    require_positive("daily_charge", daily_charge, "A·h")
    largest = max(unadjusted / deepest_discharge, daily_charge / deepest_daily, unadjusted / end_of_life)
    return largest * temperature_multiplier * (1 + design_margin)
