"""The sun read off another array: its short-circuit current tells the light in its plane, the sky carries it over."""

from sizing.formulas.photovoltaic import COLDEST_CELL, HOTTEST_CELL, STC_IRRADIANCE, STC_TEMPERATURE
from sizing.guards import require_between, require_not_negative, require_positive


def irradiance_from_current(current: float, rated_current: float, cell_temperature: float, coefficient: float) -> float:
    """Return the irradiance in the plane of a module from its short-circuit current.

        G = 1000 W/m² · I_sc / {I_sc0 · [1 + α · (T_c − 25 °C)]}

    Parameters
    ----------
    current : I_sc, short-circuit current as read [A], ≥ 0
    rated_current : I_sc0, nameplate short-circuit current [A], > 0
    cell_temperature : T_c, temperature of the cells [°C], −90 … 150
    coefficient : α, relative temperature coefficient of current [1/K], −0.008 … 0.008

    Returns
    -------
    G, irradiance [W/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A clean module with a known current is a sun meter; dirt on it reads as less sun.

    Source: IEC 60891:2021, procedure 1, current solved for the light; IEC 60904-2, reference devices (from memory).
    """
    require_not_negative("current", current, "A")
    require_positive("rated_current", rated_current, "A")
    require_between("cell_temperature", cell_temperature, COLDEST_CELL, HOTTEST_CELL, "°C")
    require_between("coefficient", coefficient, -0.008, 0.008, "1/K")
    return STC_IRRADIANCE * current / (rated_current * (1 + coefficient * (cell_temperature - STC_TEMPERATURE)))


def irradiance_in_other_plane(irradiance: float, clear_here: float, clear_there: float) -> float:
    """Return the irradiance in another plane, in the ratio of both planes under a clear sky.

        G₂ = G₁ · G_clear2 / G_clear1

    Parameters
    ----------
    irradiance : G₁, in the plane where it was read [W/m²], ≥ 0
    clear_here : G_clear1, of a clear sky in that plane [W/m²], > 0
    clear_there : G_clear2, of a clear sky in the other plane [W/m²], ≥ 0

    Returns
    -------
    G₂, in the other plane [W/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Under cloud the light comes from everywhere, and the truth lies between G₁ and G₂.

    Source: common practice, no source.
    """
    require_not_negative("irradiance", irradiance, "W/m²")
    require_positive("clear_here", clear_here, "W/m²")
    require_not_negative("clear_there", clear_there, "W/m²")
    return irradiance * clear_there / clear_here
