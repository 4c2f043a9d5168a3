"""How often something happened, and what is lost between two places on the way."""

from sizing.guards import require_finite, require_not_negative, require_positive


def events_in(count: float, time: float, period: float) -> float:
    """Return how often something happens in a period, from how often it happened in another time.

        n = N · T / t

    Parameters
    ----------
    count : N, how often it happened [1], ≥ 0
    time : t, over how long [s], > 0
    period : T, the period that is spoken of, such as an hour or a day [s], > 0

    Returns
    -------
    n, events in the period [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A mean: it hides whether they came all in one hour.

    Source: definition of a rate.
    """
    require_not_negative("count", count, "")
    require_positive("time", time, "s")
    require_positive("period", period, "s")
    return count * period / time


def flow_lost(sent: float, arrived: float) -> float:
    """Return the flow that is lost between two places of one line.

        Q_l = Q₁ − Q₂

    Parameters
    ----------
    sent : Q₁, flow that goes in [m³/s], ≥ 0
    arrived : Q₂, flow that comes out [m³/s], ≥ 0

    Returns
    -------
    Q_l, lost on the way; negative where the readings cannot both be right [m³/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Nothing stored between the two, both measured in the same ten minutes.

    Source: conservation of mass, water taken as incompressible.
    """
    require_not_negative("sent", sent, "m³/s")
    require_not_negative("arrived", arrived, "m³/s")
    return sent - arrived


def contact_resistance(voltage: float, current: float) -> float:
    """Return the resistance of a closed contact from the voltage across it.

        R = U / I

    Parameters
    ----------
    voltage : U, across the closed contact [V], any
    current : I, through it at the same moment [A], > 0

    Returns
    -------
    R, contact resistance [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Direct current; the drop alone falls with the current, the resistance does not.

    Source: Ohm's law.
    """
    require_finite("voltage", voltage, "V")
    require_positive("current", current, "A")
    return voltage / current
