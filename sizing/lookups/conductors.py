"""Metal section and resistance of a conductor, from the size printed on the cable."""

from sizing.formulas.conductors import (
    AWG_NAMES,
    STRANDED_ALUMINIUM_OHM_PER_KM,
    STRANDED_COPPER_OHM_PER_KM,
    awg_section,
    conductor_resistance_per_length,
    gauge_number,
)
from sizing.records import record

LARGEST_GAUGES = AWG_NAMES[:18]  # 4/0 down to 14 AWG: what power circuits are made of
SECTION_AGREES = 0.02  # a section this near a size is that size: printed sections are rounded


@record
class ConductorSize:
    """One size: what is printed, its nominal section [m²], and copper's resistance at 20 °C [Ω/m]."""

    designation: str
    section: float
    resistance: float

    def holds(self, material: str) -> bool:
        """Whether the tables have this size in a metal: metric aluminium begins at 10 mm²."""
        if material == "copper" or self.designation.endswith("AWG"):
            return True
        return round(self.section * 1e6, 6) in STRANDED_ALUMINIUM_OHM_PER_KM


def _size(designation: str, section: float) -> ConductorSize:
    return ConductorSize(designation, section, conductor_resistance_per_length(designation, "copper"))


CONDUCTOR_SIZES: dict[str, ConductorSize] = {
    one.designation: one
    for one in (
        *(_size(f"{section:g} mm²", section * 1e-6) for section in STRANDED_COPPER_OHM_PER_KM),
        *(_size(f"{name} AWG", awg_section(gauge_number(f"{name} AWG"))) for name in reversed(LARGEST_GAUGES)),
    )
}
"""Designation → size, the thinnest of each series first."""


def size_of_section(section: float) -> ConductorSize | None:
    """Return the size whose nominal section is nearest, where one is within 2 %; None for an odd section."""
    nearest = min(CONDUCTOR_SIZES.values(), key=lambda one: abs(one.section - section))
    return nearest if abs(nearest.section - section) <= SECTION_AGREES * section else None
