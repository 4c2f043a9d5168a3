"""One sound measurement of each water check on the test system, and short ways to take and judge one."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from sizing.checks.case import Expected, Reading, Value
from sizing.checks.catalogue import CHECKS
from sizing.judgement import Assessment, Finding, assess, expect
from sizing.system import System, build
from tests.sizing.systems import L_PER_MIN, quince_ridge

# name or "name@label" → value, or (value, u), or (value, u, bound)
Typed = Mapping[str, float | tuple[float, float] | tuple[float, float, str]]

WEATHER = {
    "irradiance": Value(900.0, 26.0),
    "module_temperature": Value(50.0, 1.2),
    "tank_level": Value(1.5, 0.012),
    "static_level": Value(24.0, 0.01),
}


def readings(typed: Typed) -> tuple[Reading, ...]:
    """Return readings from a short notation."""
    made = []
    for key, entry in typed.items():
        name, _, label = key.partition("@")
        value, u, bound = (*entry, "")[:3] if isinstance(entry, tuple) else (entry, 0.0, "")
        made.append(Reading(name, value, label, float(u), str(bound)))
    return tuple(made)


@dataclass(frozen=True)
class Taken:
    """One carrying-out of a check."""

    check: str
    subject: str
    typed: Typed = field(default_factory=dict)
    conditions: Mapping[str, Value] = field(default_factory=dict)
    way: str = ""

    @property
    def id(self) -> str:
        return f"{self.check}-{self.way or 'first'}"


def judged(taken: Taken, system: System | None = None, **conditions: Any) -> Assessment:
    """Return the assessment of a measurement, some conditions changed."""
    around = {**taken.conditions, **conditions}
    return assess(
        CHECKS[taken.check],
        system or build(quince_ridge()),
        taken.subject,
        readings=readings(taken.typed),
        conditions={k: v for k, v in around.items() if v is not None},
        way=taken.way,
    )


def finding(taken: Taken, name: str = "", system: System | None = None, **conditions: Any) -> Finding:
    """Return one finding of a measurement, the first one if no name is given."""
    found = judged(taken, system, **conditions).findings
    return next(f for f in found if name in ("", f.name))


def expected(taken: Taken, name: str = "", system: System | None = None, **conditions: Any) -> Expected:
    """Return what one judged value should be."""
    found = finding(taken, name, system, **conditions).expected
    assert found is not None
    return found


def changed(taken: Taken, **typed: Any) -> Taken:
    """Return the measurement with some readings changed; `name__label` stands for `name@label`."""
    moved = {**taken.typed, **{k.replace("__", "@"): v for k, v in typed.items()}}
    return Taken(
        taken.check, taken.subject, {k: v for k, v in moved.items() if v is not None}, taken.conditions, taken.way
    )


def in_advance(taken: Taken, name: str = "", system: System | None = None) -> Expected | None:
    """Return what a number should be before anything is read."""
    check = CHECKS[taken.check]
    one = next(j for j in check.judged if name in ("", j.name))
    return expect(check, one, system or build(quince_ridge()), taken.subject, conditions=taken.conditions)[0]


Q27 = 27 * L_PER_MIN
STILL = {"static_level": WEATHER["static_level"]}
LEVEL = {"tank_level": WEATHER["tank_level"]}
SUN = {k: WEATHER[k] for k in ("irradiance", "module_temperature")}

ROW = {"power@row 1": (490.0, 7.0), "flow@row 1": (Q27, 0.017 * Q27)}
BUCKETS = {
    "volume@1": (0.010, 6e-5), "volume@2": (0.010, 6e-5), "volume@3": (0.010, 6e-5),
    "time@1": (41.2, 0.3), "time@2": (41.6, 0.3), "time@3": (41.4, 0.3),
}  # fmt: skip

DAY = 86_400.0
BURIED = {
    "pressure@start": (600e3, 600.0), "pressure@settled": (590e3, 600.0), "pressure@end": (586e3, 600.0),
    "temperature@settled": (13.0, 0.03), "temperature@end": (13.1, 0.03),
}  # fmt: skip

GOOD = (
    Taken("static_level", "W1", {"level@1": (24.3, 0.01), "level@2": (24.31, 0.01)}),
    Taken("well_depth_measured", "W1", {"depth": (59.7, 0.05)}),
    Taken("turbidity", "W1", {"turbidity": (1.2, 0.2)}),
    Taken("sand", "W1", {"sand": (0.1, 0.0, "<")}),
    Taken("pumping_level", "W1", {"level": (25.8, 0.01), "flow": (Q27, 0.017 * Q27), "minutes": 1800.0}, STILL),
    Taken("well_drawdown", "W1", {}, {**STILL, "pumping_level": Value(25.8, 0.01)}),
    Taken("specific_capacity", "W1", {}, {"pumping_level": Value(Q27, 0.01 * Q27), "well_drawdown": Value(1.8, 0.02)}),
    Taken("time_to_water", "PU1", {"time": (31.0, 0.3)}, WEATHER),
    Taken("well_pump_power", "PU1", {"voltage": (55.0, 0.27), "current": (8.6, 0.13)}, SUN, "meters"),
    Taken("well_pump_power", "PU1", {"power": (473.0, 7.0)}, SUN, "display"),
    Taken("well_pump_current", "PU1", {"current": (9.4, 0.2)}),
    Taken("phase_unbalance", "PU1", {"lead_1": (9.40, 0.05), "lead_2": (9.30, 0.05), "lead_3": (9.52, 0.05)}),
    Taken(
        "well_pump_specific_energy", "PU1", {},
        {**STILL, "well_pump_flow/row 1": Value(0.38, 0.01), "well_pump_flow/row 2": Value(0.42, 0.01)},
    ),
    Taken("start_irradiance", "PU1", {"irradiance": (108.0, 3.1)}, STILL),
    Taken("overload_trips", "PU1", {"trips": 0.0, "time": 30 * 86_400.0}),
    Taken("well_pump_flow", "PU1", ROW, STILL, "meter"),
    Taken(
        "well_pump_flow", "PU1",
        {"volume@row 1": (0.02, 1.2e-4), "time@row 1": (45.0, 0.3), "power@row 1": (490.0, 7.0)}, STILL, "bucket",
    ),
    Taken(
        "wire_to_water",
        "PU1",
        {},
        {"well_pump_flow/row 1": Value(0.38, 0.01), "well_pump_flow/row 2": Value(0.42, 0.01)},
    ),
    Taken("wellhead_pressure", "PU1", {"pressure": (188_000.0, 3_000.0), "flow": (Q27, 0.017 * Q27)}),
    Taken("fill_stop_level", "LS1", {"depth": (2.04, 0.006)}, {}, "dip"),
    Taken("fill_stop_level", "LS1", {"below_overflow": (0.16, 0.006)}, {}, "lip"),
    Taken("fill_restart_level", "LS1", {"depth": (1.66, 0.006)}, {}, "dip"),
    Taken(
        "fill_balance", "T1",
        {"start_level": (1.0, 0.006), "end_level": (1.25, 0.006), "flow": (4.5e-4, 7e-6), "time": (2500.0, 3.0)},
    ),
    Taken(
        "tightness_whole", "T1",
        {
            "pressure@start": (172e3, 600.0), "pressure@settled": (170e3, 600.0), "pressure@end": (168.6e3, 600.0),
            "temperature@settled": (13.0, 0.03), "temperature@end": (13.1, 0.03),
        },
    ),
    Taken("delivery_flow", "O1", {**BUCKETS, "pressure": (132e3, 1500.0)}, LEVEL, "bucket"),
    Taken("delivery_flow", "O2", {"flow": (2.4e-4, 4e-6), "pressure": (139e3, 1500.0)}, LEVEL, "meter"),
    Taken("strokes_to_water", "HP1", {"strokes": (3.0, 0.3)}),
    Taken(
        "volume_per_stroke", "HP1",
        {f"volume@{i}": (0.0149, 9e-5) for i in (1, 2, 3)} | {f"strokes@{i}": (40.0, 0.3) for i in (1, 2, 3)},
    ),
    Taken("bleach_strength", "site", {"hypochlorite": (0.05, 0.003)}, {}, "hypochlorite"),
    Taken(
        "chlorine_dose", "W1", {"bleach": (0.015, 2e-4)}, {**STILL, **LEVEL, "bleach_strength": Value(0.05, 0.003)},
    ),
    Taken("buried_line_test", "P3", BURIED, {}, "hold"),
    Taken("buried_line_test", "P3", BURIED, {}, "expansion"),
    Taken(
        "recovery_time", "W1", {"time": (900.0, 9.0), "level": 24.17, "pumped": (1800.0, 9.0)},
        {**STILL, "pumping_level": Value(25.8, 0.01)},
    ),
    Taken("conductivity", "W1", {"compensated": (0.048, 5e-4)}, {}, "compensated"),
    Taken("conductivity", "W1", {"conductivity": (0.039, 5e-4), "temperature": 14.0}, {}, "plain"),
    Taken("rising_main_loss", "PU1", {"sent": (Q27, 0.005 * Q27), "arrived": (0.995 * Q27, 0.005 * Q27)}),
    Taken("well_pump_starts", "PU1", {"starts": 2.0, "time": (7200.0, 35.0)}),
    Taken("low_water_trips", "PU1", {"trips": 3.0, "time": (30 * DAY, 12_000.0)}),
    Taken(
        "tank_overnight_loss", "T1",
        {"start_level": (1.5, 0.0017), "end_level": (1.499, 0.0017), "time": (36_000.0, 9.0)},
    ),
    Taken("overflow_events", "T1", {"overflows": 1.0, "time": (90 * DAY, 12_000.0)}),
    Taken(
        "hand_pump_late_yield", "HP1", {"volume": (0.0445, 4e-4), "time": (180.0, 0.3), "strokes": (120.0, 0.3)},
        {"volume_per_stroke": Value(3.725e-4, 3e-6)},
    ),
    Taken("contact_time", "W1", {"time": (100_000.0, 170.0)}, {"water_temperature": Value(5.1, 0.03)}),
    Taken("residual_after_contact", "W1", {"residual": (60.0, 7.0)}, {"chlorine_dose": Value(100.0, 3.0)}),
    Taken("nitrate", "site", {"nitrate": (12.0, 0.7)}, {}, "nitrate"),
    Taken("nitrate", "site", {"nitrogen": (2.7, 0.2)}, {}, "nitrogen"),
    Taken("arsenic", "site", {"arsenic": (0.002, 1e-4)}),
    Taken("fluoride", "site", {"fluoride": (0.6, 0.03)}),
    Taken("iron", "site", {"iron": (0.05, 0.003)}),
    Taken("manganese", "site", {"manganese": (0.01, 0.001)}),
    Taken("lead", "site", {"lead": (0.002, 1e-4)}),
    Taken("ph", "site", {"ph": (7.3, 0.06)}),
    Taken("residual_at_sampling", "O1", {"residual": (0.1, 0.0, "<")}),
    Taken("coliform", "O1", {"colonies": (1.0, 0.0, "<")}),
)  # fmt: skip


def good(check: str, way: str = "") -> Taken:
    """Return the sound measurement of a check."""
    return next(one for one in GOOD if one.check == check and way in ("", one.way))
