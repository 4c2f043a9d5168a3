"""Clear and grey days of a month: how far single days lie from the mean day."""

from math import exp, log

from sizing.guards import require_between

LEAST_CLEARNESS = 0.05  # of the greyest day; Hollands and Huget 1983, as printed in Duffie and Beckman


def greatest_clearness(mean_clearness: float) -> float:
    """Return the clearness index of the clearest day of a month.

        K_max = 0.6313 + 0.267 · K − 11.9 · (K − 0.75)⁸

    Parameters
    ----------
    mean_clearness : K, monthly mean clearness index [1], 0.2 … 0.8

    Returns
    -------
    K_max, clearness index of the clearest day [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Hollands and Huget 1983 (Solar Energy 30: 195); Duffie and Beckman, Solar Engineering of Thermal
    Processes, 4th ed. 2013, eq. 2.9.8, from memory.
    """
    require_between("mean_clearness", mean_clearness, 0.2, 0.8, "")
    return 0.6313 + 0.267 * mean_clearness - 11.9 * (mean_clearness - 0.75) ** 8


def clearness_at_share(mean_clearness: float, share: float) -> float:
    """Return the clearness index that a share of a month's days does not exceed.

        f(K) = (exp(γ · K_min) − exp(γ · K)) / (exp(γ · K_min) − exp(γ · K_max)), solved for K
        γ = −1.498 + (1.184 · ξ − 27.182 · exp(−1.5 · ξ)) / (K_max − K_min)
        ξ = (K_max − K_min) / (K_max − K̄)

    Parameters
    ----------
    mean_clearness : K̄, monthly mean clearness index [1], 0.2 … 0.8
    share : f, share of the days with this clearness or less [1], 0 … 1

    Returns
    -------
    K, clearness index of the day [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The mean over all shares gives the monthly mean back within 0.002 from 0.3 on, within 0.016 at 0.2.

    Source: Bendt, Collares-Pereira, Rabl 1981 (Solar Energy 27: 1), the form of the distribution; Hollands and Huget
    1983 (Solar Energy 30: 195), γ; Duffie and Beckman, 4th ed. 2013, eqs. 2.9.6 to 2.9.9, from memory.
    """
    require_between("share", share, 0, 1, "")
    most = greatest_clearness(mean_clearness)
    span = most - LEAST_CLEARNESS
    xi = span / (most - mean_clearness)
    gamma = -1.498 + (1.184 * xi - 27.182 * exp(-1.5 * xi)) / span
    low, high = exp(gamma * LEAST_CLEARNESS), exp(gamma * most)
    return log(low - share * (low - high)) / gamma
