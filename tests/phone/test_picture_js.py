"""The phone draws the interval picture mark for mark as the server does: random cases through both, texts compared."""

import random
from typing import Any

import pytest

from commissioning import showing
from commissioning.plots.interval import interval
from commissioning.sync.declared import unit_table
from sizing.quantities import Quantity
from tests.phone.node import run

NAMESPACE = ' xmlns="http://www.w3.org/2000/svg"'
VERDICTS = ("within", "outside", "borderline", "unjudged")


def drawings(many: int) -> list[dict[str, Any]]:
    """Return random things to draw: no, one or two limits, readings on and off the line, bounds."""
    chance = random.Random(11)  # noqa: S311  # things to draw, no secret
    made = []
    for _ in range(many):
        middle, width = chance.choice((0.0, 1.0, -40.0, 187.0, 4e5)), chance.choice((0.01, 1.0, 30.0, 2e4))
        limits = [middle - width * chance.random(), middle + width * chance.random()]
        lower, upper = (limit if chance.random() < 0.7 else None for limit in limits)
        made.append({
            "unit": "kPa", "verdict": chance.choice(VERDICTS), "spread": width * chance.choice((0.0, 0.01, 0.3, 3.0)),
            "reading": None if chance.random() < 0.1 else middle + width * chance.gauss(0, 1),
            "lower": lower, "upper": upper, "expected": chance.choice((None, middle)), "places": chance.randrange(4),
            "small": chance.random() < 0.3, "note": chance.choice(("", "no <tank> & no 'pipe'")),
            "bound": chance.choice(("", "", ">", "<")), "typed": chance.choice(("", "12.40", "> 999")),
        })  # fmt: skip
    edge = {**made[0], "reading": 5.0, "lower": 5.0, "upper": 5.0, "small": False}
    return [*made, edge, {**edge, "lower": None, "upper": None, "expected": None}]


def test_phone_draws_what_the_server_draws():
    cases = drawings(400)
    for case, phone in zip(cases, run("picture.js", "return m.drawn(it);", cases), strict=True):
        assert phone.replace(NAMESPACE, "") == interval(**case), case


FINDING = {
    "name": "voltage", "label": "Voltage", "repeat": "", "quantity": "voltage", "value": 123.4, "bound": "",
    "spread": 0.9, "verdict": "within", "reason": "", "missing": [], "terms": [], "steps": [],
}  # fmt: skip


@pytest.mark.parametrize(
    ("changed", "limits"),
    [
        ({}, (118.0, 130.4, 124.2)),
        ({"value": 90.0, "verdict": "outside"}, (118.0, 130.4, 124.2)),
        ({"bound": ">", "quantity": "insulation", "value": 999e6, "spread": 0.0}, (2e6, None, None)),
        ({"verdict": "unjudged"}, (None, None, None)),
        ({"quantity": "flow", "value": 5.2e-4, "spread": 1.6e-5}, (4.9e-4, 6.1e-4, 5.5e-4)),
        ({"quantity": "temperature", "value": 44.5, "spread": 2.4, "verdict": None}, (None, None, None)),
    ],
)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_phone_shows_a_finding_in_the_unit_that_the_server_shows(changed, limits, system):
    finding = {**FINDING, **changed}
    expected = dict(zip(("lower", "upper", "nominal"), limits, strict=True))
    server = showing.show(_Judgement({**finding, "expected": {**expected, "basis": "a basis"}}), system)[0]
    unit = unit_table(system)[finding["quantity"]][0]
    case = {"finding": {**finding, **expected}, "unit": unit}
    full, small = run("picture.js", "return [m.drawn(m.pictured(it.finding, it.unit)), "
                      "m.drawn(m.pictured(it.finding, it.unit, true))];", [case])[0]  # fmt: skip
    assert (full.replace(NAMESPACE, ""), small.replace(NAMESPACE, "")) == (server.picture, server.small_picture)


class _Judgement:
    def __init__(self, finding: dict[str, Any]) -> None:
        self.findings = [finding]


def test_quantities_of_the_cases_are_those_of_the_core():
    assert {"voltage", "insulation", "flow", "temperature"} <= {q.value for q in Quantity}
