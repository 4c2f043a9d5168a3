"""A pump's flow and head: from a fitted curve, or from the rows of its data sheet."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import log, pow

from sizing.errors import OutOfRangeError
from sizing.guards import require, require_not_negative, require_positive

Point = tuple[float, float]  # head, flow


@dataclass(frozen=True)
class PumpCurve:
    """Head over flow at one speed, H = A − B·Q^C."""

    shut_off_head: float  # A [m]
    coefficient: float  # B [m / (m³/s)^C]
    exponent: float  # C [1]


def one_point_curve(flow: float, head: float) -> PumpCurve:
    """Return the curve supposed for a pump of which only the design point is known.

        H = 4/3·H_d − (H_d / (3·Q_d²)) · Q²

    Parameters
    ----------
    flow : Q_d, design flow [m³/s], > 0
    head : H_d, head at the design flow [m], > 0

    Returns
    -------
    A·B·C, shut-off head, coefficient and exponent as a `PumpCurve` [m, m/(m³/s)², 1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Shut-off head 4/3 of the design head, no head at twice the design flow. A guess for
    centrifugal pumps: a data sheet's rows are better.

    Source: EPANET 2.2 User Manual, chapter 3, single-point pump curve.
    """
    require_positive("flow", flow, "m³/s")
    require_positive("head", head, "m")
    return PumpCurve(shut_off_head=4 / 3 * head, coefficient=head / (3 * flow**2), exponent=2.0)


def three_point_curve(
    shut_off_head: float, design_flow: float, design_head: float, high_flow: float, high_flow_head: float
) -> PumpCurve:
    """Return the curve through the shut-off point and two others.

        H = A − B·Q^C
        with C = ln[(A − H₂)/(A − H₁)] / ln(Q₂/Q₁) and B = (A − H₁) / Q₁^C

    Parameters
    ----------
    shut_off_head : A, head without flow [m], > H₁
    design_flow : Q₁, flow at the second point [m³/s], > 0
    design_head : H₁, head at the second point [m], > H₂
    high_flow : Q₂, flow at the third point [m³/s], > Q₁
    high_flow_head : H₂, head at the third point [m], ≥ 0

    Returns
    -------
    A·B·C, shut-off head, coefficient and exponent as a `PumpCurve` [m, m/(m³/s)^C, 1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The curve must fall: head lower at each larger flow.

    Source: EPANET 2.2 User Manual, chapter 3, three-point pump curve.
    """
    require_not_negative("high_flow_head", high_flow_head, "m")
    require(design_head > high_flow_head, "design_head", design_head, f"> {high_flow_head} m")
    require_positive("shut_off_head", shut_off_head, "m")
    require(shut_off_head > design_head, "shut_off_head", shut_off_head, f"> {design_head} m")
    require_positive("design_flow", design_flow, "m³/s")
    require_positive("high_flow", high_flow, "m³/s")
    require(high_flow > design_flow, "high_flow", high_flow, f"> {design_flow} m³/s")
    first, second = shut_off_head - design_head, shut_off_head - high_flow_head
    exponent = log(second / first) / log(high_flow / design_flow)
    return PumpCurve(shut_off_head, first / pow(design_flow, exponent), exponent)


def curve_head(flow: float, shut_off_head: float, coefficient: float, exponent: float, speed_ratio: float) -> float:
    """Return a pump's head at a flow and a speed.

        H = ω² · (A − B · (Q/ω)^C)

    Parameters
    ----------
    flow : Q, volume flow [m³/s], ≥ 0
    shut_off_head : A, head without flow at full speed [m], > 0
    coefficient : B, coefficient of the curve at full speed [m/(m³/s)^C], ≥ 0
    exponent : C, exponent of the curve [1], > 0
    speed_ratio : ω, speed over that of the curve [1], > 0

    Returns
    -------
    H, pump head; negative beyond the largest flow that the pump passes [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A negative head is a flow that this pump does not reach; a solver may pass through it.

    Source: EPANET 2.2 User Manual, chapter 3, pumps, with the affinity laws for speed.
    """
    require_not_negative("flow", flow, "m³/s")
    require_positive("shut_off_head", shut_off_head, "m")
    require_not_negative("coefficient", coefficient, "")
    require_positive("exponent", exponent, "")
    require_positive("speed_ratio", speed_ratio, "")
    return speed_ratio**2 * (shut_off_head - coefficient * pow(flow / speed_ratio, exponent))


def _require_table(rows: Sequence[tuple[float, float, float]]) -> None:
    for row in rows:
        require_not_negative("rows", row[0], "W in each row")
        require_not_negative("rows", row[1], "m in each row")
        require_not_negative("rows", row[2], "m³/s in each row")
    require(len(rows) > 0, "rows", rows, "at least one power with two heads")


def _curves(rows: Sequence[tuple[float, float, float]]) -> dict[float, list[Point]]:
    """Return the table's curves by power; a table is asked thousands of times on the way to a balance."""
    return _sorted_curves(tuple(map(tuple, rows)))


@lru_cache(maxsize=64)
def _sorted_curves(rows: tuple[tuple[float, float, float], ...]) -> dict[float, list[Point]]:
    _require_table(rows)
    return {level: _curve_at(rows, level) for level in {row[0] for row in rows}}


def _curve_at(rows: Sequence[tuple[float, float, float]], level: float) -> list[Point]:
    """One level's points, sorted by head; refused unless flow falls, or stays, as head grows."""
    curve = sorted((head, flow) for power, head, flow in rows if power == level)
    require(len(curve) >= 2, "rows", rows, f"two heads or more at {level:g} W")
    for (head, flow), (higher, lesser) in pairwise(curve):
        require(head < higher, "rows", rows, f"one flow for {head:g} m at {level:g} W")
        require(lesser <= flow, "rows", rows, f"falling in flow as head grows, at {level:g} W")
    return curve


def _flow_on(curve: Sequence[Point], head: float) -> float:
    """Flow on one level's curve: straight lines between its points, nothing above a shut-off point."""
    (lowest, _), (highest, least) = curve[0], curve[-1]
    if head > highest and least == 0:
        return 0.0
    require(lowest <= head <= highest, "head", head, f"within the table, {lowest:g} … {highest:g} m")
    for (left, flow), (right, lesser) in pairwise(curve):
        if head <= right:
            return flow + (lesser - flow) * (head - left) / (right - left)
    raise OutOfRangeError("head", head, f"≤ {highest:g} m")


def pump_table_flow(
    rows: Sequence[tuple[float, float, float]], power: float, head: float, start_power: float | None = None
) -> float:
    """Return a pump's flow at a power and a head, from the rows of its data sheet.

        Q = Q_i(H) + (Q_k(H) − Q_i(H)) · (P − P_i) / (P_k − P_i)
        with Q_i(H), Q_k(H) on straight lines between the rows of power P_i and P_k

    Parameters
    ----------
    rows : R, the table's rows of power, head and flow [(W, m, m³/s), …], two heads or more at each power
    power : P, electrical power into the pump [W], P₀ … largest power in R
    head : H, total dynamic head [m], within the heads of R at both neighbouring powers
    start_power : P₀, power at which the pump begins to deliver, or None if not known [W], below all powers in R

    Returns
    -------
    Q, volume flow [m³/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The rule, exactly. Rows of equal power form a curve of flow over head, sorted by head, with straight
    lines between; flow must not grow with head. Between two powers flow is linear in power. Above
    a curve's last head the flow is zero if the curve ends in zero flow; otherwise the head is refused,
    as is one below the first. Below the smallest power, flow falls in a straight line to zero at the
    start power and is zero below it; with no start power it is refused. Above the largest power
    it is refused. A table by voltage is read alike, with volts in the place of watts.

    Source: bilinear interpolation along the curves of the data sheet; common practice, no source.
    """
    curves = _curves(rows)
    require_not_negative("power", power, "W")
    require_not_negative("head", head, "m")
    smallest = min(curves)
    if power < smallest:
        return _flow_below(curves[smallest], smallest, power, head, start_power)
    low, high = _neighbours(curves, power)
    at_low = _flow_on(curves[low], head)
    if low == high:
        return at_low
    return _between(low, at_low, high, _flow_on(curves[high], head), power)


def pump_table_highest_head(rows: Sequence[tuple[float, float, float]], power: float) -> float:
    """Return the largest head for which the table gives a flow at a power.

        H_max = smaller of the last heads of the curves at P_i and P_k,
                or the larger where both end in zero flow

    Parameters
    ----------
    rows : R, the table's rows of power, head and flow [(W, m, m³/s), …], two heads or more at each power
    power : P, electrical power into the pump [W], ≤ largest power in R

    Returns
    -------
    H_max, largest head [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The upper end of the range in which `pump_table_flow` answers, or where its flow becomes zero.
    Below the smallest power the curve of the smallest power counts.

    Source: the rule of `pump_table_flow`; common practice, no source.
    """
    curves = _curves(rows)
    require_not_negative("power", power, "W")
    ends = [curves[level][-1] for level in _neighbours(curves, max(power, min(curves)))]
    open_ends = [head for head, flow in ends if flow > 0]
    return min(open_ends) if open_ends else max(head for head, _ in ends)


def pump_table_lowest_head(rows: Sequence[tuple[float, float, float]], power: float) -> float:
    """Return the smallest head for which the table gives a flow at a power.

        H_min = larger of the first heads of the curves at P_i and P_k

    Parameters
    ----------
    rows : R, the table's rows of power, head and flow [(W, m, m³/s), …], two heads or more at each power
    power : P, electrical power into the pump [W], ≤ largest power in R

    Returns
    -------
    H_min, smallest head [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The lower end of the range in which `pump_table_flow` answers.
    Below the smallest power the curve of the smallest power counts.

    Source: the rule of `pump_table_flow`; common practice, no source.
    """
    curves = _curves(rows)
    require_not_negative("power", power, "W")
    return max(curves[level][0][0] for level in _neighbours(curves, max(power, min(curves))))


def _neighbours(curves: dict[float, list[Point]], power: float) -> tuple[float, float]:
    """The table's powers on both sides of `power`; the same one twice when it is met."""
    levels = sorted(curves)
    require(power <= levels[-1], "power", power, f"≤ {levels[-1]:g} W, the table's largest")
    return max(level for level in levels if level <= power), min(level for level in levels if level >= power)


def _between(low: float, at_low: float, high: float, at_high: float, x: float) -> float:
    return at_low + (at_high - at_low) * (x - low) / (high - low)


def _flow_below(curve: Sequence[Point], level: float, power: float, head: float, start_power: float | None) -> float:
    """Flow between the start power and the table's smallest power."""
    if start_power is None:
        raise OutOfRangeError("power", power, f"≥ {level:g} W, the table's smallest; no start power is given")
    require(0 <= start_power < level, "start_power", start_power, f"0 … {level:g} W, below the table's powers")
    if power <= start_power:
        return 0.0
    return _between(start_power, 0.0, level, _flow_on(curve, head), power)
