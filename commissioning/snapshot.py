"""The as-built record of a site as one document: for judging, for freezing, for export.

The document holds what was typed. Its canonical text names it (SHA-256), so equal records share one snapshot.
"""

import json
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from commissioning import evidence
from commissioning.canonical import canonical_json, digest
from commissioning.models import Component, Event, Run, Site, Snapshot
from commissioning.nameplates import SCHEMA, core_values, part_of
from sizing.parts import SiteData
from sizing.system import System, build

FORMAT = "as-built"
RECORD_PROJECTIONS = "commissioning.projections.record"


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


def standing(site: Site) -> Snapshot:
    """Return the same, at one look where nothing has changed the record since it was last asked for."""
    last = Event.objects.of_site(site.pk).filter(kind__in=record_kinds()).values_list("hash", flat=True).last()
    if last is None:
        return take(site)
    text = _texts.get(last)
    if text is None:
        if len(_texts) >= MOST_TEXTS:
            _texts.clear()
        text = _texts[last] = text_now(site)
    name = digest_of(text)
    if not Snapshot.objects.filter(pk=name).exists():
        return Snapshot.objects.create(hash=name, site=site, body=text)
    found = Snapshot(hash=name, site=site, body=text)
    found._state.adding = False
    return found


MOST_TEXTS = 64
_texts: dict[str, str] = {}  # hash of the last event that changed a record → the record's text


@lru_cache(maxsize=1)
def record_kinds() -> tuple[str, ...]:
    """Return the kinds of evidence that change an as-built record."""
    return tuple(name for name, kind in evidence.KINDS.items() if kind.project.__module__ == RECORD_PROJECTIONS)


@lru_cache(maxsize=MOST_TEXTS)
def digest_of(text: str) -> str:
    return digest(text)


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
