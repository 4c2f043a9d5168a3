"""When a solar pump begins to give water in the morning: the power it needs at a head, and the sun that brings it."""

from collections.abc import Sequence

from sizing.formulas.photovoltaic import COLDEST_CELL, HOTTEST_CELL, STC_IRRADIANCE, STC_TEMPERATURE
from sizing.formulas.pump_curves import pump_table_flow
from sizing.guards import require, require_between, require_not_negative, require_positive


def start_power(rows: Sequence[tuple[float, float, float]], head: float) -> float:
    """Return the power at which a pump begins to deliver at a head, from its data sheet.

        P₀ = P₁ − Q₁ · (P₂ − P₁) / (Q₂ − Q₁)

    Parameters
    ----------
    rows : R, the table's rows of power, head and flow [(W, m, m³/s), …], two powers or more
    head : H, total dynamic head [m], within the heads of R at its two smallest powers

    Returns
    -------
    P₀, power into the pump [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it, or flow does not rise with power.

    Notes
    -----
    The straight line through the two smallest powers that give water at the head, carried on to no flow. Standing
    friction and the controller's own threshold can ask for more.

    Source: linear extrapolation of the data sheet; common practice, no source.
    """
    powers = sorted({row[0] for row in rows})
    require(len(powers) >= 2, "rows", rows, "two powers or more")
    flows = [(power, pump_table_flow(rows, power, head)) for power in powers]
    giving = [(power, flow) for power, flow in flows if flow > 0]
    require(len(giving) >= 2, "head", head, "such that two powers of the table give water")
    (p1, q1), (p2, q2) = giving[:2]
    require(q2 > q1, "rows", rows, "rising in flow with power")
    idle = max((power for power, flow in flows if flow == 0), default=0.0)
    return max(p1 - q1 * (p2 - p1) / (q2 - q1), idle)


def irradiance_for_power(power: float, rated_power: float, cell_temperature: float, coefficient: float) -> float:
    """Return the irradiance at which an array offers a power.

        G = 1000 W/m² · P / {P₀ · [1 + γ · (T_c − 25 °C)]}

    Parameters
    ----------
    power : P, wanted [W], ≥ 0
    rated_power : P₀, of the array at standard conditions [W], > 0
    cell_temperature : T_c, temperature of the cells [°C], −90 … 150
    coefficient : γ, relative temperature coefficient of power [1/K], −0.008 … 0.008

    Returns
    -------
    G, irradiance [W/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: `maximum_power` solved for the light; linear in G and T.
    """
    require_not_negative("power", power, "W")
    require_positive("rated_power", rated_power, "W")
    require_between("cell_temperature", cell_temperature, COLDEST_CELL, HOTTEST_CELL, "°C")
    require_between("coefficient", coefficient, -0.008, 0.008, "1/K")
    return STC_IRRADIANCE * power / (rated_power * (1 + coefficient * (cell_temperature - STC_TEMPERATURE)))
