"""A starter layout as data, and the change of a record that puts it there."""

from dataclasses import dataclass, field
from typing import Any
from uuid import uuid4


@dataclass(frozen=True)
class LaidComponent:
    tag: str
    kind: str
    name: str = ""
    host: str = ""
    plate: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class LaidRun:
    """A run between two ends, each a tag or `tag.port`."""

    tag: str
    kind: str
    start: str
    end: str
    name: str = ""
    plate: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Layout:
    key: str
    sentence: str
    components: tuple[LaidComponent, ...] = ()
    runs: tuple[LaidRun, ...] = ()


def changes_of(layout: Layout) -> list[dict[str, Any]]:
    """Return what `record.changed` needs to put a whole layout, hosts before what sits in them."""
    ids = {one.tag: str(uuid4()) for one in layout.components}
    components = [
        {
            "op": "put", "sort": "component", "id": ids[one.tag], "kind": one.kind, "tag": one.tag, "name": one.name,
            "host": ids[one.host] if one.host else None, "nameplate": dict(one.plate),
        }
        for one in layout.components
    ]  # fmt: skip
    return components + [_run(one, ids) for one in layout.runs]


def _run(one: LaidRun, ids: dict[str, str]) -> dict[str, Any]:
    (start, _, start_port), (end, _, end_port) = one.start.partition("."), one.end.partition(".")
    return {
        "op": "put", "sort": "run", "id": str(uuid4()), "kind": one.kind, "tag": one.tag, "name": one.name,
        "start": ids[start], "start_port": start_port, "end": ids[end], "end_port": end_port,
        "nameplate": dict(one.plate),
    }  # fmt: skip


def document_of(layout: Layout) -> dict[str, Any]:
    """Return a layout as an as-built document whose nameplates hold no figure."""
    return {
        "site": {},
        "components": [
            {"tag": c.tag, "kind": c.kind, "name": c.name, "host": c.host, "nameplate": dict(c.plate)}
            for c in layout.components
        ],
        "runs": [_run(r, {c.tag: c.tag for c in layout.components}) for r in layout.runs],
    }
