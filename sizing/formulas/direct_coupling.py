"""A pump joined straight to an array: the current that it takes at a voltage and a head, from its data sheet."""

from collections.abc import Sequence
from itertools import pairwise

from sizing.guards import require, require_not_negative

Row = tuple[float, float, float]


def pump_table_current(rows: Sequence[Row], voltage: float, head: float) -> float:
    """Return the current of a DC pump at a voltage and a head, from the rows of its data sheet.

        I = I_i(H) + (I_k(H) − I_i(H)) · (V − V_i) / (V_k − V_i)
        with I_i(H), I_k(H) on straight lines between the rows of voltage V_i and V_k

    Parameters
    ----------
    rows : R, the table's rows of voltage, head and current [(V, m, A), …], two heads or more at each voltage
    voltage : V, at the motor [V], within the voltages in R
    head : H, total dynamic head [m], within the heads of R at both neighbouring voltages

    Returns
    -------
    I, current [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Of a helical rotor the current rises with the head and hardly with the voltage; of a centrifugal pump it falls
    with the head and rises with the voltage.

    Source: bilinear interpolation along the curves of the data sheet; common practice, no source.
    """
    require(len(rows) > 0, "rows", rows, "at least one voltage with two heads")
    for row in rows:
        for one in row:
            require_not_negative("rows", one, "in each row")
    levels = sorted({row[0] for row in rows})
    is_within = levels[0] <= voltage <= levels[-1]
    require(is_within, "voltage", voltage, f"within the table, {levels[0]:g} … {levels[-1]:g} V")
    low, high = max(v for v in levels if v <= voltage), min(v for v in levels if v >= voltage)
    at_low, at_high = _on_curve(rows, low, head), _on_curve(rows, high, head)
    return at_low if low == high else at_low + (at_high - at_low) * (voltage - low) / (high - low)


def _on_curve(rows: Sequence[Row], level: float, head: float) -> float:
    """Current on one voltage's curve: straight lines between its points."""
    curve = sorted((h, current) for voltage, h, current in rows if voltage == level)
    require(len(curve) >= 2, "rows", rows, f"two heads or more at {level:g} V")
    lowest, highest = curve[0][0], curve[-1][0]
    require(lowest <= head <= highest, "head", head, f"within the table, {lowest:g} … {highest:g} m")
    left, right = next((a, b) for a, b in pairwise(curve) if a[0] <= head <= b[0])
    return left[1] + (right[1] - left[1]) * (head - left[0]) / (right[0] - left[0])
