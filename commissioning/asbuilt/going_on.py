"""Where a person goes on typing: from one component or run to the next whose nameplate is not complete."""

from dataclasses import dataclass

from django.urls import reverse

from commissioning.asbuilt.shown import Row, component_sections, run_sections
from commissioning.models import Component, Run, Site

NEXT, AGAIN = "next", "again"
"""What a button of a form says of the way on: to the next open one, or to another one like the one just kept."""


@dataclass(frozen=True)
class Onward:
    """The next component or run that still has open fields."""

    words: str
    url: str


def onward_from(site: Site, there: Component | Run | None) -> Onward | None:
    """Return what comes next on the page of the record and is not complete, from the top again after the last."""
    rows = [row for section in (*component_sections(site), *run_sections(site)) for row in section.rows]
    at = next((n for n, row in enumerate(rows) if there is not None and row.tag == there.tag), -1)
    after = [*rows[at + 1 :], *rows[: max(at, 0)]]
    found = next((row for row in after if row.open_words), None)
    return _onward(found) if found else None


def _onward(row: Row) -> Onward:
    what = row.what.rpartition(", ")[2]
    return Onward(f"{row.tag} {what[:1].lower()}{what[1:]}", row.url)


BEYOND = {"": "", "inlet": "outlet", "suction": "discharge", "line": "load", "input": "output"}
"""Port at which a run came in → where the next one goes on."""


def goes_on_from(kept: Run) -> str:
    """Return the end at which the next pipe or cable begins, where that is plain; else nothing."""
    port = BEYOND.get(kept.end_port)
    return "" if port is None else f"{kept.end_id}:{port}"


def again_url(site: Site, kept: Component | Run) -> str:
    """Return the form for another one of the same kind, filled in with what is printed on the one just kept."""
    noun = "component" if isinstance(kept, Component) else "run"
    return f"{reverse(f'{noun}-new', args=[site.pk, kept.kind])}?like={kept.pk}"
