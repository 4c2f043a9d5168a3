"""What was recorded once and holds elsewhere: a maker's nameplate of another component, or a whole record."""

from typing import Any
from uuid import uuid4

from commissioning.asbuilt.forms import called
from commissioning.models import Component, Run, Site, User
from sizing.parts import Part

MOST_OFFERED = 60
OF_A_PLACE = frozenset({"well", "spring_or_roof", "junction", "outlet"})
"""Kinds whose nameplate is of their place alone: nothing of it holds elsewhere."""

GROUPS_OF_A_PLACE = frozenset({"Array", "Bank", "Horizon shading", "Ground", "Duty"})
FIELDS_OF_A_PLACE = frozenset(
    {"purpose", "setting", "side", "protects", "number_of", "normal_position", "differential", "open_together"}
)


def offered_for(user: User, kind: str, there: Component | None) -> list[tuple[str, str]]:
    """Return (id, words) of the recorded components of a kind on any site of a person, the latest change first."""
    if kind in OF_A_PLACE:
        return []
    found = Component.objects.standing().filter(site__in=Site.objects.for_user(user), kind=kind).exclude(nameplate={})
    if there:
        found = found.exclude(pk=there.pk)
    latest = found.select_related("site").order_by("-changed_at", "tag")[:MOST_OFFERED]
    return [(str(one.pk), _words(one)) for one in latest]


def _words(one: Component) -> str:
    made = " ".join(word for word in (one.maker, one.model) if word)
    return f"{one.site.name}: {called(one)}{f', {made}' if made else ''}"


def nameplate_like(part: type[Part], other: dict[str, Any], mine: dict[str, Any]) -> dict[str, Any]:
    """Return a nameplate with what the maker printed on another one of its kind, and what is of its place kept."""
    declared = part.declarations()
    printed = {
        name: value
        for name, value in other.items()
        if name in declared and declared[name].group not in GROUPS_OF_A_PLACE and not is_of_place(name)
    }
    return {**mine, **printed}


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
        "maker": one.maker, "model": one.model, "nameplate": one.nameplate,
    }  # fmt: skip


def _seat(one: Component, ids: dict[Any, str]) -> dict[str, Any]:
    place = "host_run" if one.host_run_id else "host"
    return {
        "op": "put", "sort": "component", "id": ids[one.pk], "kind": one.kind,
        place: ids[one.host_run_id or one.host_id], "nameplate": one.nameplate,
    }  # fmt: skip


def _put_run(one: Run, ids: dict[Any, str]) -> dict[str, Any]:
    return {
        "op": "put", "sort": "run", "id": ids[one.pk], "kind": one.kind, "tag": one.tag, "name": one.name,
        "start": ids[one.start_id], "start_port": one.start_port, "end": ids[one.end_id], "end_port": one.end_port,
        "nameplate": one.nameplate,
    }  # fmt: skip
