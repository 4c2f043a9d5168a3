"""Figures about repeated readings, and the normal distribution behind a coverage statement."""

from collections.abc import Sequence
from math import erfc, exp, fsum, inf, isfinite, pi, sqrt

from sizing.guards import require, require_finite, require_positive


def _check_values(values: Sequence[float], fewest: int, name: str = "values") -> None:
    require(len(values) >= fewest, name, len(values), f"{fewest} or more numbers")
    require(all(isfinite(value) for value in values), name, values, "finite numbers")


def mean(values: Sequence[float]) -> float:
    """Return the arithmetic mean.

        x̄ = Σ xᵢ / n

    Parameters
    ----------
    values : xᵢ, readings in one unit [1, …], one or more

    Returns
    -------
    x̄, mean, in the unit of the readings [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: GUM (JCGM 100:2008), equation 3.
    """
    _check_values(values, 1)
    return fsum(values) / len(values)


def standard_deviation(values: Sequence[float]) -> float:
    """Return the standard deviation of a sample.

        s = √[Σ (xᵢ − x̄)² / (n − 1)]

    Parameters
    ----------
    values : xᵢ, readings in one unit [1, …], two or more

    Returns
    -------
    s, in the unit of the readings [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: GUM (JCGM 100:2008), equation 4.
    """
    _check_values(values, 2)
    centre = mean(values)
    return sqrt(fsum((value - centre) ** 2 for value in values) / (len(values) - 1))


def standard_uncertainty_of_mean(values: Sequence[float]) -> float:
    """Return the standard uncertainty of the mean of repeated readings.

        u = s / √n

    Parameters
    ----------
    values : xᵢ, readings in one unit [1, …], two or more

    Returns
    -------
    u, in the unit of the readings [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Three readings say little about scatter: the instrument's own limits come on top.

    Source: GUM (JCGM 100:2008), equation 5.
    """
    return standard_deviation(values) / sqrt(len(values))


def correlation(first: Sequence[float], second: Sequence[float]) -> float:
    """Return the correlation of two sets of readings taken in pairs.

        r = Σ (xᵢ − x̄)(yᵢ − ȳ) / √[Σ (xᵢ − x̄)² · Σ (yᵢ − ȳ)²]

    Parameters
    ----------
    first : xᵢ, readings [1, …], two or more, not all equal
    second : yᵢ, readings taken with them [1, …], as many, not all equal

    Returns
    -------
    r, −1 … 1 [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: GUM (JCGM 100:2008), equations 14 and 17.
    """
    _check_values(first, 2, "first")
    _check_values(second, 2, "second")
    require(len(second) == len(first), "second", len(second), f"{len(first)} numbers, one for each of the first")
    x, y = mean(first), mean(second)
    xx, yy = fsum((a - x) ** 2 for a in first), fsum((b - y) ** 2 for b in second)
    require(xx > 0, "first", first, "not all equal")
    require(yy > 0, "second", second, "not all equal")
    return fsum((a - x) * (b - y) for a, b in zip(first, second, strict=True)) / sqrt(xx * yy)


def trend_slope(places: Sequence[float], values: Sequence[float]) -> float:
    """Return the slope of the least-squares line through readings.

        m = Σ (xᵢ − x̄)(yᵢ − ȳ) / Σ (xᵢ − x̄)²

    Parameters
    ----------
    places : xᵢ, when or where each was read [1, …], two or more, not all equal
    values : yᵢ, readings [1, …], as many

    Returns
    -------
    m, change of a reading for each unit of place [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: GUM (JCGM 100:2008), annex H.3, equation H.13b (number from memory).
    """
    _check_values(places, 2, "places")
    _check_values(values, 2)
    require(len(values) == len(places), "values", len(values), f"{len(places)} numbers, one for each place")
    x, y = mean(places), mean(values)
    xx = fsum((a - x) ** 2 for a in places)
    require(xx > 0, "places", places, "not all equal")
    return fsum((a - x) * (b - y) for a, b in zip(places, values, strict=True)) / xx


def normal_cumulative(deviate: float) -> float:
    """Return the share of a standard normal distribution below a value.

        Φ(z) = ½ · erfc(−z / √2)

    Parameters
    ----------
    deviate : z, value in standard deviations from the mean [1], any

    Returns
    -------
    Φ, probability, 0 … 1 [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: definition of the normal distribution, ISO 3534-1:2006, 2.50 (number from memory).
    """
    require(-inf <= deviate <= inf, "deviate", deviate, "a number")
    return 0.5 * erfc(-deviate / sqrt(2))  # not 1 + erf, which loses a small probability


def normal_deviate(probability: float) -> float:
    """Return the value below which a share of a standard normal distribution lies.

        z = Φ⁻¹(p)

    Parameters
    ----------
    probability : p, share below [1], between 0 and 1

    Returns
    -------
    z, in standard deviations from the mean [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: inverse of the normal distribution, ISO 3534-1:2006, 2.50 (number from memory); computed by Wichura's
    algorithm AS 241 in the standard library.
    """
    require(0 < probability < 1, "probability", probability, "between 0 and 1")
    from statistics import NormalDist  # here: importing it takes longer than ten of the core's modules

    return NormalDist().inv_cdf(probability)


def normal_density(deviate: float) -> float:
    """Return the density of the standard normal distribution.

        φ(z) = exp(−z² / 2) / √(2π)

    Parameters
    ----------
    deviate : z, value in standard deviations from the mean [1], any

    Returns
    -------
    φ, probability for each standard deviation [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: definition of the normal distribution, ISO 3534-1:2006, 2.50 (number from memory).
    """
    require_finite("deviate", deviate, "standard deviations")
    return exp(-(deviate**2) / 2) / sqrt(2 * pi)


def effective_degrees_of_freedom(uncertainties: Sequence[float], degrees: Sequence[float]) -> float:
    """Return how many degrees of freedom a combined uncertainty has.

        ν_eff = (Σ uᵢ²)² / Σ (uᵢ⁴ / νᵢ)

    Parameters
    ----------
    uncertainties : uᵢ, parts of the result's standard uncertainty [1, …], each > 0
    degrees : νᵢ, degrees of freedom of each [1, …], as many, each > 0, inf for a known limit

    Returns
    -------
    ν_eff, infinite when every part is known without end [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: GUM (JCGM 100:2008), annex G, equation G.2b (Welch, Satterthwaite).
    """
    _check_values(uncertainties, 1, "uncertainties")
    for one in uncertainties:
        require_positive("uncertainties", one, "in the unit of the result")
    require(len(degrees) == len(uncertainties), "degrees", len(degrees), f"{len(uncertainties)} numbers")
    require(all(one > 0 for one in degrees), "degrees", degrees, "each > 0")
    weakness = fsum(u**4 / v for u, v in zip(uncertainties, degrees, strict=True))
    return fsum(u**2 for u in uncertainties) ** 2 / weakness if weakness > 0 else inf
