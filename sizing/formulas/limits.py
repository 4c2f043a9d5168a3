"""From an expected value and a tolerance to limits."""

from sizing.errors import OutOfRangeError


def lower_limit(nominal: float, tolerance: float) -> float:
    """Return the lower limit at a relative tolerance below the expected value.

        y_L = y · (1 − t)

    Parameters
    ----------
    nominal : y, expected value [as the quantity], ≥ 0
    tolerance : t, allowed departure as a share of it [1], 0 … 1

    Returns
    -------
    y_L, lower limit [as the quantity]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: JCGM 106:2012, 3.3.5 tolerance limit; arithmetic, no fitted coefficient.
    """
    _check(nominal, tolerance)
    return nominal * (1 - tolerance)


def upper_limit(nominal: float, tolerance: float) -> float:
    """Return the upper limit at a relative tolerance above the expected value.

        y_U = y · (1 + t)

    Parameters
    ----------
    nominal : y, expected value [as the quantity], ≥ 0
    tolerance : t, allowed departure as a share of it [1], 0 … 1

    Returns
    -------
    y_U, upper limit [as the quantity]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: JCGM 106:2012, 3.3.5 tolerance limit; arithmetic, no fitted coefficient.
    """
    _check(nominal, tolerance)
    return nominal * (1 + tolerance)


def limit_at_offset(nominal: float, offset: float) -> float:
    """Return a limit at a fixed distance from the expected value.

        y_lim = y + d

    Parameters
    ----------
    nominal : y, expected value [as the quantity], any
    offset : d, distance of the limit, negative below [as the quantity], any

    Returns
    -------
    y_lim, limit [as the quantity]

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number.

    Source: JCGM 106:2012, 3.3.5 tolerance limit; arithmetic, no fitted coefficient.
    """
    for name, value in (("nominal", nominal), ("offset", offset)):
        if not abs(value) < float("inf"):
            raise OutOfRangeError(name, value, "a finite number")
    return nominal + offset


def _check(nominal: float, tolerance: float) -> None:
    if not 0 <= nominal < float("inf"):
        raise OutOfRangeError("nominal", nominal, "≥ 0")
    if not 0 <= tolerance <= 1:
        raise OutOfRangeError("tolerance", tolerance, "0 … 1")
