"""Every address, every method, everybody: who gets what, declared; and what each deed leaves in the evidence.

The tables below are decisions. An address that stands in none of them fails here, and so does an answer that differs.
"""

import io
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from commissioning.demo.drawings import gauge
from commissioning.models import Event, User, Visit
from commissioning.models.event import Origin
from commissioning.service.comparison import comparisons
from tests.commissioning.forms_on_page import Form, forms_on
from tests.commissioning.matrix_world import World, world_of
from tests.commissioning.test_doors import patterns

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("in_demo")]

METHODS = ("get", "post", "put", "patch", "delete", "options")
BACKEND = "django.contrib.auth.backends.ModelBackend"

# What GET, an empty POST and PUT answer, to a technician and to the office. An empty POST of a form shows it again.
PAGE = ("200 405 405", "200 405 405")
FORM = ("200 200 405", "200 200 405")
DEED = ("405 200 405", "405 200 405")
OFFICE_PAGE = ("404 405 405", "200 405 405")
OFFICE_FORM = ("404 404 404", "200 200 405")
OFFICE_DEED = ("404 404 404", "405 200 405")

ANSWERS: dict[str, tuple[str, str]] = {
    **dict.fromkeys(
        (
            "healthz", "readyz", "password-reset-sent", "worker", "manifest", "phone-here", "phone-elsewhere",
            "phone-take", "phone-hello", "phone-pack", "service-record", "comparison-list", "comparison", "visit-list",
            "photo-file", "visit-detail", "visit-field-sheet", "site-list", "site-detail", "record-detail",
            "record-print", "record-design", "record-year", "acceptance-detail", "sheet-list", "sheet-detail",
            "visit-record", "sheet-verify", "owner-pack", "owner-pack-file", "site-load-out", "visit-load-out",
            "owner-link-pack", "owner-link-page",
        ),
        PAGE,
    ),
    **dict.fromkeys(
        (
            "measurement-choose", "photos-awaited", "visit-begin", "visit-photos", "visit-instruments", "visit-sign",
            "hold-detail", "defect-raise", "defect-detail", "question-detail", "measurement", "site-new", "site-edit",
            "component-new", "component-edit", "component-replace", "component-retire", "run-new", "run-edit",
            "run-retire", "file-verify", "arrival",
        ),
        FORM,
    ),
    **dict.fromkeys(("measurement-set-aside",), DEED),
    **dict.fromkeys(
        (
            "waiting", "person-list", "site-readings", "water-notice", "laboratory-file", "instrument-list",
            "instrument-detail", "site-export",
        ),
        OFFICE_PAGE,
    ),
    **dict.fromkeys(
        (
            "phones", "phone-shut", "item-drop", "concession-grant", "question-ask", "sheet-withdraw", "owner-link",
            "person-new", "person-edit", "laboratory", "laboratory-report", "instrument-new", "instrument-edit",
            "limit-lift", "limit-set",
        ),
        OFFICE_FORM,
    ),
    **dict.fromkeys(
        ("person-link", "instrument-calibrate", "instrument-found-bad", "instrument-retire"), OFFICE_DEED
    ),
    # the door itself: who is in is led on; Django's own views take a PUT for a POST
    "home": ("302 302 302", "302 302 302"),
    "sign-in": ("302 302 302", "302 302 302"),
    "sign-out": ("405 302 405", "405 302 405"),
    "password-change": ("200 200 200", "200 200 200"),
    "password-reset": ("200 200 200", "200 200 200"),
    "password-reset-confirm": ("200 200 200", "200 200 200"),
    # programs: no JSON, no piece of a file
    "phone-items": ("405 415 405", "405 415 405"),
    "phone-photo": ("200 405 422", "200 405 422"),
    # an empty form is whole where every field may be empty
    "contact-edit": ("200 302 405", "200 302 405"),
    "visit-end": ("200 302 405", "200 302 405"),
    # read by all, acted upon by the office
    "sheet-draft": ("200 404 405", "200 200 405"),
    "sheet-file": ("200 404 405", "200 302 405"),
    # its method is looked at before the person
    "site-import": ("404 404 405", "200 200 405"),
    # a photo of this world has not arrived, so that not all can be sent: led back, and told so
    "site-export-all": ("404 405 405", "302 405 405"),
}  # fmt: skip

# What a stranger gets who asks for a page; all else leads to the sign-in, or tells a program 401.
TO_STRANGERS = {
    **dict.fromkeys(
        (
            "healthz", "readyz", "password-reset-sent", "worker", "manifest", "phone-here", "phone-elsewhere",
            "phone-hello", "sheet-verify", "owner-link-pack", "owner-link-page",
        ),
        "200 405 405",
    ),
    **dict.fromkeys(("sign-in", "password-reset", "password-reset-confirm"), "200 200 200"),
    "file-verify": "200 200 405",
    **dict.fromkeys(("phone-items", "phone-photo", "phone-pack"), "401 401 401"),
}  # fmt: skip


@pytest.fixture(scope="module")
def world(in_demo: Path, django_db_blocker: Any) -> World:
    """The demo with what it lacks, written once for this file: the copy is ours."""
    with django_db_blocker.unblock():
        return world_of(in_demo)


@cache
def compared(visit: Visit) -> Any:
    """Return what a visit found beside its baseline: reckoned once, asked for often."""
    return comparisons(visit)


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave out what takes long and says nothing of who may ask: templates, tables, comparisons."""
    monkeypatch.setattr("django.template.backends.django.Template.render", lambda *a, **k: "")
    monkeypatch.setattr("commissioning.sync.pack_views.pack_of", lambda *a: {})
    monkeypatch.setattr("commissioning.service.views.service_record", lambda visit: b"")
    monkeypatch.setattr("commissioning.service.views.comparisons", compared)


def signed_in(user: User | None) -> Client:
    client = Client(raise_request_exception=False)
    if user is not None:
        client.force_login(user, backend=BACKEND)
    return client


def answers(
    user: User | None, world: World, methods: tuple[str, ...], but: frozenset[str] = frozenset()
) -> Iterator[tuple[str, str]]:
    """Yield each name but some with what its address answers; who signed out is signed in again."""
    client = signed_in(user)
    for pattern in patterns():
        if pattern.name in but:
            continue
        said = []
        for method in methods:
            answer = getattr(client, method)(world.address(str(pattern.name)))
            leads = answer.headers.get("Location", "").startswith("/account/sign-in?")
            said.append("in" if leads else str(answer.status_code))
            client = signed_in(user) if pattern.name == "sign-out" else client
        yield str(pattern.name), " ".join(said)


def test_every_address_is_declared() -> None:
    assert {pattern.name for pattern in patterns()} == set(ANSWERS)


def test_stranger_gets_the_open_pages_and_is_else_sent_to_sign_in(world: World, quick: None) -> None:
    found = dict(answers(None, world, ("get", "post", "put")))
    assert found == {name: TO_STRANGERS.get(name, "in in in") for name in ANSWERS}
    others = dict(answers(None, world, ("patch", "delete", "options")))
    assert {name for name, said in others.items() if "in" not in said} <= set(TO_STRANGERS)


def test_technician_gets_what_is_declared(world: World, quick: None) -> None:
    found = dict(answers(world.technician, world, ("get", "post", "put")))
    assert found == {name: technician for name, (technician, _) in ANSWERS.items()}


def test_office_gets_what_is_declared(world: World, quick: None, is_long: bool) -> None:
    """What a technician is answered alike is asked again in the long lane only."""
    alike = frozenset() if is_long else frozenset(name for name, (one, other) in ANSWERS.items() if one == other)
    found = dict(answers(world.office, world, ("get", "post", "put"), but=alike))
    assert found == {name: office for name, (_, office) in ANSWERS.items() if name not in alike}


def test_no_other_method_is_served(world: World, quick: None) -> None:
    by_django = {"home", "sign-in", "sign-out", "password-change", "password-reset", "password-reset-confirm"}
    for name, said in answers(world.office, world, ("patch", "delete")):
        assert said == "405 405" or name in by_django, name


def test_who_is_shut_out_is_a_stranger_from_then_on(world: World, quick: None) -> None:
    gone = world.technician
    client = signed_in(gone)
    User.objects.filter(pk=gone.pk).update(is_active=False)
    assert client.get(world.address("visit-detail")).headers["Location"].startswith("/account/sign-in?")
    found = dict(answers(gone, world, ("get",)))
    assert found == {name: TO_STRANGERS.get(name, "in").split()[0] for name in ANSWERS}


def test_owners_link_opens_its_page_and_nothing_else(world: World, client: Client) -> None:
    token = world.rows["owner_token"]
    assert client.get(f"/o/{token}/").status_code == 200
    for wrong in (f"/o/{token[:-1]}/", f"/o/{token}/{token}/", f"/v/{token}/", f"/o/{world.rows['sheet_token']}/"):
        answer = client.get(wrong)
        assert answer.status_code == 404 or "not one of ours" in answer.text or "no such" in answer.text.lower(), wrong


# deeds


@dataclass(frozen=True)
class Deed:
    """What a person does on a page, and the one kind of evidence that it leaves."""

    kind: str
    fields: dict[str, Any] = field(default_factory=dict)
    who: str = "technician"
    page: str = ""
    """The name of the page that holds the form, where that is another."""
    files: Callable[[], dict[str, Any]] = dict


def _paper() -> io.BytesIO:
    file = io.BytesIO(b"%PDF-1.4 a report")
    file.name = "report.pdf"
    return file


def _picture() -> io.BytesIO:
    from commissioning import files

    file = io.BytesIO(files.read(gauge(3.0, 10, "bar")["sha256"]))
    file.name = "gauge.png"
    return file


OFFICE = "office"
FIRST, LAST = "the first on offer", "the last on offer"
DEEDS: dict[str, Deed] = {
    "visit-begin": Deed("visit.begun", {"kind": "service"}),
    "measurement": Deed("measurement.taken", {"r-turbidity": "1.1"}),
    "measurement-set-aside": Deed("check.set_aside", {"how": "parked", "reason": "rain"}, page="measurement"),
    "measurement-choose": Deed("measurement.chosen", {"chosen": LAST, "reason": "the tester was set wrong"}),
    "photos-awaited": Deed("photo.lost", {"reason": "the phone fell into the well"}),
    "visit-photos": Deed("photo.added", files=lambda: {"photos": _picture()}),
    "hold-detail": Deed("hold.released", {"reason": "water goes to waste, the tank is shut off"}),
    "defect-raise": Deed("defect.raised", {"words": "The lid does not close."}),
    "defect-detail": Deed("defect.put_right", {"words": "The mast stands elsewhere now."}),
    "question-detail": Deed("question.answered", {"words": "The one of the well."}),
    "visit-sign": Deed("visit.signed", {"printed_name": "T. Marsh", "meaning": "I took these measurements"}),
    "arrival": Deed("owner.said", {"symptoms": "nothing"}),
    "site-new": Deed("site.described", {"name": "A new place", "unit_system": "metric", "layout": "empty"}),
    "site-edit": Deed("site.described", {"place": "under the bench"}),
    "component-new": Deed("record.changed", {"tag": "V8"}),
    "component-edit": Deed("record.changed", {"name": "by the wellhead"}),
    "component-replace": Deed("record.changed", {"reason": "the ball sticks"}),
    "component-retire": Deed("record.changed", {"reason": "never built in"}),
    "run-new": Deed("record.changed", {"tag": "P9", "start": FIRST, "end": LAST}),
    "run-edit": Deed("record.changed", {"name": "to the wash house"}),
    "run-retire": Deed("record.changed", {"reason": "dug out"}),
    "concession-grant": Deed("concession.granted", {"reason": "until the mast is moved"}, OFFICE),
    "question-ask": Deed("question.asked", {"words": "Was the sun steady?"}, OFFICE),
    "sheet-withdraw": Deed("sheet.withdrawn", {"reason": "wrong owner"}, OFFICE),
    "owner-link": Deed("owner_link.made", {}, OFFICE),
    "laboratory": Deed("laboratory.sent", {"laboratory": "district laboratory", "sent_on": "2026-01-05"}, OFFICE),
    "laboratory-report": Deed(
        "laboratory.reported", {"number": "7", "received_on": "2026-01-09"}, OFFICE, files=lambda: {"file": _paper()}
    ),
    "person-new": Deed("person.kept", {"username": "sable", "display_name": "E. Sable"}, OFFICE),
    "person-edit": Deed("person.kept", {"display_name": "T. C. Marsh"}, OFFICE),
    "instrument-new": Deed("instrument.kept", {"tag": "TH9", "name": "thermometer"}, OFFICE),
    "instrument-edit": Deed("instrument.kept", {"name": "dip meter, feet and inches"}, OFFICE),
    "instrument-calibrate": Deed("instrument.calibrated", {"on": "2026-02-01"}, OFFICE, "instrument-detail"),
    "instrument-found-bad": Deed(
        "instrument.found_bad", {"since": "2026-02-01", "words": "tape stretched"}, OFFICE, "instrument-detail"
    ),
    "instrument-retire": Deed("instrument.retired", {"words": "worn out"}, OFFICE, "instrument-detail"),
    "limit-set": Deed("limit.set", {"upper": "3", "reason": "promised"}, OFFICE),
    "limit-lift": Deed("limit.lifted", {"reason": "promised to nobody"}, OFFICE),
    "phone-shut": Deed("phone.shut_out", {"reason": "left on a bus"}, OFFICE),
    "item-drop": Deed("item.dropped", {"reason": "typed anew"}, OFFICE),
}

# Taken by POST or PUT, and no single event of their own; each with the reason, and where it is tested.
NOT_ONE_EVENT = {
    "sign-in": "a session", "sign-out": "a session", "home": "leads on",
    "password-change": "a password is no evidence", "password-reset": "a password",
    "password-reset-confirm": "a password",
    "person-link": "a link to a new password, shown once: nothing is kept",
    "contact-edit": "contact data lies beside the evidence, so that a person can be erased (asbuilt/test_sites.py)",
    "visit-instruments": "what a person has at hand: theirs, and no fact about a site (visits/test_kit.py)",
    "file-verify": "says of a file what it is, and keeps nothing of it",
    "phone-items": "an event an item, however many come (sync/test_items.py)",
    "phone-photo": "pieces of a file whose hash stands in the evidence already (sync/test_photo_files.py)",
    "phones": "a phone's file: its items, and the event of who brought it (sync/test_items.py)",
    "visit-end": "this world's is ended: the first ending stands; one event is seen below",
    "sheet-draft": "one event when it issues: rendered and sealed, so seen in handover/test_issue.py",
    "sheet-file": "one event when another paper is printed, seen in handover/test_views.py",
    "site-import": "a whole chain, event by event as it was (open_record/test_exact.py)",
}  # fmt: skip


def test_every_address_that_takes_something_has_its_deed() -> None:
    takes = {name for name, (_, office) in ANSWERS.items() if office.split()[1] != "405" or office.split()[2] != "405"}
    assert takes == set(DEEDS) | set(NOT_ONE_EVENT)
    assert not set(DEEDS) & set(NOT_ONE_EVENT)


def form_for(page: str, deed: Deed, address: str) -> dict[str, Any]:
    """Return what a browser sends of the page's form that leads to an address and has the deed's fields."""
    wanted = {*deed.fields, *deed.files()}
    for form in forms_on(page):
        leads_there = form.action.partition("?")[0] in ("", address) or not deed.page
        if form.method == "post" and leads_there and all(form.named(name) for name in wanted):
            return {**form.sent(), **{k: meant(form, k, v) for k, v in deed.fields.items()}, **deed.files()}
    raise AssertionError(f"no form with {sorted(wanted)} leads to {address}")


def meant(form: Form, name: str, value: str) -> str:
    """Return what a field is given, where it is the first or the last that it offers."""
    offers = [one for control in form.controls if control.name == name for one in control.values or [control.value]]
    return {FIRST: next(filter(None, offers), ""), LAST: offers[-1]}.get(value, value) if offers else value


def left_by(act: Callable[[], Any]) -> tuple[Any, list[Event]]:
    """Return an answer and the events that came of it but for what the machine itself concludes from them."""
    known = set(Event.objects.values_list("pk", flat=True))
    answer = act()
    return answer, list(Event.objects.exclude(pk__in=known).exclude(origin=Origin.SYSTEM))


def faults_of(answer: Any) -> str:
    """Return what a page says is wrong, for whoever reads the failure."""
    return "" if answer.status_code != 200 else " / ".join(re.findall(r'class="error[^>]*>(.*?)</', answer.text, re.S))


@pytest.mark.parametrize("name", DEEDS)
def test_deed_leaves_one_event_by_whom_it_was_done(world: World, name: str) -> None:
    deed, address = DEEDS[name], world.address(name)
    actor = getattr(world, deed.who)
    client = signed_in(actor)
    page = client.get(world.address(deed.page) if deed.page else address)
    sent = form_for(page.text, deed, address)
    answer, events = left_by(lambda: client.post(address, sent))
    assert [one.kind for one in events] == [deed.kind], faults_of(answer)
    assert events[0].actor == actor


def test_ending_a_signed_visit_leaves_one_event(world: World) -> None:
    client, path = signed_in(world.technician), f"/visit/{world.again.pk}/"
    sent = form_for(client.get(f"{path}sign/").text, DEEDS["visit-sign"], f"{path}sign/")
    client.post(f"{path}sign/", sent)
    _, events = left_by(lambda: client.post(f"{path}end/", {}))
    assert [one.kind for one in events] == ["visit.ended"]
