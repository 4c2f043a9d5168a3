"""The section drawn from the record as it stands, for screen and for paper."""

from functools import lru_cache

from commissioning import snapshot
from commissioning.models import Site
from commissioning.plots.schematic import schematic
from sizing.errors import SystemShapeError


def section_of(site: Site, *, is_print: bool = False) -> str:
    """Return the drawing of a site's record; empty where there is nothing to draw, or no sound shape."""
    if not site.components.standing().exists():
        return ""
    try:
        return _drawn(snapshot.text_now(site), site.unit_system, is_print)
    except SystemShapeError:
        return ""


@lru_cache(maxsize=64)
def _drawn(text: str, unit_system: str, is_print: bool) -> str:
    return schematic(snapshot.system_of_text(text), unit_system=unit_system, print=is_print)
