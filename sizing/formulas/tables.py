"""Reading a printed table between its rows."""

from collections.abc import Sequence
from itertools import pairwise

from sizing.guards import require_between


def between_rows(argument: str, value: float, rows: Sequence[tuple[float, float]], unit: str) -> float:
    """Return the straight-line value between two rows of a table, none beyond its ends.

        y = y₀ + (y₁ − y₀) · (x − x₀) / (x₁ − x₀)

    Parameters
    ----------
    argument : name, of what is looked up, for the error [text], any
    value : x, where to read [1], first … last row
    rows : xᵢ, yᵢ, rows in rising order of x [1, …], two or more
    unit : unit, of x, for the error [text], any

    Returns
    -------
    y, in the unit of the table [1]

    Raises
    ------
    OutOfRangeError
        If the value lies outside the table; it names `argument`.

    Source: linear interpolation.
    """
    require_between(argument, value, rows[0][0], rows[-1][0], unit)
    (x0, y0), (x1, y1) = next(pair for pair in pairwise(rows) if value <= pair[1][0])
    return y0 + (y1 - y0) * (value - x0) / (x1 - x0)
