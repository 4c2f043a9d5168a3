"""What was recorded once and holds elsewhere: a maker's nameplate of another component, or a whole record."""

from collections.abc import Iterable, Iterator
from typing import Any
from uuid import uuid4

from django.db.models import Case, When

from commissioning.asbuilt.forms import called
from commissioning.canonical import canonical_json
from commissioning.models import Component, Run, Site, User
from commissioning.nameplates import part_of
from sizing.parts import RUN_KINDS, Part

MOST_OFFERED = 60
MOST_READ = 300
OF_A_PLACE = frozenset({"well", "spring_or_roof", "junction", "outlet"})
"""Kinds whose nameplate is of their place alone: nothing of it holds elsewhere."""

GROUPS_OF_A_PLACE = frozenset({"Array", "Bank", "Horizon shading", "Ground", "Duty", "Warranty"})
FIELDS_OF_A_PLACE = frozenset(
    {"purpose", "setting", "side", "protects", "number_of", "normal_position", "differential", "open_together"}
)

PAPERS = frozenset({"installed_on", "warranty"})
OF_A_RUN = frozenset({"length", "fittings", "cover", "lies", "carries", "method", "conductors_together", "ambient"})
"""Of a pipe, cable or control line: how and where it lies, which the one beside it does not share."""


def offered_for(user: User, site: Site, kind: str, there: Component | Run | None) -> list[tuple[str, str]]:
    """Return (id, words) of the recorded ones of a kind: those of this site first, then the latest change first."""
    if kind in OF_A_PLACE:
        return []
    model = Run if kind in RUN_KINDS else Component
    found = model.objects.standing().filter(site__in=Site.objects.for_user(user), kind=kind).exclude(nameplate={})
    if there:
        found = found.exclude(pk=there.pk)
    is_elsewhere = Case(When(site=site, then=0), default=1)
    latest = found.select_related("site").order_by(is_elsewhere, "-changed_at", "tag")[:MOST_READ]
    return [(str(one.pk), _words(one, site)) for one in _each_once(latest, site)][:MOST_OFFERED]


def _each_once(found: Iterable[Component | Run], site: Site) -> Iterator[Component | Run]:
    """Yield all of this site, and of other sites each nameplate once."""
    seen: set[str] = set()
    for one in found:
        named = (getattr(one, "maker", ""), getattr(one, "model", ""))
        printed = canonical_json([*named, nameplate_like(part_of(one.kind), one.nameplate, {})])
        if one.site_id == site.pk or printed not in seen:
            yield one
        seen.add(printed)


def _words(one: Component | Run, site: Site) -> str:
    where = "" if one.site_id == site.pk else f"{one.site.name}: "
    printed = one.nameplate.get("nominal") or one.nameplate.get("size") or "" if isinstance(one, Run) else ""
    made = printed or " ".join(word for word in (getattr(one, "maker", ""), getattr(one, "model", "")) if word)
    return f"{where}{called(one)}{f', {made}' if made else ''}"


def nameplate_like(part: type[Part], other: dict[str, Any], mine: dict[str, Any]) -> dict[str, Any]:
    """Return a nameplate with what the maker printed on another one of its kind, and what is of its place kept."""
    declared = part.declarations()
    laid = OF_A_RUN if part.kind in RUN_KINDS else frozenset()
    printed = {
        name: value
        for name, value in other.items()
        if name in declared and declared[name].group not in GROUPS_OF_A_PLACE and not is_of_place(name)
        and name not in laid
    }  # fmt: skip
    return {**mine, **printed}


def without_papers(plate: dict[str, Any]) -> dict[str, Any]:
    """Return a nameplate without the day on which that very thing was fitted, and its warranty."""
    return {name: value for name, value in plate.items() if name not in PAPERS}


def is_of_place(name: str) -> bool:
    return name.endswith("elevation") or name in FIELDS_OF_A_PLACE


def changes_like(site: Site) -> list[dict[str, Any]]:
    """Return what `record.changed` needs to put the standing record of another site; serial numbers stay there."""
    components = list(site.components.standing())
    runs = list(site.runs.standing())
    ids = {one.pk: str(uuid4()) for one in [*components, *runs]}
    # What sits in or on something comes behind it, whatever it is.
    first = [_put(one, ids) for one in components]
    joined = [_put_run(one, ids) for one in runs]
    seated = [_seat(one, ids) for one in components if one.sits_on]
    return [*first, *joined, *seated]


def _put(one: Component, ids: dict[Any, str]) -> dict[str, Any]:
    return {
        "op": "put", "sort": "component", "id": ids[one.pk], "kind": one.kind, "tag": one.tag, "name": one.name,
        "maker": one.maker, "model": one.model, "nameplate": without_papers(one.nameplate),
    }  # fmt: skip


def _seat(one: Component, ids: dict[Any, str]) -> dict[str, Any]:
    place = "host_run" if one.host_run_id else "host"
    return {
        "op": "put", "sort": "component", "id": ids[one.pk], "kind": one.kind,
        place: ids[one.host_run_id or one.host_id], "nameplate": without_papers(one.nameplate),
    }  # fmt: skip


def _put_run(one: Run, ids: dict[Any, str]) -> dict[str, Any]:
    return {
        "op": "put", "sort": "run", "id": ids[one.pk], "kind": one.kind, "tag": one.tag, "name": one.name,
        "start": ids[one.start_id], "start_port": one.start_port, "end": ids[one.end_id], "end_port": one.end_port,
        "nameplate": one.nameplate,
    }  # fmt: skip
