"""A booster's printed table: what stands beside a pressure rise."""

from collections.abc import Sequence
from itertools import pairwise

from sizing.guards import require


def table_current(pressures: Sequence[float], currents: Sequence[float], pressure: float) -> float:
    """Return the current of a booster at a pressure rise, by straight lines between the rows of its table.

        I = Iᵢ + (Iᵢ₊₁ − Iᵢ) · (p − pᵢ) / (pᵢ₊₁ − pᵢ)

    Parameters
    ----------
    pressures : pᵢ, pressure rises of the table, rising [Pa, …], two or more
    currents : Iᵢ, current beside each [A, …], as many
    pressure : p, pressure rise to find the current at [Pa], p₁ … pₙ

    Returns
    -------
    I, current [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    At the voltage of the table. Beyond its rows nothing is said.

    Source: linear interpolation between printed rows; arithmetic, no fitted coefficient.
    """
    require(len(pressures) >= 2, "pressures", len(pressures), "two or more")
    require(all(a < b for a, b in pairwise(pressures)), "pressures", pressures, "rising")
    require(len(currents) == len(pressures), "currents", len(currents), "as many as pressures")
    least, most = pressures[0], pressures[-1]
    require(least <= pressure <= most, "pressure", pressure, f"{least:g} … {most:g} Pa, as the table has it")
    rows = zip(pressures, currents, strict=True)
    (p1, i1), (p2, i2) = next((a, b) for a, b in pairwise(rows) if pressure <= b[0])
    return i1 + (i2 - i1) * (pressure - p1) / (p2 - p1)
