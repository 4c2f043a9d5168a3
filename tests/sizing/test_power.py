"""Power from the sun to a controller and a pump: arrays against pvlib, the way by hand, what is missing named."""

import copy
from typing import Any

import pytest
from pvlib import pvsystem

from sizing.errors import MissingDataError
from sizing.power import array_now, arrays_behind, from_arrays, sun_to_pump, where_the_volts_went
from sizing.system import System, build
from sizing.working import Working
from tests.sizing.systems import component, plate, quince_ridge, run
from tests.sizing.working_steps import assert_all_recompute

SUN, CELLS, AIR = {"A1": 900.0}, {"A1": 50.0}, 30.0


def system(**changed: dict[str, Any]) -> System:
    document = quince_ridge()
    for tag, fields in changed.items():
        plate(document, tag).update(fields)
    return build(document)


def pump_now(one: System, light: float = 900.0, cells: float = 50.0, w: Working | None = None) -> Any:
    w = w or Working()
    return sun_to_pump(one, one.node("PU1"), {"A1": light}, {"A1": cells}, w, temperature=AIR)


# ---- the array against a single-diode model ------------------------------------------------

FIVE = {"a_ref": 2.6373, "I_L_ref": 5.114, "I_o_ref": 8.196e-10, "R_sh_ref": 381.68, "R_s": 1.065}
ALPHA = 0.004539  # A/K


def of_model(light: float, cells: float) -> dict[str, float]:
    """Return the points of a module of 96 cells, 220 W class, from the documentation of pvlib."""
    five = pvsystem.calcparams_desoto(light, cells, ALPHA, **FIVE)
    return {name: float(value) for name, value in pvsystem.singlediode(*five).items()}


def plate_of_model() -> dict[str, float]:
    """Return the nameplate of such a module: its figures at standard conditions, its slopes from 25 to 50 °C."""
    cold, warm = of_model(1000, 25), of_model(1000, 50)
    slopes = {name: (warm[name] / cold[name] - 1) / 25 for name in ("v_oc", "i_sc", "p_mp")}
    return {
        "module_power": cold["p_mp"],
        "module_open_circuit_voltage": cold["v_oc"],
        "module_short_circuit_current": cold["i_sc"],
        "module_maximum_power_voltage": cold["v_mp"],
        "module_maximum_power_current": cold["i_mp"],
        "current_coefficient": slopes["i_sc"],
        "voltage_coefficient": slopes["v_oc"],
        "power_coefficient": slopes["p_mp"],
        "cells_in_series": 96.0,
        "series": 3.0,
        "parallel": 2.0,
    }


@pytest.mark.parametrize("light", [400, 600, 800, 1000])
@pytest.mark.parametrize("cells", [-5, 25, 45, 65])
def test_an_array_follows_the_single_diode_model(light: float, cells: float) -> None:
    now = array_now(system(A1=plate_of_model()).node("A1"), light, cells, Working(silent=True))
    model = of_model(light, cells)
    assert now.short_circuit_current == pytest.approx(2 * model["i_sc"], rel=0.005)
    assert now.open_circuit_voltage == pytest.approx(3 * model["v_oc"], rel=0.01)
    assert now.power == pytest.approx(6 * model["p_mp"], rel=0.03)
    assert now.maximum_power_current == pytest.approx(2 * model["i_mp"], rel=0.025)
    assert now.maximum_power_voltage == pytest.approx(3 * model["v_mp"], rel=0.04)


def test_at_standard_conditions_an_array_has_its_nameplate() -> None:
    now = array_now(system().node("A1"), 1000.0, 25.0, Working())
    assert now.short_circuit_current == pytest.approx(2 * 5.85)
    assert now.open_circuit_voltage == pytest.approx(3 * 22.6)
    assert now.power == pytest.approx(600.0)
    assert now.maximum_power_current == pytest.approx(2 * 5.38)
    assert now.maximum_power_voltage == pytest.approx(600 / (2 * 5.38))


# ---- the way, by hand ------------------------------------------------------------------------


def test_from_sun_to_pump_by_hand() -> None:
    # array: 600 W · 0.9 · (1 − 0.0037 · 25) = 490.05 W; I_mp 2 · 5.38 · 0.9 · 1.0125 = 9.805 A
    # cables: 2 · (8 + 2) m of 6 mm², 3.08 mΩ/m at 20 °C, · 1.0393 at 30 °C: 64.0 mΩ, 6.15 W lost
    # controller: 483.90 · 0.96 = 464.54 W; drop cable 2 · 48 m, 1.83 mΩ/m · 1.0393 = 182.6 mΩ
    # three wires: half of R · (464.54/48)² = 8.55 W → 455.99 W
    chain = pump_now(system())
    assert chain.at("A1").power == pytest.approx(490.05, abs=0.01)
    assert chain.at("A1").current == pytest.approx(9.805, abs=1e-3)
    assert chain.at("C1").power == pytest.approx(483.90, abs=0.05)
    assert chain.at("C1").voltage == pytest.approx(483.90 / 9.805, abs=0.02)
    assert chain.end.tag == "PU1"
    assert chain.end.power == pytest.approx(455.99, abs=0.1)


def test_every_step_of_the_way_recomputes_from_its_printed_digits() -> None:
    w = Working()
    pump_now(system(), w=w)
    assert_all_recompute(w.steps)
    symbols = [step.symbol for step in w.steps]
    assert len(set(symbols)) == len(symbols), "each figure has its own symbol"


def test_more_sun_than_the_pump_can_use_changes_nothing() -> None:
    one = system(A1={"parallel": 4.0})
    strong, stronger = pump_now(one, 900.0), pump_now(one, 1000.0)
    assert strong.end.power == pytest.approx(stronger.end.power)
    assert strong.points[2].power == pytest.approx(600.0)  # out of the controller: the pump's rating


def test_where_the_volts_went_counts_the_cables() -> None:
    chain = pump_now(system())
    first = where_the_volts_went(chain)[0]
    assert first.volts == pytest.approx(chain.at("A1").voltage - chain.at("C1").voltage)
    assert first.volts == pytest.approx(9.805 * 0.0640, abs=2e-3)
    assert "A1" in first.between
    assert "C1" in first.between


def test_the_cable_s_own_surroundings_count_before_the_air() -> None:
    warm = pump_now(system(K1={"ambient": 70.0}))
    assert warm.at("C1").power < pump_now(system()).at("C1").power


def test_a_section_without_a_size_is_looked_up() -> None:
    by_size, by_section = pump_now(system()), pump_now(system(K1={"size": None}, K2={"size": None}, K3={"size": None}))
    assert by_section.end.power == pytest.approx(by_size.end.power)
    odd = pump_now(system(K3={"size": None, "section": 9.2e-6}))
    # 1.02 · 17.241 / 9.2 = 1.911 mΩ/m against 1.83
    assert by_size.end.power - odd.end.power == pytest.approx(8.55 * (1.911 / 1.83 - 1), abs=0.02)


# ---- two arrays ------------------------------------------------------------------------------


def two_arrays() -> dict[str, Any]:
    """Return the test system with a second array, both joined in a combiner and one cable to the controller."""
    document = quince_ridge()
    second = copy.deepcopy(next(one for one in document["components"] if one["tag"] == "A1"))
    second["tag"], second["nameplate"]["parallel"] = "A2", 1.0
    document["components"] += [second, component("CB1", "combiner")]
    copper = {"material": "copper", "size": "6 mm²"}
    document["runs"] = [one for one in document["runs"] if one["tag"] != "K1"]
    document["runs"] += [
        run("K5", "cable", "A1.output", "CB1.strings", length=5.0, **copper),
        run("K6", "cable", "A2.output", "CB1.strings", length=20.0, **copper),
        run("K1", "cable", "CB1.output", "S1.line", length=8.0, **copper),
    ]
    return document


def test_two_arrays_share_the_cable_behind_their_combiner() -> None:
    one, w = build(two_arrays()), Working()
    assert {node.tag for node, _ in arrays_behind(one, one.node("C1"))} == {"A1", "A2"}
    light, cells = {"A1": 900.0, "A2": 700.0}, {"A1": 50.0, "A2": 44.0}
    chain = from_arrays(one, one.node("C1"), light, cells, w, temperature=AIR)
    i1, i2 = chain.at("A1").current, chain.at("A2").current
    metre = 2 * 3.08e-3 * (1 + 0.00393 * 10)
    lost = metre * (5 * i1**2 + 20 * i2**2 + (8 + 2) * (i1 + i2) ** 2)
    assert chain.end.power == pytest.approx(chain.at("A1").power + chain.at("A2").power - lost, rel=1e-6)
    assert chain.end.current == pytest.approx(i1 + i2)
    assert_all_recompute(w.steps)


def test_the_sun_of_an_array_that_was_not_read_is_named() -> None:
    one = build(two_arrays())
    with pytest.raises(MissingDataError) as missing:
        from_arrays(one, one.node("C1"), SUN, CELLS, Working(), temperature=AIR)
    assert missing.value.owner == "A2"


# ---- what is missing ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("tag", "field"),
    [
        ("A1", "module_power"),
        ("A1", "current_coefficient"),
        ("A1", "parallel"),
        ("C1", "efficiency"),
        ("C1", "principle"),
        ("PU1", "rated_voltage"),
        ("PU1", "motor"),
        ("K2", "length"),
        ("K3", "material"),
    ],
)
def test_a_missing_field_is_named(tag: str, field: str) -> None:
    with pytest.raises(MissingDataError) as missing:
        pump_now(system(**{tag: {field: None}}))
    assert (missing.value.owner, missing.value.field) == (tag, field)


def test_a_cable_without_size_and_section_is_named() -> None:
    with pytest.raises(MissingDataError) as missing:
        pump_now(system(K1={"size": None, "section": None}))
    assert (missing.value.owner, missing.value.field) == ("K1", "section")


def test_a_controller_that_connects_directly_is_not_computed() -> None:
    with pytest.raises(MissingDataError, match="directly"):
        pump_now(system(C1={"principle": "direct"}))


def test_a_controller_without_an_array_says_so() -> None:
    document = quince_ridge()
    document["runs"] = [one for one in document["runs"] if one["tag"] != "K1"]
    with pytest.raises(MissingDataError, match="no cable leads"):
        pump_now(build(document))
