"""Invented systems for the drawing: each a layout of the trade that a section has to hold."""

from collections.abc import Callable
from typing import Any

from sizing.system import System, build
from tests.sizing.systems import bare, component, quince_ridge, run

Document = dict[str, Any]


def spring_two_tanks() -> Document:
    """A spring high on a slope, two tanks in line, three outlets: two by gravity below, one beside the upper tank."""
    return _document(
        [
            component("T1", "storage_tank", name="spring chamber", floor_elevation=17.4, overflow_elevation=18.6,
                      outlet_elevation=17.5, length=1.2, width=1.2, shape="rectangular"),
            component("V1", "valve", normal_position="open", elevation=17.5),
            component("T2", "storage_tank", name="upper tank", floor_elevation=12.0, overflow_elevation=14.4,
                      outlet_elevation=12.1, inlet_elevation=14.6, diameter=2.5),
            component("T3", "storage_tank", name="lower tank", floor_elevation=9.4, overflow_elevation=11.4,
                      outlet_elevation=9.5, inlet_elevation=11.6, diameter=2.0),
            component("V2", "valve", normal_position="open", elevation=12.1),
            component("V3", "valve", normal_position="open", elevation=4.0),
            component("V9", "valve", name="drain", function="drain", normal_position="shut", elevation=-0.6),
            component("J1", "junction", elevation=0.5),
            component("J2", "junction", elevation=0.5),
            component("J3", "junction", elevation=0.4),
            component("O1", "outlet", name="dipping trough", elevation=0.8),
            component("O2", "outlet", name="misting", elevation=4.0),
            component("O3", "outlet", name="kitchen", elevation=6.0),
        ],
        [
            run("P1", "pipe", "T1.outlet", "V1", length=240.0, material="pe"),
            run("P2", "pipe", "V1", "T2.inlet", length=60.0, material="pe"),
            run("P3", "pipe", "T2.outlet", "V2", length=3.0, material="pe"),
            run("P4", "pipe", "V2", "T3.inlet", length=35.0, material="pe"),
            run("P5", "pipe", "T3.outlet", "V3", length=85.0, material="pe"),
            run("P6", "pipe", "V3", "J1", length=40.0, material="pe"),
            run("P7", "pipe", "J1", "O1", length=12.0, material="pe"),
            run("P8", "pipe", "J1", "J2", length=60.0, material="pe"),
            run("P9", "pipe", "J2", "V9", length=2.0, material="pvc"),
            run("P10", "pipe", "J2", "J3", length=22.0, material="pe"),
            run("P11", "pipe", "J3", "O2", length=9.0, material="copper"),
            run("P12", "pipe", "J3", "O3", length=14.0, material="copper"),
        ],
    )  # fmt: skip


def two_wells() -> Document:
    """Two wells with pumps of their own, two arrays, one tank on a stand, two outlets."""
    return _document(
        [
            *_well("1", 48.0, 14.0, 36.0), *_well("2", 66.0, 19.5, 51.0),
            component("V1", "valve", normal_position="open", elevation=0.7),
            component("V2", "valve", normal_position="open", elevation=0.7),
            component("CV1", "valve", function="check", normal_position="open", elevation=0.7),
            component("T1", "storage_tank", name="tank on a stand", floor_elevation=6.0, overflow_elevation=8.2,
                      outlet_elevation=6.1, inlet_elevation=8.4, diameter=2.4),
            component("LS3", "level_switch", "T1", purpose="stops_fill", set_elevation=8.05),
            component("LS4", "level_switch", "T1", purpose="guards_low_water", set_elevation=6.5),
            component("V3", "valve", normal_position="open", elevation=6.1),
            component("J1", "junction", elevation=-0.8),
            component("O1", "outlet", name="cattle trough", elevation=0.6),
            component("O2", "outlet", name="farmhouse", elevation=2.4),
            component("EE1", "earth_electrode", form="rod", length=2.4),
        ],
        [
            *_well_power("1"), *_well_power("2"),
            run("P1", "pipe", "PU1.discharge", "V1", length=37.0, material="pe"),
            run("P2", "pipe", "PU2.discharge", "V2", length=52.0, material="pe"),
            run("P3", "pipe", "V1", "T1.inlet", length=84.0, material="pe"),
            run("P4", "pipe", "V2", "CV1", length=1.0, material="steel"),
            run("P5", "pipe", "CV1", "T1.inlet", length=130.0, material="pe"),
            run("P6", "pipe", "T1.outlet", "V3", length=2.0, material="galvanized"),
            run("P7", "pipe", "V3", "J1", length=46.0, material="pe"),
            run("P8", "pipe", "J1", "O1", length=8.0, material="pe"),
            run("P9", "pipe", "J1", "O2", length=31.0, material="pe"),
            run("N3", "control", "LS3.control", "C1.control", length=85.0),
            run("N4", "control", "LS4.control", "C2.control", length=132.0),
        ],
    )  # fmt: skip


def high_tank_six_outlets() -> Document:
    """A tank far up a hill, and a branch with six outlets along it."""
    outlets, pipes = [], [
        run("P1", "pipe", "T1.outlet", "V1", length=2.0, material="steel"),
        run("P2", "pipe", "V1", "J1", length=420.0, material="pe"),
    ]  # fmt: skip
    names = ("school kitchen", "teachers' house", "wash block", "garden", "upper village", "lower village")
    for k, name in enumerate(names, 1):
        outlets.append(component(f"O{k}", "outlet", name=name, elevation=1.2 + 0.3 * (k % 3)))
        outlets.append(component(f"J{k}", "junction", elevation=-0.7))
        pipes.append(run(f"P{2 * k + 1}", "pipe", f"J{k}", f"O{k}", length=3.0 + k, material="pe"))
        if k < len(names):
            pipes.append(run(f"P{2 * k + 2}", "pipe", f"J{k}", f"J{k + 1}", length=30.0 + 5 * k, material="pe"))
    tank = component("T1", "storage_tank", name="hill tank", floor_elevation=42.0, overflow_elevation=44.5,
                     outlet_elevation=42.1, diameter=3.6)  # fmt: skip
    return _document([tank, component("V1", "valve", normal_position="open", elevation=42.1), *outlets], pipes)


def clinic() -> Document:
    """A clinic: overhead tank and a hand pump on one well, the hand pump able to fill the main as well."""
    return _document(
        [
            component("W1", "well", name="clinic well", depth=32.0, measuring_point_height=0.5, static_level=9.0,
                      pump_setting=24.0),
            component("PU1", "submersible_pump", "W1", rated_power=370.0),
            component("HP1", "hand_pump", "W1", setting=18.0, outlet_elevation=0.9),
            component("LS1", "level_switch", "W1", purpose="guards_low_water", set_elevation=-21.5),
            component("LS2", "level_switch", "T1", purpose="stops_fill", set_elevation=6.9),
            component("V1", "valve", normal_position="open", elevation=0.8),
            component("V2", "valve", normal_position="shut", elevation=0.8),
            component("J1", "junction", elevation=0.8),
            component("T1", "storage_tank", name="overhead tank", floor_elevation=5.0, overflow_elevation=7.0,
                      outlet_elevation=5.1, inlet_elevation=7.2, diameter=1.8),
            component("J2", "junction", elevation=1.0),
            component("O1", "outlet", name="ward", elevation=1.1, drinking="drinking"),
            component("O2", "outlet", name="delivery room", elevation=1.1, drinking="drinking"),
            component("O3", "outlet", name="laundry", elevation=0.9),
            component("A1", "solar_array", series=2, parallel=2),
            component("S1", "isolator"), component("C1", "pump_controller", name="in the store"),
            component("EE1", "earth_electrode", form="rod", length=1.8),
        ],
        [
            run("K1", "cable", "A1.output", "S1.line", length=14.0, size="4 mm²"),
            run("K2", "cable", "S1.load", "C1.array", length=1.0, size="4 mm²"),
            run("K3", "cable", "C1.motor", "PU1.motor", length=30.0, size="2.5 mm²"),
            run("K4", "cable", "A1", "EE1.bond", length=6.0, size="10 mm²"),
            run("N1", "control", "LS1.control", "C1.control", length=26.0),
            run("N2", "control", "LS2.control", "C1.control", length=19.0),
            run("P1", "pipe", "PU1.discharge", "V1", length=25.0, material="pe"),
            run("P2", "pipe", "HP1.discharge", "V2", length=2.0, material="galvanized"),
            run("P3", "pipe", "V1", "J1", length=2.0, material="pe"),
            run("P4", "pipe", "V2", "J1", length=2.0, material="pe"),
            run("P5", "pipe", "J1", "T1.inlet", length=18.0, material="pe"),
            run("P6", "pipe", "T1.outlet", "J2", length=12.0, material="copper"),
            run("P7", "pipe", "J2", "O1", length=9.0, material="copper"),
            run("P8", "pipe", "J2", "O2", length=11.0, material="copper"),
            run("P9", "pipe", "J2", "O3", length=16.0, material="copper"),
        ],
    )  # fmt: skip


def only_a_well() -> Document:
    """A well that somebody drilled, and nothing on it yet."""
    return _document([component("W1", "well", name="new well", depth=74.0, static_level=31.0, screen_top=60.0)], [])


def two_arrays_one_controller() -> Document:
    """Two arrays with an isolator each on one controller, a deep well, a near tank, one trough."""
    return _document(
        [
            component("W1", "well", depth=122.0, static_level=64.0, pump_setting=103.0, screen_top=108.0),
            component("PU1", "submersible_pump", "W1", rated_power=1500.0),
            component("LS1", "level_switch", "W1", purpose="guards_low_water", set_elevation=-100.0),
            component("LS2", "level_switch", "T1", purpose="stops_fill", set_elevation=4.3),
            component("V1", "valve", elevation=0.5), component("T1", "storage_tank", floor_elevation=2.0,
                      overflow_elevation=4.4, diameter=4.0, outlet_elevation=2.1),
            component("V2", "valve", elevation=2.1), component("O1", "outlet", name="trough", elevation=0.7),
            component("A1", "solar_array", name="east", series=8, parallel=1),
            component("A2", "solar_array", name="west", series=8, parallel=1),
            component("S1", "isolator"), component("S2", "isolator"), component("C1", "pump_controller"),
        ],
        [
            run("K1", "cable", "A1.output", "S1.line", length=22.0, size="10 AWG"),
            run("K2", "cable", "A2.output", "S2.line", length=26.0, size="10 AWG"),
            run("K3", "cable", "S1.load", "C1.array", length=2.0, size="10 AWG"),
            run("K4", "cable", "S2.load", "C1.array", length=2.0, size="10 AWG"),
            run("K5", "cable", "C1.motor", "PU1.motor", length=110.0, size="8 AWG"),
            run("N1", "control", "LS1.control", "C1.control", length=104.0),
            run("N2", "control", "LS2.control", "C1.control", length=30.0),
            run("P1", "pipe", "PU1.discharge", "V1", length=104.0, material="galvanized"),
            run("P2", "pipe", "V1", "T1.inlet", length=28.0, material="pe"),
            run("P3", "pipe", "T1.outlet", "V2", length=1.0, material="pe"),
            run("P4", "pipe", "V2", "O1", length=40.0, material="pe"),
        ],
    )  # fmt: skip


def header_of_many() -> Document:
    """One junction with seven pipes, names far too long, and two lone parts that nothing leads to."""
    outlets = [component(f"O{k}", "outlet", name="outlet behind the workshop of the cooperative" * (k == 2),
                         elevation=0.5 * k) for k in range(1, 7)]  # fmt: skip
    pipes = [run(f"P{k}", "pipe", "J1", f"O{k}", length=10.0 * k, material="pe") for k in range(1, 7)]
    return _document(
        [component("T1", "storage_tank", floor_elevation=9.0, overflow_elevation=11.0, diameter=2.0),
         component("J1", "junction", elevation=0.5), *outlets, component("C1", "pump_controller"),
         component("V7", "valve", elevation=1.0)],
        [run("P9", "pipe", "T1.outlet", "J1", length=55.0, material="pvc"), *pipes],
    )  # fmt: skip


def battery_booster() -> Document:
    """A spring tank low on a slope, a battery and two arrays, an inverter-fed booster with its pressure side."""
    return _document(
        [
            component("SR1", "spring_or_roof", name="spring box", elevation=3.2),
            component("T1", "storage_tank", name="ground tank", floor_elevation=0.2, overflow_elevation=2.2,
                      outlet_elevation=0.3, inlet_elevation=2.4, diameter=2.6),
            component("LS1", "level_switch", "T1", purpose="stops_booster", set_elevation=0.6),
            component("V1", "valve", normal_position="open", elevation=0.3),
            component("B1", "booster_pump", name="booster", elevation=0.3),
            component("CV1", "valve", function="check", normal_position="open", elevation=0.3),
            component("F1", "filter", name="sediment", elevation=0.4),
            component("J1", "junction", elevation=0.4),
            component("RV1", "relief_valve", elevation=0.5), component("PT1", "pressure_tank", elevation=0.5),
            component("PS1", "pressure_switch", "PT1"),
            component("V2", "valve", normal_position="open", elevation=0.5),
            component("J2", "junction", elevation=0.5),
            component("O1", "outlet", name="kitchen", elevation=3.9),
            component("O2", "outlet", name="yard", elevation=1.0),
            component("A1", "solar_array", name="roof east", series=2, parallel=3),
            component("A2", "solar_array", name="roof west", series=2, parallel=3),
            component("CB1", "combiner"), component("S1", "isolator"), component("CC1", "charge_controller"),
            component("BA1", "battery_bank", name="24 V bank"), component("IN1", "inverter"),
            component("L1", "load", name="lights"), component("FU1", "overcurrent_device", "K5"),
            component("SP1", "surge_protector", "CB1"), component("EE1", "earth_electrode", length=2.4),
            component("M1", "meter", "P9"),
        ],
        [
            run("P1", "pipe", "SR1.outlet", "T1.inlet", length=310.0, material="pe"),
            run("P2", "pipe", "T1.outlet", "V1", length=1.0, material="pvc"),
            run("P3", "pipe", "V1", "B1.suction", length=1.5, material="pvc"),
            run("P4", "pipe", "B1.discharge", "CV1", length=0.5, material="pvc"),
            run("P5", "pipe", "CV1", "F1.inlet", length=0.5, material="pvc"),
            run("P6", "pipe", "F1.outlet", "J1", length=0.5, material="pvc"),
            run("P7", "pipe", "J1", "RV1.inlet", length=0.2, material="pvc"),
            run("P8", "pipe", "J1", "PT1", length=0.5, material="pvc"),
            run("P9", "pipe", "PT1", "V2", length=2.0, material="pe"),
            run("P10", "pipe", "V2", "J2", length=24.0, material="pe"),
            run("P11", "pipe", "J2", "O1", length=18.0, material="copper"),
            run("P12", "pipe", "J2", "O2", length=30.0, material="pe"),
            run("K1", "cable", "A1.output", "CB1.strings", length=9.0, size="4 mm²"),
            run("K2", "cable", "A2.output", "CB1.strings", length=14.0, size="4 mm²"),
            run("K3", "cable", "CB1.output", "S1.line", length=2.0, size="10 mm²"),
            run("K4", "cable", "S1.load", "CC1.array", length=3.0, size="10 mm²"),
            run("K5", "cable", "CC1.battery", "BA1.posts", length=1.2, size="25 mm²"),
            run("K6", "cable", "BA1.posts", "IN1.input", length=1.0, size="35 mm²"),
            run("K7", "cable", "IN1.output", "B1.motor", length=8.0, size="2.5 mm²"),
            run("K8", "cable", "CC1.load", "L1.line", length=12.0, size="2.5 mm²"),
            run("K9", "cable", "CB1.bond", "EE1.bond", length=5.0, size="16 mm²"),
            run("N1", "control", "PS1.control", "IN1.control", length=9.0),
            run("N2", "control", "LS1.control", "IN1.control", length=11.0),
        ],
    )  # fmt: skip


def _document(components: list[Document], runs: list[Document]) -> Document:
    return {"site": {}, "components": components, "runs": runs}


def _well(n: str, depth: float, static: float, setting: float) -> list[Document]:
    return [
        component(f"W{n}", "well", depth=depth, static_level=static, pump_setting=setting, measuring_point_height=0.3,
                  screen_top=setting + 4),
        component(f"PU{n}", "submersible_pump", f"W{n}", rated_power=750.0),
        component(f"LS{n}", "level_switch", f"W{n}", purpose="guards_low_water", set_elevation=2.0 - setting),
        component(f"A{n}", "solar_array", series=4, parallel=2), component(f"S{n}", "isolator"),
        component(f"C{n}", "pump_controller"),
    ]  # fmt: skip


def _well_power(n: str) -> list[Document]:
    return [
        run(f"K{n}1", "cable", f"A{n}.output", f"S{n}.line", length=12.0, size="6 mm²"),
        run(f"K{n}2", "cable", f"S{n}.load", f"C{n}.array", length=2.0, size="6 mm²"),
        run(f"K{n}3", "cable", f"C{n}.motor", f"PU{n}.motor", length=45.0, size="10 mm²"),
        run(f"N{n}", "control", f"LS{n}.control", f"C{n}.control", length=44.0),
    ]


DOCUMENTS: dict[str, Callable[[], Document]] = {
    "quince ridge": quince_ridge,
    "spring and two tanks in line": spring_two_tanks,
    "two wells to one tank": two_wells,
    "high tank and six outlets": high_tank_six_outlets,
    "clinic with a hand pump": clinic,
    "only a well": only_a_well,
    "two arrays on one controller": two_arrays_one_controller,
    "a header of many": header_of_many,
    "booster on a battery": battery_booster,
}


def systems() -> dict[str, System]:
    """Return every system by name, and each once more with all its nameplates empty."""
    made = {name: build(document()) for name, document in DOCUMENTS.items()}
    return made | {f"{name}, nothing recorded": build(bare(document())) for name, document in DOCUMENTS.items()}
