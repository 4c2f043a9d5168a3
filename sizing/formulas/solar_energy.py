"""Energy of a day from an array: what a daily duty asks of it, and what it gives."""

from sizing.guards import require, require_between, require_positive


def array_power_for_energy(daily_energy: float, sun_hours: float, efficiency: float, array_factor: float) -> float:
    """Return the rated array power that delivers a daily energy.

        P = E / (t_sun · η · F)

    Parameters
    ----------
    daily_energy : E, energy wanted in a day, for a pump that of the lifted water [J], > 0
    sun_hours : t_sun, full-sun time of the day on the plane of the array [s], > 0 … 86400
    efficiency : η, from array terminals to the energy wanted [1], > 0 … 1
    array_factor : F, share of rated power left by heat, dirt and mismatch [1], > 0 … 1

    Returns
    -------
    P, rated power of the array [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    F of 0.80 to 0.85 is common practice, no source.

    Source: energy balance over a day; no fitted coefficient.
    """
    require_positive("daily_energy", daily_energy, "J")
    require(0 < sun_hours <= 86_400, "sun_hours", sun_hours, "> 0 … 86400 s")
    require(0 < efficiency <= 1, "efficiency", efficiency, "> 0 … 1")
    require(0 < array_factor <= 1, "array_factor", array_factor, "> 0 … 1")
    return daily_energy / (sun_hours * efficiency * array_factor)


def daily_array_energy(rated_power: float, sun_hours: float, efficiency: float, array_factor: float) -> float:
    """Return the energy that an array delivers in a day through its converters.

        E = P · t_sun · η · F

    Parameters
    ----------
    rated_power : P, rated power of the array [W], > 0
    sun_hours : t_sun, full-sun time of the day on the plane of the array [s], 0 … 86400
    efficiency : η, from array terminals to the energy wanted [1], > 0 … 1
    array_factor : F, share of rated power left by heat, dirt and mismatch [1], > 0 … 1

    Returns
    -------
    E, energy of the day [J]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: energy balance over a day; no fitted coefficient.
    """
    require_positive("rated_power", rated_power, "W")
    require_between("sun_hours", sun_hours, 0, 86_400, "s")
    require(0 < efficiency <= 1, "efficiency", efficiency, "> 0 … 1")
    require(0 < array_factor <= 1, "array_factor", array_factor, "> 0 … 1")
    return rated_power * sun_hours * efficiency * array_factor
