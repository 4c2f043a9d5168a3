"""What the doubt about a reading does to a pass or a fail, and to a change between two visits.

A standard uncertainty u is one standard deviation; an expanded one is U = k · u, with k = 2
for about 95 %.
"""

from math import inf, sqrt

from sizing.formulas.statistics import normal_cumulative, normal_deviate
from sizing.guards import require, require_finite, require_not_negative, require_positive


def _check_limits(lower: float | None, upper: float | None) -> tuple[float, float]:
    """Return both limits, endless where there is none."""
    low, high = -inf if lower is None else lower, inf if upper is None else upper
    require(low < inf, "lower", lower, "a number, or none")
    require(high > low, "upper", upper, "above the lower limit, and one of the two given")
    require(low > -inf or high < inf, "upper", upper, "given, when there is no lower limit")
    return low, high


def conformance_probability(
    value: float, standard_uncertainty: float, lower: float | None, upper: float | None
) -> float:
    """Return the probability that the true value lies within its limits.

        p = Φ((T_U − y) / u) − Φ((T_L − y) / u)

    Parameters
    ----------
    value : y, measured value [1], any
    standard_uncertainty : u, standard uncertainty of it [1], > 0
    lower : T_L, lower limit, or none [1], < T_U
    upper : T_U, upper limit, or none [1], > T_L

    Returns
    -------
    p, probability, 0 … 1 [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it, or there is no limit at all.

    Notes
    -----
    Takes nothing as known before the measurement, and a normal distribution of error.

    Source: JCGM 106:2012, equations 8 to 10 (equation numbers from memory).
    """
    require_finite("value", value, "the reading's unit")
    require_positive("standard_uncertainty", standard_uncertainty, "in the reading's unit")
    low, high = _check_limits(lower, upper)
    above = (high - value) / standard_uncertainty
    below = (low - value) / standard_uncertainty
    if below > 0:  # keeps the digits of a small probability
        above, below = -below, -above
    return normal_cumulative(above) - normal_cumulative(below)


def guard_multiple(confidence: float) -> float:
    """Return how many standard uncertainties inside one limit give a wanted confidence.

        z = Φ⁻¹(p)

    Parameters
    ----------
    confidence : p, probability that a value just accepted conforms [1], 0.5 … < 1

    Returns
    -------
    z, guard band over standard uncertainty [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: JCGM 106:2012, Table 1 (one limit, normal distribution; from memory).
    """
    require(0.5 <= confidence < 1, "confidence", confidence, "0.5 … below 1")
    return normal_deviate(confidence)


def consumer_risk_at_guard_band(guard_factor: float, coverage_factor: float) -> float:
    """Return the risk that a value accepted at the edge of its guard band breaks the limit.

        risk = 1 − Φ(g · k)  for a guard band  w = g · U = g · k · u

    Parameters
    ----------
    guard_factor : g, guard band over expanded uncertainty [1], ≥ 0
    coverage_factor : k, of the expanded uncertainty [1], > 0

    Returns
    -------
    risk, probability, at most 0.5 [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Without guard band 50 % at the limit itself; g of 1 with k of 2 leaves 2.3 %.

    Source: ILAC-G8:09/2019, Table 1 (from memory); normal distribution, one limit.
    """
    require_not_negative("guard_factor", guard_factor, "1")
    require_positive("coverage_factor", coverage_factor, "1")
    return normal_cumulative(-guard_factor * coverage_factor)


def decision_zone(value: float, lower: float | None, upper: float | None, guard_band: float) -> str:
    """Return where a reading stands against its limits and their guard bands.

        pass              more than w inside every limit, or on that edge
        conditional pass  inside, within w of a limit
        conditional fail  outside, within w of a limit
        fail              more than w outside

    Parameters
    ----------
    value : y, measured value [1], any
    lower : T_L, lower limit, or none [1], < T_U
    upper : T_U, upper limit, or none [1], > T_L
    guard_band : w, guard band, usually U [1], ≥ 0

    Returns
    -------
    zone, one of pass, conditional pass, conditional fail, fail [text]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it, or there is no limit at all.

    Source: ILAC-G8:09/2019, clause 4.2.3, non-binary statement with a guard band.
    """
    require_finite("value", value, "the reading's unit")
    require_not_negative("guard_band", guard_band, "in the reading's unit")
    low, high = _check_limits(lower, upper)
    inside = min(value - low, high - value)
    if inside >= guard_band:
        return "pass"
    if inside >= 0:
        return "conditional pass"
    return "conditional fail" if inside >= -guard_band else "fail"


def normalised_error(first: float, first_expanded: float, later: float, later_expanded: float) -> float:
    """Return how large a change is against the uncertainty of both readings.

        E_n = |x₁ − x₂| / √(U₁² + U₂²)

    Parameters
    ----------
    first : x₁, first value [1], any
    first_expanded : U₁, expanded uncertainty of it [1], ≥ 0
    later : x₂, later value, at the same conditions [1], any
    later_expanded : U₂, expanded uncertainty of it [1], > 0

    Returns
    -------
    E_n, above 1 the change is real [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Carry both to one irradiance, temperature or level first. An error that both share, such
    as the same meter's, cancels and makes E_n too small.

    Source: ISO 13528:2015, clause 9.7 (En score, clause from memory); k of 2 in both.
    """
    require_finite("first", first, "the reading's unit")
    require_finite("later", later, "the reading's unit")
    require_not_negative("first_expanded", first_expanded, "in the reading's unit")
    require_positive("later_expanded", later_expanded, "in the reading's unit")
    return abs(first - later) / sqrt(first_expanded**2 + later_expanded**2)
