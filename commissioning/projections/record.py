"""Evidence about the site and its as-built record."""

from typing import Any, cast
from uuid import UUID

from commissioning import evidence
from commissioning.models import Component, Event, Run, Site
from commissioning.nameplates import core_values, part_of
from commissioning.projections import schemas as s
from sizing.parts import SiteData

CHANGE = s.body(
    {"op": {"enum": ["put", "retire"]}, "sort": {"enum": ["component", "run"]}, "id": s.UUID},
    {
        "kind": s.KEY,
        "tag": {"type": "string", "minLength": 1, "maxLength": 16},
        "name": {"type": "string", "maxLength": 80},
        "host": s.maybe(s.UUID),
        "host_run": s.maybe(s.UUID),
        "maker": {"type": "string", "maxLength": 80},
        "model": {"type": "string", "maxLength": 80},
        "serial": {"type": "string", "maxLength": 80},
        "start": s.UUID,
        "start_port": {"type": "string", "maxLength": 24},
        "end": s.UUID,
        "end_port": {"type": "string", "maxLength": 24},
        "nameplate": s.PLATE,
        "fields": s.PLATE,
        "was": s.PLATE,
    },
)
"""`nameplate` is the whole of it; `fields` are those put right on site, the others staying as they stand by then.
`was` holds what stood in fields that had been typed wrongly: the thing itself was always as it is recorded now."""


@evidence.kind(
    "site.described",
    schema=s.body(
        {
            "name": {"type": "string", "minLength": 1, "maxLength": 120},
            "unit_system": {"enum": ["metric", "us"]},
            "plate": s.PLATE,
        },
        {
            "place": s.LINE,
            "zone": {"type": "string", "maxLength": 64},
            "covered": s.WORDS,
            "not_covered": s.WORDS,
            "layout": s.KEY,
        },
    ),
)
def describe_site(event: Event, body: dict[str, Any]) -> Site:
    """Keep what is known of the place. The row exists: a chain needs its site."""
    site = cast(Site, event.site)
    core_values(SiteData, body["plate"])
    for name in ("name", "unit_system", "plate", "place", "zone", "covered", "not_covered"):
        if name in body:
            setattr(site, name, body[name])
    site.save()
    return site


@evidence.kind(
    "record.changed",
    schema=s.body({"changes": {"type": "array", "items": CHANGE, "minItems": 1, "maxItems": 500}}, {"reason": s.WORDS}),
)
def change_record(event: Event, body: dict[str, Any]) -> list[Component | Run]:
    """Add, change or retire components and runs, in the order given."""
    return [_RETIRE_OR_PUT[change["op"]](event, change) for change in body["changes"]]


def _put(event: Event, change: dict[str, Any]) -> Component | Run:
    if "fields" in change:
        change = {**change, "nameplate": _put_right(event, change)}
    core_values(part_of(change["kind"]), change.get("nameplate", {}))
    return _put_component(event, change) if change["sort"] == "component" else _put_run(event, change)


def _put_right(event: Event, change: dict[str, Any]) -> dict[str, Any]:
    """Return the nameplate that stands, with the fields that were put right; null empties one."""
    model: type[Component] | type[Run] = Component if change["sort"] == "component" else Run
    row = model.objects.standing().filter(site=event.site, pk=change["id"], kind=change["kind"]).first()
    if row is None:
        raise evidence.RefusedError({"$.changes": "what was put right no longer stands in the record"})
    plate = {**row.nameplate, **change["fields"]}
    return {name: value for name, value in plate.items() if value is not None}


def _put_component(event: Event, change: dict[str, Any]) -> Component:
    fields: dict[str, Any] = {
        name: change[name]
        for name in ("kind", "tag", "name", "maker", "model", "serial", "nameplate")
        if name in change
    }
    for name, model in (("host", Component), ("host_run", Run)):
        if name in change:
            fields[name] = model.objects.get(site=event.site, pk=change[name]) if change[name] else None
    saved: Component = _saved(Component, event, change, fields)
    return saved


def _put_run(event: Event, change: dict[str, Any]) -> Run:
    fields: dict[str, Any] = {
        name: change[name] for name in ("kind", "tag", "name", "start_port", "end_port", "nameplate") if name in change
    }
    for end in ("start", "end"):
        if end in change:
            fields[end] = Component.objects.get(site=event.site, pk=change[end])
    saved: Run = _saved(Run, event, change, fields)
    return saved


def _saved(model: type[Any], event: Event, change: dict[str, Any], fields: dict[str, Any]) -> Any:
    row = model.objects.filter(site=event.site, pk=change["id"]).first() or model(
        site=event.site, pk=UUID(change["id"])
    )
    for name, value in fields.items():
        setattr(row, name, value)
    row.full_clean(exclude=["site", "host", "host_run", "start", "end"])
    row.save()
    return row


def _retire(event: Event, change: dict[str, Any]) -> Component | Run:
    model: type[Component] | type[Run] = Component if change["sort"] == "component" else Run
    row: Component | Run = model.objects.get(site=event.site, pk=change["id"])
    row.retired_at = event.recorded_at
    row.save(update_fields=["retired_at"])
    return row


_RETIRE_OR_PUT = {"put": _put, "retire": _retire}
