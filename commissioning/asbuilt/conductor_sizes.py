"""Conductor sizes as printed on a cable, and the metal section each stands for."""

import re

from commissioning import units
from commissioning.units.figures import plain
from sizing.errors import OutOfRangeError
from sizing.formulas.conductors import AWG_NAMES, STRANDED_COPPER_OHM_PER_KM, awg_section, gauge_number
from sizing.quantities import Quantity

# Offered while typing; any other size is typed as a section.
SIZES = (
    *(f"{plain(section)} mm²" for section in STRANDED_COPPER_OHM_PER_KM),
    *(f"{name} AWG" for name in reversed(AWG_NAMES[:18])),
)
_METRIC = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,2})?)\s*mm(?:²|2)", re.ASCII)
_GAUGE = re.compile(r"([1-4]/0|[0-9]{1,2})\s*AWG", re.ASCII | re.IGNORECASE)
_MILS = re.compile(r"([0-9]{3,4})\s*kcmil", re.ASCII | re.IGNORECASE)


def section_of(size: str) -> units.Cure | None:
    """Return the section of a size such as "10 AWG", "2/0 AWG", "6 mm²" or "250 kcmil"; None if it is no such size."""
    text = size.strip()
    if found := _METRIC.fullmatch(text):
        return _cure(found[1], "mm2")
    if found := _MILS.fullmatch(text):
        return _cure(found[1], "kcmil")
    if found := _GAUGE.fullmatch(text):
        return _gauge(found[1])
    return None


def _gauge(name: str) -> units.Cure | None:
    try:
        section = awg_section(gauge_number(f"{name} AWG"))
    except OutOfRangeError:
        return None
    return _cure(f"{units.from_core(section, 'mm2', Quantity.CONDUCTOR_SECTION):.4g}", "mm2")


def _cure(text: str, code: str) -> units.Cure:
    return units.Cure(text, code, units.typed_figure(text, Quantity.CONDUCTOR_SECTION, code))
