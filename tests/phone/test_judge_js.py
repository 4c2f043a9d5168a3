"""The phone says what the server says: of every sound measurement, of random ones, and by the same rule.

The numbers that the server says are held to print where each check is tested; here the two languages are compared.
"""

import random
from types import SimpleNamespace
from typing import Any

import pytest

from commissioning import judging
from sizing.checks.case import Value
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Accuracy, Kind, Need, Needed
from sizing.errors import MissingDataError
from sizing.quantities import Quantity as Q
from sizing.system import build
from sizing.verdict import decide
from tests.phone.node import run
from tests.phone.pocketed import Laid, laid, phone_says, tallied
from tests.sizing.checks.measured import GOOD, readings
from tests.sizing.checks.measured_power import POWER_GOOD, SYSTEM_OF
from tests.sizing.pocket.draws import MIDSUMMER, Draw, draws
from tests.sizing.systems import quince_ridge

SERVER_ONLY = {
    "coliform",
    "state_of_charge",
    "well_pump_specific_energy",
    "array_power",
    "start_irradiance",
    "operating_current",
    "loss_tied_to_hour",
}
"""Judged by the server alone, each with its reason: a laboratory's result, and all repeats worked out together."""
HEAVY = {"well_pump_flow"}  # its tables take seconds; the long campaign draws it at random


@pytest.fixture(scope="module")
def every(is_long: bool) -> list[tuple[Laid, Draw]]:
    """The sound measurements of the must set, in the long lane of all, with the tables of each check on its system."""
    known: dict[Any, Laid] = {}
    found = []
    for taken in (*GOOD, *POWER_GOOD):
        if not is_long and CHECKS[taken.check].tier != "must":
            continue
        document = SYSTEM_OF.get(taken.check, quince_ridge)
        key = (taken.check, taken.subject, document)
        if key not in known:
            known[key] = laid(CHECKS[taken.check], build(document()), taken.subject)
        draw = Draw(taken.way or CHECKS[taken.check].way().key, readings(taken.typed), taken.conditions, MIDSUMMER)
        found.append((known[key], draw))
    return found


def test_phone_says_of_every_sound_measurement_what_the_server_says(every):
    sure = [(one, draw) for one, draw in every if one.check.key not in SERVER_ONLY]
    tally = tallied(sure)
    assert tally.wrong == []
    unsure = [one.check.key for (one, _), said in zip(sure, phone_says(sure), strict=True) if _is_unsure(said)]
    assert unsure == []


def _is_unsure(said: dict[str, Any]) -> bool:
    return any(finding["unsure"] for finding in said["findings"])


def test_only_named_checks_are_left_to_the_server():
    assert {key for key, check in CHECKS.items() if check.pocket.server} == SERVER_ONLY


def test_no_table_has_more_than_three_axes_beside_choices(every):
    for one, _ in every:
        grids = [t.expected for t in one.pocketed.tables] + [f.grid for f in one.pocketed.figures]
        for grid in grids:
            assert sum(line.scale.value != "choice" for line in grid.lines) <= 3, one.check.key


def test_tables_err_less_than_a_tenth_of_the_tolerance_over_random_readings(every):
    light = {id(one): one for one, _ in every if one.check.key not in HEAVY | SERVER_ONLY}.values()
    cases = [(one, draw) for one in light for draw in draws(one.check, one.system, one.tag, one.pocketed, 3, 31)]
    tally = tallied(cases)
    assert tally.wrong == []
    assert tally.worst < 0.1, tally.worst_at
    assert tally.agree > 4 * tally.unsure


@pytest.mark.long
def test_campaign_over_the_demo_sites(keep_record):
    import json
    from pathlib import Path

    import commissioning.demo
    from commissioning.snapshot import system_of
    from sizing.order import order_of_checks

    cases: list[tuple[Laid, Draw]] = []
    for path in sorted(Path(commissioning.demo.__file__).parent.glob("*.json")):
        system = system_of(json.loads(path.read_text(encoding="utf-8")))
        for owed in order_of_checks(system):
            check = CHECKS[owed.check]
            if check.kind is not Kind.OBSERVED and not check.pocket.server:
                one = laid(check, system, owed.subject)
                cases += [(one, draw) for draw in draws(check, system, owed.subject, one.pocketed, 60, 7)]
    tally = tallied(cases)
    keep_record(
        "pocket", findings=tally.agree + tally.at_limit + tally.unsure, agree=tally.agree,
        within_interpolation_of_a_limit=tally.at_limit, unsure=tally.unsure, wrong=len(tally.wrong),
        worst_error_of_tolerance=f"{tally.worst:.3f}", worst_at=tally.worst_at,
    )  # fmt: skip
    assert tally.wrong == []
    assert tally.worst < 0.1


# the rule, and conditions


def test_phone_decides_as_the_server_does():
    chance = random.Random(9)  # noqa: S311  # numbers to judge, no secret
    cases = []
    for _ in range(3000):
        limits = {
            name: chance.choice((None, chance.gauss(10, 3))) for name in ("lower", "upper", "nominal", "bearable")
        }
        if limits["lower"] is not None and limits["upper"] is not None:
            limits["lower"], limits["upper"] = sorted((limits["lower"], limits["upper"]))
        limits["bearable"] = limits["bearable"] and abs(limits["bearable"])
        cases.append({"value": chance.gauss(10, 4), "spread": chance.choice((0.0, 0.01, 1.0, 4.0)) * chance.random(),
                      "limits": limits, "bound": chance.choice(("", "", "", ">", "<"))})  # fmt: skip
    found = run("decide.js", "return m.decide(it.value, it.spread, it.limits, it.bound);", cases)
    for case, phone in zip(cases, found, strict=True):
        ours = decide(case["value"], case["spread"], **case["limits"], bound=case["bound"])
        assert phone == {"verdict": ours.verdict.value, "reason": ours.reason}, case


def needs_of(chance: random.Random) -> Need:
    return Need(
        "irradiance", chance.choice((Needed.WEATHER, Needed.EARLIER)), "Irradiance", Q.IRRADIANCE,
        max_age=chance.choice((None, 300.0, 3600.0)), bracket=chance.choice((None, 0.05)),
        finding=chance.choice(("", "second")), every_repeat=chance.random() < 0.3,
        apart=chance.choice((None, Accuracy(of_reading=0.01, fixed=0.5))),
    )  # fmt: skip


def taken_at(at: float, chance: random.Random) -> dict[str, Any]:
    terms = [{"name": "irradiance", "u": 3.0, "shared": False}, {"name": "model", "u": 2.0, "shared": True}]
    return {"at": at, "findings": [
        {"name": name, "repeat": repeat, "value": chance.choice((None, chance.uniform(600, 640))),
         "spread": chance.choice((None, 30.0)), "terms": terms}
        for name in ("first", "second") for repeat in ("string 1", "string 2")
    ]}  # fmt: skip


class _Judged:
    def __init__(self, findings: list[dict[str, Any]]) -> None:
        self.findings = findings


def server_resolves(need: Need, taken: list[dict[str, Any]], at: float) -> dict[str, Any]:
    from datetime import UTC, datetime

    pairs = [
        (SimpleNamespace(taken_at=datetime.fromtimestamp(one["at"], UTC), pk=i), _Judged(one["findings"]))
        for i, one in enumerate(taken)
    ]
    seen = SimpleNamespace(of=lambda key, tag: pairs)
    plain = {}
    for name, value in judging._resolved(need, SimpleNamespace(), "A1", datetime.fromtimestamp(at, UTC), seen):
        if isinstance(value, MissingDataError):
            plain[name] = {"missing": value.words}
        else:
            assert isinstance(value, Value)
            plain[name] = {"value": value.value, "u": value.u, "words": value.words}
    return plain


RESOLVE = """
  const owned = (findings) => findings.map((one) => ({ ...one, own: m.ownU(one.terms, it.own) }));
  const seen = () => it.taken.map(({ at, findings }) => ({ at, findings: owned(findings) }));
  return m.resolve([it.need], seen, it.at);"""


def test_phone_resolves_conditions_as_the_server_does():
    chance = random.Random(12)  # noqa: S311  # moments and values, no secret
    cases, ours = [], []
    for _ in range(600):
        need = needs_of(chance)
        taken = [taken_at(at, chance) for at in sorted(chance.uniform(0, 4000) for _ in range(chance.randrange(4)))]
        at = chance.uniform(0, 4000)
        told = {"name": need.name, "subject": "A1", "problem": "", "label": need.label, "kind": need.kind.value,
                "max_age": need.max_age, "bracket": need.bracket, "optional": False, "finding": need.finding,
                "every_repeat": need.every_repeat,
                "apart": [need.apart.of_reading, need.apart.fixed] if need.apart else None}  # fmt: skip
        own = [{"label": one.label} for one in CHECKS[need.name].needs]
        cases.append({"need": told, "taken": taken, "at": at, "own": own})
        ours.append(server_resolves(need, taken, at))
    for case, server, phone in zip(cases, ours, run("conditions.js", RESOLVE, cases), strict=True):
        assert phone.keys() == server.keys(), case
        for name, value in server.items():
            assert phone[name].get("missing") == value.get("missing"), case
            if "value" in value:
                assert phone[name]["value"] == pytest.approx(value["value"], rel=1e-12), case
                assert phone[name]["u"] == pytest.approx(value["u"], rel=1e-12), case
