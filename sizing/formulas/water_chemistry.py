"""What is dissolved in water: conductivity carried to 25 °C, nitrate printed in two ways."""

from sizing.guards import require_between, require_not_negative, require_positive

# Standard Methods 2510 B: temperature coefficient of the conductivity of natural waters (from memory).
CONDUCTIVITY_SLOPE = 0.0191  # 1/K
REFERENCE = 25.0  # °C

# Molar masses from the IUPAC standard atomic weights, abridged: N 14.007, O 15.999.
MOLAR_NITROGEN = 14.007  # g/mol
MOLAR_NITRATE = 14.007 + 3 * 15.999  # g/mol


def conductivity_at_25(conductivity: float, temperature: float) -> float:
    """Return the electric conductivity that a water would have at 25 °C.

        κ₂₅ = κ / (1 + 0.0191 · (t − 25))

    Parameters
    ----------
    conductivity : κ, as read without compensation [S/m], > 0
    temperature : t, of the water [°C], 0 … 45

    Returns
    -------
    κ₂₅, conductivity at 25 °C [S/m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Within 0.5 % of tabulated potassium chloride from 15 to 30 °C. A meter with compensation shows κ₂₅ already:
    doing it twice is a slip of 2 % for each kelvin.

    Source: Standard Methods for the Examination of Water and Wastewater, method 2510 B.
    """
    require_positive("conductivity", conductivity, "S/m")
    require_between("temperature", temperature, 0.0, 45.0, "°C")
    return conductivity / (1 + CONDUCTIVITY_SLOPE * (temperature - REFERENCE))


def nitrate_of_nitrogen(nitrogen: float) -> float:
    """Return nitrate from what a laboratory prints as nitrate nitrogen.

        c(NO₃) = c(N) · M(NO₃) / M(N)

    Parameters
    ----------
    nitrogen : c(N), nitrate expressed as nitrogen [mg/L], ≥ 0

    Returns
    -------
    c(NO₃), nitrate [mg/L]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A factor of 4.43: the commonest slip in reading a report.

    Source: molar masses from the IUPAC standard atomic weights 2021, abridged.
    """
    require_not_negative("nitrogen", nitrogen, "mg/L")
    return nitrogen * MOLAR_NITRATE / MOLAR_NITROGEN
