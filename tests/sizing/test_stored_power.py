"""Into a battery and out of it: charging by hand, sag and cable drop by hand, converters on the way."""

from typing import Any

import pytest

from sizing.errors import MissingDataError, OutOfRangeError
from sizing.power import Chain, where_the_volts_went
from sizing.stored_power import asked_by, battery_to_user, sun_to_battery
from sizing.system import System, build
from sizing.working import Working
from tests.sizing.systems import component, plate, run
from tests.sizing.working_steps import assert_all_recompute

AIR = 20.0
COPPER = {"material": "copper"}


def clinic() -> dict[str, Any]:
    """Return an array, a charge controller, a 24 V bank, a booster, lamps and an inverter-fed pump."""
    return {
        "site": {},
        "components": [
            component(
                "A1", "solar_array", module_power=100.0, module_open_circuit_voltage=22.6,
                module_short_circuit_current=5.85, module_maximum_power_voltage=18.6,
                module_maximum_power_current=5.38, current_coefficient=0.0005, voltage_coefficient=-0.0029,
                power_coefficient=-0.0037, cells_in_series=36, series=2, parallel=3,
            ),
            component("CC1", "charge_controller", principle="tracking", rated_current=30.0, efficiency=0.97),
            component(
                "BA1", "battery_bank", chemistry="agm", block_voltage=12.0, block_capacity=100.0, series=2, parallel=2,
                internal_resistance=0.005, maximum_charge_current=40.0,
            ),
            component("FU1", "overcurrent_device", rated_current=30.0),
            component("B1", "booster_pump", motor="dc_brushed", rated_voltage=24.0, rated_power=240.0),
            component("L1", "load", supply="dc", power=60.0, voltage=24.0),
            component("IN1", "inverter", efficiency=0.9, idle_power=8.0, rated_power=800.0),
            component("PU1", "submersible_pump", motor="ac_single_phase", rated_voltage=230.0, rated_power=500.0),
        ],
        "runs": [
            run("K1", "cable", "A1.output", "CC1.array", length=10.0, size="10 mm²", **COPPER),
            run("K2", "cable", "CC1.battery", "BA1.posts", length=2.0, size="16 mm²", **COPPER),
            run("K3", "cable", "BA1.posts", "FU1.line", length=1.0, size="10 mm²", **COPPER),
            run("K4", "cable", "FU1.load", "B1.motor", length=9.0, size="10 mm²", **COPPER),
            run("K5", "cable", "CC1.load", "L1.line", length=15.0, size="2.5 mm²", **COPPER),
            run("K6", "cable", "BA1.posts", "IN1.input", length=1.5, size="35 mm²", **COPPER),
            run("K7", "cable", "IN1.output", "PU1.motor", length=40.0, size="2.5 mm²", **COPPER),
        ],
    }  # fmt: skip


def system(**changed: dict[str, Any]) -> System:
    document = clinic()
    for tag, fields in changed.items():
        plate(document, tag).update(fields)
    return build(document)


def charging(one: System, volts: float = 27.0, light: float = 800.0, w: Working | None = None) -> Chain:
    w = w or Working()
    return sun_to_battery(one, one.node("CC1"), {"A1": light}, {"A1": 45.0}, volts, w, temperature=AIR)


def feeding(one: System, tag: str, rest: float = 25.2, w: Working | None = None) -> Chain:
    return battery_to_user(one, asked_by(one.node(tag)), rest, w or Working(), temperature=AIR)


# ---- charging -----------------------------------------------------------------------------------


def test_a_tracking_controller_turns_power_into_current_by_hand() -> None:
    # array 600 W · 0.8 · (1 − 0.0037 · 20) = 444.5 W; I_mp 3 · 5.38 · 0.8 · 1.01 = 13.04 A
    # cable 2 · 10 m · 1.83 mΩ/m = 36.6 mΩ: 6.2 W lost; (438.3 W · 0.97) / 27 V = 15.74 A
    chain = charging(system())
    assert chain.at("A1").power == pytest.approx(444.5, abs=0.1)
    assert chain.end.tag == "BA1"
    assert chain.end.current == pytest.approx(15.74, abs=0.02)
    assert chain.end.power == pytest.approx(27.0 * chain.end.current)


def test_a_switching_controller_passes_the_array_s_current_at_battery_voltage() -> None:
    one = system(CC1={"principle": "switching"}, A1={"series": 2.0})
    chain = charging(one)
    held = chain.at("A1")
    # between short circuit and maximum power: 3 · 5.85 · 0.8 · 1.01 = 14.18 A, 3 · 5.38 · 0.8 · 1.01 = 13.04 A
    assert 13.04 < chain.end.current < 14.18
    assert held.voltage == pytest.approx(27.0 + 0.0366 * held.current, abs=1e-6)
    assert chain.end.power < charging(system()).end.power, "tracking gives more on two modules of 36 cells in series"


@pytest.mark.parametrize(("tag", "field"), [("CC1", "rated_current"), ("BA1", "maximum_charge_current")])
def test_the_lower_limit_of_controller_and_battery_holds(tag: str, field: str) -> None:
    for principle in ("tracking", "switching"):
        one = system(CC1={"principle": principle})
        plates = {"CC1": {"principle": principle}}
        plates.setdefault(tag, {})[field] = 9.0
        assert charging(one).end.current > 9.0
        assert charging(system(**plates)).end.current == pytest.approx(9.0)


def test_a_battery_above_the_array_s_voltage_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        charging(system(CC1={"principle": "switching"}, A1={"series": 1.0}))
    assert refused.value.argument == "battery_voltage"


@pytest.mark.parametrize("principle", ["tracking", "switching"])
def test_every_step_of_charging_recomputes(principle: str) -> None:
    w = Working()
    charging(system(CC1={"principle": principle}), w=w)
    assert_all_recompute(w.steps)


# ---- a user on the battery ----------------------------------------------------------------------


def test_sag_and_cable_drop_by_hand() -> None:
    # bank: 5 mΩ · 2 / 2 = 5 mΩ; cables 2 · 10 m · 1.83 mΩ/m = 36.6 mΩ; 240 W from 25.2 V behind 41.6 mΩ:
    # V = [25.2 + √(635.04 − 4 · 0.0416 · 240)] / 2 = 24.797 V; I = 9.678 A; posts 25.2 − 0.0484 = 25.152 V
    chain = feeding(system(), "B1")
    rest, posts, user = chain.points
    assert rest.voltage == 25.2
    assert posts.voltage == pytest.approx(25.1516, abs=1e-3)
    assert user.tag == "B1"
    assert user.voltage == pytest.approx(24.797, abs=2e-3)
    assert user.current == pytest.approx(240 / 24.797, abs=2e-3)


def test_the_balance_holds_to_the_last_digit() -> None:
    chain = feeding(system(), "B1")
    rest, posts, user = chain.points
    assert rest.voltage - user.voltage == pytest.approx(user.current * (0.005 + 0.0366), rel=1e-9)
    assert posts.power == pytest.approx(user.power + user.current**2 * 0.0366, rel=1e-9)


def test_where_the_volts_went_is_sag_and_cable() -> None:
    lost = where_the_volts_went(feeding(system(), "B1"))
    assert [line.volts for line in lost] == pytest.approx([9.678 * 0.005, 9.678 * 0.0366], abs=2e-4)


def test_a_load_behind_the_controller_s_load_port_counts_both_cables() -> None:
    # 2 · 15 m · 7.41 mΩ/m + 2 · 2 m · 1.15 mΩ/m = 226.9 mΩ, and the bank's 5 mΩ
    chain = feeding(system(), "L1")
    assert chain.end.tag == "L1"
    assert 25.2 - chain.end.voltage == pytest.approx(chain.end.current * 0.2319, rel=1e-6)


def test_an_inverter_on_the_way_takes_its_losses_and_its_idle_draw() -> None:
    # drop cable 2 · 40 m · 7.41 mΩ/m = 0.593 Ω, (500/230)² · 0.593 = 2.80 W; (502.80/0.9) + 8 = 566.7 W
    chain = feeding(system(), "PU1")
    assert chain.at("IN1").power == pytest.approx(566.7, abs=0.1)
    assert chain.at("IN1").voltage == pytest.approx(25.2 - chain.at("IN1").current * (0.005 + 3 * 0.524e-3), abs=1e-6)
    assert chain.end == chain.at("PU1")
    assert chain.end.voltage == 230.0
    assert len(where_the_volts_went(chain)) == 2


def test_a_pump_controller_between_battery_and_pump_counts_its_efficiency() -> None:
    document = clinic()
    document["components"].append(component("C1", "pump_controller", efficiency=0.95))
    document["runs"] = [one for one in document["runs"] if one["tag"] not in ("K6", "K7")]
    document["runs"] += [
        run("K6", "cable", "BA1.posts", "C1.array", length=1.5, size="35 mm²", **COPPER),
        run("K7", "cable", "C1.motor", "PU1.motor", length=40.0, size="2.5 mm²", **COPPER),
    ]
    one = build(document)
    assert feeding(one, "PU1").at("C1").power == pytest.approx(502.80 / 0.95, abs=0.1)


def test_a_known_power_counts_before_the_nameplate() -> None:
    one = system()
    less = battery_to_user(one, asked_by(one.node("B1"), power=100.0), 25.2, Working(), temperature=AIR)
    assert less.end.voltage > feeding(one, "B1").end.voltage


@pytest.mark.parametrize("tag", ["B1", "L1", "PU1"])
def test_every_step_of_feeding_recomputes(tag: str) -> None:
    w = Working()
    feeding(system(), tag, w=w)
    assert_all_recompute(w.steps)


def test_a_load_that_the_cable_cannot_carry_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        feeding(system(L1={"power": 3000.0}), "L1")
    assert refused.value.argument == "power"


@pytest.mark.parametrize(
    ("tag", "field"),
    [
        ("BA1", "internal_resistance"),
        ("BA1", "parallel"),
        ("IN1", "idle_power"),
        ("PU1", "rated_power"),
        ("K7", "length"),
    ],
)
def test_a_missing_field_is_named(tag: str, field: str) -> None:
    with pytest.raises(MissingDataError) as missing:
        feeding(system(**{tag: {field: None}}), "PU1")
    assert (missing.value.owner, missing.value.field) == (tag, field)


def test_a_user_without_a_battery_says_so() -> None:
    document = clinic()
    document["runs"] = [one for one in document["runs"] if one["tag"] != "K3"]
    with pytest.raises(MissingDataError, match="no cable leads from a battery"):
        feeding(build(document), "B1")
