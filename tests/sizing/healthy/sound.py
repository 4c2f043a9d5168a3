"""How each check is taken on a healthy system: what is read beside it, and what its value comes to.

Where a check knows what a number should be, the number of the system that really stands there is taken. Every range
here is what a sound new system commonly shows (common practice, no source), unless said otherwise.
"""

from dataclasses import replace
from math import nan
from typing import Any

from sizing.checks.case import Case, Expected, Reading
from sizing.checks.catalogue import CHECKS
from sizing.checks.needs import pump_in
from sizing.checks.pressure import TYRE_GAUGE, filling_flow
from sizing.checks.pressure_zone import fillers_of
from sizing.checks.pump import power_expected
from sizing.checks.pump_flow import flow_expected
from sizing.parts import BoosterPump, PressureTank, SolarArray, StorageTank, SubmersiblePump
from sizing.system import Node
from sizing.working import Working
from tests.sizing.healthy.truth import (
    DAY,
    HOUR,
    Scene,
    Sound,
    about,
    above_limit,
    off_nominal,
    scattered,
    share_of,
    spread_evenly,
)

L_PER_MIN = 1e-3 / 60  # m³/s
KPA = 1e3
PRESSED_AGAINST = 260 * KPA


def around_pump(scene: Scene, pump: Node) -> Case:
    """Return the case in which a well pump runs now, with all that is true around it."""
    check = CHECKS["well_pump_flow"]
    conditions = scene.day.true_conditions(check, pump.tag, "row 1")
    return Case(scene.case.system, pump, (), conditions, "", "meter", scene.day.moment, Working(silent=True))


def pump_here(scene: Scene) -> Node:
    subject, system = scene.case.subject, scene.case.system
    if isinstance(getattr(subject, "part", None), SubmersiblePump):
        return system.node(subject.tag)
    if subject.kind == "well":
        return system.node(pump_in(system, subject.tag))
    return next(
        p for p in system.of(SubmersiblePump) if any(n.tag == subject.tag for n, _ in system.reached(p.tag, "pipe"))
    )


def pumped(scene: Scene) -> float:
    """The flow that the pump really gives now, by the pipes, or against the pressure tank that it fills."""
    pump = pump_here(scene)
    case = around_pump(scene, pump)
    if scene.case.system.of(PressureTank) and not fills_a_tank(scene, pump):
        flow = 1e-4
        for _ in range(3):
            beside = {"flow": flow, "wellhead_pressure": PRESSED_AGAINST, "power": 0.95 * full_power(scene, pump)}
            readings = tuple(Reading(name, value, "") for name, value in beside.items())
            flow = float(flow_expected(replace(case, readings=readings)).nominal or 0.0)
        return flow
    return float(flow_expected(case).nominal or 0.0)


def fills_a_tank(scene: Scene, pump: Node) -> bool:
    return any(isinstance(n.part, StorageTank) for n, _ in scene.case.system.reached(pump.tag, "pipe", "discharge"))


def pressure_at_head(scene: Scene) -> float:
    """The gauge at the wellhead, read where no open tank says what the pump works against."""
    return nan if fills_a_tank(scene, pump_here(scene)) else PRESSED_AGAINST


def power_taken(scene: Scene) -> float:
    """The power that really goes into the drive now, a little less in a later row."""
    return full_power(scene, pump_here(scene)) * scene.between(0.9, 1.0)


def full_power(scene: Scene, pump: Node) -> float:
    conditions = scene.day.true_conditions(CHECKS["well_pump_flow"], pump.tag, scene.label or "row 1")
    full = power_expected(Case(scene.case.system, pump, (), conditions, "", "", scene.day.moment, Working(silent=True)))
    return float(full.nominal or 0.0)


def voltage_of_array(scene: Scene) -> float:
    """The voltage at which the tracker holds the array that feeds this."""
    array = scene.case.system.of(SolarArray)[0]
    return array.need("series") * array.need("module_maximum_power_voltage") * scene.between(0.9, 0.97)


def charged(scene: Scene) -> float:
    """How far the bank is charged this morning, as a share of the way from the limit to full."""
    return scene.day.once("charged", lambda: scene.between(0.55, 0.95))


def by_charge(scatter: float) -> Any:
    def aim(scene: Scene, e: Expected) -> float:
        return above_limit(charged(scene), charged(scene))(scene, e) + scene.chance.gauss(0, scatter)

    return aim


def volts(low: float, high: float) -> Any:
    """Volts of the bank, each block of 12 V between these."""
    return lambda scene: scene.day.bank_voltage() / 12 * scene.between(low, high)


def of_plate(field: str) -> Any:
    return lambda scene: scene.plate(field)


def sun_now(scene: Scene) -> float:
    return scene.day.sun_on(scene.case)


def back_of_module(scene: Scene) -> float:
    """The back of the module: Sandia report SAND2004-3535, open rack and glass/polymer, and ± 3 K of the day."""
    return scene.day.air + sun_now(scene) * 0.0243 + scene.between(-3, 3)


def tester_voltage(scene: Scene) -> float:
    """The voltage of the tester by the band of 1.25 × V_oc."""
    greatest = 1.25 * scene.plate("series") * scene.plate("module_open_circuit_voltage")
    return 250.0 if greatest < 120 else 500.0 if greatest <= 500 else 1000.0


def depth_share(low: float, high: float) -> Any:
    """Water above the floor, as a share of the tank up to its overflow."""
    return lambda scene: (scene.plate("overflow_elevation") - scene.plate("floor_elevation")) * scene.between(low, high)


def long_enough(scene: Scene) -> float:
    """As long as the pump needs to raise the tank by some 60 cm."""
    tank = scene.case.system.node(scene.case.subject.tag)
    if tank.need_text("shape") == "rectangular":
        area = tank.need("length") * tank.need("width")
    else:
        area = 0.785 * tank.need("diameter") ** 2
    return min(10 * HOUR, 0.6 * area / scene.day.once(f"pumped {tank.tag}", lambda: pumped(scene)))


def held(pressure: Any, most: float) -> Any:
    """Pressures of a hold: two kilopascals more at the start, and a small fall from settled to the end."""

    def given(scene: Scene) -> float:
        fall = scene.day.once(f"fall {scene.case.subject.tag}", lambda: scene.between(0, most))
        start = pressure(scene) if callable(pressure) else pressure
        return float(start) + {"start": 2 * KPA, "settled": 0.0, "end": -fall}[scene.label]

    return given


def full_tank(scene: Scene) -> float:
    """A little more than the pressure under a full tank."""
    found = next(j for j in CHECKS["tightness_whole"].judged if j.name == "test_pressure").expected(scene.case)
    return 1.1 * float(found.lower or 0.0)


def promised(low: float, high: float) -> Any:
    """What an outlet gives: as its pipes let it, or where they do not say, a share of the duty."""

    def aim(scene: Scene, e: Expected) -> float:
        if e.nominal is None:
            return scene.between(low, high) * float(e.lower or 0.0)
        return float(e.nominal) + scene.day.model_error(e)

    return aim


def middle_of_table(scene: Scene) -> float:
    rows = [row[0] for row in scene.case.subject.part.performance]  # type: ignore[union-attr]
    return min(rows) + scene.day.once(f"rise {scene.case.subject.tag}", lambda: scene.between(0.3, 0.7)) * (
        max(rows) - min(rows)
    )


def unless_upper(low: float, high: float) -> Any:
    """The nominal, or a share of a lone upper limit."""

    def aim(scene: Scene, e: Expected) -> float:
        if e.nominal is None:
            return scene.between(low, high) * float(e.upper or 0.0)
        return float(e.nominal) + scene.day.model_error(e)

    return aim


def set_by_gauge(scene: Scene, e: Expected) -> float:
    """A precharge that was set this morning, by the record, with the gauge that now reads it: ± 1 kPa on its dial."""
    off_by = scene.day.gains.setdefault(TYRE_GAUGE.words, scene.between(-1, 1)) * TYRE_GAUGE.fixed
    case = replace(scene.case, system=scene.day.record, subject=scene.day.record.node(scene.case.subject.tag))
    wanted = CHECKS["precharge"].judged[0].expected(case)
    return float(wanted.nominal or 0.0) - off_by + scene.between(-1, 1) * KPA


def a_tap(scene: Scene) -> float:
    """A tap opened to a third of what fills the tank."""
    fillers = fillers_of(scene.case.system, scene.case.system.node(scene.case.subject.tag))
    boosters = [one for one in fillers if isinstance(one.part, BoosterPump)]
    return filling_flow(scene.case, boosters[0]) / 3 if boosters else 4 * L_PER_MIN


def forty_strokes(scene: Scene) -> float:
    return 36 * 0.785 * scene.plate("bore") ** 2 * scene.plate("stroke")


def long_run(scene: Scene, e: Expected) -> float:
    return scene.between(45, 120) if e.nominal is None else float(e.nominal) * scene.between(0.9, 1.1)


def drawn_down(scene: Scene) -> float:
    """The level at which more than nine tenths are back."""
    tag = scene.case.subject.tag
    rest, low = scene.true("static_level", tag), scene.true("pumping_level", tag)
    return rest + 0.07 * (low - rest)


BATTERY = {
    "battery_temperature": Sound(given={"temperature": about(14, 30)}),
    "hours_at_rest": Sound(given={"rest": about(9 * HOUR, 14 * HOUR)}),
    "battery_rest_voltage": Sound(given={"rest": about(9 * HOUR, 14 * HOUR)}, aim={"voltage": by_charge(0.01)}),
    "specific_gravity": Sound(
        given={"temperature": about(14, 30), "gravity": 1.25}, aim={"gravity": by_charge(0.0015)}
    ),
    "dawn_voltage": Sound(given={"current": about(0.2, 1.0)}, aim={"voltage": by_charge(0.02)}),
    "battery_sag": Sound(given={"rest_voltage": volts(12.5, 12.7), "current": about(8, 12)}),
    "night_draw": Sound(aim={"current": share_of("nominal", 0.8, 1.3)}),
    "load_energy": Sound(
        way="counter", given={"time": 7 * DAY}, aim={"energy": share_of("nominal", 0.7, 1.0)}, lead={"energy": "energy"}
    ),
    "battery_water_use": Sound(
        given={"time": 30 * DAY}, aim={"water": share_of("upper", 0.2, 0.5)}, lead={"water": "water"}
    ),
    "joint_drop": Sound(
        given={"current": about(10, 20)}, aim={"resistance": share_of("upper", 0.1, 0.4)}, lead={"resistance": "drop"}
    ),
    "fuse_rating": Sound(
        given={
            "rating": of_plate("rated_current"), "breaking": of_plate("interrupting_rating"),
            "voltage": of_plate("rated_voltage"),
        }
    ),
    "charge_current": Sound(given={"stage": 0.0, "voltage": volts(12.8, 13.6)}),
    "charge_voltage": Sound(given={"stage": 1.0}),
    "display_difference": Sound(
        given={"posts": volts(12.8, 13.6), "current": about(4, 10)},
        aim={"difference": off_nominal(0.03)}, lead={"difference": "display"},
    ),
    "time_to_absorption": Sound(aim={"time": share_of("nominal", 0.5, 1.1)}),
}  # fmt: skip

SUN = {
    "ambient_temperature": Sound(given={"ambient_temperature": lambda scene: scene.day.air}),
    "wind": Sound(way="signs", given={"wind": 2.4}),
    "sky": Sound(given={"sky": lambda scene: scene.day.sky}),
    "irradiance": Sound(
        way="meter", given={"irradiance": sun_now, "sky": lambda scene: scene.day.sky}, true={"irradiance": sun_now}
    ),
    "module_temperature": Sound(way="contact", given={"back_temperature": back_of_module}),
    "array_insulation": Sound(
        way="joined", given={"insulation": spread_evenly(2e7, 5e8), "test_voltage": tester_voltage}
    ),
    "open_circuit_voltage": Sound(aim={"voltage": scattered(0.003)}),
    "short_circuit_current": Sound(aim={"current": scattered(0.007)}),
    "operating_current": Sound(aim={"current": scattered(0.007)}),
    "array_power": Sound(way="display", lead={"power": "power"}),
    "joint_temperature_rise": Sound(
        given={"current": about(9, 12), "rise": 2.0}, aim={"rise": share_of("upper", 0.02, 0.25)}
    ),
}

WELL = {
    "water_temperature": Sound(given={"temperature": about(8, 20)}),
    "hours_since_pumping": Sound(given={"hours": about(12 * HOUR, 3 * DAY)}),
    "static_level": Sound(aim={"level": off_nominal(1.5)}),
    "well_depth_measured": Sound(aim={"depth": off_nominal(0.8)}),
    "turbidity": Sound(given={"turbidity": about(0.2, 1.5)}),
    "sand": Sound(given={"sand": 0.1}, bounds={"sand": "<"}),
    "conductivity": Sound(way="compensated", given={"compensated": about(0.02, 0.1)}),
    "pumping_level": Sound(given={"flow": pumped, "minutes": 1800.0}),
    "recovery_time": Sound(given={"pumped": 1800.0, "time": about(300, 1200), "level": drawn_down}),
    "pump_cable_insulation": Sound(way="new", given={"insulation": spread_evenly(2e7, 5e8), "test_voltage": 500.0}),
    "pump_cable_loop_resistance": Sound(given={"temperature": about(8, 20)}),
    "cable_loop_resistance": Sound(
        way="current",
        given={"temperature": about(10, 35), "current": about(4, 6), "drop": 0.1},
        aim={"resistance": off_nominal(0.0)},
        lead={"resistance": "drop"},
    ),
    "electrode_resistance": Sound(given={"resistance": about(4, 15)}),
    "bond_resistance": Sound(given={"resistance": about(0.02, 0.25)}),
    "time_to_water": Sound(aim={"time": share_of("nominal", 0.5, 1.2)}),
    "well_pump_power": Sound(
        way="meters", given={"voltage": voltage_of_array}, lead={"power": "current"},
        aim={"power": unless_upper(0.6, 0.9)},
    ),
    "well_pump_current": Sound(aim={"current": share_of("upper", 0.5, 0.85)}),
    "well_pump_flow": Sound(
        way="meter", given={"power": power_taken, "flow": pumped, "wellhead_pressure": pressure_at_head},
        aim={"flow": off_nominal(0.0)},
    ),
    "phase_unbalance": Sound(given={name: lambda s: 8 * (1 + s.chance.gauss(0, 0.007)) for name in
                                    ("lead_1", "lead_2", "lead_3")}),
    "overload_trips": Sound(given={"trips": 0.0, "time": 30 * DAY}),
    "low_water_trips": Sound(given={"trips": lambda s: float(s.chance.randint(0, 4)), "time": 30 * DAY}),
    "well_pump_starts": Sound(given={"starts": lambda s: float(s.chance.randint(1, 3)), "time": 2 * HOUR}),
    "wellhead_pressure": Sound(given={"flow": pumped}),
    "rising_main_loss": Sound(
        way="one_meter",
        given={"sent": lambda s: s.day.once(f"sent {s.case.subject.tag}", lambda: pumped(s)),
               "arrived": lambda s: s.day.once(f"sent {s.case.subject.tag}", lambda: pumped(s)) * s.between(0.997, 1.0)}
    ),
}  # fmt: skip

STORE = {
    "tank_level": Sound(given={"level": depth_share(0.3, 0.8)}),
    "fill_stop_level": Sound(way="dip", lead={"level": "depth"}),
    "fill_restart_level": Sound(way="dip", lead={"level": "depth"}),
    "booster_low_stop": Sound(way="dip", lead={"level": "depth"}),
    "low_water_stop": Sound(way="dip", lead={"level": "depth"}),
    "fill_balance": Sound(
        given={"start_level": depth_share(0.1, 0.2), "end_level": depth_share(0.5, 0.6), "time": long_enough,
               "flow": lambda s: s.day.once(f"pumped {s.case.subject.tag}", lambda: pumped(s))},
        lead={"rise": "end_level"}, aim={"rise": off_nominal(0.0)},
    ),
    "tank_overnight_loss": Sound(
        given={"start_level": 1.0, "end_level": lambda s: 1.0 - s.between(0, 0.001), "time": 10 * HOUR}
    ),
    "overflow_events": Sound(given={"overflows": 0.0, "time": 90 * DAY}),
    "precharge": Sound(given={"temperature": about(10, 30)}, aim={"pressure": set_by_gauge}),
    "starts_at_fixed_draw": Sound(given={"draw": a_tap}, aim={"run_time": long_run}),
    "starts_with_taps_shut": Sound(given={"starts": 0.0}),
    "tightness_house_side": Sound(given={"pressure": held(300 * KPA, 1.5 * KPA)}),
    "tightness_whole": Sound(given={"pressure": held(full_tank, 1.5 * KPA), "temperature": 14.0}),
    "pressure_at_rest": Sound(aim={"pressure": off_nominal(2 * KPA)}),
    "switch_contact_drop": Sound(
        given={"current": about(5, 12)}, aim={"resistance": share_of("upper", 0.1, 0.4)}, lead={"resistance": "voltage"}
    ),
    "filter_drop": Sound(
        given={"before": 250 * KPA, "behind": 245 * KPA, "flow": about(10 * L_PER_MIN, 14 * L_PER_MIN)},
        aim={"drop": share_of("nominal", 1.0, 1.5)}, lead={"drop": "behind"},
    ),
}  # fmt: skip

PRESSED = {
    "booster_voltage": Sound(
        given={"source": lambda s: s.plate("rated_voltage") * s.between(1.03, 1.06),
               "current": lambda s: s.plate("rated_current") * s.between(0.6, 0.9)},
        aim={"voltage": share_of("nominal", 0.990, 1.0)},
    ),
    "booster_current": Sound(way="clamp", given={"discharge": middle_of_table, "suction": 0.0},
                             aim={"current": unless_upper(0.6, 0.9)}),
    "booster_flow": Sound(given={"discharge": middle_of_table, "suction": 0.0}),
    "booster_suction_vacuum": Sound(given={"flow": about(8 * L_PER_MIN, 14 * L_PER_MIN)}),
    "booster_prime_time": Sound(given={"time": about(3, 10)}),
    "booster_shutoff_pressure": Sound(given={"suction": 0.0, "discharge": 400 * KPA}, lead={"rise": "discharge"}),
    "delivery_flow": Sound(
        way="bucket", given={"volume": 0.016, "time": 40.0},
        aim={"delivery_flow": promised(1.1, 1.4), "delivery_pressure": promised(1.1, 1.4)},
        lead={"delivery_flow": "volume", "delivery_pressure": "pressure"},
    ),
}  # fmt: skip

HAND_AND_WATER = {
    "strokes_to_water": Sound(given={"strokes": lambda s: float(s.chance.randint(1, 4))}),
    "volume_per_stroke": Sound(
        given={"strokes": 40.0, "volume": forty_strokes}, aim={"volume_per_stroke": share_of("nominal", 0.88, 0.97)},
        lead={"volume_per_stroke": "volume"},
    ),
    "hand_pump_late_yield": Sound(
        given={"strokes": 120.0, "time": 180.0, "volume": 0.045}, aim={"flow": unless_upper(0.9, 0.97)},
        lead={"flow": "volume"},
    ),
    "bleach_strength": Sound(way="hypochlorite", given={"hypochlorite": about(0.045, 0.06)}),
    "residual_at_sampling": Sound(given={"residual": 0.1}, bounds={"residual": "<"}),
    "coliform": Sound(given={"colonies": 1.0}, bounds={"colonies": "<"}),
    "contact_time": Sound(given={"time": about(26 * HOUR, 40 * HOUR)}),
    "residual_after_contact": Sound(given={"residual": about(35, 75)}),
    "nitrate": Sound(way="nitrate", given={"nitrate": about(1, 15)}),
    "arsenic": Sound(given={"arsenic": about(0.0005, 0.003)}),
    "fluoride": Sound(given={"fluoride": about(0.1, 0.7)}),
    "iron": Sound(given={"iron": about(0.01, 0.1)}),
    "manganese": Sound(given={"manganese": about(0.002, 0.02)}),
    "lead": Sound(given={"lead": about(0.0005, 0.004)}),
    "ph": Sound(given={"ph": about(6.9, 7.9)}),
}  # fmt: skip

SOUND: dict[str, Sound] = {**BATTERY, **SUN, **WELL, **STORE, **PRESSED, **HAND_AND_WATER}
