"""The whole job in a real browser: a site from its layout to a signed sheet, and the return for service.

The technician works on a phone, the office at a desk. Everything goes through pages as a person would do it: links
are followed, fields filled, buttons pressed. What is asserted are the facts that the work is for: verdicts, holds,
numbers, the paper, and what the public page says of it.
"""

import io
import json
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import zxingcpp
from PIL import Image

from commissioning import evidence, pdf, snapshot
from commissioning.models import Event, Measurement, Photo, Sheet, Signature, Site, Visit
from commissioning.progress import progress_of
from tests.e2e import job_hands as hands
from tests.e2e.conftest import DESK, PHONE
from tests.e2e.job_readings import GOOD, READINGS, ROWS, plates, repeated

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(bool(pdf.pdf_available()), reason=str(pdf.pdf_available())),
]
PASSWORD = "correct horse 7"
NAME = "Quince Ridge school"
MOST_STEPS = 80
FIRST_STEPS = 10
TYPED = {"W1", "PU1", "P2"}  # a plain nameplate, one with a table, and a run's
CONDITIONS = {"irradiance:A1", "module_temperature:A1", "tank_level:T1", "bleach_strength:site"}


def test_system_goes_from_its_layout_to_its_first_readings(open_page: Callable[..., Any], technician: Any) -> None:
    """In every run; the desk's part of it is in `test_desk.py`, the rest of the visit in `test_offline_job.py`."""
    phone = open_page("/", **PHONE)
    hands.sign_in(phone, "marsh", PASSWORD)
    site = record_site(phone, technician, types_all=False)
    visit = begin_visit(phone, site, "start-up")
    assert "Stands: no electrical work" in phone.inner_text("main")
    hands.go_on(phone)
    for _ in range(FIRST_STEPS):
        take(phone)
    taken = Measurement.objects.filter(visit__site__name=NAME)
    assert taken.count() >= FIRST_STEPS - 2  # one was parked, one perhaps asked back
    assert all(one.judgement() is not None for one in taken)
    phone.goto(visit)
    assert phone.locator("#owed .big").inner_text() == str(progress_of(Visit.objects.get()).owed_count)


@pytest.mark.long
def test_system_goes_from_its_layout_to_a_sheet_and_a_service(
    open_page: Callable[..., Any], technician: Any, office: Any, tmp_path: Path
) -> None:
    phone = open_page("/", **PHONE)
    hands.sign_in(phone, "marsh", PASSWORD)
    site = record_site(phone, technician, types_all=True)
    visit = begin_visit(phone, site, "start-up")
    start_up(phone)
    take_what_is_offered(phone, visit)
    settle_what_is_left(phone, visit)
    sign_and_end(phone, visit)
    laboratory_answers(phone, visit)

    desk = open_page("/", **DESK)
    hands.sign_in(desk, "quill", PASSWORD)
    accept(desk)
    sheet = issue(desk)
    address = read_paper(desk, sheet, tmp_path)
    public = open_page(address.partition("/v/")[1] + address.partition("/v/")[2], **PHONE)
    assert public.get_by_text("Genuine and current").is_visible()
    assert sheet.number in public.inner_text("h1")

    serve(phone, site)


# the record


def record_site(page: Any, actor: Any, *, types_all: bool) -> str:
    """Begin a site from the starter layout, fill every nameplate, and return the address of its record.

    `types_all`: whether each is typed, or but a few, while the rest come by the append door.
    """
    hands.follow(page, "New site")
    page.get_by_label("Name", exact=True).fill(NAME)
    page.get_by_label("Place", exact=True).fill("on the rise")
    page.get_by_label("Time zone").select_option("America/Denver")
    page.get_by_label("metric").check()
    page.get_by_label("Solar well pump to a tank by day, gravity to two taps").check()
    page.get_by_label("with a hand pump beside it").check()
    hands.press(page, "Begin this site")
    record = str(page.url)
    assert "What cannot be computed yet" in page.inner_text("main")
    typed = plates()
    page.goto(record.replace("/record", "/edit"))
    hands.fill_plate(page, typed.pop("site"))
    hands.press(page, "Keep")
    if not types_all:
        record_rest(Site.objects.get(), {tag: typed.pop(tag) for tag in list(typed) if tag not in TYPED}, actor)
    page.goto(record)
    for tag, plate in typed.items():
        page.get_by_role("link", name=tag, exact=True).click()
        hands.fill_plate(page, plate)
        page.click("button.main")
        page.wait_for_url("**/record", timeout=hands.PATIENCE)
    assert page.get_by_text("Nothing: every check that this record owes can be computed.").is_visible()
    return record


def record_rest(site: Site, plates: dict[str, dict[str, Any]], actor: Any) -> None:
    """Give components and runs of the layout their nameplates."""
    document = json.loads(snapshot.text_now(site))
    ids = {one["tag"]: one["id"] for one in [*document["components"], *document["runs"]]}
    changes = []
    for sort in ("component", "run"):
        for one in document[f"{sort}s"]:
            places = {name: ids.get(one[name]) for name in ("host", "start", "end") if name in one}
            kept = {name: one[name] for name in ("id", "kind", "tag", "name", "start_port", "end_port") if name in one}
            plate = plates.get(one["tag"], one["nameplate"])
            changes.append({"op": "put", "sort": sort, **kept, **places, "nameplate": plate})
    evidence.append(site=site, kind="record.changed", body={"changes": changes}, actor=actor)


# the start-up visit


def begin_visit(page: Any, record: str, kind: str) -> str:
    """Begin a visit and return its address."""
    page.goto(record)
    hands.follow(page, "Start a visit")
    page.get_by_label(kind, exact=True).check()
    hands.press(page, "Begin")
    page.wait_for_url("**/visit/*/")
    return str(page.url)


def start_up(page: Any) -> None:
    """Follow the main button from check to check until nothing is left but to sign."""
    assert "Stands: no electrical work" in page.inner_text("main")
    hands.go_on(page)
    for _ in range(MOST_STEPS):
        if page.url.endswith("/sign/"):
            return
        take(page)
    raise AssertionError(f"the main button leads in circles: {page.url}")


def take(page: Any) -> None:
    """Take the check that a page shows, and go on to the next."""
    owed = hands.owed_id(page)
    if owed in SPECIAL:
        SPECIAL[owed](page)
        return
    if page.locator("input[name=answer]").count():
        hands.answer(page, GOOD)
    else:
        hands.type_readings(page, READINGS[owed])
        hands.keep(page)
        wanted = "" if owed in CONDITIONS else "within"
        assert hands.verdict(page) == wanted, owed
    hands.go_on(page)


def take_slip_back(page: Any) -> None:
    """Leave the watch at seconds where minutes were meant: it is asked back, and the cure taken."""
    hands.type_readings(page, READINGS["pumping_level:W1"])
    hands.open_fold(page, "min, ordinary watch")
    hands.choose_unit(page, "minutes", "s")
    hands.submit(page)
    page.wait_for_selector(".askback", timeout=hands.PATIENCE)
    hands.press(page, "45\u00a0min instead")
    page.wait_for_selector("#result", state="attached", timeout=hands.PATIENCE)
    assert hands.verdict(page) == "within"
    assert "45\u00a0min" in page.inner_text("#answer")
    hands.go_on(page)


def stand_by_it(page: Any) -> None:
    """Read more than is usual, and say that it is right."""
    hands.type_readings(page, READINGS["electrode_resistance:EE1"])
    hands.submit(page)
    page.wait_for_selector(".askback", timeout=hands.PATIENCE)
    hands.press(page, "They are right, keep them")
    page.wait_for_selector("#result", state="attached", timeout=hands.PATIENCE)
    assert hands.verdict(page) == "outside"
    hands.go_on(page)


def with_photo(page: Any) -> None:
    """Answer with a photo."""
    picture = io.BytesIO()
    Image.new("RGB", (64, 48), "grey").save(picture, "JPEG")
    file = {"name": "well.jpg", "mimeType": "image/jpeg", "buffer": picture.getvalue()}
    page.locator("input[name=photos]").set_input_files(file)
    hands.answer(page, GOOD)
    assert "Photos: 1" in page.inner_text("#measurement")
    hands.go_on(page)


def take_what_is_offered(page: Any, visit: str) -> None:
    """Take one of the checks that nobody waits for: bar from the gauge, and the result in psi."""
    page.goto(visit)
    before = page.locator("#owed .big").inner_text()
    hands.open_fold(page, "that nobody waits for")
    page.get_by_role("link", name="Pressure at the wellhead").click()
    hands.choose_unit(page, "pressure", "bar")
    hands.type_readings(page, {"r-pressure": "1.83", "r-flow": "22.3"})
    hands.keep(page)
    assert page.inner_text("#answer .unit") == "bar"
    page.locator(".units").get_by_text("psi", exact=True).click()
    page.wait_for_url("**unit=psi*")
    assert page.inner_text("#answer .big") == "26.54"  # 1.83 bar ÷ 0.0689476 bar
    assert hands.verdict(page) == "within"
    page.goto(visit)
    assert page.locator("#owed .big").inner_text() == before


def rows_through_the_day(page: Any) -> None:
    """Take the rows of the pump's flow one by one; the conditions were read just before."""
    for number, row in enumerate(ROWS, 1):
        for name, text in row.items():
            page.locator(f"input[name^='r-{name}-']").first.fill(text)
        hands.submit(page)
        page.get_by_text(f"Rows kept: {number}").wait_for(timeout=hands.PATIENCE)
    assert [cell.inner_text() for cell in page.locator("table.rows .verdict").all()] == ["within"] * 3
    page.get_by_role("link", name="Next:").first.click()


def timed_series(page: Any) -> None:
    """Start the timer, let the phone sleep, and read at the end."""
    hands.let_minutes_pass(page, 46)
    hands.type_readings(page, READINGS["tightness_whole:T1"])
    hands.keep(page)
    assert hands.verdict(page) == "within"
    hands.go_on(page)


def aside(button: str, reason: str = "") -> Callable[[Any], None]:
    """Return the handler of a check that is not taken now."""

    def handle(page: Any) -> None:
        hands.set_aside(page, button, reason)
        page.wait_for_url("**/visit/*/")
        hands.go_on(page)

    return handle


def with_defect(page: Any) -> None:
    """Find too little pressure, and raise a defect for it."""
    hands.type_readings(page, READINGS["delivery_flow:O2"])
    hands.keep(page)
    assert hands.verdict(page) == "outside"
    hands.follow(page, "Raise a defect")
    page.get_by_label("What is to be put right").fill("Valve V2 is half shut")
    page.get_by_label("Who puts it right").fill("T. Marsh")
    hands.press(page, "Raise the defect")
    assert page.get_by_role("status").filter(has_text="Defect 1 is raised").is_visible()
    hands.go_on(page)


SPECIAL: dict[str, Callable[[Any], None]] = {
    "electrode_resistance:EE1": stand_by_it,
    "pumping_level:W1": take_slip_back,
    "walk_round_well:W1": with_photo,
    "walk_round_labels:site": aside("Park it"),
    "well_pump_flow:PU1": rows_through_the_day,
    "overflow_carries_full_flow:T1": aside("Cannot be taken", "the sun went before the tank was full"),
    "tightness_whole:T1": timed_series,
    "delivery_flow:O2": with_defect,
}


def settle_what_is_left(page: Any, visit: str) -> None:
    """Put the defect right, replace the reading, take up what was parked, and send the sample off."""
    page.goto(visit)
    hands.follow(page, "Valve V2 is half shut")
    page.get_by_label("How it was put right").fill("opened and tagged")
    hands.press(page, "It is put right")
    page.goto(f"{visit}delivery_flow:O2/")
    hands.replace_reading(page, "valve V2 stood half shut", READINGS["delivery_flow:O2"] | {"r-pressure": "138"})
    assert hands.verdict(page) == "within"
    assert "valve V2 stood half shut" in page.inner_text("#measurement")
    assert "105" in page.locator(".struck").inner_text()
    page.goto(f"{visit}walk_round_labels:site/")
    hands.press(page, "Take it up again")
    hands.answer(page, GOOD)
    page.goto(f"{visit}coliform:O1/")
    hands.open_fold(page, "Sent to the laboratory")
    page.get_by_label("Sent on").fill("2027-04-14")
    hands.press(page, "Keep the day")
    assert page.locator("#owed .big").inner_text() == "1"
    words = page.inner_text("main")
    assert "Hold: drink" in words
    assert "Stands: nobody drinks" in words
    assert "Settled" in page.locator(".hold", has_text="close strings").inner_text()


def sign_and_end(page: Any, visit: str) -> None:
    """Let technician and owner sign, and end the visit."""
    for name, role, meaning in (
        ("T. Marsh", "technician", "I took these measurements"),
        ("E. Sable", "for the owner", "I was shown the system and received these results"),
    ):
        page.goto(f"{visit}sign/")
        page.get_by_label(meaning).check()
        page.get_by_label("Name", exact=True).fill(name)
        page.get_by_label("Role").fill(role)
        hands.draw_signature(page)
        hands.press(page, "Sign")
        assert page.get_by_role("status").filter(has_text=f"Signed by {name}").is_visible()
    assert all(len(one.strokes) > 100 for one in Signature.objects.all())
    page.goto(f"{visit}end/")
    hands.press(page, "End the visit")
    assert "Ended" in page.inner_text("main")


def laboratory_answers(page: Any, visit: str) -> None:
    """Type the laboratory's result days after the visit has ended."""
    page.goto(f"{visit}coliform:O1/")
    hands.type_readings(page, READINGS["coliform:O1"])
    hands.keep(page)
    assert hands.verdict(page) == "within"
    page.goto(visit)
    assert page.locator("#owed .big").inner_text() == "0"
    assert "Settled" in page.locator(".hold", has_text="drink").inner_text()
    assert Photo.objects.count() == 1
    assert Measurement.objects.filter(check_key="delivery_flow", subject="O2").count() == 2


# the office


def accept(page: Any) -> None:
    """Look at what blocks, and concede it by name."""
    hands.follow(page, NAME)
    hands.follow(page, "acceptance")
    page.get_by_role("heading", name="Acceptance").wait_for()
    for what, reason in (
        ("Earth electrode resistance", "second electrode follows in May; electronics are guarded"),
        ("The overflow carries the full flow", "seen at the next service"),
    ):
        page.get_by_role("link", name=f"Concede {what}").click()
        page.get_by_label("Reason").fill(reason)
        hands.press(page, "Concede")
    assert page.get_by_text("Nothing blocks a clean sheet.").is_visible()


def issue(page: Any) -> Sheet:
    """Issue the sheet and return it."""
    hands.follow(page, "Draft the sheet")
    hands.draw_signature(page)
    hands.press(page, "Issue the sheet")
    page.get_by_text("Issued:").wait_for(timeout=60_000)
    sheet = Sheet.objects.get()
    assert f"Sheet {sheet.number}, revision 1" in page.inner_text("h1")
    return sheet


def read_paper(page: Any, sheet: Sheet, folder: Path) -> str:
    """Fetch the PDF on both papers, and return the address that the code on the first page holds."""
    files = {}
    for paper in ("A4", "Letter"):
        link = page.locator(f"a[href$='{paper}.pdf']")
        if not link.count():  # only the office's own paper is printed on issue
            hands.press(page, f"Make the PDF, {paper}")
            link.wait_for(timeout=60_000)
        files[paper] = page.request.get(link.get_attribute("href"), timeout=60_000).body()
        assert files[paper].startswith(b"%PDF")
    (folder / "sheet.pdf").write_bytes(files["A4"])
    draw = ["pdftoppm", "-r", "130", "-l", "1", "-png", "sheet.pdf", "page"]
    subprocess.run(draw, cwd=folder, check=True)
    (first,) = sorted(folder.glob("page*.png"))
    (code,) = zxingcpp.read_barcodes(Image.open(first))
    assert page.get_by_role("link", name="/v/").get_attribute("href") == code.text
    return str(code.text)


# the return


def serve(page: Any, record: str) -> None:
    """Measure three things again and lay them beside the baseline."""
    visit = begin_visit(page, record, "service")
    for owed, readings in (
        ("static_level:W1", repeated("level", "24.62", "24.63")),
        ("tank_level:T1", {"r-level": "1.10"}),
        ("delivery_flow:O1", READINGS["delivery_flow:O1"] | {"r-pressure": "130"}),
        ("volume_per_stroke:HP1", repeated("volume", "12.9", "13.0", "12.9") | repeated("strokes", *["40"] * 3)),
    ):
        page.goto(f"{visit}{owed}/")
        hands.type_readings(page, readings)
        hands.keep(page)
    hands.follow(page, "Beside the baseline")
    assert "has moved" in page.inner_text(".answer")
    hands.follow(page, "Beside the baseline")
    moved = page.locator("#moved").locator("xpath=..").inner_text()
    still = page.locator("#still").locator("xpath=..").inner_text()
    assert "Water per stroke" in moved
    assert "Delivery" in still
    assert Visit.objects.count() == 2
    assert Event.objects.filter(kind="sheet.issued").count() == 1
