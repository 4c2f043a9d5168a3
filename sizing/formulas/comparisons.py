"""One thing against its like: a string against all, a part against a whole, a warm joint against a cool one."""

from collections.abc import Sequence
from math import fsum, inf

from sizing.guards import require, require_finite, require_not_negative, require_positive


def share_from_mean(value: float, values: Sequence[float]) -> float:
    """Return how far one of several readings lies from the mean of all, over that mean.

        s = (x − x̄) / x̄

    Parameters
    ----------
    value : x, the one reading [as the quantity], any
    values : xᵢ, all readings, this one among them [as the quantity, …], one or more, mean > 0

    Returns
    -------
    s, share, negative below the mean [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: IEC 62446-1:2016, comparison of strings; against the mean is this project's reading of it.
    """
    require_finite("value", value, "the reading's unit")
    require(len(values) > 0, "values", len(values), "one or more numbers")
    require(all(-inf < one < inf for one in values), "values", values, "finite numbers")
    mean = fsum(values) / len(values)
    require(mean > 0, "values", values, "of a mean above zero")
    return (value - mean) / mean


def share_of(value: float, whole: float) -> float:
    """Return a value as a share of another.

        s = x / y

    Parameters
    ----------
    value : x, the value [as the quantity], any
    whole : y, what it is a share of [as the quantity], > 0

    Returns
    -------
    s, share [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: arithmetic, no fitted coefficient.
    """
    require_finite("value", value, "the reading's unit")
    require_positive("whole", whole, "in the unit of the value")
    return value / whole


def rise_at_current(rise: float, current: float, full_current: float) -> float:
    """Return the rise of a joint's temperature, carried to full current.

        ΔT_f = ΔT · (I_f / I)²

    Parameters
    ----------
    rise : ΔT, over like joints at the same current [K], ≥ 0
    current : I, through the joint while it was felt [A], > 0
    full_current : I_f, current to which it is carried [A], > 0

    Returns
    -------
    ΔT_f, rise at full current [K]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Still air and the same joint: wind takes half of it away. Exponents of 1.5 to 2 are in use; 2 is on the safe side.

    Source: Joule's law, heat with the square of the current; heat given off in proportion to the rise.
    """
    require_not_negative("rise", rise, "K")
    require_positive("current", current, "A")
    require_positive("full_current", full_current, "A")
    return rise * (full_current / current) ** 2
