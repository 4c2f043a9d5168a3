"""Flow by bucket and watch, and how well repeats agree."""

from collections.abc import Sequence
from math import hypot

from sizing.formulas.statistics import mean
from sizing.guards import require, require_not_negative, require_positive


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


def relative_spread(values: Sequence[float]) -> float:
    """Return how far repeated readings lie apart, as a share of their mean.

        r = (x_max − x_min) / |x̄|

    Parameters
    ----------
    values : xᵢ, repeated readings in one unit [as the quantity], one or more, mean not 0

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
