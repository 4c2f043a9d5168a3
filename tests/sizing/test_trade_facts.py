"""Facts that people of the trade know by heart. Each is *common practice, no source*: the product must agree with them.

Nothing here is a published figure; the arithmetic beside each check is by hand.
"""

import pytest

from sizing.checks.booster import CHECKS as BOOSTER_CHECKS
from sizing.checks.case import Value
from sizing.checks.catalogue import CHECKS
from sizing.design.catalogue import RULES
from sizing.design.declare import Ask, Scene
from sizing.formulas.battery import battery_voltage
from sizing.formulas.circuits import bank_voltage
from sizing.formulas.freezing import cooled_temperature
from sizing.hydraulics import STANDARD_WATER_TEMPERATURE
from sizing.judgement import Assessment, assess
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import Taken, finding, good, readings
from tests.sizing.more_systems import sallow_clinic
from tests.sizing.systems import plate

US_GALLON = 3.785411784e-3  # m³
BULK = 0.0
GREY_SKY = {"irradiance": Value(150.0, 30.0), "module_temperature": Value(18.0, 2.0)}
WARM = {"battery_temperature": Value(20.0, 0.9)}


def on_clinic(taken: Taken, **fields: object) -> Assessment:
    document = sallow_clinic()
    for name, value in fields.items():
        tag, _, field = name.partition("__")
        plate(document, tag)[field] = value
    return assess(
        CHECKS[taken.check], build(document), taken.subject, readings=readings(taken.typed), conditions=taken.conditions
    )


# ---- a 24 V bank at 26.4 V under an overcast sky is charging ---------------------------------


def test_a_24_volt_bank_at_26_4_volts_under_a_grey_sky_is_charging() -> None:
    found = on_clinic(Taken("charge_voltage", "CC1", {"voltage": (26.4, 0.09), "stage": BULK}, WARM))
    assert found.verdict is Verdict.WITHIN


def test_its_small_current_is_no_fault_either() -> None:
    typed = {"current": (1.1, 0.08), "voltage": 26.4, "stage": BULK}
    found = on_clinic(Taken("charge_current", "CC1", typed, {**GREY_SKY, **WARM}))
    assert found.verdict is Verdict.UNJUDGED  # too little sun to judge a small current, and that is what it says
    assert "400 W/m²" in found.findings[0].reason


def test_read_as_a_rest_voltage_it_is_refused_and_not_called_a_fault() -> None:
    typed = {"voltage@block 1": (13.2, 0.05), "voltage@block 2": (13.2, 0.05), "rest": 9 * 3600.0}
    found = on_clinic(Taken("battery_rest_voltage", "BA1", typed))
    assert found.verdict is Verdict.UNJUDGED
    assert "being charged" in found.findings[0].reason
    assert "nothing is wrong" in found.findings[0].reason


@pytest.mark.parametrize("volts", [25.6, 26.4, 27.2, 28.4])
def test_no_voltage_on_the_way_up_is_flagged(volts: float) -> None:
    found = on_clinic(Taken("charge_voltage", "CC1", {"voltage": (volts, 0.09), "stage": BULK}, WARM))
    assert found.verdict is Verdict.WITHIN


# ---- a hand pump on a shallow level gives about five US gallons a minute ----------------------


def test_a_hand_pump_on_a_shallow_level_gives_about_five_gallons_a_minute() -> None:
    # 2½ in. bore, 125 mm stroke: 0.396 L a stroke; a steady pace is 40 to 50 full strokes a minute
    stroke = finding(good("volume_per_stroke")).expected
    assert stroke is not None
    assert stroke.nominal is not None
    slow, quick = (pace * stroke.nominal / US_GALLON for pace in (40, 50))
    assert 4.0 < slow < 5.0 < quick < 6.0


# ---- water standing in an inside tank settles between 55 and 60 °F ----------------------------


def test_water_in_an_inside_tank_is_what_the_pipes_are_reckoned_with() -> None:
    assert 55 <= STANDARD_WATER_TEMPERATURE * 9 / 5 + 32 <= 60
    # a few days in a room at 57 °F (13.9 °C) bring warm and cold water there: 1 m³ that loses 40 W for each kelvin
    days = 4 * 86_400.0
    for start in (5.0, 24.0):
        constant = 1000.0 * 4186.0 / 40.0  # s, heat held over heat lost for each kelvin
        settled = cooled_temperature(start, 13.9, days, constant)
        assert 55 <= settled * 9 / 5 + 32 <= 60


# ---- a tank above the booster's inlet leaves no suction lift ----------------------------------


def lift(**fields: object) -> float:
    document = sallow_clinic()
    plate(document, "B1")["maximum_suction_lift"] = 4.0
    for name, value in fields.items():
        tag, _, field = name.partition("__")
        plate(document, tag)[field] = value
    return RULES["suction_lift"].evaluate(Ask(Scene(build(document)), "B1")).value


def test_a_tank_above_the_inlet_leaves_no_suction_lift() -> None:
    # the tank's outlet 0.7 m, the booster's inlet 0.3 m above the datum
    assert lift() <= 0
    assert lift(B1__elevation=3.7) == pytest.approx(lift() + 3.4)


# ---- two 12 V blocks in series are 24 V at the capacity of one --------------------------------


def stored(**fields: object) -> float:
    document = sallow_clinic()
    plate(document, "site").update(autonomy=3.0, daily_demand=0.6)
    plate(document, "BA1").update(fields)
    ask = Ask(Scene(build(document)), "BA1")
    RULES["battery_days"].evaluate(ask)
    return next(step.result for step in ask.w.steps if step.symbol == "E_b")


def test_two_12_volt_blocks_in_series_are_24_volts_at_the_capacity_of_one() -> None:
    assert bank_voltage(block_voltage=12.0, blocks=2) == battery_voltage(cell_voltage=2.0, cells=12) == 24.0
    series, one = stored(series=2, parallel=1), stored(series=1, parallel=1)
    assert series == pytest.approx(24.0 * 200.0 * 3600.0 * 0.5)  # volts, A·h of one block, half of it drawn
    assert series == pytest.approx(2 * one)  # twice the energy by twice the volts, not by twice the capacity
    assert series == pytest.approx(stored(series=1, parallel=2))
    words = " ".join(limit.words for limit in CHECKS["battery_polarity"].limits)
    assert "capacity of one" in words


# ---- a filter on the suction side counts against NPSH -----------------------------------------


def margin(change_out_drop: float) -> float:
    document = sallow_clinic()
    plate(document, "F1")["change_out_drop"] = change_out_drop
    found = assess(CHECKS["npsh_margin"], build(document), "B1").findings[0]
    assert found.value is not None
    return found.value


def test_a_filter_before_the_booster_counts_against_npsh() -> None:
    assert CHECKS["npsh_margin"] in BOOSTER_CHECKS
    clean, dirty = margin(2_000.0), margin(20_000.0)
    assert dirty < clean
    # 18 kPa more at the filter's flow of 20 L/min; the booster gives some 17: (17/20)² · 18 kPa over 9.8 kPa/m
    assert clean - dirty == pytest.approx(18 / 9.8 * (17 / 20) ** 2, abs=0.25)
