"""Items into evidence: each for itself, so that one bad item never holds up the rest.

Twice delivered is once stored, for ever: the item's own id is the event's id. What stands is never touched; an item
with the same id or the same place in its device's count, but other content, goes to quarantine word for word.
"""

import logging
from collections.abc import Callable, Iterator, Sequence
from contextlib import nullcontext
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from django.db import IntegrityError, OperationalError, transaction

from commissioning import evidence, judging
from commissioning.models import Choice, Event, Measurement, Site, User, Visit
from commissioning.models.event import Origin
from commissioning.sync.item_form import BadItemError, Ready, checked, refuse_what_is_not_sent
from commissioning.sync.lost_phones import faults_of_phone, shut_phones
from commissioning.sync.quarantine import set_apart
from commissioning.sync.strict import Faults, printable
from commissioning.sync.what_went_wrong import Waits, faults_of

STORED, DUPLICATE, WAITS, CONFLICT, REFUSED = "stored", "duplicate", "waits", "conflict", "refused"
AT_ONCE = 25  # items in one transaction: nobody else can write meanwhile
LOG = logging.getLogger(__name__)
CHOSEN = "a value was chosen"
CHANGES_RECORD = "record.changed"  # what was measured before it is judged before it


@dataclass
class Result:
    """What became of one item."""

    id: str
    state: str
    faults: Faults = field(default_factory=dict)
    event: Event | None = None

    def as_json(self) -> dict[str, Any]:
        receipt = {"sequence": self.event.sequence, "hash": self.event.hash} if self.event else None
        return {"id": self.id, "state": self.state, "faults": self.faults, "receipt": receipt}


@dataclass
class Intake:
    """One delivery of items: who sends, whose items may be in it, and what became of each."""

    sender: User
    authors: dict[str, User]  # by handle
    origin: Origin = Origin.PHONE
    sites: dict[UUID, Site] = field(default_factory=dict)
    shut: set[UUID] = field(default_factory=set)
    results: dict[int, Result] = field(default_factory=dict)
    to_judge: list[Measurement] = field(default_factory=list)
    here_before: list[UUID] = field(default_factory=list)
    chosen_on: set[Visit] = field(default_factory=set)

    def take(self, items: Sequence[Any]) -> list[Result]:
        """Take in what can be taken, in the order of each device's own count; return a result for each item.

        What waits is tried again as long as anything else was stored: it may have waited for that.
        """
        # a single reading is kept and judged in one go: one wait for the disk, and the lock is held but shortly
        with transaction.atomic() if len(items) == 1 else nullcontext():
            return self._taken(items)

    def _taken(self, items: Sequence[Any]) -> list[Result]:
        ready = self._checked(items)
        self.sites = Site.objects.for_user(self.sender).in_bulk({one.site_id for one in ready.values()})
        self.shut = shut_phones()
        left = sorted(ready, key=lambda place: ready[place].place)
        while left:
            states = [self._pass(ready, run) for run in _runs(ready, left)]
            left = [place for place in left if self.results[place].state == WAITS] if any(states) else []
        self._judge()
        return [self.results[place] for place in range(len(items))]

    def _checked(self, items: Sequence[Any]) -> dict[int, Ready]:
        ready: dict[int, Ready] = {}
        for place, item in enumerate(items):
            try:
                ready[place] = checked(item)
            except BadItemError as error:
                self.results[place] = Result(_id_of(item), REFUSED, error.faults)
        return ready

    def _pass(self, ready: dict[int, Ready], run: list[int]) -> bool:
        """Try some items in one transaction, each in a savepoint of its own; return whether any was stored."""
        if ready[run[0]].item["kind"] == CHANGES_RECORD:
            self._judge()
        events = {place: self._prepared(ready[place]) for place in run}  # before the lock is taken
        with transaction.atomic():
            for place, event in events.items():
                self.results[place] = event if isinstance(event, Result) else self._written(ready[place], event)
        return any(self.results[place].state == STORED for place in run)

    def _prepared(self, one: Ready) -> Event | Result:
        item = one.item
        try:
            refuse_what_is_not_sent(one, self.sites)
            self._refuse_a_lost_phone(one)
            return evidence.prepared(
                site=self.sites[one.site_id], kind=item["kind"], body=item["body"], actor=self._author(one),
                origin=self.origin, event_id=one.id, device=item["device"], device_sequence=item["n"], at=one.wall,
                clock=item["clock"], shown=item.get("shown"), digest=item["digest"],
            )  # fmt: skip
        except (ValueError, LookupError) as error:
            return self._not_taken(one, error)

    def _refuse_a_lost_phone(self, one: Ready) -> None:
        """Refuse what a phone that is shut out sends; what it sent before stays stored, and is said to be."""
        faults = faults_of_phone(one.item["device"], self.shut)
        if faults and not Event.objects.filter(pk=one.id).exists():
            raise evidence.RefusedError(faults)

    def _author(self, one: Ready) -> User:
        author = self.authors.get(one.item["user"])
        if author is None:
            raise evidence.WaitsError({"$.user": "is another's: it is sent when that person signs in"})
        return author

    def _written(self, one: Ready, event: Event) -> Result:
        """Return what became of an item at the door; whatever is wrong undoes this item alone."""
        try:
            with transaction.atomic():
                stored = evidence.written(event)
        except OperationalError:
            raise  # the database is busy or full: no item's fault
        except Exception as error:
            return self._not_taken(one, error)
        if stored is not event:
            self.here_before.append(stored.pk)
            return Result(one.item["id"], DUPLICATE, event=stored)
        if isinstance(event.projected, Measurement):
            self.to_judge.append(event.projected)
        if isinstance(event.projected, Choice):
            self.chosen_on.add(event.projected.measurement.visit)
        return Result(one.item["id"], STORED, event=event)

    def _not_taken(self, one: Ready, error: Exception) -> Result:
        """Return that an item waits, or put it into quarantine."""
        faults = faults_of(error)
        if isinstance(faults, Waits):
            return Result(one.item["id"], WAITS, faults.faults)
        state = CONFLICT if isinstance(error, evidence.ConflictError | IntegrityError) else REFUSED
        if one.site_id in self.sites:
            set_apart(one.item, self.sites[one.site_id], state, faults, self.sender)
        return Result(one.item["id"], state, faults)

    def _judge(self) -> None:
        """Judge what has come in and is not judged yet, visit by visit, outside the lock.

        What was stored just before the server died is judged when it is sent again.
        """
        if self.here_before:
            self.to_judge += Measurement.objects.filter(event__in=self.here_before, judgements=None)
            self.here_before.clear()
        by_visit: dict[UUID, list[Measurement]] = {}
        for one in self.to_judge:
            by_visit.setdefault(one.visit_id, []).append(one)
        self.to_judge.clear()
        for taken in by_visit.values():
            _guarded(judging.judge_together, taken, actor=self.sender)
        for visit in self.chosen_on:
            _guarded(judging.judge_visit_again, visit, actor=self.sender, because=CHOSEN)
        self.chosen_on.clear()


def _guarded(judge: Callable[..., object], *what: Any, **more: Any) -> None:
    """Judge; a fault of ours in it undoes nothing of what was kept. It is judged again before a sheet is issued."""
    try:
        judge(*what, **more)
    except OperationalError:
        raise
    except Exception:
        LOG.exception("what was kept could not be judged")


def _runs(ready: dict[int, Ready], places: list[int]) -> Iterator[list[int]]:
    """Yield the items of one transaction each; what changes the record goes alone."""
    run: list[int] = []
    for place in places:
        is_alone = ready[place].item["kind"] == CHANGES_RECORD
        if run and (is_alone or len(run) == AT_ONCE):
            yield run
            run = []
        run.append(place)
        if is_alone:
            yield run
            run = []
    if run:
        yield run


def _id_of(item: Any) -> str:
    return printable(item.get("id", "")) if isinstance(item, dict) else ""
