"""From an instrument's statement to the uncertainty of a reading, in the unit typed and in the core's.

JCGM 100:2008, 4.3.7: a half width a of which nothing else is known has the standard uncertainty a/√3.
1 ft = 0.3048 m and 1 gal (US) = 231 in³ exactly (NIST SP 811, appendix B).
"""

from math import hypot, sqrt

import pytest

from commissioning import units
from commissioning.accuracy import reading_uncertainty
from commissioning.models import Instrument
from sizing.checks.declare import Accuracy, Input
from sizing.quantities import Quantity

FOOT = 0.3048
GALLON_PER_MINUTE = 231 * 0.0254**3 / 60
EXACT = Accuracy()


def read(
    typed: str, unit: str, quantity: Quantity, usual: Accuracy = EXACT, instrument: Instrument | None = None
) -> float:
    entry = units.parse(typed, unit, quantity)
    return reading_uncertainty(entry, Input("x", "X", quantity, hard=(0, 1e9), usual=usual), instrument)


@pytest.mark.parametrize(
    ("typed", "unit", "quantity", "half_width"),
    [
        ("58.3", "ft", Quantity.DEPTH, 0.05 * FOOT),
        ("58.30", "m", Quantity.DEPTH, 0.005),
        ("36", "L/min", Quantity.FLOW, 0.5 / 60_000),
        ("9.5", "gal/min", Quantity.FLOW, 0.05 * GALLON_PER_MINUTE),
        ("68", "degF", Quantity.TEMPERATURE, 0.5 / 1.8),
        ("999", "Mohm", Quantity.INSULATION, 0.5e6),
    ],
)
def test_last_digit_counts_as_half_of_its_place_in_any_unit(typed, unit, quantity, half_width):
    assert read(typed, unit, quantity) == pytest.approx(half_width / sqrt(3), rel=1e-9)


def test_statement_of_an_instrument_is_in_its_own_unit():
    """±(2 % of reading + 3 counts of 0.1 ft) at 60.0 ft: 1.2 + 0.3 = 1.5 ft."""
    meter = Instrument(tag="D1", quantity="depth", unit="ft", of_reading_percent="2", counts="3", resolution="0.1")
    expected = hypot(1.5 * FOOT, 0.05 * FOOT) / sqrt(3)
    assert read("60.0", "ft", Quantity.DEPTH, instrument=meter) == pytest.approx(expected, rel=1e-9)


def test_usual_accuracy_is_in_the_core_unit():
    usual = Accuracy(of_reading=0.03, fixed=0.0)
    expected = hypot(0.03 * 36 / 60_000, 0.5 / 60_000) / sqrt(3)
    assert read("36", "L/min", Quantity.FLOW, usual=usual) == pytest.approx(expected, rel=1e-9)
