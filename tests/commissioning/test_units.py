"""The edge: factors against print, the grammar of what is typed, and how a number is written."""

import re
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from commissioning import units
from commissioning.units.convert import _CORE_PINT
from commissioning.units.offer import UNIT
from sizing.quantities import CORE_UNIT, Quantity

Q = Quantity
ROOT = Path(__file__).resolve().parents[2]
SP811 = "NIST Special Publication 811 (2008), Appendix B.8; printed digits from memory"

PUBLISHED = [  # code, quantity, factor as printed, half a unit of its last printed digit, source
    ("psi", Q.GAUGE_PRESSURE, 6.894757e3, 0.5e-3, SP811),
    ("bar", Q.GAUGE_PRESSURE, 1.0e5, 0, SP811 + ", exact"),
    ("kPa", Q.GAUGE_PRESSURE, 1.0e3, 0, "SI Brochure, prefixes, exact"),
    ("kgf/cm2", Q.GAUGE_PRESSURE, 9.80665e4, 0, SP811 + ", exact"),
    ("m_water", Q.GAUGE_PRESSURE, 9.80665e3, 0, SP811 + ": mmH2O conventional 9.80665 Pa"),
    ("ft_water", Q.GAUGE_PRESSURE, 2.989067e3, 0.5e-3, SP811 + ": foot of water, conventional"),
    ("inHg", Q.ABSOLUTE_PRESSURE, 3.386389e3, 0.5e-3, SP811 + ": inch of mercury, conventional"),
    ("hPa", Q.ABSOLUTE_PRESSURE, 100, 0, "SI Brochure, prefixes, exact"),
    ("gal/min", Q.FLOW, 6.309020e-5, 0.5e-11, SP811),
    ("gal/d", Q.FLOW, 4.381264e-8, 0.5e-14, SP811),
    ("L/min", Q.FLOW, 1 / 60_000, 1e-20, "1 L = 1e-3 m³, 1 min = 60 s: SI Brochure, table 8"),
    ("m3/h", Q.FLOW, 1 / 3600, 1e-19, "1 h = 3600 s: SI Brochure, table 8"),
    ("gal", Q.VOLUME, 3.785412e-3, 0.5e-9, SP811),
    ("imp_gal", Q.VOLUME, 4.54609e-3, 0, SP811 + ", exact"),
    ("in", Q.DIAMETER, 2.54e-2, 0, SP811 + ", exact"),
    ("ft", Q.LENGTH, 3.048e-1, 0, SP811 + ", exact"),
    ("ft2", Q.AREA, 9.290304e-2, 0, SP811 + ", exact"),
    ("kcmil", Q.CONDUCTOR_SECTION, 5.067075e-7, 0.5e-13, SP811 + ": circular mil 5.067075e-10 m²"),
    ("ft/s", Q.VELOCITY, 3.048e-1, 0, SP811 + ", exact"),
    ("mph", Q.SPEED, 4.4704e-1, 0, SP811 + ", exact"),
    ("km/h", Q.SPEED, 2.777778e-1, 0.5e-7, SP811),
    ("hp", Q.POWER, 7.456999e2, 0.5e-4, SP811 + ": horsepower (550 ft·lbf/s)"),
    ("kWh", Q.ENERGY, 3.6e6, 0, SP811 + ", exact"),
    ("Wh", Q.ENERGY, 3.6e3, 0, SP811 + ", exact"),
    ("lb/ft3", Q.DENSITY, 1.601846e1, 0.5e-5, SP811),
    ("mm2/s", Q.KINEMATIC_VISCOSITY, 1.0e-6, 0, SP811 + ": centistokes, exact"),
    ("delta_degF", Q.TEMPERATURE_DIFFERENCE, 5.555556e-1, 0.5e-7, SP811 + ": degree Fahrenheit, interval"),
    ("(gal/min)/ft", Q.SPECIFIC_CAPACITY, 6.309020e-5 / 0.3048, 0.5e-10, "the two factors above, divided"),
    ("Wh/gal", Q.SPECIFIC_ENERGY, 3600 / 3.785412e-3, 0.2, "the two factors above, divided"),
    ("mV/K", Q.VOLTAGE_PER_KELVIN, 1e-3, 0, "SI Brochure, prefixes, exact"),
    ("ohm.m", Q.RESISTIVITY, 1, 0, "the core's own unit"),
    ("%/K", Q.TEMPERATURE_COEFFICIENT, 0.01, 0, "SI Brochure 5.4.7: % is 0.01"),
]


@pytest.mark.parametrize(("code", "quantity", "factor", "half", "source"), PUBLISHED)
def test_factor_matches_print(code, quantity, factor, half, source):
    found, offset = units.linear(code, quantity)
    assert found == pytest.approx(factor, abs=half, rel=1e-15 if not half else 0), source
    assert offset == 0, source


@pytest.mark.parametrize(
    ("fahrenheit", "celsius", "source"),
    [
        (32, 0, "SP 811 B.8: t/°C = (t/°F − 32)/1.8; ice point"),
        (212, 100, "the same; steam point"),
        (-40, -40, "the same; where both scales meet"),
    ],
)
def test_fahrenheit_has_an_offset(fahrenheit, celsius, source):
    assert units.to_core(fahrenheit, "degF", Q.TEMPERATURE) == pytest.approx(celsius, abs=1e-12), source


def test_kv_is_0_865_cv():
    """IEC 60534-1 prints Kv = 0.865 Cv."""
    kv = units.from_core(units.to_core(1, "Cv", Q.FLOW_COEFFICIENT), "Kv", Q.FLOW_COEFFICIENT)
    assert kv == pytest.approx(0.865, abs=0.0005)


EVERY = [(one.code, quantity) for quantity in Q for one in units.offered(quantity)]


def test_every_quantity_has_units_and_a_core_unit():
    assert set(units.OFFER) == set(Q) == set(CORE_UNIT)
    assert set(_CORE_PINT) == set(CORE_UNIT.values())
    assert {code for code, _ in EVERY} == set(UNIT)


@pytest.mark.parametrize(("code", "quantity"), EVERY)
def test_every_unit_has_the_dimension_of_its_quantity(code, quantity):
    factor, _ = units.linear(code, quantity)  # pint raises DimensionalityError otherwise
    assert factor > 0


@given(st.sampled_from(EVERY), st.floats(-1e9, 1e9))
def test_there_and_back(pair, value):
    code, quantity = pair
    back = units.from_core(units.to_core(value, code, quantity), code, quantity)
    assert back == pytest.approx(value, rel=1e-12, abs=1e-9)


def test_system_puts_its_own_unit_first_and_keeps_the_rest():
    metric, us = (units.offered(Q.FLOW, system) for system in ("metric", "us"))
    assert (metric[0].code, us[0].code) == ("L/min", "gal/min")
    assert set(metric) == set(us)
    assert units.default_unit(Q.GAUGE_PRESSURE, "us").code == "psi"
    assert units.default_unit(Q.VOLTAGE, "us").code == "V"


@pytest.mark.parametrize("code", ["AWG", "mca", "gpm", "bar g", "", "V", "__class__", "psi;"])
def test_a_code_not_on_offer_is_refused_and_never_reaches_pint(code):
    with pytest.raises(units.UnknownUnitError):
        units.to_core(1.0, code, Q.GAUGE_PRESSURE)


def test_symbols_can_be_printed_with_the_paper_font():
    from fontTools.ttLib import TTFont

    known = TTFont(ROOT / "static/fonts/Lato-Regular.ttf").getBestCmap()
    missing = {sign for one in UNIT.values() for sign in one.symbol if ord(sign) not in known}
    assert not missing


# ---- the grammar -------------------------------------------------------------------------

ACCEPTED = [("12", 12.0), ("12.5", 12.5), (".5", 0.5), ("-5", -5.0), ("−5", -5.0), ("007", 7.0), (" 3 ", 3.0)]


@pytest.mark.parametrize(("text", "value"), ACCEPTED)
def test_a_plain_number_is_read_and_its_text_kept(text, value):
    typed = units.parse_number(text)
    assert typed.value == value
    assert typed.text == text.strip()


REFUSED = [  # text, what is suggested instead, a word of the message
    ("", "", "Type a number"),
    ("   ", "", "Type a number"),
    ("1,5", "1.5", "Did you mean 1.5? Type a point."),
    ("−0,5", "−0.5", "Type a point"),
    ("1,500", "", "1500 or 1.500"),
    ("1.234,5", "1234.5", "thousands"),
    ("1,234.5", "1234.5", "thousands"),
    ("1 234", "1234", "thousands"),
    ("1'234", "1234", "thousands"),
    ("1_000", "1000", "thousands"),
    ("1.234.567", "1234567", "thousands"),
    ("1,2,3", "", "comma"),
    ("NaN", "", "Type a number"),
    ("-inf", "", "Type a number"),
    ("Infinity", "", "Type a number"),
    ("1e309", "", "exponent"),
    ("1E5", "", "exponent"),
    ("١٢٫٥", "12.5", "0 to 9"),
    ("१२", "12", "0 to 9"),
    ("１２．５", "12.5", "0 to 9"),
    ("12 psi", "12", "unit beside"),
    ("12kPa", "12", "unit beside"),
    ("21°C", "21", "unit beside"),
    ("3 m 20", "", "unit beside"),
    ("9" * 16, "", "15 digits"),
    ("9" * 400, "", "15 digits"),
    ("--1", "", "not a number"),
    ("+5", "5", "plus"),
    ("5.", "5", "point"),
    ("–5", "-5", "minus"),
    ("1.5.2", "", "not a number"),
    ("1/2", "", "not a number"),
    ("12 5", "", "not a number"),
    ("12\u200b", "12", "invisible"),
    ("\u202e12", "12", "invisible"),
    ("1\x002", "12", "invisible"),
    ("\ud800", "", "invisible"),
    ("<script>", "", "number of its own"),
    ("½", "", "not a number"),
    ("²", "", "not a number"),
    ("x" * 2_000_000, "", "too long"),
    ("> 999", "", "< or >"),
    ("OL", "", "range"),
    ("nil", "", "not a number"),
]


@pytest.mark.parametrize(("text", "suggestion", "words"), REFUSED, ids=[repr(row[0][:12]) for row in REFUSED])
def test_anything_else_is_refused_with_help(text, suggestion, words):
    with pytest.raises(units.InputError) as refusal:
        units.parse_number(text)
    assert refusal.value.suggestion == suggestion
    assert words in refusal.value.message


@given(st.text(alphabet="0123456789.,-+eE_ '\u00a0\u0661\u2212><psiNaOL\x00", max_size=12) | st.text(max_size=30))
def test_what_is_accepted_reads_as_the_decimal_it_shows(text):
    """Python's own decimal type is the second opinion; it is wider, never different."""
    typed, refusal = _outcome(text)
    if typed:
        assert typed.value == float(Decimal(typed.text.replace("−", "-")))
    else:
        assert refusal.message
        assert not refusal.suggestion or units.parse_number(refusal.suggestion).value is not None


def _outcome(text):
    try:
        return units.parse_number(text), None
    except units.InputError as refusal:
        return None, refusal


@pytest.mark.parametrize(
    ("text", "value", "bound"),
    [
        ("> 999", 999.0, ">"),
        (">999", 999.0, ">"),
        ("≥ 550", 550.0, ">"),
        (">=550", 550.0, ">"),
        ("<0.5", 0.5, "<"),
        ("≤ 1", 1.0, "<"),
        ("OL", None, "OL"),
        ("ol", None, "OL"),
        ("nil", None, "nil"),
        ("0", 0.0, ""),
    ],
)
def test_a_bound_or_nil_is_read_where_it_is_allowed(text, value, bound):
    typed = units.parse_number(text, bounds=True, nil=True)
    assert (typed.value, typed.bound, typed.text) == (value, bound, text)


@pytest.mark.parametrize(("text", "suggestion"), [("> 1,5", "> 1.5"), ("0L", "OL"), ("> ", ""), (">> 5", "")])
def test_a_bound_typed_wrongly_is_asked_back(text, suggestion):
    with pytest.raises(units.InputError) as refusal:
        units.parse_number(text, bounds=True)
    assert refusal.value.suggestion == suggestion


# ---- possible and plausible --------------------------------------------------------------

PRESSURE = {"hard": (0.0, 2e6), "soft": (2_000.0, 800_000.0)}  # Pa


def test_a_plausible_reading_carries_no_doubt():
    entry = units.parse("40", "psi", Q.GAUGE_PRESSURE, **PRESSURE)
    assert entry.typed == "40"
    assert entry.unit == "psi"
    assert entry.value_core == pytest.approx(275_790.3, abs=0.05)  # 40 × 6894.757
    assert (entry.doubt, entry.cure) == ("", None)


@pytest.mark.parametrize("text", ["0", "2000"])
def test_the_limit_itself_is_possible(text):
    assert units.parse(text, "kPa", Q.GAUGE_PRESSURE, hard=(0.0, 2e6)).typed == text


def test_the_impossible_is_refused_in_the_unit_typed():
    with pytest.raises(units.InputError, match="More than is possible here: 0\xa0…\xa0290\xa0psi"):
        units.parse("9999", "psi", Q.GAUGE_PRESSURE, **PRESSURE)


@pytest.mark.parametrize(
    ("text", "code", "quantity", "soft", "cure", "words"),
    [
        ("12", "bar", Q.GAUGE_PRESSURE, (2e3, 8e5), ("12", "psi"), "12\xa0bar? 12\xa0psi would be usual."),
        ("268", "psi", Q.GAUGE_PRESSURE, (1e5, 3e5), ("268", "kPa"), "268\xa0kPa would be usual"),
        ("268", "psi", Q.GAUGE_PRESSURE, (1.2e5, 2.5e5), ("26.8", "psi"), "is the point in its place"),
        ("115", "degC", Q.TEMPERATURE, (-20.0, 80.0), ("115", "degF"), "115\xa0°F would be usual"),
        ("15", "L/s", Q.FLOW, (1e-5, 2e-3), ("15", "L/min"), "15\xa0L/min would be usual"),
        ("1265", "1", Q.COUNT, (1.0, 1.35), ("1.265", "1"), "1.265 would be usual"),
        ("2.4", "Mohm", Q.RESISTANCE, (0.05, 60.0), ("2.4", "ohm"), "2.4\xa0Ω would be usual"),
        ("-3", "m", Q.DEPTH, (0.5, 300.0), ("3", "m"), "is the sign right"),
    ],
)
def test_a_likely_slip_is_named_and_its_cure_offered(text, code, quantity, soft, cure, words):
    entry = units.parse(text, code, quantity, soft=soft)
    assert words in entry.doubt
    assert entry.cure is not None
    assert (entry.cure.text, entry.cure.unit) == cure
    again = units.parse(*cure, quantity, soft=soft)
    assert again.doubt == ""


def test_absolute_pressure_is_suspected_but_no_number_is_invented():
    entry = units.parse("151", "kPa", Q.GAUGE_PRESSURE, soft=(30_000.0, 80_000.0))
    assert "absolute" in entry.doubt
    assert entry.cure is None


def test_an_unexplained_value_is_only_asked_back():
    entry = units.parse("47", "%", Q.RATIO, soft=(0.6, 0.61))
    assert entry.doubt == "Less than is usual here: 60\xa0…\xa061\xa0%. Is it right?"


def test_a_bound_is_no_slip():
    entry = units.parse("> 999", "Mohm", Q.INSULATION, hard=(0.0, 1e12), soft=(1e5, 1e8), bounds=True)
    assert (entry.value_core, entry.bound, entry.doubt) == (pytest.approx(999e6), ">", "")


# ---- written out -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("core", "quantity", "code", "options", "shown"),
    [
        (180_400, Q.GAUGE_PRESSURE, "kPa", {}, "180.4\xa0kPa"),
        (180_400, Q.GAUGE_PRESSURE, "kPa", {"places": 0}, "180\xa0kPa"),
        (-5_000, Q.GAUGE_PRESSURE, "kPa", {}, "−5.0\xa0kPa"),
        (0, Q.VOLTAGE, "V", {}, "0\xa0V"),
        (12.654, Q.VOLTAGE, "V", {}, "12.65\xa0V"),
        (0.0042, Q.VOLTAGE, "V", {}, "0.0042\xa0V"),
        (99.996, Q.VOLTAGE, "V", {}, "100.0\xa0V"),
        (21.5, Q.LATITUDE, "deg", {"places": 5}, "21.50000°"),
        (3, Q.COUNT, "1", {}, "3.000"),
        (3, Q.COUNT, "1", {"places": 0}, "3"),
        # JCGM 100:2008, 7.2.6: y is rounded to be consistent with a U of two digits
        (10.057_62, Q.RESISTANCE, "ohm", {"u": 0.027}, "10.058\xa0Ω"),
        (180_443, Q.GAUGE_PRESSURE, "kPa", {"u": 3_400}, "180.4\xa0kPa"),
        (180_443, Q.GAUGE_PRESSURE, "kPa", {"u": 34_000}, "180\xa0kPa"),
        (180_443, Q.GAUGE_PRESSURE, "kPa", {"u": 9_960}, "180\xa0kPa"),
        (1_234_000, Q.GAUGE_PRESSURE, "kPa", {"u": 340_000}, "1234\xa0kPa"),
    ],
)
def test_a_figure_has_honest_digits(core, quantity, code, options, shown):
    assert units.figure(core, quantity, code, **options) == shown


def test_nothing_prints_a_negative_zero_or_a_nan():
    assert units.figure(-1e-9, Q.VOLTAGE, "V", places=2) == "0.00\xa0V"
    with pytest.raises(ValueError, match="nan"):
        units.figure(float("nan"), Q.VOLTAGE, "V")


def test_an_uncertainty_is_a_difference_and_takes_no_offset():
    assert units.plus_minus(0.5, Q.TEMPERATURE, "degF") == "±\xa00.90\xa0°F"  # 0.5 K × 1.8
    assert units.plus_minus(3_400, Q.GAUGE_PRESSURE, "kPa") == "±\xa03.4\xa0kPa"


@pytest.mark.parametrize(
    ("lower", "upper", "options", "shown"),
    [
        (180_400, 194_400, {}, "180.4\xa0…\xa0194.4"),
        (180_400, 194_400, {"symbol": True}, "180.4\xa0…\xa0194.4\xa0kPa"),
        (500, None, {}, "≥\xa00.5"),
        (None, 1_000, {"places": 2}, "≤\xa01.00"),
        (None, None, {}, "no limits"),
        (1_000_000, 1_000_020, {}, "1000.000\xa0…\xa01000.020"),
    ],
)
def test_limits_are_written_as_a_span(lower, upper, options, shown):
    assert units.span(lower, upper, Q.GAUGE_PRESSURE, "kPa", **options) == shown


def test_a_reading_is_shown_as_typed():
    assert units.typed_figure("-12.50", Q.VOLTAGE, "V") == "−12.50\xa0V"
    assert units.typed_figure("> 999", Q.INSULATION, "Mohm") == ">\xa0999\xa0MΩ"
    assert units.typed_figure("OL", Q.INSULATION, "Mohm") == "OL"


def test_only_this_package_imports_pint():
    code = (ROOT / "commissioning").rglob("*.py")
    users = [path for path in code if re.search(r"^\s*(import|from) pint\b", path.read_text("utf-8"), re.MULTILINE)]
    assert users == [ROOT / "commissioning/units/convert.py"]


def test_gauge_is_said_beside_the_field():
    assert units.hint(Q.GAUGE_PRESSURE) == "gauge"
    assert units.hint(Q.FLOW) == ""
