"""Chlorine: how much for how much water, what is left, and what it counts for."""

from math import log

from sizing.guards import require, require_not_negative, require_positive

# Molar masses [g/mol], IUPAC 2021: Cl₂ 70.906, NaOCl 74.442. One mole of NaOCl counts as one of Cl₂.
CHLORINE_PER_HYPOCHLORITE = 70.906 / 74.442
MILLIGRAMS_PER_KILOGRAM = 1e6


def available_chlorine(hypochlorite_strength: float) -> float:
    """Return the available chlorine of a bleach labelled by its sodium hypochlorite.

        c = w · 70.906 / 74.442

    Parameters
    ----------
    hypochlorite_strength : w, sodium hypochlorite in the product, kg NaOCl per litre [1], > 0, ≤ 0.2

    Returns
    -------
    c, strength as available chlorine, kg Cl₂ per litre [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A label may mean either: the slip is 5 %. Trade per cent, times 10, is already grams of available
    chlorine per litre.

    Source: molar masses of IUPAC 2021; California State Water Board, example chlorine dosage
    calculations, February 2018 (factor 9525).
    """
    require_positive("hypochlorite_strength", hypochlorite_strength, "")
    require(hypochlorite_strength <= 0.2, "hypochlorite_strength", hypochlorite_strength, "≤ 0.2")
    return hypochlorite_strength * CHLORINE_PER_HYPOCHLORITE


def bleach_volume(water_volume: float, dose_mg_per_l: float, strength: float) -> float:
    """Return the bleach that gives a dose.

        V_b = V_w · C / (c · 10⁶)

    Parameters
    ----------
    water_volume : V_w, water to treat [m³], ≥ 0
    dose_mg_per_l : C, dose as chlorine [mg/L], ≥ 0
    strength : c, strength as available chlorine, kg Cl₂ per litre [1], > 0, ≤ 0.2

    Returns
    -------
    V_b, volume of bleach [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Count all the wetted volume: casing, pipes, filters bypassed, tank. Bleach loses strength: use it
    within three months. Never with acid or any other cleaner.

    Source: mass balance; AWWA C651 uses it as pounds = mg/L · million US gallons · 8.34.
    """
    require_not_negative("water_volume", water_volume, "m³")
    require_not_negative("dose_mg_per_l", dose_mg_per_l, "mg/L")
    require_positive("strength", strength, "")
    require(strength <= 0.2, "strength", strength, "≤ 0.2")
    return water_volume * dose_mg_per_l / (strength * MILLIGRAMS_PER_KILOGRAM)


def granule_mass(water_volume: float, dose_mg_per_l: float, strength: float) -> float:
    """Return the calcium hypochlorite granules that give a dose.

        m = V_w · C / (c · 1000)

    Parameters
    ----------
    water_volume : V_w, water to treat [m³], ≥ 0
    dose_mg_per_l : C, dose as chlorine [mg/L], ≥ 0
    strength : c, available chlorine in the granules, by mass [1], > 0, ≤ 1

    Returns
    -------
    m, mass of granules [kg]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Dissolve first, in clean water, outdoors: granules into water, never water onto granules. Keep them
    from acid, oil and any other chlorine product.

    Source: mass balance; Indiana 327 IAC 8-3.4-24, table 24-1, agrees at 50 mg/L.
    """
    require_not_negative("water_volume", water_volume, "m³")
    require_not_negative("dose_mg_per_l", dose_mg_per_l, "mg/L")
    require_positive("strength", strength, "")
    require(strength <= 1, "strength", strength, "≤ 1")
    return water_volume * dose_mg_per_l / (strength * 1000)


def dose_of_bleach(bleach_volume: float, strength: float, water_volume: float) -> float:
    """Return the dose that an amount of bleach gives.

        C = V_b · c · 10⁶ / V_w

    Parameters
    ----------
    bleach_volume : V_b, bleach added, or its flow [m³], ≥ 0
    strength : c, strength as available chlorine, kg Cl₂ per litre [1], > 0, ≤ 0.2
    water_volume : V_w, water treated, or its flow [m³], > 0

    Returns
    -------
    C, dose as chlorine [mg/L]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The bleach's own volume is left out. With two flows in place of two volumes it is the dose of
    continuous feeding.

    Source: mass balance; California State Water Board, example chlorine dosage calculations, February
    2018.
    """
    require_not_negative("bleach_volume", bleach_volume, "m³")
    require_positive("strength", strength, "")
    require_positive("water_volume", water_volume, "m³")
    require(strength <= 0.2, "strength", strength, "≤ 0.2")
    return bleach_volume * strength * MILLIGRAMS_PER_KILOGRAM / water_volume


def dose_of_granules(mass: float, strength: float, water_volume: float) -> float:
    """Return the dose that a mass of granules gives.

        C = m · c · 1000 / V_w

    Parameters
    ----------
    mass : m, granules added [kg], ≥ 0
    strength : c, available chlorine in the granules, by mass [1], > 0, ≤ 1
    water_volume : V_w, water treated [m³], > 0

    Returns
    -------
    C, dose as chlorine [mg/L]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The inverse of `granule_mass`.

    Source: mass balance.
    """
    require_not_negative("mass", mass, "kg")
    require_positive("strength", strength, "")
    require_positive("water_volume", water_volume, "m³")
    require(strength <= 1, "strength", strength, "≤ 1")
    return mass * strength * 1000 / water_volume


def chlorine_demand(dose_mg_per_l: float, residual_mg_per_l: float) -> float:
    """Return the chlorine used up during contact.

        C_d = C − C_r

    Parameters
    ----------
    dose_mg_per_l : C, dose as chlorine [mg/L], ≥ 0
    residual_mg_per_l : C_r, residual after the contact time [mg/L], 0 … C

    Returns
    -------
    C_d, chlorine demand [mg/L]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A residual above the dose is a slip in the dose, the strength or the strip.

    Source: AWWA Standard Methods 2350, oxidant demand (number from memory).
    """
    require_not_negative("dose_mg_per_l", dose_mg_per_l, "mg/L")
    require_not_negative("residual_mg_per_l", residual_mg_per_l, "mg/L")
    require(residual_mg_per_l <= dose_mg_per_l, "residual_mg_per_l", residual_mg_per_l, f"≤ dose, {dose_mg_per_l} mg/L")
    return dose_mg_per_l - residual_mg_per_l


def contact_product(residual_mg_per_l: float, minutes: float) -> float:
    """Return the product of residual and contact time.

        CT = C_r · t

    Parameters
    ----------
    residual_mg_per_l : C_r, residual at the end of contact [mg/L], ≥ 0
    minutes : t, contact time [min], ≥ 0

    Returns
    -------
    CT, contact product [mg·min/L]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    With the residual at the end, which is the lowest. What CT is needed depends on the organism,
    temperature and pH.

    Source: US EPA, Surface Water Treatment Rule guidance manual, 1991, CT concept.
    """
    require_not_negative("residual_mg_per_l", residual_mg_per_l, "mg/L")
    require_not_negative("minutes", minutes, "min")
    return residual_mg_per_l * minutes


def flushing_volume(water_volume: float, residual_mg_per_l: float, target_mg_per_l: float) -> float:
    """Return the clean water that dilutes a residual in a well-mixed vessel.

        V = V_w · ln(C_r / C_t)

    Parameters
    ----------
    water_volume : V_w, volume of water in the line or tank [m³], > 0
    residual_mg_per_l : C_r, residual before flushing [mg/L], > 0
    target_mg_per_l : C_t, residual to reach [mg/L], > 0, ≤ C_r

    Returns
    -------
    V, flushing volume [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Well mixed, as in a tank; a pipe pushes its water out and needs little more than its own volume.
    Chlorinated water kills fish and soil life: local rules say where it may go.

    Source: mass balance of a stirred vessel.
    """
    require_positive("water_volume", water_volume, "m³")
    require_positive("residual_mg_per_l", residual_mg_per_l, "mg/L")
    require_positive("target_mg_per_l", target_mg_per_l, "mg/L")
    require(target_mg_per_l <= residual_mg_per_l, "target_mg_per_l", target_mg_per_l, f"≤ {residual_mg_per_l} mg/L")
    return water_volume * log(residual_mg_per_l / target_mg_per_l)
