"""A start-up visit measured from end to end, for the tests of acceptance and handover.

The readings are invented; they are what Quince Ridge could give at noon on a clear day. What the verdicts are is the
business of the core's own tests: here they only have to be many, of every shape.
"""

from datetime import datetime, timedelta
from typing import Any

from commissioning import units
from commissioning.models import Site, User, Visit
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Answer, Kind
from tests.commissioning.worlds import measure, site_with_record, visit_on

NOON = datetime.fromisoformat("2027-04-14T12:00:00-06:00")
GOOD = Answer.AS_IT_SHOULD_BE.value

# check, subject, readings as (input, typed) or (input, typed, repeat); units are the usual metric ones
READINGS: list[tuple[str, str, list[tuple[str, ...]]]] = [
    ("static_level", "W1", [("level", "24.10", "1"), ("level", "24.11", "2")]),
    ("well_depth_measured", "W1", [("depth", "59.8")]),
    ("irradiance", "A1", [("irradiance", "812")]),
    ("module_temperature", "A1", [("back_temperature", "44.0"), ("irradiance", "812")]),
    ("tank_level", "T1", [("level", "1.30")]),
    ("bond_resistance", "EE1", [("resistance", "0.18", "array frame"), ("resistance", "0.21", "controller case")]),
    ("electrode_resistance", "EE1", [
        ("resistance", "13.8", "52 %"), ("resistance", "14.0", "62 %"), ("resistance", "14.3", "72 %"),
    ]),
    ("pump_cable_loop_resistance", "PU1", [("resistance", "0.47", "leads 1 and 2"), ("temperature", "15")]),
    ("pump_cable_insulation", "PU1", [("insulation", "> 999"), ("test_voltage", "500")]),
    ("array_insulation", "A1", [("insulation", "> 999"), ("test_voltage", "250")]),
    ("turbidity", "W1", [("turbidity", "0.8")]),
    ("sand", "W1", [("sand", "0.0")]),
    ("pumping_level", "W1", [("level", "26.4"), ("flow", "36"), ("minutes", "7200")]),
    ("open_circuit_voltage", "A1", [("voltage", "63.6", "string 1"), ("voltage", "62.9", "string 2")]),
    ("short_circuit_current", "A1", [("current", "4.79", "string 1"), ("current", "4.75", "string 2")]),
    ("time_to_water", "PU1", [("time", "58")]),
    ("well_pump_power", "PU1", [("voltage", "47.5"), ("current", "8.9")]),
    ("well_pump_current", "PU1", [("current", "8.9")]),
    ("phase_unbalance", "PU1", [("lead_1", "8.90"), ("lead_2", "8.84"), ("lead_3", "8.97")]),
    ("well_pump_flow", "PU1", [
        ("flow", "21.4", "row 1"), ("power", "410", "row 1"), ("irradiance", "790", "row 1"),
        ("level", "26.1", "row 1"),
        ("flow", "22.3", "row 2"), ("power", "423", "row 2"), ("irradiance", "812", "row 2"),
        ("level", "26.2", "row 2"),
        ("flow", "23.1", "row 3"), ("power", "436", "row 3"), ("irradiance", "830", "row 3"),
        ("level", "26.3", "row 3"),
    ]),
    ("wellhead_pressure", "PU1", [("pressure", "183"), ("flow", "22.3")]),
    ("fill_balance", "T1", [("start_level", "0.90"), ("end_level", "1.30"), ("flow", "22.3"), ("time", "4870")]),
    ("tightness_whole", "T1", [
        ("pressure", "166", "start"), ("pressure", "164", "settled"), ("pressure", "163.5", "end"),
        ("temperature", "14", "start"), ("temperature", "14", "settled"), ("temperature", "14", "end"),
    ]),
    ("delivery_flow", "O1", [
        ("volume", "20", "1"), ("time", "81", "1"), ("volume", "20", "2"), ("time", "80.5", "2"),
        ("volume", "20", "3"), ("time", "81.5", "3"), ("pressure", "118"),
    ]),
    ("delivery_flow", "O2", [
        ("volume", "20", "1"), ("time", "74", "1"), ("volume", "20", "2"), ("time", "73.5", "2"),
        ("volume", "20", "3"), ("time", "74.5", "3"), ("pressure", "121"),
    ]),
    ("volume_per_stroke", "HP1", [
        ("volume", "15", "1"), ("strokes", "40", "1"), ("volume", "15.1", "2"), ("strokes", "40", "2"),
        ("volume", "15", "3"), ("strokes", "40", "3"),
    ]),
    ("bleach_strength", "site", [("available", "5.5")]),
    ("chlorine_dose", "W1", [("bleach", "1.2")]),
    ("fill_stop_level", "LS1", [("depth", "2.05")]),
    ("fill_restart_level", "LS1", [("depth", "1.64")]),
    ("strokes_to_water", "HP1", [("strokes", "4")]),
    ("coliform", "O1", [("colonies", "0")]),
    ("residual_at_sampling", "O1", [("residual", "0.0")]),
]  # fmt: skip


def readings_of(check: str, items: list[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Return readings with the usual metric unit of each input."""
    found = []
    for name, typed, *label in items:
        declared = CHECKS[check].input(name)
        assert declared is not None
        unit = "" if declared.options else units.default_unit(declared.quantity, "metric").code
        found.append((name, typed, unit, *label))
    return found


def start_up(
    actor: User, site: Site | None = None, *, leave: tuple[str, ...] = (), at: datetime = NOON, **described: Any
) -> Visit:
    """Return a visit on which all of READINGS and every observation were taken, but those in `leave`."""
    site = site or site_with_record(actor, **described)
    visit = visit_on(site, actor, at=at)
    moment = at
    for check, subject, items in READINGS:
        if check in leave:
            continue
        moment += timedelta(seconds=20)
        measure(visit, check, subject, *readings_of(check, items), actor=actor, at=moment)
    return observe_all(visit, actor, leave, moment)


def observe_all(visit: Visit, actor: User, leave: tuple[str, ...], at: datetime) -> Visit:
    """Answer every observation that is owed, but those in `leave`, as it should be."""
    from commissioning.progress import progress_of

    for line in progress_of(visit).lines:
        if line.check.kind is Kind.OBSERVED and line.measurement is None and line.owed.check not in leave:
            measure(visit, line.owed.check, line.owed.subject, actor=actor, at=at, answer=GOOD)
    return visit


def begin_up(actor: User, site: Site | None = None, *, at: datetime = NOON) -> Visit:
    """Return a visit with a few measurements: enough to close the strings, far from all that is owed."""
    visit = visit_on(site or site_with_record(actor), actor, at=at)
    few = ("static_level", "irradiance", "module_temperature", "open_circuit_voltage")
    for check, subject, items in READINGS:
        if check in few:
            measure(visit, check, subject, *readings_of(check, items), actor=actor, at=at)
    measure(visit, "string_polarity", "A1", actor=actor, at=at, answer=GOOD)
    return visit
