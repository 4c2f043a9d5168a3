"""Pressure tanks with a gas cushion. Pressures are absolute unless the name says gauge."""

from sizing.formulas.water import ZERO_CELSIUS
from sizing.guards import require, require_finite, require_not_negative, require_positive

# Two psi below cut-in: the setting printed by the trade for 20-40, 30-50 and 40-60 psi switches,
# read with no water in the tank. Common practice, no source.
PRECHARGE_BELOW_CUT_IN = 13_789.5  # Pa


def acceptance_volume(tank_volume: float, precharge: float, final_pressure: float) -> float:
    """Return the water a bladder tank takes in, from empty to `final_pressure`.

    The gas is compressed slowly, at constant temperature:

        V_acc = V_t · (1 − p₀ / p_f)

    Parameters
    ----------
    tank_volume : V_t, volume of the shell [m³], > 0
    precharge : p₀, absolute gas pressure with no water in the tank [Pa], > 0
    final_pressure : p_f, absolute pressure when filled [Pa], ≥ p₀

    Returns
    -------
    V_acc, water held at `final_pressure` [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Slow, at constant temperature; air or nitrogen below 2 MPa. Filling within seconds is nearer
    adiabatic and takes in less. A gauge pressure given by mistake yields a plausible, wrong volume:
    convert first. Counted from empty, so it is more than the drawdown between cut-in and cut-out.

    Source: Boyle's law, p·V constant; rearranged here, no fitted coefficient.
    """
    require_positive("tank_volume", tank_volume, "m³")
    require_positive("precharge", precharge, "Pa absolute")
    require_positive("final_pressure", final_pressure, "Pa absolute")
    require(final_pressure >= precharge, "final_pressure", final_pressure, f"≥ precharge, {precharge} Pa")
    return tank_volume * (1 - precharge / final_pressure)


def tank_drawdown(tank_volume: float, precharge: float, cut_in: float, cut_out: float) -> float:
    """Return the water a pressure tank gives between cut-out and cut-in.

        ΔV = V_t · p₀ · (1/p_in − 1/p_out)

    Parameters
    ----------
    tank_volume : V_t, volume of the shell [m³], > 0
    precharge : p₀, absolute gas pressure with no water in the tank [Pa], > 0
    cut_in : p_in, absolute pressure at which the pump starts [Pa], ≥ p₀
    cut_out : p_out, absolute pressure at which the pump stops [Pa], ≥ p_in

    Returns
    -------
    ΔV, drawdown of the tank [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A precharge above cut-in empties the tank before the pump starts, and is refused. A precharge that
    has leaked away costs drawdown: 18 psi for 28 psi on a 30-50 switch, nearly a quarter.

    Source: Boyle's law, p·V constant, at both pressures; rearranged here, no fitted coefficient.
    """
    require_positive("tank_volume", tank_volume, "m³")
    require_positive("precharge", precharge, "Pa absolute")
    require_positive("cut_in", cut_in, "Pa absolute")
    require_positive("cut_out", cut_out, "Pa absolute")
    require(cut_in >= precharge, "cut_in", cut_in, f"≥ precharge, {precharge} Pa")
    require(cut_out >= cut_in, "cut_out", cut_out, f"≥ cut-in, {cut_in} Pa")
    return tank_volume * precharge * (1 / cut_in - 1 / cut_out)


def tank_volume_for_drawdown(drawdown: float, precharge: float, cut_in: float, cut_out: float) -> float:
    """Return the tank that gives a wanted drawdown.

        V_t = ΔV / [ p₀ · (1/p_in − 1/p_out) ]

    Parameters
    ----------
    drawdown : ΔV, drawdown wanted [m³], > 0
    precharge : p₀, absolute gas pressure with no water in the tank [Pa], > 0
    cut_in : p_in, absolute pressure at which the pump starts [Pa], ≥ p₀
    cut_out : p_out, absolute pressure at which the pump stops [Pa], > p_in

    Returns
    -------
    V_t, volume of the shell [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The inverse of `tank_drawdown`. Take the next larger tank on offer.

    Source: Boyle's law, p·V constant, at both pressures; rearranged here, no fitted coefficient.
    """
    require_positive("drawdown", drawdown, "m³")
    require_positive("precharge", precharge, "Pa absolute")
    require_positive("cut_in", cut_in, "Pa absolute")
    require_positive("cut_out", cut_out, "Pa absolute")
    require(cut_out > cut_in, "cut_out", cut_out, f"> cut-in, {cut_in} Pa")
    return drawdown / tank_drawdown(1.0, precharge, cut_in, cut_out)


def precharge_from_drawdown(tank_volume: float, drawdown: float, cut_in: float, cut_out: float) -> float:
    """Return the precharge that a measured drawdown betrays.

        p₀ = ΔV / [ V_t · (1/p_in − 1/p_out) ]

    Parameters
    ----------
    tank_volume : V_t, volume of the shell [m³], > 0
    drawdown : ΔV, water drawn between cut-out and cut-in [m³], > 0
    cut_in : p_in, absolute pressure at which the pump starts [Pa], > 0
    cut_out : p_out, absolute pressure at which the pump stops [Pa], > p_in

    Returns
    -------
    p₀, absolute gas pressure with no water in the tank [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    For a suspicion without draining the tank. A result above p_in is a slip in the readings or a
    smaller tank than recorded, and is returned as it comes.

    Source: Boyle's law, p·V constant, at both pressures; rearranged here, no fitted coefficient.
    """
    require_positive("tank_volume", tank_volume, "m³")
    require_positive("drawdown", drawdown, "m³")
    require_positive("cut_in", cut_in, "Pa absolute")
    require_positive("cut_out", cut_out, "Pa absolute")
    require(cut_out > cut_in, "cut_out", cut_out, f"> cut-in, {cut_in} Pa")
    return drawdown / (tank_volume * (1 / cut_in - 1 / cut_out))


def precharge_at_temperature(precharge: float, temperature: float, other_temperature: float) -> float:
    """Return a precharge at another temperature.

        p₂ = p₁ · (t₂ + 273.15) / (t₁ + 273.15)

    Parameters
    ----------
    precharge : p₁, absolute gas pressure at the first temperature [Pa], > 0
    temperature : t₁, temperature at which p₁ was read [°C], > −273.15
    other_temperature : t₂, other temperature [°C], > −273.15

    Returns
    -------
    p₂, absolute gas pressure at the other temperature [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The tank is empty of water, so the gas keeps its volume. Near 28 psi gauge, 10 °F moves it by 0.8
    psi.

    Source: Gay-Lussac's law, p/T constant at constant volume.
    """
    require_positive("precharge", precharge, "Pa absolute")
    require_finite("temperature", temperature, "°C")
    require_finite("other_temperature", other_temperature, "°C")
    require(temperature > -ZERO_CELSIUS, "temperature", temperature, "> −273.15 °C")
    require(other_temperature > -ZERO_CELSIUS, "other_temperature", other_temperature, "> −273.15 °C")
    return precharge * (other_temperature + ZERO_CELSIUS) / (temperature + ZERO_CELSIUS)


def recommended_precharge(cut_in_gauge: float) -> float:
    """Return the precharge to set for a pressure switch.

        p₀ = p_in − 13.8 kPa

    Parameters
    ----------
    cut_in_gauge : p_in, gauge pressure at which the pump starts [Pa], > 13 789.5

    Returns
    -------
    p₀, gauge pressure with no water in the tank [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Two psi below cut-in, so that the bladder does not strike the outlet. Read with the water side open
    to the air. The tank's own sheet comes first.

    Source: common practice, no source; the usual 18, 28 and 38 psi for 20-40, 30-50 and 40-60 psi
    switches.
    """
    require_positive("cut_in_gauge", cut_in_gauge, "Pa gauge")
    require(cut_in_gauge > PRECHARGE_BELOW_CUT_IN, "cut_in_gauge", cut_in_gauge, "> 13 789.5 Pa gauge")
    return cut_in_gauge - PRECHARGE_BELOW_CUT_IN


def pump_run_time(drawdown: float, pump_flow: float, demand: float) -> float:
    """Return how long the pump runs from cut-in to cut-out.

        t = ΔV / (Q_p − Q_d)

    Parameters
    ----------
    drawdown : ΔV, drawdown of the tank [m³], > 0
    pump_flow : Q_p, flow of the pump [m³/s], > Q_d
    demand : Q_d, water drawn meanwhile [m³/s], ≥ 0

    Returns
    -------
    t, run time [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The pump's flow is that at the mean of cut-in and cut-out. One minute or more is the usual rule for
    small motors.

    Source: conservation of volume; the one-minute rule is common practice, no source.
    """
    require_positive("drawdown", drawdown, "m³")
    require_positive("pump_flow", pump_flow, "m³/s")
    require_not_negative("demand", demand, "m³/s")
    require(pump_flow > demand, "pump_flow", pump_flow, f"> demand, {demand} m³/s")
    return drawdown / (pump_flow - demand)


def shortest_cycle_time(drawdown: float, pump_flow: float) -> float:
    """Return the shortest time between two starts of the pump.

        t_c = 4 · ΔV / Q_p

    Parameters
    ----------
    drawdown : ΔV, drawdown of the tank [m³], > 0
    pump_flow : Q_p, flow of the pump [m³/s], > 0

    Returns
    -------
    t_c, cycle time at the worst demand [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The worst demand is half the pump's flow: the sum of filling ΔV/(Q_p − Q) and emptying ΔV/Q is least
    there.

    Source: conservation of volume, minimum over the demand; derived here.
    """
    require_positive("drawdown", drawdown, "m³")
    require_positive("pump_flow", pump_flow, "m³/s")
    return 4 * drawdown / pump_flow
