"""Risks of deciding by a measurement, seen over all the items that are measured."""

from math import fsum

from sizing.formulas.statistics import normal_cumulative, normal_density
from sizing.formulas.uncertainty import guard_multiple
from sizing.guards import require, require_not_negative, require_positive

INTEGRATION_STEPS = 4000  # even, for Simpson's rule over ten standard deviations each way


def reading_that_proves_excess(limit: float, relative_uncertainty: float, confidence: float) -> float:
    """Return the reading from which an upper limit is exceeded with a wanted confidence.

        y = T_U / (1 − z · u_rel),  z = Φ⁻¹(p)

    Parameters
    ----------
    limit : T_U, upper limit [1], > 0
    relative_uncertainty : u_rel, standard uncertainty over reading [1], ≥ 0, z · u_rel < 1
    confidence : p, confidence wanted [1], 0.5 … < 1

    Returns
    -------
    y, lowest reading that proves the excess [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: JCGM 106:2012, clause 8.3.3, guarded rejection (speed of vehicles; from memory).
    """
    require_positive("limit", limit, "in the reading's unit")
    require_not_negative("relative_uncertainty", relative_uncertainty, "1")
    share = guard_multiple(confidence) * relative_uncertainty
    require(share < 1, "relative_uncertainty", relative_uncertainty, "small enough to prove anything")
    return limit / (1 - share)


def _joint_share(process: float, measurement: float, tolerance: float, acceptance: float, good: bool) -> float:
    """Integrate over true values, inside (`good`) or outside tolerance: P(true there, other verdict)."""
    start, end = (-tolerance, tolerance) if good else (tolerance, tolerance + 10 * process)
    step = (end - start) / INTEGRATION_STEPS

    def density(true: float) -> float:
        high = normal_cumulative((acceptance - true) / measurement)
        accepted = high - normal_cumulative((-acceptance - true) / measurement)
        return normal_density(true / process) / process * (1 - accepted if good else accepted)

    weights = [1.0] + [4.0 if i % 2 else 2.0 for i in range(1, INTEGRATION_STEPS)] + [1.0]
    whole = fsum(weight * density(start + i * step) for i, weight in enumerate(weights)) * step / 3
    return whole if good else 2 * whole  # outside there are two equal sides


def _check_risk(process: float, measurement: float, tolerance: float, acceptance: float) -> None:
    require_positive("process_deviation", process, "in the reading's unit")
    require_positive("standard_uncertainty", measurement, "in the reading's unit")
    require(measurement >= process / 100, "standard_uncertainty", measurement, f"≥ {process / 100:g}")
    require_positive("tolerance", tolerance, "in the reading's unit")
    require(tolerance <= 10 * process, "tolerance", tolerance, f"≤ {10 * process:g}, ten process deviations")
    require_positive("acceptance", acceptance, "in the reading's unit")


def global_consumer_risk(
    process_deviation: float, standard_uncertainty: float, tolerance: float, acceptance: float
) -> float:
    """Return the share of all items that are accepted and yet out of tolerance.

        R_C = ∫_{|η| > T} φ(η / u₀) / u₀ · [Φ((A − η) / u) − Φ((−A − η) / u)] dη

    Parameters
    ----------
    process_deviation : u₀, standard deviation of true values about nominal [1], > 0
    standard_uncertainty : u, of one measurement [1], ≥ u₀ / 100
    tolerance : T, tolerance each side of nominal [1], > 0, ≤ 10 u₀
    acceptance : A, acceptance limit each side of nominal [1], > 0

    Returns
    -------
    R_C, probability [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: JCGM 106:2012, clause 9.5.3, equation 17 (from memory); Simpson's rule.
    """
    _check_risk(process_deviation, standard_uncertainty, tolerance, acceptance)
    return _joint_share(process_deviation, standard_uncertainty, tolerance, acceptance, good=False)


def global_producer_risk(
    process_deviation: float, standard_uncertainty: float, tolerance: float, acceptance: float
) -> float:
    """Return the share of all items that are refused and yet within tolerance.

        R_P = ∫_{|η| ≤ T} φ(η / u₀) / u₀ · {1 − [Φ((A − η) / u) − Φ((−A − η) / u)]} dη

    Parameters
    ----------
    process_deviation : u₀, standard deviation of true values about nominal [1], > 0
    standard_uncertainty : u, of one measurement [1], ≥ u₀ / 100
    tolerance : T, tolerance each side of nominal [1], > 0, ≤ 10 u₀
    acceptance : A, acceptance limit each side of nominal [1], > 0

    Returns
    -------
    R_P, probability [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: JCGM 106:2012, clause 9.5.3, equation 19 (from memory); Simpson's rule.
    """
    _check_risk(process_deviation, standard_uncertainty, tolerance, acceptance)
    return _joint_share(process_deviation, standard_uncertainty, tolerance, acceptance, good=True)
