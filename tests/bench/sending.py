"""What a kept reading and a sent batch cost, beside the bare work on the same server in the same run."""

import json
import os
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any
from uuid import uuid4

PAIRS = 60
ROUNDS = 2
SENT = 500  # readings
BATCH = 200
ROOT = Path(__file__).resolve().parent.parent.parent
Median = Callable[..., float]
Times = tuple[float, float, str]


@contextmanager
def database() -> Iterator[Any]:
    """A technician, and a database that is gone afterwards."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    import django
    from django.test.utils import setup_databases, teardown_databases

    django.setup()
    from django.conf import settings

    # on the disk, as an installation has it: what is kept is on it before it is acknowledged
    (ROOT / ".data").mkdir(mode=0o700, exist_ok=True)
    with TemporaryDirectory(dir=ROOT / ".data") as folder:
        settings.DATABASES["default"]["TEST"]["NAME"] = f"{folder}/bench.sqlite3"
        before = setup_databases(verbosity=0, interactive=False)
        try:
            from commissioning.models import User

            yield User.objects.create_user("marsh", display_name="T. Marsh")
        finally:
            teardown_databases(before, verbosity=0)


def keep_times() -> Times:
    """Return the time of keeping one reading, judged and chained, and of a bare authenticated insert.

    By the clock, turn and turn about, since both wait for the disk and for whatever else the machine does.
    """
    with database() as user:
        from django.urls import path

        from commissioning import urls
        from tests.commissioning.sync.phones import Phone
        from tests.commissioning.worlds import site_with_record, visit_on

        urls.urlpatterns.append(path("bench/insert/", bare_insert, name="bench-insert"))
        site = site_with_record(user)
        phone = Phone(user, visit_on(site, user))
        row = json.dumps({"visit": str(phone.visit.pk), "how": "parked"})

        def insert() -> None:
            assert phone.client.post("/bench/insert/", row, content_type="application/json").status_code == 200

        def keep(item: Any) -> None:
            assert phone.send(item)[0]["state"] == "stored"

        kept, inserted = [], []
        for number in range(PAIRS):
            phone.visit = visit_on(site, user) if number % 20 == 0 else phone.visit
            item = phone.measured("tank_level", "T1", ("level", "1.30", "m"))
            kept.append(timed(lambda item=item: keep(item)))  # type: ignore[misc]
            inserted.append(timed(insert))
        return median(kept[5:]), median(inserted[5:]), f"{PAIRS} pairs through the whole server, on the disk"


def timed(work: Callable[[], object]) -> float:
    """Return how long some work takes by the clock [s]."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def bare_insert(request: Any) -> Any:
    """Write one row for whoever is signed in: what a server does at least."""
    from django.http import JsonResponse
    from django.utils import timezone

    from commissioning.models import SettingAside

    row = json.loads(request.body)
    SettingAside.objects.create(
        visit_id=row["visit"],
        check_key="static_level",
        subject="W1",
        how=row["how"],
        by=request.user,
        at=timezone.now(),
    )
    return JsonResponse({"id": "stored"})


def send_times(median_time: Median) -> Times:
    """Return the CPU time of sending readings, and of the same rows by bulk insert plus their judgements."""
    with database() as user:
        from tests.commissioning.worlds import site_with_record

        site = site_with_record(user)

        def sent() -> None:
            for phone, items in deliveries(site, user):
                for start in range(0, len(items), BATCH):
                    assert {one["state"] for one in phone.send(*items[start : start + BATCH])} == {"stored"}

        def bulk() -> None:
            for phone, items in deliveries(site, user):
                insert_in_bulk(phone, items)

        made = median_time(lambda: list(deliveries(site, user)), ROUNDS)
        whole, rows = median_time(sent, ROUNDS) - made, median_time(bulk, ROUNDS) - made
        return whole, rows, f"{SENT} readings in batches of {BATCH}; their judgements are in both"


def deliveries(site: Any, user: Any) -> Iterator[tuple[Any, list[Any]]]:
    """Yield phones and what they kept: measurements of a start-up, over and over, until there are enough readings."""
    from tests.commissioning.handover.started_up import NOON, READINGS, readings_of
    from tests.commissioning.sync.phones import Phone
    from tests.commissioning.worlds import visit_on

    left = SENT
    while left > 0:
        phone = Phone(user, visit_on(site, user, at=NOON))
        items: list[Any] = []
        for number, (check, subject, read) in enumerate(READINGS):
            if left <= 0:
                break
            left -= len(read)
            body = {"taken_at": (NOON + timedelta(seconds=20 * number)).isoformat()}
            items.append(phone.measured(check, subject, *readings_of(check, read), body=body))
        yield phone, items


def insert_in_bulk(phone: Any, items: list[Any]) -> None:
    """Write the same events, measurements and readings by three statements, then judge the visit once."""
    from django.db import transaction
    from django.utils import timezone

    from commissioning import judging
    from commissioning.models import Event, Measurement
    from commissioning.projections.measurement import _reading
    from sizing.checks.catalogue import CHECKS

    now, visit = timezone.now(), phone.visit
    parts = {one.tag: one for one in [*visit.site.components.all(), *visit.site.runs.all()]}
    start = Event.objects.of_site(visit.site_id).count()
    events = [
        Event(
            id=item["id"], site=visit.site, sequence=start + place, kind=item["kind"], actor=phone.user, origin="phone",
            recorded_at=now, received_at=now, body=json.dumps(item["body"]), previous_hash="0" * 64,
            hash=uuid4().hex * 2,
        )
        for place, item in enumerate(items, 1)
    ]  # fmt: skip
    rows, readings = [], []
    for event, item in zip(events, items, strict=True):
        body = item["body"]
        part = parts.get(body["subject"])
        own = {part._meta.model_name: part} if part else {}
        row = Measurement(
            pk=body["id"], visit=visit, check_key=body["check"], subject=body["subject"], taken_at=body["taken_at"],
            taken_by=phone.user, event=event, **own,
        )  # fmt: skip
        rows.append(row)
        readings += [_reading(CHECKS[body["check"]], row, one, n) for n, one in enumerate(body["readings"])]
    with transaction.atomic():
        Event.objects.bulk_create(events)
        Measurement.objects.bulk_create(rows)
        type(readings[0]).objects.bulk_create(readings)
    judging.judge_together(list(Measurement.objects.filter(visit=visit)), actor=phone.user)
