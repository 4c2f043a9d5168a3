"""The section drawn from the record as it stands, for screen and for paper."""

from commissioning import snapshot
from commissioning.drawn_section import drawn_section
from commissioning.models import Site
from sizing.errors import SystemShapeError


def section_of(site: Site, *, is_print: bool = False) -> str:
    """Return the drawing of a site's record; empty where there is nothing to draw, or no sound shape."""
    if not site.components.standing().exists():
        return ""
    try:
        return drawn_section(snapshot.text_now(site), site.unit_system, is_print=is_print)
    except SystemShapeError:
        return ""
