"""Every form of every page, sent what thumbs, other keypads and programs send.

The pages come from the list of addresses, the forms from the pages, so that a new form is swept without being named
here. An answer may refuse or accept; it is never a server error, loses nothing that was typed, stores nothing when it
refuses, and prints nothing as markup.
"""

import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from PIL import Image

from commissioning import evidence, files
from commissioning.acceptance.services import ask_question
from commissioning.handover.services import draft_of, issue_sheet
from commissioning.items import digest_of_item
from commissioning.middleware import FOR_PROGRAMS
from commissioning.models import (
    Contact,
    Device,
    Event,
    LaboratoryReport,
    LaboratorySample,
    Quarantined,
    Question,
    User,
    Visit,
)
from commissioning.office.instrument_services import keep_instrument
from commissioning.office.laboratory_services import keep_report, send_sample
from commissioning.owner import load_out
from commissioning.owner.services import make_link
from commissioning.progress import progress_of
from sizing.parts import COMPONENT_KINDS, RUN_KINDS
from tests.commissioning.forms_on_page import Control, Form, forms_on
from tests.commissioning.handover.conftest import entry_for, raise_defect
from tests.commissioning.handover.started_up import begin_up
from tests.commissioning.sync.phones import Phone, states
from tests.commissioning.test_doors import patterns
from tests.commissioning.visits.conftest import make_safe
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db

SCRIPT = "<script>alert(1)</script>"
CORPUS = (
    "", " ", "1,5", "1.234,5", "1e309", "NaN", "inf", "-", "١٢", "१२", "１２", "12 psi", "> 12", "--12", "9" * 400,
    SCRIPT, "' OR 1=1", "\u202e12", "12\x00", "\ud800", "💧" * 40, "2027-02-31", "x" * 5000,
)  # fmt: skip
STEP = 4  # of the texts, from one filling of a form to the next
MOST_ALONE = 25  # fields of a form that are tried one by one
FEW = (SCRIPT, "1e309", "\u202e12")
WHOLE_SWEEP = {"submersible_pump", "storage_tank", "pipe", "cable"}  # every shape of field is among these kinds
CHECKS_SWEPT = (
    "static_level:W1", "irradiance:A1", "pumping_level:W1", "well_pump_flow:PU1", "tightness_whole:T1",
    "bond_resistance:EE1", "pump_cable_insulation:PU1", "open_circuit_voltage:A1", "walk_round_pipework:site",
    "coliform:O1",
)  # fmt: skip
CARD = {
    "tag": "DP9", "name": "dip meter, metres", "quantity": "depth", "unit": "m", "of_reading_percent": "0.05",
    "counts": "1", "resolution": "0.01", "of_full_scale_percent": "", "full_scale": "100", "serial": "D9",
}  # fmt: skip
RIVAL = ("turbidity", "0.9", "NTU")
INVISIBLE = ("\x00", "\ud800")  # not given back: no page can show them


@dataclass
class World:
    """A site with one of everything that has an address of its own."""

    visit: Visit
    ids: dict[str, Any]


@pytest.fixture
def world(technician: User, office: User, monkeypatch: pytest.MonkeyPatch) -> World:
    monkeypatch.setattr("commissioning.pdf.pdf_available", lambda: "no PDF in this test")
    monkeypatch.setattr("commissioning.handover.views.pdf_available", lambda: "no PDF in this test")
    site = site_with_record(technician)
    handed_over = begin_up(technician, site)
    sheet = issue_sheet(
        visit=handed_over, entry=entry_for(draft_of(handed_over)), actor=office, address="http://testserver/v/{}/"
    )
    visit = visit_on(site, technician)
    make_safe(visit, technician)
    measure(visit, "turbidity", "W1", ("turbidity", "7.1", "NTU"), actor=technician)
    limit = {
        "id": str(uuid4()), "check": "fill_stop_level", "subject": "LS1", "judged": "level", "lower": "1.5",
        "upper": "1.9", "unit": "m", "reason": "The float hangs in a pipe.",
    }  # fmt: skip
    set_limit = evidence.append(site=site, kind="limit.set", body=limit, actor=office).projected
    picture = {
        "id": str(uuid4()), "visit": str(visit.pk), "measurement": None, "sha256": files.keep(photo((64, 48))),
        "media_type": "image/jpeg", "width": 4, "height": 3, "caption": "", "taken_at": visit.started_at.isoformat(),
    }  # fmt: skip
    added = evidence.append(site=site, kind="photo.added", body=picture, actor=technician).projected
    meter = keep_instrument(instrument=None, card=CARD, actor=office)
    report = laboratory_report(visit, office)
    ids = {
        "site_id": site.pk, "visit_id": visit.pk, "sheet_id": sheet.pk, "limit_id": set_limit.pk,
        "defect_id": raise_defect(visit, technician).pk, "photo_id": added.pk, "key": "start_well_pump",
        "check": "turbidity", "subject": "W1", "check_key": "fill_stop_level", "paper": "A4", "size": "large",
        "token": "seven", "uidb64": "x", "owed_id": "turbidity:W1", "sha256": picture["sha256"],
        "link_token": make_link(site=site, actor=office), "handle": technician.handle, "instrument_id": meter.pk,
        "sample_id": report.sample_id, "report_id": report.pk, "item_id": set_apart(visit, technician).pk,
        "question_id": asked_on(visit, office).pk, "device_id": Device.objects.get().pk,
    }  # fmt: skip
    return World(visit, ids)


def laboratory_report(visit: Visit, office: User) -> LaboratoryReport:
    day = visit.started_at.date()
    send_sample(visit=visit, laboratory="County bench", sent_on=day, words="coliform", actor=office)
    sample = LaboratorySample.objects.get()
    keep_report(sample=sample, number="R-118", method="filtration", received_on=day, data=b"%PDF-1.7", actor=office)
    return LaboratoryReport.objects.get()


def asked_on(visit: Visit, office: User) -> Question:
    line = progress_of(visit).line("turbidity:W1")
    assert line is not None
    return ask_question(visit=visit, line=line, words=SCRIPT, actor=office)


def set_apart(visit: Visit, technician: User) -> Quarantined:
    """Return an item of a phone that contradicts what stands, with markup in it; and a second value of a check."""
    phone = Phone(technician, visit)
    body = {"id": str(uuid4()), "visit": str(visit.pk), "words": "Lid is loose.", "is_unsafe": False}
    item = phone.keep("defect.raised", body)
    other = {**item, "body": {**body, "words": SCRIPT}}
    sent = [item, {**other, "digest": digest_of_item(other)}, phone.measured("turbidity", "W1", RIVAL)]
    assert states(phone.send(*sent)) == ["stored", "conflict", "stored"]
    return Quarantined.objects.get()


FILES_ONLY = {
    "phone-pack", "service-record", "visit-record", "sheet-file", "owner-pack-file", "site-export", "site-export-all",
}  # fmt: skip
"""What answers with a file that takes seconds to make, and takes no form."""


def addresses(world: World) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield every address of the logbook, with what is to be sent to its forms."""
    for pattern in (one for one in patterns() if one.name not in FILES_ONLY):
        names = set(pattern.pattern.converters)
        for given, corpus in samples(world, str(pattern.name)):
            missing = names - set(given)
            assert not missing, f"teach this sweep a sample of {missing} for {pattern.name}"
            yield reverse(str(pattern.name), kwargs={name: given[name] for name in names}), corpus


def samples(world: World, name: str) -> Iterator[tuple[dict[str, Any], tuple[str, ...]]]:
    """Yield what stands in the address of a page, once or more often where it takes many forms."""
    site = world.visit.site
    if name in {"component-new", "run-new"}:
        for kind in RUN_KINDS if name.startswith("run") else COMPONENT_KINDS:
            yield {**world.ids, "kind": kind}, CORPUS if kind in WHOLE_SWEEP else FEW
    elif name.startswith(("component-", "run-")):
        items = site.runs if name.startswith("run") else site.components
        for tag in ("K1", "P5") if name.startswith("run") else ("PU1", "A1"):
            yield {**world.ids, "item_id": items.get(tag=tag).pk}, CORPUS
    elif name == "site-load-out":
        for kind in load_out.KINDS:
            yield {**world.ids, "kind": kind}, CORPUS
    elif name.startswith("owner-link-"):
        yield {**world.ids, "token": world.ids["link_token"]}, CORPUS
    elif name == "measurement":
        for owed in CHECKS_SWEPT:
            yield {**world.ids, "owed_id": owed}, CORPUS
    elif name != "sign-out":
        yield world.ids, CORPUS


# what is sent


def sweeps(form: Form, corpus: tuple[str, ...]) -> Iterator[dict[str, Any]]:
    """Yield what is sent to a form: every field filled at once, turn by turn; then each field alone; then nothing."""
    fields = [one for one in form.controls if one.kind not in {"submit", "button", "file"}]
    for turn in range(0, len(corpus), STEP):
        filled = {one.name: corpus[(turn + i) % len(corpus)] for i, one in enumerate(fields) if is_filled_by_hand(one)}
        yield {**form.sent(), **filled}
    if corpus is FEW:
        return
    for place, one in enumerate(fields[:MOST_ALONE]):
        yield {**form.sent(), one.name: corpus[place % len(corpus)]}
    yield {}
    for button in (one for one in form.controls if one.kind == "submit"):
        yield {**form.sent(), button.name: SCRIPT}


def is_filled_by_hand(one: Control) -> bool:
    return one.is_typed or one.kind in {"select", "radio"}


def bytes_of(sent: dict[str, Any]) -> dict[str, Any]:
    """Return what is sent, a lone surrogate as the bytes that a program would send for it."""
    return {
        name: value.encode("utf-8", "surrogatepass") if "\ud800" in value else value for name, value in sent.items()
    }


def post(client: Client, url: str, form: Form, sent: dict[str, Any], **more: Any) -> HttpResponse:
    """Send a form, and put the database back as it was."""
    url = form.action or url
    point = transaction.savepoint()
    before = stored()
    try:
        answer = client.post(url, {**bytes_of(sent), **more})
        answer.stored = stored() != before
    finally:
        transaction.savepoint_rollback(point)
    return answer


def stored() -> tuple[int, list[tuple[str, str, str]]]:
    return Event.objects.count(), list(Contact.objects.values_list("owner", "telephone", "address"))


def faults(answer: Any, form: Form, sent: dict[str, Any]) -> Iterator[str]:
    """Yield what is wrong with an answer."""
    if answer.status_code >= 500:
        yield f"status {answer.status_code}"
        return
    if answer.status_code != 302 and answer.stored:
        yield f"status {answer.status_code}, and something was stored"
    page = answer.content.decode()
    if SCRIPT in page:
        yield "prints a script"
    if answer.status_code == 200:
        yield from lost(page, form, sent)


def lost(page: str, form: Form, sent: dict[str, Any]) -> Iterator[str]:
    """Yield each field that does not hold what was typed into it any more."""
    names = {one.name for one in form.controls}
    again = next((one for one in forms_on(page) if names & {c.name for c in one.controls if c.is_typed}), None)
    if again is None:
        return
    for one in form.controls:
        text = str(sent.get(one.name, ""))
        if not one.is_typed or one.kind == "password" or any(sign in text for sign in INVISIBLE) or not text.strip():
            continue
        now = again.named(one.name)
        if now is None or now.value.strip() != text.strip():
            yield f"{one.name} lost {text[:20]!r}, shows {now.value[:20] if now else None!r}"


SHOWN_ONCE = "/link/"  # answers a POST with the secret it has just made, and takes nothing typed


def swept(client: Client, every: Iterable[tuple[str, tuple[str, ...]]]) -> list[str]:
    """Return what is wrong with the forms of pages; a form with the same fields as one before is passed over."""
    found, seen = [], set()
    for url, corpus in every:
        answer = client.get(url)
        if answer.status_code >= 500:
            found.append(f"{url}: status {answer.status_code}")
        if not answer.headers.get("Content-Type", "").startswith("text/html"):
            continue
        for form in forms_on(answer.content.decode()):
            names = frozenset(one.name for one in form.controls)
            if names not in seen and not url.endswith(SHOWN_ONCE):
                found += faults_of_form(client, url, form, corpus)
            seen.add(names)
    return found


def faults_of_form(client: Client, url: str, form: Form, corpus: tuple[str, ...]) -> Iterator[str]:
    for sent in sweeps(form, corpus):
        if form.method == "get":
            reply = client.get(form.action or url, bytes_of(sent))
            reply.stored = False
        else:
            reply = post(client, url, form, sent)
        odd = {name: value for name, value in sent.items() if value != form.sent().get(name)}
        yield from (f"{url}: {fault}; sent {str(odd)[:160]}" for fault in faults(reply, form, sent))


@pytest.mark.long
def test_nothing_a_technician_sends_breaks_a_form(world: World, as_technician: Client) -> None:
    as_technician.raise_request_exception = False
    assert swept(as_technician, addresses(world)) == []


@pytest.mark.long
def test_nothing_the_office_sends_breaks_a_form_of_its_own(
    world: World, as_office: Client, as_technician: Client
) -> None:
    as_office.raise_request_exception = False
    own = [(url, c) for url, c in addresses(world) if is_for_the_office(url, as_technician)]
    assert len(own) >= 4
    assert swept(as_office, own) == []


def is_for_the_office(url: str, as_technician: Client) -> bool:
    return as_technician.get(url).status_code == 404 or url.startswith(("/sheets/draft/", "/acceptance/"))


def test_no_stranger_breaks_a_form_that_is_open_to_all(client: Client, world: World) -> None:
    client.raise_request_exception = False
    assert swept(client, [(url, c) for url, c in addresses(world) if client.get(url).status_code == 200]) == []


# files


def photo(side: tuple[int, int], kind: str = "JPEG") -> bytes:
    made = io.BytesIO()
    Image.new("RGB", side, "grey").save(made, kind)
    return made.getvalue()


FILES = {
    "text called .jpg": b"not a picture at all",
    "nothing": b"",
    "torn": photo((64, 48))[:200],
    "40 megapixels": photo((8000, 5000)),
    "markup": b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
}


@pytest.mark.long
@pytest.mark.parametrize("what", FILES)
def test_no_file_breaks_a_form_that_takes_one(world: World, as_office: Client, what: str) -> None:
    as_office.raise_request_exception = False
    many = 0
    for url, form in forms_with_files(as_office, world):
        typed = {one.name: "1,5" for one in form.controls if one.is_typed}
        taken = {one.name: file_called(what) for one in form.controls if one.kind == "file"}
        answer = post(as_office, url, form, {**form.sent(), **typed}, **taken)
        assert list(faults(answer, form, typed)) == [], url
        many += 1
    assert many >= 3


def file_called(what: str) -> SimpleUploadedFile:
    return SimpleUploadedFile("well.jpg", FILES[what], "image/jpeg")


def forms_with_files(client: Client, world: World) -> Iterator[tuple[str, Form]]:
    """Yield each form that takes a file, once for each set of fields."""
    seen = set()
    for url, _ in addresses(world):
        page = client.get(url)
        if not page.headers.get("Content-Type", "").startswith("text/html"):
            continue
        for form in forms_on(page.content.decode()):
            names = frozenset(one.name for one in form.controls)
            if names not in seen and any(one.kind == "file" for one in form.controls):
                yield url, form
            seen.add(names)


# doors


KNOWS_NOBODY = {"/v/"}  # examines a file for whoever sends it, and stores nothing


@pytest.mark.long
def test_form_without_its_token_is_refused_in_words_and_stores_nothing(world: World, technician: User) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(technician, backend="django.contrib.auth.backends.ModelBackend")
    many = 0
    for url, _ in addresses(world):
        page = client.get(url)
        if not page.headers.get("Content-Type", "").startswith("text/html"):
            continue
        for form in forms_on(page.content.decode()):
            if form.method != "post" or url in KNOWS_NOBODY:
                continue
            sent = {name: value for name, value in form.sent().items() if name != "csrfmiddlewaretoken"}
            answer = post(client, url, form, sent)
            assert (answer.status_code, answer.stored) == (403, False), url
            many += 1
    assert many > 30


def test_unknown_and_forbidden_look_alike(world: World, as_technician: Client) -> None:
    hidden = as_technician.get(reverse("sheet-withdraw", args=[world.ids["sheet_id"]]))
    assert hidden.status_code == 404
    for pattern in patterns():
        names = pattern.pattern.converters
        unknown = [name for name, one in names.items() if type(one).__name__ == "UUIDConverter"]
        given = {**world.ids, "kind": kind_in(str(pattern.name)), "item_id": uuid4()}
        for name in unknown:
            url = reverse(str(pattern.name), kwargs={**{n: given[n] for n in names}, name: uuid4()})
            for method in (as_technician.get, as_technician.post):
                answer = method(url)
                if answer.status_code == 405:
                    continue
                assert answer.status_code == 404, url
                if url.startswith(FOR_PROGRAMS):
                    assert answer.json() == as_technician.get("/phone/pack/").json(), url
                else:
                    assert heart(answer) == heart(hidden), url


def kind_in(name: str) -> str:
    return next(iter(load_out.KINDS)) if name == "site-load-out" else "well"


def heart(answer: Any) -> str:
    """Return what a page says."""
    return str(answer.content.decode().partition("<main")[2].partition("</main>")[0])
