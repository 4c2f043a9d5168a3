"""Larkmoor school, seen again twice: a fault that grows.

At the first return the well gives a little less for each metre of drawdown, and nothing is outside. At the second it
brings sand, and the pump gives a fifth less water than its table says although it takes the power that it should.
"""

from datetime import date, timedelta

from commissioning.demo.hand import READ_BY, Hand, Story
from commissioning.demo.handing import sign_and_end
from commissioning.demo.larkmoor import heat, sun
from commissioning.demo.scribe import Reading as R
from commissioning.demo.scribe import begin, judge, raise_defect, take
from commissioning.models import Site, User

REST = Story(
    begins="13:20", sky=0.93, air=27.0,
    given={
        "pump_cable_insulation": {"insulation": "320", "test_voltage": "500"},
        "array_insulation": {"insulation": "405", "test_voltage": "500"},
        "electrode_resistance": {
            "resistance@52 %": "11.9", "resistance@62 %": "12.4", "resistance@72 %": "12.8",
        },
        "bond_resistance": {
            "rows": "array frame, controller case, well casing", "resistance@array frame": "0.19",
            "resistance@controller case": "0.09", "resistance@well casing": "0.25",
        },
        "well_pump_current": {"current": "7.6"},
        "phase_unbalance": {"lead_1": "7.58", "lead_2": "7.55", "lead_3": "7.66"},
        "tank_level": {"level": "1.62"},
        "delivery_flow:O1": {"flow": "18.1", "pressure": "156"},
        "delivery_flow:O2": {"flow": "23.5", "pressure": "155"},
        "volume_per_stroke": {"volume": "11.2", "strokes": "40"},
        "tightness_whole": {
            "pressure@start": "181.4", "pressure@settled": "180.9", "pressure@end": "180.4",
            "temperature@settled": "22.0", "temperature@end": "22.0",
        },
        "residual_at_sampling": {"residual": "< 0.1"},
        "coliform": {"colonies": "< 1"},
    },
    ways={"delivery_flow": "meter"},
    waits={"coliform": timedelta(days=3)},
    read_by={**READ_BY, "gauge_pressure": "PG1", "depth": "DP1"},
)  # fmt: skip


def first(site: Site, technician: User, day: date) -> None:
    """Come back after a year and a half: the well and the pump by hand, the rest as it always was."""
    scribe = begin(site, "service", technician, day, "08:20")
    take(
        scribe, scribe.at("08:40"), "static_level", "W1",
        R("level", "31.64", "m", "1", "DP1"), R("level", "31.63", "m", "2", "DP1", "09:00"),
    )  # fmt: skip
    sun(scribe, scribe.at("10:40"), "842")
    heat(scribe, scribe.at("10:41"), "48.0")
    take(scribe, scribe.at("10:43"), "time_to_water", "PU1", R("time", "43", "s"))
    take(scribe, scribe.at("11:10"), "turbidity", "W1", R("turbidity", "1.6", "NTU"))
    take(scribe, scribe.at("11:20"), "sand", "W1", R("sand", "< 0.1", "mL/L"))
    take(
        scribe, scribe.at("11:32"), "pumping_level", "W1",
        R("level", "36.48", "m", by="DP1"), R("flow", "29.4", "L/min", by="FM1"), R("minutes", "40", "min"),
    )  # fmt: skip
    take(scribe, scribe.at("12:02"), "tank_level", "T1", R("level", "0.94", "m"))
    take(
        scribe, scribe.at("12:30"), "well_pump_flow", "PU1",
        R("flow", "16.8", "L/min", "row 1", "FM1", "12:05"), R("power", "389", "W", "row 1", clock="12:05"),
        R("flow", "24.0", "L/min", "row 2", "FM1", "12:17"), R("power", "559", "W", "row 2", clock="12:17"),
        R("flow", "30.7", "L/min", "row 3", "FM1", "12:30"), R("power", "727", "W", "row 3", clock="12:30"),
        way="meter", note="the same outlet as at the start-up",
    )  # fmt: skip
    judge(scribe)
    sign_and_end(scribe, Hand(scribe, REST).carry_out() + timedelta(minutes=10), for_owner="E. Sable")


def second(site: Site, technician: User, day: date) -> None:
    """Come because the school has less water than before: take well and pump again."""
    scribe = begin(site, "service", technician, day, "08:30")
    take(
        scribe, scribe.at("08:45"), "static_level", "W1",
        R("level", "31.63", "m", "1", "DP1"), R("level", "31.64", "m", "2", "DP1", "09:05"),
    )  # fmt: skip
    sun(scribe, scribe.at("10:50"), "861")
    heat(scribe, scribe.at("10:51"), "49.5")
    take(scribe, scribe.at("10:53"), "time_to_water", "PU1", R("time", "46", "s"))
    sun(scribe, scribe.at("10:55"), "868")
    take(scribe, scribe.at("11:20"), "turbidity", "W1", R("turbidity", "2.6", "NTU"))
    take(scribe, scribe.at("11:38"), "sand", "W1", R("sand", "0.3", "mL/L"), note="fine, grey")
    take(
        scribe, scribe.at("11:45"), "pumping_level", "W1",
        R("level", "37.24", "m", by="DP1"), R("flow", "25.4", "L/min", by="FM1"), R("minutes", "40", "min"),
    )  # fmt: skip
    sun(scribe, scribe.at("11:56"), "902")
    heat(scribe, scribe.at("11:57"), "52.0")
    take(
        scribe, scribe.at("11:59"), "well_pump_power", "PU1",
        R("voltage", "100.7", "V", by="MM1"), R("current", "7.20", "A", by="CL1"), way="meters",
    )  # fmt: skip
    sun(scribe, scribe.at("12:01"), "907")
    take(scribe, scribe.at("12:12"), "tank_level", "T1", R("level", "1.15", "m"))
    take(
        scribe, scribe.at("12:40"), "well_pump_flow", "PU1",
        R("flow", "13.9", "L/min", "row 1", "FM1", "12:15"), R("power", "391", "W", "row 1", clock="12:15"),
        R("flow", "19.6", "L/min", "row 2", "FM1", "12:27"), R("power", "556", "W", "row 2", clock="12:27"),
        R("flow", "25.4", "L/min", "row 3", "FM1", "12:40"), R("power", "725", "W", "row 3", clock="12:40"),
        way="meter", note="the same outlet as at the start-up",
    )  # fmt: skip
    judge(scribe)
    raise_defect(
        scribe, scribe.at("13:10"),
        "Sand, less water for each metre of drawdown, and the pump below its table at full power. Pull the pump, look "
        "at its rotor and at the screen.",
        check="sand", subject="W1", who="T. Marsh", due=day + timedelta(days=28),
    )  # fmt: skip
    sign_and_end(scribe, Hand(scribe, REST).carry_out() + timedelta(minutes=10), for_owner="E. Sable")
