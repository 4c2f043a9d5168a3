"""How far a reading may be from the truth, and what that does to a pass or a fail.

A standard uncertainty u is one standard deviation; an expanded one is U = k · u, with k = 2
for about 95 %. A half width is the ± of an instrument's data sheet.
"""

from collections.abc import Sequence
from math import fsum, inf, isfinite, sqrt

from sizing.formulas.statistics import normal_cumulative, normal_deviate
from sizing.guards import require, require_finite, require_not_negative, require_positive

COVERAGE_FACTOR = 2.0  # about 95 % of a normal distribution, GUM (JCGM 100:2008) 6.3.3


def reading_half_width(reading: float, fraction: float, counts: float, resolution: float) -> float:
    """Return the ± of a digital instrument stated as "% of reading + digits".

        a = f · |x| + n · r

    Parameters
    ----------
    reading : x, what the display shows [1], any
    fraction : f, share of the reading, 0.01 for 1 % [1], ≥ 0
    counts : n, digits added [1], ≥ 0
    resolution : r, one step of the last digit on that range [1], ≥ 0

    Returns
    -------
    a, half width, in the unit of the reading [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A digit is a step of the last displayed figure of the range in use, not of the best range.
    An instrument out of calibration or outside 18 … 28 °C may be worse.

    Source: usual form of a data sheet, IEC 60359:2001 (clause from memory).
    """
    require_finite("reading", reading, "the display's unit")
    require_not_negative("fraction", fraction, "1")
    require_not_negative("counts", counts, "1")
    require_not_negative("resolution", resolution, "in the display's unit")
    return fraction * abs(reading) + counts * resolution


def full_scale_half_width(fraction: float, full_scale: float) -> float:
    """Return the ± of an instrument stated as a share of its full scale.

        a = f · x_max

    Parameters
    ----------
    fraction : f, share of full scale, the accuracy class over 100 [1], ≥ 0
    full_scale : x_max, span of the scale [1], > 0

    Returns
    -------
    a, half width, the same at every reading [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    At a quarter of full scale the relative error is four times the class.

    Source: accuracy class of pressure gauges, EN 837-1:1996, clause 6 (from memory).
    """
    require_not_negative("fraction", fraction, "1")
    require_positive("full_scale", full_scale, "in the scale's unit")
    return fraction * full_scale


def standard_from_half_width(half_width: float) -> float:
    """Return the standard uncertainty of a value known only to lie within ± a half width.

        u = a / √3

    Parameters
    ----------
    half_width : a, half width of the limits [1], ≥ 0

    Returns
    -------
    u, standard uncertainty, in the same unit [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: GUM (JCGM 100:2008), equation 7 (rectangular distribution).
    """
    require_not_negative("half_width", half_width, "in the unit of the reading")
    return half_width / sqrt(3)


def combine(uncertainties: Sequence[float]) -> float:
    """Return the standard uncertainty of a sum or difference of independent terms.

        u = √(Σ uᵢ²)

    Parameters
    ----------
    uncertainties : uᵢ, standard uncertainty of each term [1, …], one or more, each ≥ 0

    Returns
    -------
    u, standard uncertainty, in the same unit [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    For a product or quotient put in relative uncertainties and take out a relative one.

    Source: GUM (JCGM 100:2008), equation 10 with unit sensitivities.
    """
    require(len(uncertainties) > 0, "uncertainties", len(uncertainties), "one or more numbers")
    for one in uncertainties:
        require_not_negative("uncertainties", one, "in the unit of the result")
    return sqrt(fsum(u * u for u in uncertainties))


def relative_uncertainty_of_product(relative_uncertainties: Sequence[float], exponents: Sequence[float]) -> float:
    """Return the relative standard uncertainty of a product of powers.

        u / y = √[Σ (pᵢ · uᵢ / xᵢ)²]  for  y = c · x₁^p₁ · x₂^p₂ …

    Parameters
    ----------
    relative_uncertainties : uᵢ/xᵢ, relative standard uncertainty of each factor [1, …], each ≥ 0
    exponents : pᵢ, power of each, −1 for a divisor [1, …], as many

    Returns
    -------
    u/y, relative standard uncertainty of the result [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: GUM (JCGM 100:2008), equation 12.
    """
    count = len(relative_uncertainties)
    require(count > 0, "relative_uncertainties", count, "one or more numbers")
    require(len(exponents) == count, "exponents", len(exponents), f"{count} numbers, one for each factor")
    require(all(isfinite(p) for p in exponents), "exponents", exponents, "finite numbers")
    for one in relative_uncertainties:
        require_not_negative("relative_uncertainties", one, "1")
    return combine([abs(p) * u for p, u in zip(exponents, relative_uncertainties, strict=True)])


def combine_correlated(
    uncertainties: Sequence[float], sensitivities: Sequence[float], correlations: Sequence[Sequence[float]]
) -> float:
    """Return the standard uncertainty of a result whose inputs move together.

        u = √[Σᵢ Σⱼ cᵢ · cⱼ · uᵢ · uⱼ · rᵢⱼ]

    Parameters
    ----------
    uncertainties : uᵢ, standard uncertainty of each input [1, …], each ≥ 0
    sensitivities : cᵢ, change of the result for each unit of an input [1, …], as many
    correlations : rᵢⱼ, square table of correlations, 1 on the diagonal [1, …], −1 … 1

    Returns
    -------
    u, standard uncertainty of the result [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: GUM (JCGM 100:2008), equation 16.
    """
    count = len(uncertainties)
    require(count > 0, "uncertainties", count, "one or more numbers")
    require(len(sensitivities) == count, "sensitivities", len(sensitivities), f"{count} numbers")
    require(all(isfinite(c) for c in sensitivities), "sensitivities", sensitivities, "finite numbers")
    for one in uncertainties:
        require_not_negative("uncertainties", one, "in the unit of the input")
    square = len(correlations) == count and all(len(row) == count for row in correlations)
    require(square, "correlations", correlations, f"{count} rows of {count}")
    require(all(-1 <= r <= 1 for row in correlations for r in row), "correlations", correlations, "each −1 … 1")
    parts = [c * u for c, u in zip(sensitivities, uncertainties, strict=True)]
    variance = fsum(parts[i] * parts[j] * correlations[i][j] for i in range(count) for j in range(count))
    require(variance > -1e-12 * fsum(part * part for part in parts), "correlations", correlations, "consistent")
    return sqrt(max(0.0, variance))  # full correlation may leave −1e-18


def expanded(standard_uncertainty: float, coverage_factor: float) -> float:
    """Return the expanded uncertainty printed after a ±.

        U = k · u

    Parameters
    ----------
    standard_uncertainty : u, standard uncertainty [1], ≥ 0
    coverage_factor : k, 2 for about 95 % [1], > 0

    Returns
    -------
    U, expanded uncertainty, in the same unit [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: GUM (JCGM 100:2008), equation 18.
    """
    require_not_negative("standard_uncertainty", standard_uncertainty, "in the unit of the reading")
    require_positive("coverage_factor", coverage_factor, "1")
    return coverage_factor * standard_uncertainty


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
