"""The as-built record on the phone: the page that shows it, and one page a component or run to put its fields right."""

from collections.abc import Iterator
from typing import Any

from django.urls import reverse

from commissioning.asbuilt.plate_form import PlateForm
from commissioning.asbuilt.record_views import record_context
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Component, Run, Visit
from commissioning.nameplates import part_of
from commissioning.sync.declared import TYPED_KINDS, part_data
from commissioning.sync.pages import Renderer

Item = Component | Run
LINES = (("maker", "Maker"), ("model", "Model"), ("serial", "Serial number"))


def items_of(visit: Visit) -> list[Item]:
    """Return every component and run that stands in the record."""
    return [*visit.site.components.standing(), *visit.site.runs.standing()]


def record_pages(request: HtmxHttpRequest, visit: Visit, items: list[Item]) -> Iterator[tuple[str, str]]:
    """Yield address and text of the record's page and of the page of each thing in it."""
    render = Renderer(request).page
    yield (
        reverse("record-detail", args=[visit.site_id]),
        render("asbuilt/record_detail.html", {**record_context(visit.site), "visit": visit}),
    )
    for one in items:
        yield item_url(one), render("sync/correct.html", _context(visit, one))


def item_url(one: Item) -> str:
    return reverse("component-edit" if isinstance(one, Component) else "run-edit", args=[one.site_id, one.pk])


def _context(visit: Visit, one: Item) -> dict[str, Any]:
    part = part_of(one.kind)
    plate = PlateForm(part, unit_system=visit.site.unit_system, stored=one.nameplate)
    lines = [(name, label, getattr(one, name)) for name, label in LINES] if isinstance(one, Component) else []
    return {
        "visit": visit, "site": visit.site, "item": one, "part": part,
        "title": f"{one.tag} {one.name or part.title.lower()}",
        "items": [item for item in plate.items.values() if item.field.kind in TYPED_KINDS], "lines": lines,
    }  # fmt: skip


def record_data(items: list[Item]) -> dict[str, Any]:
    """Return what the phone must know of the record to put a field right: the fields of each kind, each thing's own."""
    return {
        "parts": {kind: part_data(part_of(kind)) for kind in sorted({one.kind for one in items})},
        "items": {str(one.pk): _item(one) for one in items},
    }


def _item(one: Item) -> dict[str, Any]:
    fields = part_data(part_of(one.kind))
    data = {
        "sort": "component" if isinstance(one, Component) else "run", "kind": one.kind, "tag": one.tag,
        "url": item_url(one), "plate": {name: value for name, value in one.nameplate.items() if name in fields},
    }  # fmt: skip
    return data | {name: getattr(one, name) for name, _ in LINES if isinstance(one, Component)}
