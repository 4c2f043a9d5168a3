"""A day as a whole: how its sun is spread, the water it brings, how long a store lasts."""

from collections.abc import Sequence
from math import acos, fsum, pi, sin

from sizing.guards import require, require_between, require_not_negative, require_positive


def half_sine_peak(sun_hours: float, daylight: float) -> float:
    """Return the irradiance at noon of a day whose sun rises and falls like half a sine.

        G₀ = 1000 W/m² · π · t_sun / (2 · t_day)

    Parameters
    ----------
    sun_hours : t_sun, full-sun time of the day on the plane of the array [s], ≥ 0
    daylight : t_day, from sunrise to sunset [s], > 0 … 86400

    Returns
    -------
    G₀, irradiance at noon [W/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The day's energy is kept. A day of passing cloud has its energy in shorter, stronger pieces.

    Source: area under half a sine, 2/π of peak times length; the shape is common practice, no source.
    """
    require_not_negative("sun_hours", sun_hours, "s")
    require(0 < daylight <= 86_400, "daylight", daylight, "> 0 … 86400 s")
    return 1000 * pi * sun_hours / (2 * daylight)


def half_sine_irradiance(peak: float, time: float, daylight: float) -> float:
    """Return the irradiance at a time after sunrise.

        G = G₀ · sin(π · t / t_day)

    Parameters
    ----------
    peak : G₀, irradiance at noon [W/m²], ≥ 0
    time : t, after sunrise [s], 0 … t_day
    daylight : t_day, from sunrise to sunset [s], > 0 … 86400

    Returns
    -------
    G, irradiance [W/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: half a sine from sunrise to sunset; common practice, no source.
    """
    require_not_negative("peak", peak, "W/m²")
    require(0 < daylight <= 86_400, "daylight", daylight, "> 0 … 86400 s")
    require_between("time", time, 0, daylight, "s")
    return peak * sin(pi * time / daylight)


def derated_array_power(rated_power: float, irradiance: float, array_factor: float) -> float:
    """Return what an array gives at an irradiance, with an allowance for heat, dirt and mismatch.

        P = P₀ · G / 1000 W/m² · F

    Parameters
    ----------
    rated_power : P₀, rated power of the array [W], > 0
    irradiance : G, on the plane of the array [W/m²], ≥ 0
    array_factor : F, share of rated power left by heat, dirt and mismatch [1], > 0 … 1

    Returns
    -------
    P, power of the array [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    F of 0.80 to 0.85 is common practice, no source.

    Source: linear in the irradiance, as IEC 60891 procedure 1; the allowance is common practice, no source.
    """
    require_positive("rated_power", rated_power, "W")
    require_not_negative("irradiance", irradiance, "W/m²")
    require(0 < array_factor <= 1, "array_factor", array_factor, "> 0 … 1")
    return rated_power * irradiance / 1000 * array_factor


def volume_of_slices(flows: Sequence[float], duration: float) -> float:
    """Return the water of slices of time that are all equally long.

        V = Δt · Σ Qᵢ

    Parameters
    ----------
    flows : Qᵢ, flow in the middle of each slice [m³/s, …], one or more, each ≥ 0
    duration : Δt, of one slice [s], > 0

    Returns
    -------
    V, volume of all slices [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: midpoint rule.
    """
    require(len(flows) > 0, "flows", len(flows), "one or more numbers")
    for one in flows:
        require_not_negative("flows", one, "m³/s")
    require_positive("duration", duration, "s")
    return duration * fsum(flows)


def days_of_water(store: float, daily_use: float) -> float:
    """Return for how many days a full tank lasts with nothing coming in.

        n = V / V_d

    Parameters
    ----------
    store : V, what can be drawn from it when full [m³], ≥ 0
    daily_use : V_d, used in a day [m³], > 0

    Returns
    -------
    n, days [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: conservation of volume.
    """
    require_not_negative("store", store, "m³")
    require_positive("daily_use", daily_use, "m³")
    return store / daily_use


def days_of_energy(store: float, daily_use: float) -> float:
    """Return for how many days a full battery lasts with nothing coming in.

        n = E / E_d

    Parameters
    ----------
    store : E, what can be drawn from it when full [J], ≥ 0
    daily_use : E_d, used in a day [J], > 0

    Returns
    -------
    n, days [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: conservation of energy.
    """
    require_not_negative("store", store, "J")
    require_positive("daily_use", daily_use, "J")
    return store / daily_use


def usable_energy(capacity: float, voltage: float, discharge_share: float) -> float:
    """Return the energy that may be drawn from a full battery.

        E = 3600 s/h · C · V · s

    Parameters
    ----------
    capacity : C, rated capacity of the bank [A·h], > 0
    voltage : V, nominal voltage of the bank [V], > 0
    discharge_share : s, share that may be drawn [1], > 0 … 1

    Returns
    -------
    E, energy [J]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    In the cold, and at currents above the rated one, less comes out.

    Source: definition of electric energy; IEEE 1013-2007 sizes by the same share (procedure from memory).
    """
    require_positive("capacity", capacity, "A·h")
    require_positive("voltage", voltage, "V")
    require(0 < discharge_share <= 1, "discharge_share", discharge_share, "> 0 … 1")
    return 3600 * capacity * voltage * discharge_share


def energy_drawn(power: float, time: float, efficiency: float) -> float:
    """Return the energy that a user takes from its source in a day.

        E = P · t / η

    Parameters
    ----------
    power : P, while it runs [W], ≥ 0
    time : t, for which it runs in a day [s], 0 … 86400
    efficiency : η, of what stands between, 1 where nothing does [1], > 0 … 1

    Returns
    -------
    E, energy of the day [J]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: definition of energy and efficiency.
    """
    require_not_negative("power", power, "W")
    require_between("time", time, 0, 86_400, "s")
    require(0 < efficiency <= 1, "efficiency", efficiency, "> 0 … 1")
    return power * time / efficiency


def summed_energy(energies: Sequence[float]) -> float:
    """Return the energy of all users in a day.

        E = Σ Eᵢ

    Parameters
    ----------
    energies : Eᵢ, of each [J, …], one or more, each ≥ 0

    Returns
    -------
    E, energy of all [J]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: conservation of energy.
    """
    require(len(energies) > 0, "energies", len(energies), "one or more numbers")
    for one in energies:
        require_not_negative("energies", one, "J")
    return fsum(energies)


def time_on_energy(energy: float, power: float) -> float:
    """Return for how long of a day an energy runs a user.

        t = min(E / P, 86400 s)

    Parameters
    ----------
    energy : E, to be had in a day [J], ≥ 0
    power : P, that the user takes from the source [W], > 0

    Returns
    -------
    t, running time in a day [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: definition of power.
    """
    require_not_negative("energy", energy, "J")
    require_positive("power", power, "W")
    return min(energy / power, 86_400.0)


def energy_left(energy: float, drawn: float) -> float:
    """Return what is left of a day's energy for one user after the others.

        E_l = max(E − E_o, 0)

    Parameters
    ----------
    energy : E, to be had in a day [J], ≥ 0
    drawn : E_o, drawn by the others [J], ≥ 0

    Returns
    -------
    E_l, energy left [J]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: conservation of energy.
    """
    require_not_negative("energy", energy, "J")
    require_not_negative("drawn", drawn, "J")
    return max(energy - drawn, 0.0)


def daily_amount(amount: float, time: float) -> float:
    """Return what a day has of something counted over a longer or shorter time.

        a = A · 86400 s / t

    Parameters
    ----------
    amount : A, counted [as the quantity], ≥ 0
    time : t, over which it was counted [s], > 0

    Returns
    -------
    a, of one day [as the quantity]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: arithmetic, no fitted coefficient.
    """
    require_not_negative("amount", amount, "in its unit")
    require_positive("time", time, "s")
    return amount * 86_400.0 / time


def time_to_share_of_day(share: float, daylight: float) -> float:
    """Return how long after sunrise a share of the day's sun has come, if it rises and falls as half a sine.

        t = D / π · arccos(1 − 2 · s)

    Parameters
    ----------
    share : s, share of the day's energy [1], 0 … 1
    daylight : D, from sunrise to sunset [s], > 0 … 86400

    Returns
    -------
    t, time since sunrise [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A clear day on a plane that faces the noon sun. Half the day's energy has come at noon.

    Source: the integral of `half_sine_irradiance`, solved for the time.
    """
    require_between("share", share, 0, 1, "1")
    require(0 < daylight <= 86_400, "daylight", daylight, "> 0 … 86400 s")
    return daylight / pi * acos(1 - 2 * share)
