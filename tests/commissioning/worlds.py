"""A ready site for the tests of every room: recorded, visited and measured through the append door."""

from datetime import datetime
from typing import Any
from uuid import uuid4

from django.utils import timezone

from commissioning import evidence, judging, units
from commissioning.models import Measurement, Site, User, Visit
from commissioning.nameplates import part_of
from commissioning.units.figures import plain
from sizing.parts import Field, FieldKind, SiteData
from sizing.quantities import Quantity
from tests.sizing.systems import quince_ridge

NAME = "Quince Ridge school"


def site_with_record(
    actor: User, unit_system: str = "metric", *, document: dict[str, Any] | None = None, name: str = NAME
) -> Site:
    """Return a site whose as-built record is Quince Ridge, or `document` in core units, as a person would type it."""
    known = document or quince_ridge()
    site = Site.objects.create(name=name, unit_system=unit_system)
    plate = typed_plate(SiteData.kind, known["site"], unit_system)
    described = {
        "name": name, "place": "on the rise", "unit_system": unit_system, "zone": "America/Denver", "plate": plate,
    }  # fmt: skip
    evidence.append(site=site, kind="site.described", body=described, actor=actor)
    changes = changes_of(known, unit_system)
    if changes:
        evidence.append(site=site, kind="record.changed", body={"changes": changes}, actor=actor)
    site.refresh_from_db()
    return site


def changes_of(document: dict[str, Any], unit_system: str) -> list[dict[str, Any]]:
    """Return what `record.changed` needs to put every component and run of a document in core units."""
    ids = {one["tag"]: str(uuid4()) for one in document["components"]}
    components = [
        {
            "op": "put", "sort": "component", "id": ids[one["tag"]], "kind": one["kind"], "tag": one["tag"],
            "name": one["name"], "host": ids[one["host"]] if one["host"] else None,
            "nameplate": typed_plate(one["kind"], one["nameplate"], unit_system),
        }
        for one in document["components"]
    ]  # fmt: skip
    runs = [
        {
            "op": "put", "sort": "run", "id": str(uuid4()), "kind": one["kind"], "tag": one["tag"], "name": one["name"],
            "start": ids[one["start"]], "start_port": one["start_port"], "end": ids[one["end"]],
            "end_port": one["end_port"], "nameplate": typed_plate(one["kind"], one["nameplate"], unit_system),
        }
        for one in document["runs"]
    ]  # fmt: skip
    return components + runs


def typed_plate(kind: str, plate: dict[str, Any], unit_system: str) -> dict[str, Any]:
    """Return a nameplate in core units as it is stored when typed in the usual units of a unit system."""
    declared = part_of(kind).declarations()
    return {name: _typed(declared[name], value, unit_system) for name, value in plate.items() if value is not None}


def _typed(field: Field, value: Any, system: str) -> Any:
    if field.kind is FieldKind.MEASURE:
        assert field.quantity is not None
        code = units.default_unit(field.quantity, system).code
        return {"typed": in_unit(value, field.quantity, system), "unit": code}
    if field.kind is FieldKind.NUMBER:
        return {"typed": plain(value)}
    if field.kind is FieldKind.TABLE:
        codes = {c.name: units.default_unit(c.quantity, system).code for c in field.columns}
        rows = [[_cell(cell, c.quantity, system) for cell, c in zip(row, field.columns, strict=True)] for row in value]
        return {"units": codes, "rows": rows}
    if field.kind is FieldKind.COUNTS:
        return {name: plain(many) for name, many in value.items()}
    return value


def _cell(value: float | None, quantity: Quantity, system: str) -> str:
    return "" if value is None else in_unit(value, quantity, system)


def in_unit(value: float, quantity: Quantity, system: str) -> str:
    """Return a core value as a person would type it in the usual unit."""
    return plain(units.from_core(value, units.default_unit(quantity, system).code, quantity))


def visit_on(site: Site, actor: User, kind: str = "start_up", at: datetime | None = None) -> Visit:
    """Return a visit begun on a site."""
    body = {"visit": str(uuid4()), "kind": kind, "started_at": (at or timezone.now()).isoformat()}
    visit = evidence.append(site=site, kind="visit.begun", body=body, actor=actor).projected
    assert isinstance(visit, Visit)
    return visit


def measure(
    visit: Visit,
    check: str,
    subject: str,
    *readings: tuple[str, ...],
    actor: User,
    at: datetime | None = None,
    **body: Any,
) -> Measurement:
    """Return a measurement, judged. A reading is (input, typed, unit) or (input, typed, unit, label).

    Other parts of the body come by name: `answer="as it should be"`, `way="meter"`, `note=…`, `supersedes=…`.
    """
    items = [
        {"input": one[0], "typed": one[1], "unit": one[2], "label": one[3] if len(one) > 3 else ""} for one in readings
    ]
    taken = {
        "id": str(uuid4()), "visit": str(visit.pk), "check": check, "subject": subject,
        "taken_at": (at or timezone.now()).isoformat(), "readings": items, **body,
    }  # fmt: skip
    made = evidence.append(site=visit.site, kind="measurement.taken", body=taken, actor=actor).projected
    assert isinstance(made, Measurement)
    judging.judge_all_touched(made, actor=actor)
    return made
