"""Fuses and breakers: the current to protect for, the rating to choose, the fault to interrupt.

The code in force at the site comes first; a fuse that cannot interrupt the battery's fault
current at its DC voltage explodes.
"""

from math import inf

from sizing.guards import require, require_not_negative, require_positive

IRRADIANCE_FACTOR = 1.25  # NEC (NFPA 70, 2020) 690.8(A)(1): sunlight above 1000 W/m²
CONTINUOUS_FACTOR = 1.25  # NEC 690.8(B), 690.9(B), 215.3: three hours or more

# NEC (NFPA 70, 2020) 240.6(A), standard ratings of fuses and breakers [A] (from memory). Fuses
# come in 1, 3, 6 and 10 A besides; 601 A and above left out.
STANDARD_RATINGS: tuple[float, ...] = (
    1, 3, 6, 10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200,
    225, 250, 300, 350, 400, 450, 500, 600,
)  # fmt: skip

# NEC (NFPA 70, 2020) 240.4(D), most for small copper conductors [A].
SMALL_CONDUCTOR_LIMITS: dict[str, float] = {"14 AWG": 15, "12 AWG": 20, "10 AWG": 30}


def maximum_array_current(short_circuit_current: float, strings: float) -> float:
    """Return the greatest steady current of an array circuit.

        I_max = 1.25 · n_p · I_sc

    Parameters
    ----------
    short_circuit_current : I_sc, of one string at standard test conditions [A], > 0
    strings : n_p, strings in parallel on the circuit [1], ≥ 1

    Returns
    -------
    I_max, maximum circuit current [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: NEC (NFPA 70, 2020) 690.8(A)(1).
    """
    require_positive("short_circuit_current", short_circuit_current, "A")
    require(1 <= strings < inf, "strings", strings, "≥ 1")
    return IRRADIANCE_FACTOR * strings * short_circuit_current


def least_overcurrent_rating(maximum_current: float) -> float:
    """Return the least rating of a fuse, and least uncorrected ampacity, for a steady current.

        I_n = 1.25 · I_max

    Parameters
    ----------
    maximum_current : I_max, greatest steady current [A], > 0

    Returns
    -------
    I_n, least rating [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    For an array together 1.5625 · I_sc.

    Source: NEC (NFPA 70, 2020) 690.8(B)(1) and 690.9(B).
    """
    require_positive("maximum_current", maximum_current, "A")
    return CONTINUOUS_FACTOR * maximum_current


def next_standard_rating(current: float) -> float:
    """Return the smallest standard rating of a fuse that is not below a current.

        I_std = least of NEC 240.6(A) with I_std ≥ I

    Parameters
    ----------
    current : I, least rating allowed [A], > 0 … 600

    Returns
    -------
    I_std, standard rating [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    1, 3, 6 and 10 A are fuses only. Fuses to IEC 60269-6 come in steps of their own.

    Source: NEC (NFPA 70, 2020) 240.6(A) (from memory).
    """
    require(0 < current <= STANDARD_RATINGS[-1], "current", current, "> 0 … 600 A")
    return next(rating for rating in STANDARD_RATINGS if rating >= current)


def reverse_current(short_circuit_current: float, strings: float) -> float:
    """Return the current that the other strings can push back into a faulty one.

        I_rev = 1.25 · (n_p − 1) · I_sc

    Parameters
    ----------
    short_circuit_current : I_sc, of one string at standard test conditions [A], > 0
    strings : n_p, strings in parallel [1], ≥ 1

    Returns
    -------
    I_rev, reverse current [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Above the module's maximum series fuse each string needs one: usually from three strings.

    Source: IEC 62548:2016, clause 6.5.2 (clause from memory).
    """
    require_positive("short_circuit_current", short_circuit_current, "A")
    require(1 <= strings < inf, "strings", strings, "≥ 1")
    return IRRADIANCE_FACTOR * (strings - 1) * short_circuit_current


def highest_allowed_rating(ampacity: float, device_limit: float) -> float:
    """Return the highest fuse rating that still protects wire and equipment.

        I_high = min(I_ampacity, I_device)

    Parameters
    ----------
    ampacity : I_ampacity, corrected ampacity of the conductor [A], > 0
    device_limit : I_device, maximum series fuse of the module or the like [A], > 0

    Returns
    -------
    I_high, highest rating [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The next standard size above an ampacity, which a code may allow, is not granted here.

    Source: NEC (NFPA 70, 2020) 240.4 and 110.3(B).
    """
    require_positive("ampacity", ampacity, "A")
    require_positive("device_limit", device_limit, "A")
    return min(ampacity, device_limit)


def load_current_for_rating(continuous: float, other: float) -> float:
    """Return the least rating of a fuse or conductor for a mixed load.

        I_n = 1.25 · I_continuous + I_other

    Parameters
    ----------
    continuous : I_continuous, loads of three hours or more [A], ≥ 0
    other : I_other, the rest [A], ≥ 0

    Returns
    -------
    I_n, least rating [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: NEC (NFPA 70, 2020) 215.3.
    """
    require_not_negative("continuous", continuous, "A")
    require_not_negative("other", other, "A")
    return CONTINUOUS_FACTOR * continuous + other
