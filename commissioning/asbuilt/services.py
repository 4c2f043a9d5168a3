"""What changes the record of a site: each one piece of evidence, and the open visits judged again on it."""

from typing import Any
from uuid import UUID, uuid4

from django.db import transaction

from commissioning import evidence, judging
from commissioning.asbuilt.copying import changes_like, is_of_place, without_papers
from commissioning.asbuilt.layouts import Layout, changes_of
from commissioning.models import Component, Contact, Run, Site, User
from commissioning.nameplates import part_of
from sizing.errors import SystemShapeError

Item = Component | Run
CHANGED = "record changed"


class StillNeededError(ValueError):
    """Something still hangs on what was to be retired; the words say what."""


@transaction.atomic
def open_site(
    *, name: str, place: str, unit_system: str, zone: str, layout: Layout, actor: User, like: Site | None = None
) -> Site:
    """Begin the record of a site, with the components and runs of a starter layout or of another site."""
    site = Site.objects.create(name=name, unit_system=unit_system)
    described = {
        "name": name, "place": place, "unit_system": unit_system, "zone": zone, "plate": {},
        **({} if like else {"layout": layout.key}),
    }  # fmt: skip
    evidence.append(site=site, kind="site.described", body=described, actor=actor)
    changes = changes_like(like) if like else changes_of(layout)
    if changes:
        because = {"reason": f"copied from {like}"} if like else {}
        evidence.append(site=site, kind="record.changed", body={"changes": changes, **because}, actor=actor)
    site.refresh_from_db()
    return site


@transaction.atomic
def describe_site(*, site: Site, described: dict[str, str], plate: dict[str, Any], actor: User) -> None:
    """Keep what is known of the place and what the work covers."""
    evidence.append(site=site, kind="site.described", body={**described, "plate": plate}, actor=actor)
    judge_again(site=site, actor=actor)


def keep_contact(*, site: Site, entry: dict[str, str]) -> None:
    """Keep whom the site belongs to, in the table beside the evidence from which a person can be erased."""
    Contact.objects.update_or_create(site=site, defaults=entry)


@transaction.atomic
def put_component(
    *,
    site: Site,
    kind: str,
    entry: dict[str, Any],
    plate: dict[str, Any],
    actor: User,
    component: Component | None = None,
    was: dict[str, Any] | None = None,
) -> None:
    """Add a component, or change one; `was` holds what stood in fields that had been typed wrongly."""
    change = {
        **_put("component", kind, entry, plate, component),
        **_was(was),
        **{name: entry[name] for name in ("maker", "model", "serial")},
        **_host(site, entry.get("host") or None),
    }
    change_record(site=site, changes=[change], reason=entry.get("reason", ""), actor=actor)


@transaction.atomic
def put_run(
    *,
    site: Site,
    kind: str,
    entry: dict[str, Any],
    plate: dict[str, Any],
    actor: User,
    run: Run | None = None,
    was: dict[str, Any] | None = None,
) -> None:
    """Add a run, or change one, as a component is. An end is `component id:port`."""
    change = {**_put("run", kind, entry, plate, run), **_was(was)}
    for end in ("start", "end"):
        change[end], _, change[f"{end}_port"] = entry[end].partition(":")
    change_record(site=site, changes=[change], reason=entry.get("reason", ""), actor=actor)


def _was(was: dict[str, Any] | None) -> dict[str, Any]:
    return {"was": was} if was else {}


def _host(site: Site, key: str | None) -> dict[str, str | None]:
    """Return what a component sits in or on: a component, or a run such as a fuse's cable."""
    is_run = key is not None and site.runs.filter(pk=key).exists()
    return {"host": None, "host_run": key} if is_run else {"host": key, "host_run": None}


def _put(sort: str, kind: str, entry: dict[str, Any], plate: dict[str, Any], item: Item | None) -> dict[str, Any]:
    key: UUID = item.pk if item else uuid4()
    return {
        "op": "put", "sort": sort, "id": str(key), "kind": kind, "tag": entry["tag"], "name": entry["name"],
        "nameplate": plate,
    }  # fmt: skip


@transaction.atomic
def replace(*, component: Component, entry: dict[str, Any], actor: User) -> UUID:
    """Retire a component and put a new one in its place, with its tag and its connections; return its id.

    The nameplate goes over whole where the new one is of the same model; else only what belongs to the place does.
    """
    new, plate = uuid4(), component.nameplate
    if not entry["is_same"]:
        plate = {name: value for name, value in plate.items() if is_of_place(name)}
    plate = {**without_papers(plate), **_fitted(component.kind, entry)}
    put = {
        "op": "put", "sort": "component", "id": str(new), "kind": component.kind, "tag": component.tag,
        "name": component.name, "nameplate": plate, **{name: entry[name] for name in ("maker", "model", "serial")},
        "host": _text(component.host_id), "host_run": _text(component.host_run_id),
    }  # fmt: skip
    gone = {"op": "retire", "sort": "component", "id": str(component.pk)}
    change_record(
        site=component.site, changes=[gone, put, *_joined_anew(component, str(new))], reason=entry["reason"],
        actor=actor,
    )  # fmt: skip
    return new


def _fitted(kind: str, entry: dict[str, Any]) -> dict[str, str]:
    """Return the day on which the new one was fitted, where it is known and the kind has one."""
    day = entry.get("installed_on") if part_of(kind).is_bought else None
    return {"installed_on": day.isoformat()} if day else {}


def _text(key: UUID | None) -> str | None:
    return str(key) if key else None


def _joined_anew(old: Component, new: str) -> list[dict[str, Any]]:
    """Return the changes that bring what sat in or on a component, and every run that ended at it, to another."""
    hosted = [
        {"op": "put", "sort": "component", "id": str(one.pk), "kind": one.kind, "host": new}
        for one in old.hosted.filter(retired_at=None)
    ]
    ends = (("start", old.runs_from), ("end", old.runs_to))
    return hosted + [
        {"op": "put", "sort": "run", "id": str(run.pk), "kind": run.kind, end: new}
        for end, runs in ends
        for run in runs.filter(retired_at=None)
    ]


@transaction.atomic
def retire(*, item: Item, reason: str, actor: User) -> None:
    """Take a component or run out of the record as it stands; what was measured on it stays."""
    needed = hanging_on(item)
    if needed:
        raise StillNeededError(f"Still there: {', '.join(needed)}. Retire or move them first.")
    sort = "component" if isinstance(item, Component) else "run"
    changes = [{"op": "retire", "sort": sort, "id": str(item.pk)}]
    change_record(site=item.site, changes=changes, reason=reason, actor=actor)


def hanging_on(item: Item) -> list[str]:
    """Return in words what sits in or on a component, and which runs end at it."""
    hosted = [f"{one.tag} sits in or on it" for one in item.hosted.filter(retired_at=None)]
    if isinstance(item, Run):
        return hosted
    runs = [*item.runs_from.filter(retired_at=None), *item.runs_to.filter(retired_at=None)]
    return hosted + [f"{run.tag} ends at it" for run in sorted(runs, key=lambda one: str(one.tag))]


def change_record(*, site: Site, changes: list[dict[str, Any]], reason: str, actor: User) -> None:
    """Write one change of the record, and judge the open visits of the site again."""
    body: dict[str, Any] = {"changes": changes, **({"reason": reason} if reason else {})}
    evidence.append(site=site, kind="record.changed", body=body, actor=actor)
    judge_again(site=site, actor=actor)


def judge_again(*, site: Site, actor: User) -> None:
    """Judge the open visits on the record as it now stands; one that has no sound shape judges nothing."""
    for visit in site.visits.filter(ended_at=None):
        try:
            judging.judge_visit_again(visit, actor=actor, because=CHANGED)
        except SystemShapeError:
            return
