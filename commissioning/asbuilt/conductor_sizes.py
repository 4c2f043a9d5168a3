"""Conductor sizes as printed on a cable, and the metal section each stands for."""

import re

from commissioning import units
from commissioning.units.figures import plain
from sizing.formulas.conductors import AWG_NAMES, STRANDED_COPPER_OHM_PER_KM, awg_section, gauge_number
from sizing.quantities import Quantity

METRIC = tuple(plain(section) for section in STRANDED_COPPER_OHM_PER_KM)
SIZES = (*(f"{section} mm²" for section in METRIC), *(f"{name} AWG" for name in reversed(AWG_NAMES[:18])))
"""What is offered while typing: the sizes of cables in such systems."""

NO_SIZE = "Not a size of the tables: 1.5 to 50 mm², or 24 to 4/0 AWG. Leave it empty and type the section instead."
_METRIC = re.compile(r"([0-9]{1,3}(?:\.[0-9])?)\s*mm(?:²|2)", re.ASCII)
_GAUGE = re.compile(r"([1-4]/0|[0-9]{1,2})\s*AWG", re.ASCII | re.IGNORECASE)


def standard_size(typed: str) -> str:
    """Return a size as the tables print it, such as "10 AWG" for "10awg"; empty where they have no such size."""
    if (found := _METRIC.fullmatch(typed)) and found[1] in METRIC:
        return f"{found[1]} mm²"
    if (found := _GAUGE.fullmatch(typed)) and found[1] in AWG_NAMES:
        return f"{found[1]} AWG"
    return ""


def section_of(size: str) -> units.Cure:
    """Return the section of a size as the tables print it."""
    number, _, system = size.partition(" ")
    text = number
    if system == "AWG":
        section = awg_section(gauge_number(size))
        text = f"{units.from_core(section, 'mm2', Quantity.CONDUCTOR_SECTION):.4g}"
    return units.Cure(text, "mm2", units.typed_figure(text, Quantity.CONDUCTOR_SECTION, "mm2"))
