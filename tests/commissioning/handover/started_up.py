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
    ("electrode_resistance", "EE1", [("resistance", "14", "1"), ("resistance", "14.5", "2"), ("resistance", "13.8", "3")]),
    ("pump_cable_insulation", "PU1", [("insulation", "> 999"), ("test_voltage", "500")]),
    ("array_insulation", "A1", [("insulation", "> 999"), ("test_voltage", "250")]),
    ("turbidity", "W1", [("turbidity", "0.8")]),
    ("sand", "W1", [("sand", "0.0")]),
    ("pumping_level", "W1", [("level", "26.4"), ("flow", "36"), ("minutes", "7200")]),
    ("open_circuit_voltage", "A1", [("voltage", "63.6", "string 1"), ("voltage", "62.9", "string 2")]),
    ("short_circuit_current", "A1", [("current", "4.79", "string 1"), ("current", "4.75", "string 2")]),
    ("time_to_water", "PU1", [("time", "70")]),
    ("well_pump_power", "PU1", [("voltage", "47.5"), ("current", "8.9")]),
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
