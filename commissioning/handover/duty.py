"""What was asked of each outlet, and what it gives."""

from typing import Any

from commissioning import showing, units
from commissioning.handover.as_built import NOT_RECORDED, field_value
from commissioning.ledger import Plain, picture_numbers
from commissioning.progress import Line, Progress
from sizing.formulas.uncertainty import combine
from sizing.parts import Outlet
from sizing.quantities import Quantity
from sizing.verdict import COVERAGE, decide

MET = {"within": "met", "outside": "not met", "borderline": "borderline", "unjudged": "unjudged"}
GRAVITY = ("met", "unjudged", "borderline", "not met")
ASKED_AS = {Quantity.FLOW: "required_flow", Quantity.GAUGE_PRESSURE: "required_pressure"}


def duty_of(progress: Progress, document: Plain) -> list[Plain]:
    """Return each outlet with its duty as typed, what it gives, and whether the duty is met."""
    outlets = [one for one in document["components"] if one["kind"] == Outlet.kind]
    return [_outlet(one, progress) for one in outlets]


def _outlet(one: Plain, progress: Progress) -> Plain:
    rows = [row for line in progress.lines if _is_promise(line, one["tag"]) for row in _rows(line, progress)]
    met = max((row["met"] for row in rows), key=GRAVITY.index, default="not measured")
    return {"tag": one["tag"], "name": one["name"], "asked": asked(one["nameplate"]), "rows": rows, "met": met}


def asked(plate: dict[str, Any]) -> str:
    """Return the duty of an outlet as typed: 10 L/min at 50 kPa."""
    declared = Outlet.declarations()
    flow, pressure = (field_value(declared[n], plate.get(n)) for n in ASKED_AS.values())
    return " at ".join(part for part in (flow, pressure) if part) or NOT_RECORDED


def _is_promise(line: Line, tag: str) -> bool:
    """Whether a line measures what this outlet was to deliver."""
    quantities = {judged.quantity for judged in line.check.judged}
    is_delivery = line.check.subject is Outlet and Quantity.FLOW in quantities
    return is_delivery and line.owed.subject == tag and line.judgement is not None


def _rows(line: Line, progress: Progress) -> list[Plain]:
    assert line.measurement is not None
    assert line.judgement is not None
    assert progress.system is not None
    part = progress.system.node(line.owed.subject).part
    readings = list(line.measurement.readings.all())
    system = progress.visit.site.unit_system
    rows = []
    for f, one in zip(line.judgement.findings, showing.show(line.judgement, system, readings), strict=True):
        required = getattr(part, ASKED_AS.get(Quantity(f["quantity"]), ""), None)
        if required is None or f["value"] is None:
            continue
        against = against_duty(f, required)
        rows.append(_row(against, one, picture_numbers(against, one, readings, system)))
    return rows


def against_duty(f: Plain, required: float) -> Plain:
    """Return a finding judged against the duty alone: the duty is the limit, and no model has a part in it."""
    expected = f["expected"] or {}
    if expected.get("lower") == required and expected.get("upper") is None:
        return f
    spread = COVERAGE * combine([t["u"] for t in f["terms"] if not t["shared"]]) if f["terms"] else 0.0
    decision = decide(f["value"], spread, lower=required, upper=None, bound=f["bound"])
    limits = {"nominal": expected.get("nominal"), "lower": required, "upper": None}
    return {**f, "spread": spread, "expected": limits, "verdict": decision.verdict.value}


def _row(f: Plain, one: showing.FindingShown, picture: Plain | None) -> Plain:
    quantity = Quantity(f["quantity"])
    code = next(u.code for u in units.offered(quantity) if picture and u.symbol == picture["unit"])
    spread = units.plus_minus(f["spread"], quantity, code) if f["spread"] and not f["bound"] else ""
    return {"label": one.label, "value": one.value, "spread": spread, "met": MET[f["verdict"]], "picture": picture}
