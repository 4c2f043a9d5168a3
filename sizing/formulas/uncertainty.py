"""How far a reading may be from the truth, and what that does to a pass or a fail.

A standard uncertainty u is one standard deviation; an expanded one is U = k · u, with k = 2
for about 95 %. A half width is the ± of an instrument's data sheet.
"""

from collections.abc import Sequence
from math import fsum, isfinite, sqrt

from sizing.formulas.decisions import (
    conformance_probability,
    consumer_risk_at_guard_band,
    decision_zone,
    guard_multiple,
    normalised_error,
)
from sizing.guards import require, require_finite, require_not_negative, require_positive

__all__ = [
    "combine",
    "combine_correlated",
    "conformance_probability",
    "consumer_risk_at_guard_band",
    "decision_zone",
    "expanded",
    "full_scale_half_width",
    "guard_multiple",
    "normalised_error",
    "reading_half_width",
    "relative_uncertainty_of_product",
    "standard_from_half_width",
]

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
