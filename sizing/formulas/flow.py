"""Flow by bucket and watch, and how well repeats agree."""

from collections.abc import Sequence
from math import hypot, sqrt

from sizing.guards import require, require_finite, require_not_negative, require_positive


def bucket_flow(volume: float, time: float) -> float:
    """Return the flow that filled a vessel in a measured time.

        Q = V / t

    Parameters
    ----------
    volume : V, volume caught [m³], > 0
    time : t, time taken to catch it [s], > 0

    Returns
    -------
    Q, volume flow [m³/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Calibrate the vessel by weight or by a mark: a pail is not what its label says. Take 30 s or more,
    three times.

    Source: volumetric method, ISO 8316:1987 (number from memory).
    """
    require_positive("volume", volume, "m³")
    require_positive("time", time, "s")
    return volume / time


def mean(values: Sequence[float]) -> float:
    """Return the mean of repeated readings.

        x̄ = Σxᵢ / n

    Parameters
    ----------
    values : x, repeated readings [any], one or more

    Returns
    -------
    x̄, mean, in the readings' own unit [any]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A reading known to be a slip is left out before, by name, not by the formula.

    Source: JCGM 100:2008, 4.2.1.
    """
    _require_readings(values, 1)
    return sum(values) / len(values)


def relative_spread(values: Sequence[float]) -> float:
    """Return how far repeated readings lie apart, as a share of their mean.

        r = (x_max − x_min) / |x̄|

    Parameters
    ----------
    values : x, repeated readings of one sign [any], one or more, mean not 0

    Returns
    -------
    r, relative spread [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Repeats within 0.05 are the trade's usual sign of a steady flow.

    Source: common practice, no source.
    """
    middle = mean(values)
    require(middle != 0, "values", values, "of a mean other than zero")
    return (max(values) - min(values)) / abs(middle)


def mean_uncertainty(values: Sequence[float]) -> float:
    """Return the standard uncertainty of a mean, from the scatter of its readings.

        u(x̄) = √[ Σ(xᵢ − x̄)² / (n·(n − 1)) ]

    Parameters
    ----------
    values : x, repeated readings [any], two or more

    Returns
    -------
    u, standard uncertainty of the mean, in the readings' own unit [any]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Type A only. From three readings it is itself uncertain by about half.

    Source: JCGM 100:2008, 4.2.3, equation 5.
    """
    _require_readings(values, 2)
    middle, n = mean(values), len(values)
    return sqrt(sum((x - middle) ** 2 for x in values) / (n * (n - 1)))


def bucket_flow_uncertainty(volume: float, time: float, volume_uncertainty: float, time_uncertainty: float) -> float:
    """Return the standard uncertainty of a flow by bucket.

        u_Q = (V/t) · √[ (u_V/V)² + (u_t/t)² ]

    Parameters
    ----------
    volume : V, volume caught [m³], > 0
    time : t, time taken to catch it [s], > 0
    volume_uncertainty : u_V, standard uncertainty of the volume [m³], ≥ 0
    time_uncertainty : u_t, standard uncertainty of the time [s], ≥ 0

    Returns
    -------
    u_Q, standard uncertainty of the flow [m³/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Starting and stopping a watch by hand is good to about a quarter of a second.

    Source: JCGM 100:2008, 5.1.6, equation 12.
    """
    require_positive("volume", volume, "m³")
    require_positive("time", time, "s")
    require_not_negative("volume_uncertainty", volume_uncertainty, "m³")
    require_not_negative("time_uncertainty", time_uncertainty, "s")
    return volume / time * hypot(volume_uncertainty / volume, time_uncertainty / time)


def _require_readings(values: Sequence[float], fewest: int) -> None:
    require(len(values) >= fewest, "values", values, f"{fewest} readings or more")
    for value in values:
        require_finite("values", value, "the reading's unit")
