"""From an instrument's printed statement, or what is usual for its kind, to the uncertainty of one reading."""

from decimal import Decimal

from commissioning import units
from commissioning.models import Instrument
from commissioning.statement import is_stated
from sizing.checks.declare import Accuracy, Input
from sizing.formulas.uncertainty import combine, full_scale_half_width, reading_half_width, standard_from_half_width
from sizing.quantities import Quantity

REFERENCE = 1.0
COMMON_READINGS: dict[Quantity, tuple[float, ...]] = {
    Quantity.VOLTAGE: (26.4, 120.0),
    Quantity.CURRENT: (1.0, 10.0),
    Quantity.POWER: (500.0,),
    Quantity.IRRADIANCE: (400.0, 900.0),
    Quantity.TEMPERATURE: (15.0, 50.0),
    Quantity.GAUGE_PRESSURE: (100e3, 300e3),
    Quantity.PRESSURE_DIFFERENCE: (20e3,),
    Quantity.FLOW: (0.5e-3,),
    Quantity.DEPTH: (25.0,),
    Quantity.LENGTH: (1.5,),
    Quantity.RESISTANCE: (0.5, 10.0),
    Quantity.INSULATION: (2e6, 100e6),
}
"""What is commonly read in such systems, in core units: only to show what a statement comes to."""


def reading_uncertainty(entry: units.Entry, declared: Input, instrument: Instrument | None) -> float:
    """Return the standard uncertainty of a reading in its core unit: instrument and last digit together."""
    value = entry.value_core
    if value is None:
        return 0.0
    own = (
        stated_half_width(value, declared.quantity, instrument)
        if instrument is not None and is_stated(instrument)
        else usual_half_width(value, declared.usual)
    )
    last_digit = in_core(half_a_digit(entry.typed), entry.unit, declared.quantity)
    return combine([standard_from_half_width(own), standard_from_half_width(last_digit)])


def usual_half_width(value: float, usual: Accuracy) -> float:
    """Return the half width of an ordinary instrument of the kind, in the core unit."""
    return reading_half_width(reading=value, fraction=usual.of_reading, counts=REFERENCE, resolution=usual.fixed)


def stated_half_width(value: float, quantity: Quantity, instrument: Instrument) -> float:
    """Return the half width at a value by the instrument's own statement, both in the core unit."""
    shown = units.from_core(value, instrument.unit, quantity)
    width = reading_half_width(
        reading=shown,
        fraction=_number(instrument.of_reading_percent) / 100,
        counts=_number(instrument.counts),
        resolution=_number(instrument.resolution),
    )
    if instrument.of_full_scale_percent and instrument.full_scale:
        width += full_scale_half_width(
            fraction=_number(instrument.of_full_scale_percent) / 100, full_scale=_number(instrument.full_scale)
        )
    return in_core(width, instrument.unit, quantity)


def in_words(instrument: Instrument) -> list[str]:
    """Return what the statement comes to along the range, or at what such an instrument commonly reads."""
    quantity = Quantity(instrument.quantity)
    if not is_stated(instrument):
        return []
    return [
        f"at {units.figure(value, quantity, instrument.unit)}: "
        + units.plus_minus(stated_half_width(value, quantity, instrument), quantity, instrument.unit)
        for value in _along(instrument, quantity)
    ]


def _along(instrument: Instrument, quantity: Quantity) -> list[float]:
    """Return values at which a statement is shown: a tenth, a half and the whole of the range, or a common one."""
    if instrument.full_scale:
        end = float(instrument.full_scale)
        return [units.to_core(end * share, instrument.unit, quantity) for share in (0.1, 0.5, 1.0)]
    return list(COMMON_READINGS.get(quantity, ()))


def in_core(width: float, code: str, quantity: Quantity) -> float:
    """Return a width typed or printed in a unit, in the core unit."""
    return width * units.linear(code, quantity)[0]


def half_a_digit(typed: str) -> float:
    """Return half of the last digit's place of a number as typed: 26.8 → 0.05.

    A bare 0 says that nothing was seen; how little can be seen is the instrument's own statement.
    """
    if typed.strip() == "0":
        return 0.0
    digits = typed.strip().lstrip("<>=≥≤ \u00a0").replace("\u2212", "-")
    exponent = Decimal(digits).as_tuple().exponent
    return 0.5 * 10.0**exponent if isinstance(exponent, int) else 0.0


def _number(text: str) -> float:
    return float(text) if text else 0.0
