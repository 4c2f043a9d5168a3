"""What was asked of each outlet, and what it gives."""

from typing import Any

from commissioning.handover.as_built import NOT_RECORDED, field_value
from commissioning.ledger import Plain
from commissioning.progress import Progress
from sizing.parts import Outlet

MET = {"within": "met", "outside": "not met", "borderline": "borderline", "unjudged": "unjudged"}
DELIVERY = "delivery"  # how the key of a check of the promise begins


def duty_of(progress: Progress, lines: list[Plain], document: Plain) -> list[Plain]:
    """Return each outlet with its duty as typed, its measured values and whether the duty is met."""
    outlets = [one for one in document["components"] if one["kind"] == Outlet.kind]
    return [_outlet(one, _delivered(progress, lines, one["tag"])) for one in outlets]


def _outlet(one: Plain, rows: list[Plain]) -> Plain:
    return {"tag": one["tag"], "name": one["name"], "asked": asked(one["nameplate"]), "rows": rows, "met": _met(rows)}


def asked(plate: dict[str, Any]) -> str:
    """Return the duty of an outlet as typed: 10 L/min at 50 kPa."""
    declared = Outlet.declarations()
    flow, pressure = (field_value(declared[n], plate.get(n)) for n in ("required_flow", "required_pressure"))
    return " at ".join(part for part in (flow, pressure) if part) or NOT_RECORDED


def _delivered(progress: Progress, lines: list[Plain], tag: str) -> list[Plain]:
    """Return the judged values of the delivery checks on one outlet."""
    mine = [x for x in lines if x["check"].startswith(DELIVERY) and x["subject"] == tag and x["measurement"]]
    return [
        {"label": row["label"], "value": row["value"], "spread": row["spread"], "limits": row["limits"],
         "verdict": row["verdict"], "picture": row["picture"]}
        for line in mine for row in line["rows"] if row["value"]
    ]  # fmt: skip


def _met(rows: list[Plain]) -> str:
    if not rows:
        return "not measured"
    worst = max((row["verdict"] for row in rows), key=["", "within", "unjudged", "borderline", "outside"].index)
    return MET.get(worst, "not judged")
