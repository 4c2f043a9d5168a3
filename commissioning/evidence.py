"""The append door: the only way evidence comes in, from a form, a phone or a file.

One transaction checks the body against its kind's schema, writes the event into its site's chain and calls the
kind's projection, which writes the plain rows that pages query. A kind is declared beside its projection:

    @evidence.kind("visit.opened", schema={"type": "object", …})
    def project_visit(event: Event, body: dict[str, Any]) -> Visit:
        return Visit.objects.create(id=body["visit"], site=event.site, …)
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, TypeVar
from uuid import UUID, uuid4

from django.db import transaction
from django.db.models import Q
from django.utils import timezone
from jsonschema import Draft202012Validator, FormatChecker

from commissioning.canonical import NotCanonicalError, canonical_json
from commissioning.chain import NOTHING_BEFORE, close_past_days, event_hash
from commissioning.models import Event
from commissioning.models.event import Origin

if TYPE_CHECKING:
    from commissioning.models import Site, User

Body = dict[str, Any]
Projection = Callable[[Event, Body], object]
Declared = TypeVar("Declared", bound=Projection)


class UnknownKindError(LookupError):
    """No module declares this kind of evidence."""


class RefusedError(ValueError):
    """The body is not what its kind asks for. `faults` maps the place in the body to the reason."""

    def __init__(self, faults: dict[str, str]) -> None:
        super().__init__("; ".join(f"{place}: {reason}" for place, reason in faults.items()))
        self.faults = faults


class WaitsError(RefusedError):
    """The body is as it should be, but what it speaks of has not arrived yet. Sent again later, it may be taken in."""


class ConflictError(ValueError):
    """This id, or this place in the device's count, is taken by other content. The first one stands."""


@dataclass(frozen=True)
class Kind:
    name: str
    validator: Draft202012Validator
    project: Projection


KINDS: dict[str, Kind] = {}


def kind(name: str, *, schema: Mapping[str, Any]) -> Callable[[Declared], Declared]:
    """Declare a kind of evidence: what its body must be, and the function that projects it into rows."""

    def declare(project: Declared) -> Declared:
        if name in KINDS:
            raise ValueError(f"{name} is declared twice")
        Draft202012Validator.check_schema(schema)
        KINDS[name] = Kind(name, Draft202012Validator(schema, format_checker=FormatChecker()), project)
        return project

    return declare


def append(
    *,
    site: "Site | None",
    kind: str,
    body: Body,
    actor: "User",
    origin: str = Origin.WEB,
    event_id: UUID | None = None,
    device: str | None = None,
    device_sequence: int | None = None,
    at: datetime | None = None,
) -> Event:
    """Write one piece of evidence and what follows from it; return its event.

    On the event just written, `projected` is what the projection returned. Delivered a second time, the same
    content returns the event that is stored, with `projected` None; other content raises ConflictError.
    """
    event = prepared(
        site=site, kind=kind, body=body, actor=actor, origin=origin, event_id=event_id, device=device,
        device_sequence=device_sequence, at=at,
    )  # fmt: skip
    with transaction.atomic():
        return written(event)


def prepared(
    *,
    site: "Site | None",
    kind: str,
    body: Body,
    actor: "User",
    origin: str = Origin.WEB,
    event_id: UUID | None = None,
    device: str | None = None,
    device_sequence: int | None = None,
    at: datetime | None = None,
    clock: Body | None = None,
    shown: Body | None = None,
    digest: str = "",
) -> Event:
    """Return an event whose content is as it should be, not written yet: this part needs no lock.

    `clock`, `shown` and `digest` come from a phone: what its clock said, the verdict it showed, the SHA-256 of the
    item as it kept it.
    """
    event = Event(
        id=event_id or uuid4(),
        site=site,
        kind=kind,
        actor=actor,
        origin=Origin(origin),
        body=checked_body(known_kind(kind), body),
        device=device or "",
        device_sequence=device_sequence,
        clock=canonical_json(clock) if clock else "",
        shown=canonical_json(shown) if shown else "",
        digest=digest,
    )
    event.is_given = event_id is not None
    check_header(event, at)
    if at is not None:
        event.recorded_at = at
    return event


def written(event: Event) -> Event:
    """Write a prepared event with its rows, inside a transaction; return it, or what is stored of it already."""
    stored = stored_before(event)
    if stored:
        return stored
    put_into_chain(event)
    event.projected = KINDS[event.kind].project(event, json.loads(event.body))  # the content that was hashed
    return event


def known_kind(name: str) -> Kind:
    try:
        return KINDS[name]
    except KeyError:
        raise UnknownKindError(f"no kind of evidence is called {name}") from None


def checked_body(declared: Kind, body: Body) -> str:
    """Return the body's canonical text, or raise RefusedError naming every place that is wrong."""
    faults = {error.json_path: error.message for error in declared.validator.iter_errors(body)}
    if faults:
        raise RefusedError(faults)
    try:
        return canonical_json(body)
    except NotCanonicalError as error:
        raise RefusedError({"body": str(error)}) from error


def check_header(event: Event, at: datetime | None) -> None:
    if at is not None and timezone.is_naive(at):
        raise RefusedError({"at": "a time needs its offset from UTC"})
    if bool(event.device) != (event.device_sequence is not None):
        raise RefusedError({"device_sequence": "a device and its count belong together"})


def stored_before(event: Event) -> Event | None:
    """Return the stored event if this is the same once more; raise ConflictError if it only has its id."""
    if not (event.is_given or event.device):
        return None  # its id was made just now
    same = Q(pk=event.pk)
    if event.device:
        same |= Q(device=event.device, device_sequence=event.device_sequence)
    found = list(Event.objects.filter(same))
    stored = next((one for one in found if one.pk == event.pk), None)
    if stored is None:
        if found:
            raise ConflictError(f"this phone has used its number {event.device_sequence} before, for something else")
        return None
    if content_of(stored) != content_of(event) or event.recorded_at not in (None, stored.recorded_at):
        raise ConflictError("it is stored already under the same id, with other content")
    return stored


def content_of(event: Event) -> tuple[object, ...]:
    said = (event.body, event.clock, event.shown, event.digest)
    return (event.site_id, event.kind, event.actor_id, event.device, event.device_sequence, *said)


def put_into_chain(event: Event) -> None:
    """Give the event its place and hash, and write it. The transaction holds the write lock from its start."""
    event.received_at = timezone.now()
    event.recorded_at = event.recorded_at or event.received_at
    last = Event.objects.of_site(event.site_id).only("sequence", "hash", "received_at").last()
    if last is None or last.received_at.date() < event.received_at.date():  # else this day has events already
        close_past_days(event.received_at.date())
    event.sequence = last.sequence + 1 if last else 1
    event.previous_hash = last.hash if last else NOTHING_BEFORE
    event.hash = event_hash(event)
    event.save()
