"""The drawing of an as-built record, drawn once for equal records: where it is laid out takes a second or two."""

import json
from functools import lru_cache
from typing import Any

from commissioning import snapshot
from commissioning.plots.schematic import schematic

UNDRAWN = frozenset({"id", "maker", "model", "serial"})


def drawn_section(text: str, unit_system: str, *, is_print: bool) -> str:
    """Return the drawing of a record's canonical text as SVG; raises SystemShapeError where it has no sound shape."""
    document = json.loads(text)
    parts = {name: [_shown(one) for one in document[name]] for name in ("components", "runs")}
    plate = document["site"].get("plate", {})
    return _drawn(json.dumps({"site": {"plate": plate}, **parts}, sort_keys=True), unit_system, is_print)


def _shown(one: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in one.items() if name not in UNDRAWN}


@lru_cache(maxsize=128)
def _drawn(text: str, unit_system: str, is_print: bool) -> str:
    return schematic(snapshot.system_of(json.loads(text)), unit_system=unit_system, print=is_print)
