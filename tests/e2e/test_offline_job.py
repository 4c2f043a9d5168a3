"""A visit with no signal from first page to signature, in a real browser; then sent, and compared field by field.

The readings are invented: those of the whole job (`job_readings`). What is asserted are the facts the work is for: that
what the phone kept is what the server has, value text by value text, and that holds and verdicts follow on the phone.
"""

import io
import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from django.urls import reverse
from django.utils.dateparse import parse_datetime
from PIL import Image

from commissioning.corrections import corrections_of
from commissioning.models import (
    Component,
    Defect,
    Event,
    HoldRelease,
    Measurement,
    OwnerSaid,
    Photo,
    Reading,
    SettingAside,
    Signature,
    Site,
    Visit,
)
from commissioning.progress import Progress
from commissioning.sync import tables
from tests.commissioning.worlds import measure, site_with_record, visit_on
from tests.e2e import job_hands as hands
from tests.e2e.conftest import PHONE, until
from tests.e2e.job_readings import GOOD, READINGS, ROWS

pytestmark = pytest.mark.django_db(transaction=True)
JUDGED = {
    "static_level:W1", "electrode_resistance:EE1", "pump_cable_insulation:PU1", "irradiance:A1", "delivery_flow:O2",
}  # fmt: skip
"""Checks whose tables the fast lane takes along: those of a whole site take half a minute."""
MOST_STEPS = 150
ITEMS = "async () => (await (await import('/static/phone/store.js')).allItems())"


class OnSite:
    """The phone of a visit that was taken along, without signal."""

    def __init__(self, page: Any, visit: Visit) -> None:
        self.page, self.visit, self.url = page, visit, visit.get_absolute_url()

    def open(self, path: str = "") -> None:
        """Open a page of the visit, drawn with what is kept."""
        self.page.goto(f"{self.url}{path}")
        self.drawn()

    def drawn(self) -> None:
        until(self.page, "document.body.dataset.takenAlong === 'drawn'")

    def items(self) -> list[dict[str, Any]]:
        return self.page.evaluate(ITEMS)

    def words(self) -> str:
        return str(self.page.inner_text("main"))

    def keep(self, readings: dict[str, str]) -> None:
        hands.type_readings(self.page, readings)
        hands.keep(self.page)


@pytest.fixture
def few_tables(monkeypatch: pytest.MonkeyPatch) -> None:
    def tables_of(progress: Progress) -> dict[str, Any]:
        mine = [line for line in progress.lines if line.owed.id in JUDGED]
        return tables.tables_of(replace(progress, lines=mine, offered=[]))

    monkeypatch.setattr("commissioning.sync.pack.tables_of", tables_of)


@pytest.fixture
def on_site(open_page: Callable[..., Any], technician: Any) -> OnSite:
    """Take a start-up visit along with signal, then lose it."""
    visit = visit_on(site_with_record(technician), technician)
    return take_along(open_page, technician, visit)


def take_along(open_page: Callable[..., Any], technician: Any, visit: Visit) -> OnSite:
    page = open_page(f"/phone/take/{visit.pk}/", user=technician, **PHONE)
    page.set_default_timeout(hands.PATIENCE)
    page.locator("[data-take]").click()
    page.locator("#take-said", has_text="works without signal").wait_for(timeout=120_000)
    until(page, "navigator.serviceWorker.controller !== null", 30)
    page.context.set_offline(True)
    return OnSite(page, visit)


# the fast lane: every shape once


@pytest.mark.usefixtures("few_tables")
def test_visit_goes_on_without_signal_and_arrives_whole(on_site: OnSite) -> None:
    phone, page = on_site, on_site.page
    for owed in ("walk_round_well:W1", "walk_round_array:A1", "walk_round_tank:T1", "proved_dead:C1"):
        phone.open(f"{owed}/")
        hands.answer(page, GOOD)  # the hold that they settle follows on the phone
    phone.open("hold/safe_to_work/")
    assert "Settled" in page.locator(".hold").first.inner_text()

    phone.open("static_level:W1/")
    slip_and_cure(phone)
    phone.open("electrode_resistance:EE1/")
    stand_by_it(phone)
    phone.open("pump_cable_insulation:PU1/")
    phone.keep(READINGS["pump_cable_insulation:PU1"])
    phone.open("irradiance:A1/")
    phone.keep(READINGS["irradiance:A1"])
    phone.open("walk_round_labels:site/")
    hands.set_aside(page, "Cannot be taken", "labels come with the next lorry")
    page.wait_for_url("**/visit/*/")
    release(phone)
    phone.open("module_temperature:A1/")
    phone.keep(READINGS["module_temperature:A1"])
    rows(phone)
    replaced(phone)
    timed(phone)
    with_defect_and_photo(phone)
    corrected(phone)
    signed_and_ended(phone)
    send(phone)
    assert_server_has_what_the_phone_kept(phone)


def slip_and_cure(phone: OnSite) -> None:
    """A comma is refused at its field, and what was typed stays; a text in centimetres is asked back."""
    page = phone.page
    hands.type_readings(page, {"r-level-0": "24,10", "r-level-1": "2411"})
    hands.submit(page)
    page.locator("#error-r-level-0").wait_for()
    assert "Did you mean 24.10?" in page.inner_text("#error-r-level-0")
    assert page.input_value("[name=r-level-0]") == "24,10"
    page.reload()  # a flat battery: what was typed is still there
    phone.drawn()
    assert page.input_value("[name=r-level-0]") == "24,10"
    page.fill("[name=r-level-0]", "24.10")
    page.fill("[name=r-level-1]", "24.11")
    hands.keep(page)
    assert "24.1" in page.inner_text("#answer")
    assert hands.verdict(page) == "within"
    assert "the server judges again" in phone.words()


def stand_by_it(phone: OnSite) -> None:
    page = phone.page
    hands.type_readings(page, READINGS["electrode_resistance:EE1"])
    hands.submit(page)
    page.locator(".askback").wait_for()
    hands.press(page, "They are right, keep them")
    page.wait_for_selector("#result", state="attached")
    assert hands.verdict(page) == "outside"


def release(phone: OnSite) -> None:
    """A hold that may be released is, with a reason; one that can only be settled offers no way."""
    page = phone.page
    phone.open("hold/close_strings/")
    assert page.get_by_text("Release it instead").count() == 0
    for hold in ("start_well_pump", "fill_tank", "leave_unattended"):
        phone.open(f"hold/{hold}/")
        if "Settled" in page.locator(".hold").first.inner_text():
            continue
        hands.open_fold(page, "Release it instead")
        page.get_by_label("Reason").fill(" ")
        hands.press(page, "Release: " + page.inner_text("h1").removeprefix("Hold: "))
        page.get_by_text("Say why work may go on.").wait_for()
        page.get_by_label("Reason").fill("somebody stays beside it")
        hands.press(page, "Release: " + page.inner_text("h1").removeprefix("Hold: "))
        page.get_by_text("is released").first.wait_for()
        assert "Released by T. Marsh" in page.locator(".hold").first.inner_text()


def rows(phone: OnSite) -> None:
    page = phone.page
    phone.open("well_pump_flow:PU1/")
    for number, row in enumerate(ROWS, 1):
        for name, text in row.items():
            page.locator(f"input[name^='r-{name}-']").first.fill(text)
        hands.submit(page)
        page.get_by_text(f"Rows kept: {number}").wait_for()
    assert page.locator("table.rows tbody tr").count() == len(ROWS)


def replaced(phone: OnSite) -> None:
    """A reading is taken once more in the place of the first, with a reason; both stay."""
    page = phone.page
    phone.open("static_level:W1/")
    hands.open_fold(page, "Replace this reading")
    page.locator("details[open]").get_by_label("Reason").fill("read at the wrong mark")
    hands.press(page, "Take it again")
    phone.drawn()
    phone.keep({"r-level-0": "24.30", "r-level-1": "24.31"})
    assert "24.10" in page.locator(".struck").inner_text()
    assert "read at the wrong mark" in phone.words()


def timed(phone: OnSite) -> None:
    page = phone.page
    phone.open("tightness_whole:T1/")
    hands.let_minutes_pass(page, 46)
    phone.drawn()
    phone.keep(READINGS["tightness_whole:T1"])


def picture() -> dict[str, Any]:
    made = io.BytesIO()
    Image.effect_noise((2400, 1800), 40).convert("RGB").save(made, "JPEG", quality=90)
    return {"name": "valve.jpg", "mimeType": "image/jpeg", "buffer": made.getvalue()}


def with_defect_and_photo(phone: OnSite) -> None:
    page = phone.page
    phone.open("delivery_flow:O2/")
    page.locator("input[name=photos]").set_input_files(picture())
    phone.keep(READINGS["delivery_flow:O2"])
    assert "Photos: 1" in phone.words()
    phone.open("defect/?check=delivery_flow%3AO2")
    page.get_by_label("What is to be put right").fill("Valve V2 is half shut")
    hands.press(page, "Raise the defect")
    page.get_by_text("The defect is raised.").wait_for()
    phone.open()
    hands.open_fold(page, "Put it right")
    page.get_by_label("How it was put right").fill("opened and tagged")
    hands.press(page, "It is put right")
    page.get_by_text("The defect is put right.").wait_for()


def corrected(phone: OnSite) -> None:
    """A figure of the record is put right on site; impossible ones are refused at the field."""
    page = phone.page
    well = Component.objects.get(site=phone.visit.site, tag="W1")
    page.goto(reverse("component-edit", args=[phone.visit.site_id, well.pk]))
    phone.drawn()
    depth = page.locator("#plate-depth")
    depth.fill("-4")
    hands.press(page, "Keep the change")
    page.locator("[data-phone-error]").first.wait_for()
    depth.fill("61.2")
    page.get_by_label("It was only typed wrongly before").check()
    page.get_by_label("Why it is changed").fill("measured with the tape")
    hands.press(page, "Keep the change")
    page.get_by_text("W1 is put right on this phone").wait_for()


def signed_and_ended(phone: OnSite) -> None:
    page = phone.page
    phone.open("end/")
    hands.press(page, "End the visit")
    page.get_by_text("Nobody has signed this visit yet.").wait_for()
    phone.open("sign/")
    mark = page.input_value("input[name=shown_hash]")
    assert f"Mark of this content (SHA-256): {mark}" in phone.words()
    assert "24.3" in phone.words()  # what is signed is what was measured here
    page.get_by_label("I took these measurements").check()
    page.get_by_label("Role").fill("technician")
    hands.draw_signature(page)
    hands.press(page, "Sign")
    page.get_by_text("Signed by T. Marsh.").wait_for()
    phone.open("end/")
    hands.press(page, "End the visit")
    page.get_by_text("Ended").first.wait_for()
    assert Event.objects.exclude(device="").count() == 0  # nothing has left the phone so far


# the long lane: the whole of it


@pytest.mark.long
def test_whole_start_up_goes_on_without_signal_and_arrives_whole(on_site: OnSite) -> None:
    phone, page = on_site, on_site.page
    for _ in range(MOST_STEPS):
        phone.open()
        main = page.locator("nav[aria-label='Next step'] .main")
        if main.get_attribute("href") == f"{phone.url}sign/":
            break
        phone.open(main.get_attribute("href").removeprefix(phone.url))
        take(phone, hands.owed_id(page))
    else:
        raise AssertionError("the main button leads in circles")
    replaced(phone)
    with_defect_and_photo(phone)
    signed_and_ended(phone)
    send(phone)
    assert_server_has_what_the_phone_kept(phone)
    assert Measurement.objects.filter(visit=phone.visit, event__device__gt="").count() > 40


def take(phone: OnSite, owed: str) -> None:
    page = phone.page
    if page.locator("form[data-measure] input[name=answer]").count():
        hands.answer(page, GOOD)
    elif owed == "well_pump_flow:PU1":
        rows(phone)
    elif owed == "tightness_whole:T1":
        timed(phone)
    elif owed in READINGS and owed != "delivery_flow:O2":
        hands.type_readings(page, READINGS[owed])
        hands.submit(page)
        page.wait_for_selector("#result, .askback", state="attached")
        if page.locator(".askback").count():
            page.locator("[data-right]").click()
            page.wait_for_selector("#result", state="attached")
    else:
        hands.set_aside(page, "Cannot be taken", "not on this day")
        page.wait_for_url("**/visit/*/")


@pytest.mark.usefixtures("few_tables")
def test_service_visit_shows_its_baseline_without_signal(open_page: Callable[..., Any], technician: Any) -> None:
    site = site_with_record(technician)
    first = visit_on(site, technician)
    measure(first, "static_level", "W1", ("level", "24.10", "m", "1"), ("level", "24.11", "m", "2"), actor=technician)
    measure(first, "fill_stop_level", "LS1", ("depth", "2.05", "m"), way="dip", actor=technician)
    measure(first, "handle_play", "HP1", answer=GOOD, actor=technician)
    phone = take_along(open_page, technician, visit_on(site, technician, "service"))
    says_what_the_owner_says(phone)
    phone.open("handle_play:HP1/")
    phone.page.locator("form[data-as-before] button").click()
    phone.page.locator("#result").wait_for(state="attached")
    phone.open("fill_stop_level:LS1/")
    phone.page.locator("form[data-set-point] button").click()
    phone.page.wait_for_url("**/visit/*/")
    phone.drawn()
    assert "read, as before" in phone.words()
    phone.open("static_level:W1/")
    phone.keep({"r-level-0": "24.62", "r-level-1": "24.63"})
    assert "At the baseline" in phone.words()
    assert "24.1" in phone.page.locator("dl.pairs").first.inner_text()
    send(phone)
    assert_server_has_what_the_phone_kept(phone)


def says_what_the_owner_says(phone: OnSite) -> None:
    phone.open("arrival/")
    phone.page.get_by_text("The hand pump gives little").click()
    phone.page.get_by_text("Keep what the owner says").click()
    phone.page.locator("[data-said-words]", has_text="The hand pump gives little").wait_for()
    phone.open()
    assert "parts foot valve leaking from" in phone.words()


# with signal again


def send(phone: OnSite) -> None:
    page = phone.page
    page.context.set_offline(False)
    page.reload()
    page.evaluate("async () => (await import('/static/phone/send.js')).flush('test')")
    page.locator("#phone-state", has_text="Everything sent").wait_for(timeout=60_000)


def assert_server_has_what_the_phone_kept(phone: OnSite) -> None:
    kept = [one["item"] for one in phone.items()]
    assert [one["state"] for one in phone.items()] == ["sent"] * len(kept)
    events = {str(one.pk): one for one in Event.objects.exclude(device="")}
    assert set(events) == {one["id"] for one in kept}
    for item in kept:
        event = events[item["id"]]
        assert json.loads(event.body) == item["body"]
        assert (event.device, event.device_sequence, event.kind) == (item["device"], item["n"], item["kind"])
        COMPARED[item["kind"]](item["body"])
        if item["kind"] == "measurement.taken" and item["shown"]["verdict"] not in ("", "unjudged"):
            same_verdict(item)


def same_verdict(item: dict[str, Any]) -> None:
    """What the phone said is what the server says, where it could say it and the record was the same."""
    judged = Measurement.objects.get(pk=item["body"]["id"]).judgements.order_by("made_at").first()
    assert judged is not None
    assert judged.verdict == item["shown"]["verdict"], item["body"]["check"]


def same_measurement(body: dict[str, Any]) -> None:
    one = Measurement.objects.get(pk=body["id"])
    assert (one.check_key, one.subject, one.way, one.note) == (
        body["check"], body["subject"], body["way"], body["note"],
    )  # fmt: skip
    assert (one.answer, one.taken_by.username) == (body["answer"], "marsh")
    assert one.taken_at.timestamp() == pytest.approx(moment(body["taken_at"]), abs=0.001)
    rows = {(r.input, r.label): r for r in one.readings.all()}
    assert len(rows) == len(body["readings"])
    for sent in body["readings"]:
        same_reading(rows[sent["input"], sent["label"]], sent, body)
    assert {p.sha256 for p in one.photos.all()} == {p["sha256"] for p in body.get("photos", [])}


def same_reading(row: Reading, sent: dict[str, Any], body: dict[str, Any]) -> None:
    assert (row.typed, row.unit) == (sent["typed"], sent["unit"])
    assert (str(row.instrument_id) if row.instrument_id else None) == sent["instrument"]
    assert row.at.timestamp() == pytest.approx(moment(sent.get("at", body["taken_at"])), abs=0.001)


def moment(text: str) -> float:
    found = parse_datetime(text)
    assert found is not None
    return found.timestamp()


def same_signature(body: dict[str, Any]) -> None:
    one = Signature.objects.get(pk=body["id"])
    assert (one.printed_name, one.role, one.strokes, one.shown_hash) == (
        body["printed_name"], body["role"], body["strokes"], body["shown_hash"],
    )  # fmt: skip
    assert len(one.strokes) > 100


def same_correction(body: dict[str, Any]) -> None:
    change = body["changes"][0]
    plate = Component.objects.get(pk=change["id"]).nameplate
    assert all(plate[name] == value for name, value in change["fields"].items())
    assert len(plate) > len(change["fields"])  # the rest stays as it stood
    assert {one.field for one in corrections_of(Site.objects.get())} == set(change["was"])


def same_photo(body: dict[str, Any]) -> None:
    assert Photo.objects.get(pk=body["id"]).sha256 == body["sha256"]


COMPARED: dict[str, Callable[[dict[str, Any]], None]] = {
    "measurement.taken": same_measurement,
    "check.set_aside": lambda body: same_words(SettingAside.objects.get(pk=body["id"]).reason, body["reason"]),
    "hold.released": lambda body: same_words(HoldRelease.objects.get(pk=body["id"]).reason, body["reason"]),
    "defect.raised": lambda body: same_words(Defect.objects.get(pk=body["id"]).words, body["words"]),
    "defect.put_right": lambda body: same_words(Defect.objects.get(pk=body["defect"]).put_right_words, body["words"]),
    "record.changed": same_correction,
    "photo.added": same_photo,
    "owner.said": lambda body: same_words(str(OwnerSaid.objects.get(pk=body["id"]).symptoms), str(body["symptoms"])),
    "visit.signed": same_signature,
    "visit.ended": lambda body: same_words(str(Visit.objects.get(pk=body["visit"]).ended_at is not None), "True"),
}


def same_words(there: str, here: str) -> None:
    assert there == here
