"""How much water a system holds, for disinfecting it."""

from collections.abc import Sequence
from math import fsum

from sizing.guards import require, require_finite, require_not_negative, require_positive


def water_column(depth: float, level: float) -> float:
    """Return the height of the water standing in a well.

        h = D_w − D

    Parameters
    ----------
    depth : D_w, depth of the well [m], > 0
    level : D, depth to water [m], ≤ D_w

    Returns
    -------
    h, height of water [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: difference of two depths; common practice, no source.
    """
    require_positive("depth", depth, "m")
    require_finite("level", level, "m")
    require(level <= depth, "level", level, f"≤ the depth of the well, {depth} m")
    return depth - level


def summed_volume(volumes: Sequence[float]) -> float:
    """Return the water held by all parts together.

        V_w = Σ Vᵢ

    Parameters
    ----------
    volumes : Vᵢ, water held by each part [m³, …], one or more, each ≥ 0

    Returns
    -------
    V_w, water held by all [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: conservation of volume.
    """
    require(len(volumes) > 0, "volumes", len(volumes), "one or more numbers")
    for one in volumes:
        require_not_negative("volumes", one, "m³")
    return fsum(volumes)


def pumped_volume(flow: float, time: float) -> float:
    """Return the water that a steady flow brings in a time.

        V = Q · t

    Parameters
    ----------
    flow : Q, volume flow [m³/s], ≥ 0
    time : t, time [s], ≥ 0

    Returns
    -------
    V, volume [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: definition of volume flow.
    """
    require_not_negative("flow", flow, "m³/s")
    require_not_negative("time", time, "s")
    return flow * time
