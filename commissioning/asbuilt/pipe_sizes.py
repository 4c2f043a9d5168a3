"""Size and class as printed on a pipe, and the bore, material and rating that each stands for."""

from commissioning import units
from sizing.lookups.pipes import PIPE_SIZES, PipeSize, pipe_size
from sizing.quantities import Quantity

NAMES = tuple(PIPE_SIZES)
"""What is offered while typing; any other text is kept as it was typed."""

DIGITS = 4


def known_size(typed: str) -> PipeSize | None:
    """Return the size that a text names, if the tables have it."""
    return pipe_size(typed) if typed else None


def bore_of(size: PipeSize, unit_system: str) -> units.Cure:
    """Return the inside diameter of a size, to be typed."""
    return _typed(size.inside_diameter, Quantity.DIAMETER, unit_system)


def rating_of(size: PipeSize, unit_system: str) -> units.Cure | None:
    """Return the pressure rating of a size, to be typed, if its class has one."""
    if size.pressure_rating is None:
        return None
    return _typed(size.pressure_rating, Quantity.GAUGE_PRESSURE, unit_system)


def _typed(value: float, quantity: Quantity, unit_system: str) -> units.Cure:
    code = units.default_unit(quantity, unit_system).code
    text = f"{float(f'{units.from_core(value, code, quantity):.{DIGITS}g}'):g}"
    return units.Cure(text, code, units.typed_figure(text, quantity, code))
