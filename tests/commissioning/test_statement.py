"""Statements of accuracy as instruments print them, into parts and back.

The forms are those of public standards: class as percent of the span (EN 837-1:1996, 4.3, pressure gauges; IEC 60051,
electrical dials), a share of the reading plus digits of the display (EA-4/02, S9, a hand-held multimeter; from
memory). The half widths beside them are by hand.
"""

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from commissioning import units
from commissioning.accuracy import in_words, reading_uncertainty, stated_half_width
from commissioning.models import Instrument
from commissioning.statement import EXAMPLES, Stated, printed, read
from sizing.checks.declare import Accuracy, Input
from sizing.quantities import Quantity as Q

# text, unit, quantity, what stands beside, value shown, half width there: all in the instrument's unit
PRINTED = [
    ("±(1.5 % + 3 digits)", "V", Q.VOLTAGE, {"resolution": "0.1"}, 100.0, 1.8),
    ("±(0.8% rdg + 5 dgt), resolution 0.01", "A", Q.CURRENT, {}, 10.0, 0.13),
    ("± 0.8 % of reading ± 5 digits, resolution: 0.01 A", "A", Q.CURRENT, {}, 10.0, 0.13),
    ("±2.5 % FS", "kPa", Q.GAUGE_PRESSURE, {"full_scale": "400"}, 150.0, 10.0),
    ("±1 % of full scale, 0 … 600 kPa", "kPa", Q.GAUGE_PRESSURE, {}, 150.0, 6.0),
    ("class 1.6", "bar", Q.GAUGE_PRESSURE, {"full_scale": "10"}, 3.0, 0.16),
    ("Cl. 1.0, range 0 to 16 bar", "bar", Q.GAUGE_PRESSURE, {}, 3.0, 0.16),
    ("±0.5 °C", "degC", Q.TEMPERATURE, {}, 25.0, 0.5),
    ("± 0.5 K", "degC", Q.TEMPERATURE, {}, 25.0, 0.5),
    ("0.9 °F", "degC", Q.TEMPERATURE, {}, 25.0, 0.5),
    ("± (5 % + 10 W/m²)", "W/m2", Q.IRRADIANCE, {}, 800.0, 50.0),
    ("±(2 % of reading and 0.5 % of full scale), full scale 200 L/min", "L/min", Q.FLOW, {}, 50.0, 2.0),
    ("5 mV + 0.1 % of reading", "V", Q.VOLTAGE, {}, 10.0, 0.015),
    ("±0.25 % FSD", "psi", Q.GAUGE_PRESSURE, {"full_scale": "300"}, 50.0, 0.75),
    ("± (2 % of reading + 3 counts); 1 digit = 0.1 Ω", "ohm", Q.RESISTANCE, {}, 12.0, 0.54),
    ("3 % of measured value", "L/min", Q.FLOW, {}, 30.0, 0.9),
]
REFUSED = [
    ("", "V", Q.VOLTAGE, "cannot be read"),
    ("good", "V", Q.VOLTAGE, "cannot be read here. Type it such as"),
    ("± 1,5 %", "V", Q.VOLTAGE, "with a point"),
    ("±(0.5 % + 2)", "V", Q.VOLTAGE, "2 of what?"),
    ("±(0.5 % + 2 digits)", "V", Q.VOLTAGE, "what one digit is"),
    ("class 1.6", "bar", Q.GAUGE_PRESSURE, "how far its range goes"),
    ("class 16", "bar", Q.GAUGE_PRESSURE, "at most 10"),
    ("± 0.5 °C or 1 %, whichever is greater", "degC", Q.TEMPERATURE, "Only one statement"),
    ("± 2 % ± 3 %", "V", Q.VOLTAGE, "a second time"),
    ("± 3 psi", "V", Q.VOLTAGE, "no unit of voltage (there are V, mV)"),
    ("resolution 0.1", "V", Q.VOLTAGE, "not how well"),
    ("± 0 %", "V", Q.VOLTAGE, "nothing at all"),
    ("± 200 %", "V", Q.VOLTAGE, "at most 50"),
    ("± 2.5 % FS (600 kPa), full scale 600", "kPa", Q.GAUGE_PRESSURE, "If 600 is its range"),
    ("± (2 digits + 0.5 V), resolution 0.1", "V", Q.VOLTAGE, "their sum"),
    ("± 0.000000000000000001 V", "V", Q.VOLTAGE, "round it"),
    ("x" * 500, "V", Q.VOLTAGE, "too long"),
]


def instrument(code: str, quantity: Q, stated: Stated) -> Instrument:
    return Instrument(tag="X1", quantity=quantity.value, unit=code, **stated.as_card())


@pytest.mark.parametrize(
    ("text", "code", "quantity", "beside", "shown", "half_width"), PRINTED, ids=[r[0] for r in PRINTED]
)
def test_a_printed_statement_gives_its_half_width(text, code, quantity, beside, shown, half_width):
    one = instrument(code, quantity, read(text, code, quantity, **beside))
    found = units.scale(stated_half_width(units.to_core(shown, code, quantity), quantity, one), code, quantity)
    assert found == pytest.approx(half_width, rel=1e-9)


@pytest.mark.parametrize(("text", "code", "quantity", "words"), REFUSED, ids=[r[0][:40] for r in REFUSED])
def test_what_cannot_be_read_is_said_and_never_guessed(text, code, quantity, words):
    with pytest.raises(units.InputError, match=re.escape(words)):
        read(text, code, quantity)


def test_of_a_percent_it_is_asked_of_what():
    with pytest.raises(units.InputError, match="what the percent are of"):
        read("± 5 %", "%", Q.RATIO)
    assert read("± 5 % of reading", "%", Q.RATIO).of_reading_percent == "5"


def test_what_stands_beside_must_not_contradict():
    with pytest.raises(units.InputError, match=r"The resolution is 0[.]1 here and 0[.]01 beside it"):
        read("± (1 % + 2 digits), resolution 0.1", "V", Q.VOLTAGE, resolution="0.01")


@pytest.mark.parametrize("text", EXAMPLES)
def test_every_example_can_be_typed(text):
    code, quantity = ("W/m2", Q.IRRADIANCE) if "W/m" in text else ("degC", Q.TEMPERATURE)
    assert read(text, code, quantity, full_scale="" if "W/m" in text else "100") != Stated()


def test_a_statement_is_shown_in_words_of_its_own_unit():
    stated = read("±(0.5 % + 2 digits), resolution 0.1", "V", Q.VOLTAGE)
    # by hand: 0.5 % of 26.4 is 0.132, and 0.2 for the digits
    assert in_words(instrument("V", Q.VOLTAGE, stated))[0] == "at 26.40\u00a0V: ±\u00a00.33\u00a0V"


def test_a_card_without_a_statement_leaves_what_is_usual():
    declared = Input("x", "X", Q.VOLTAGE, hard=(0, 1000), usual=Accuracy(of_reading=0.01))
    silent = instrument("V", Q.VOLTAGE, Stated(full_scale="1000"))
    entry = units.parse("100.0", "V", Q.VOLTAGE)
    assert reading_uncertainty(entry, declared, silent) == reading_uncertainty(entry, declared, None) > 0.5


FIGURES = st.decimals("0.01", "9.99", places=2).map(lambda d: format(d, "f"))


@given(
    of_reading=st.none() | FIGURES,
    of_scale=st.none() | FIGURES,
    digits=st.none() | st.integers(1, 99).map(str),
    resolution=st.sampled_from(["0.001", "0.01", "0.1", "1"]),
    unit=st.sampled_from([("V", Q.VOLTAGE), ("kPa", Q.GAUGE_PRESSURE), ("degC", Q.TEMPERATURE), ("ohm", Q.RESISTANCE)]),
)
def test_what_is_printed_is_read_again_as_the_same(of_reading, of_scale, digits, resolution, unit):
    if not (of_reading or of_scale or digits):
        return
    code, quantity = unit
    stated = Stated(
        of_reading or "", digits or "", resolution if digits else "", of_scale or "", "1000" if of_scale else ""
    )
    symbol = units.unit(code, quantity).symbol
    assert read(printed(stated, symbol), code, quantity) == stated


PIECES = st.lists(
    st.sampled_from(
        ["±", "+/-", "(", ")", " ", "%", "% rdg", "% FS", "digits", "dgt", "class ", "1.5", "3", "0", "0.1", ",", ", ",
         "+", "-", "V", "mV", "kPa", "resolution ", "full scale ", "0 … 600", "or", "²", "\u00b5", "٣", "NaN", "1e9"]
    ) | st.text(max_size=3),
    max_size=9,
).map("".join)  # fmt: skip


@given(PIECES)
def test_any_text_is_read_or_refused_in_words(text):
    """Never a crash; and what is read accounts for every number that was typed, as it was typed."""
    try:
        stated = read(text, "V", Q.VOLTAGE)
    except units.InputError:
        return
    kept = [Decimal(one) for one in stated.as_card().values() if one]
    typed = [Decimal(one) for one in re.findall(r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+", text, re.ASCII)]
    for one in typed:
        assert one == 0 or any(k in (one, one / 1000) for k in kept) or one == 1, (text, stated)
    assert all(one > 0 for one in kept)
    assert read(printed(stated, "V"), "V", Q.VOLTAGE) == stated
