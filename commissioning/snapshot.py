"""The as-built record of a site as one document: for judging, for freezing, for export.

The document holds what was typed. Its canonical text names it (SHA-256), so equal records share one snapshot.
"""

import json
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from commissioning.canonical import canonical_json, digest
from commissioning.models import Component, Run, Site, Snapshot
from commissioning.nameplates import SCHEMA, core_values, part_of
from sizing.parts import SiteData
from sizing.system import System, build

FORMAT = "as-built"


def document_of(site: Site) -> dict[str, Any]:
    """Return the standing as-built record as typed."""
    return {
        "format": FORMAT,
        "schema": SCHEMA,
        "site": {"name": site.name, "unit_system": site.unit_system, "plate": site.plate},
        "components": [_component(c) for c in site.components.standing().select_related("host", "host_run")],
        "runs": [_run(r) for r in site.runs.standing().select_related("start", "end")],
    }


def _component(one: Component) -> dict[str, Any]:
    return {
        "id": str(one.pk),
        "kind": one.kind,
        "tag": one.tag,
        "name": one.name,
        "host": one.sits_on.tag if one.sits_on else "",
        "maker": one.maker,
        "model": one.model,
        "serial": one.serial,
        "nameplate": one.nameplate,
    }


def _run(one: Run) -> dict[str, Any]:
    return {
        "id": str(one.pk),
        "kind": one.kind,
        "tag": one.tag,
        "name": one.name,
        "start": one.start.tag,
        "start_port": one.start_port,
        "end": one.end.tag,
        "end_port": one.end_port,
        "nameplate": one.nameplate,
    }


def core_document(document: Mapping[str, Any]) -> dict[str, Any]:
    """Return the document with every nameplate in core units; raises NameplateError at a bad field."""
    return {
        "site": core_values(SiteData, document["site"].get("plate", {})),
        "components": [
            {**c, "nameplate": core_values(part_of(c["kind"]), c.get("nameplate", {}))} for c in document["components"]
        ],
        "runs": [{**r, "nameplate": core_values(part_of(r["kind"]), r.get("nameplate", {}))} for r in document["runs"]],
    }


def system_of(document: Mapping[str, Any]) -> System:
    """Return the system of an as-built document as typed."""
    return build(core_document(document))


def take(site: Site) -> Snapshot:
    """Return the snapshot of the record as it stands, making it if it is new."""
    text = text_now(site)
    name = digest(text)
    found = Snapshot.objects.filter(pk=name).first()
    return found or Snapshot.objects.create(hash=name, site=site, body=text)


def system_at(snapshot: Snapshot) -> System:
    """Return the system of a snapshot."""
    return _system_of_text(snapshot.hash, snapshot.body)


@lru_cache(maxsize=64)
def _system_of_text(name: str, text: str) -> System:
    return system_of(json.loads(text))


def system_now(site: Site) -> System:
    """Return the system as the record stands, without keeping a snapshot."""
    return system_of_text(text_now(site))


def text_now(site: Site) -> str:
    """Return the canonical text of the record as it stands, whose digest would name its snapshot."""
    return canonical_json(document_of(site))


def system_of_text(text: str) -> System:
    """Return the system of a record's canonical text."""
    return _system_of_text(digest(text), text)
