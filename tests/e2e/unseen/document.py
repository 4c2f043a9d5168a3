"""The same systems as as-built documents, without a browser: what the forms would have kept."""

from typing import Any

from commissioning.asbuilt.layouts import LAYOUTS, document_of, with_hand_pump
from commissioning.asbuilt.plate_form import PlateForm
from commissioning.nameplates import part_of
from sizing.parts import FieldKind, Part, SiteData
from tests.e2e.unseen.written import Line, Plate, Table, Unseen


def document(unseen: Unseen) -> dict[str, Any]:
    """Return a system as typed, on top of the layout from which it is begun."""
    chosen = LAYOUTS[unseen.layout]
    laid = document_of(with_hand_pump(chosen) if unseen.with_hand_pump else chosen)
    components = {one["tag"]: one for one in laid["components"]}
    runs = {one["tag"]: one for one in laid["runs"]}
    for part in unseen.parts:
        there = components.setdefault(part.tag, {"tag": part.tag, "kind": part.kind, "name": "", "host": ""})
        there["nameplate"] = kept(part_of(part.kind), part.plate, there.get("nameplate", {}), unseen.units)
        there["name"], there["host"] = part.name or there["name"], part.host or there["host"]
    for line in unseen.lines:
        there = runs.setdefault(line.tag, {"tag": line.tag, "kind": line.kind, "name": ""})
        there["nameplate"] = kept(part_of(line.kind), line.plate, there.get("nameplate", {}), unseen.units)
        there["name"] = line.name or there["name"]
        there.update(_ends(line))
    place = kept(SiteData, unseen.place, {}, unseen.units)
    site = {"name": unseen.site, "unit_system": unseen.units, "plate": place}
    return {"site": site, "components": list(components.values()), "runs": list(runs.values())}


def _ends(line: Line) -> dict[str, str]:
    ends: dict[str, str] = {}
    for name in ("start", "end"):
        if wanted := getattr(line, name):
            ends[name], _, ends[f"{name}_port"] = wanted.partition(".")
    return ends


def kept(part: type[Part], plate: Plate, stored: dict[str, Any], unit_system: str) -> dict[str, Any]:
    """Return a nameplate as a form keeps it, with what the look-ups fill in."""
    declared = part.declarations()
    typed = {name: _typed(declared[name].kind, value) for name, value in plate.items()}
    form = PlateForm(part, unit_system=unit_system, stored={**stored, **typed}, data={})
    assert form.is_valid(), [(fault.label, fault.words) for fault in form.faults]
    return form.plate()


def _typed(kind: FieldKind, value: Any) -> Any:
    if isinstance(value, Table):
        return {"units": value.units, "rows": [row.split("\t") for row in value.rows.split("\n")]}
    if kind is FieldKind.MEASURE:
        figure, _, unit = value.partition(" ")
        return {"typed": figure, "unit": unit}
    return {"typed": value} if kind is FieldKind.NUMBER else value
