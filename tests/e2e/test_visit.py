"""A visit on a real browser: what lives in the page alone. Typed text, the timer, photos, the drawn signature."""

import io
from typing import Any

import pytest
from PIL import Image

from commissioning.models import Measurement, Photo, Signature
from tests.commissioning.worlds import measure, site_with_record, visit_on
from tests.e2e.conftest import PHONE, until

LEVEL = "static_level:W1"
pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def visit(technician: Any, transactional_db: None) -> Any:
    return visit_on(site_with_record(technician), technician)


def address(visit: Any, rest: str = "") -> str:
    return f"/visit/{visit.pk}/{rest}"


def test_reading_is_asked_back_then_kept_without_loading_the_page_anew(open_page, technician, visit):
    page = open_page(address(visit, f"{LEVEL}/"), user=technician)
    page.evaluate("window.isTheSamePage = true")
    lines = page.locator("input[name^=r-level]")
    lines.nth(0).fill("252")
    lines.nth(1).fill("252")
    page.get_by_role("button", name="Keep this reading").click()
    until(page, "document.querySelector('.askback') !== null")
    assert lines.nth(0).input_value() == "252"
    lines.nth(0).fill("24.10")
    lines.nth(1).fill("24.11")
    page.get_by_role("button", name="Keep what is typed now").click()
    until(page, "document.getElementById('result') !== null")
    assert page.evaluate("window.isTheSamePage") is True
    until(page, "document.activeElement.id === 'result'")
    assert page.get_by_text("within", exact=True).first.is_visible()
    assert Measurement.objects.get(check_key="static_level").taken_by == technician


def test_typed_text_survives_a_reload_and_is_forgotten_when_kept(open_page, technician, visit):
    page = open_page(address(visit, f"{LEVEL}/"), user=technician)
    page.locator("input[name=r-level-0]").fill("24.10")
    page.locator("label", has_text="ft").locator("input").check()
    page.reload()
    assert page.locator("input[name=r-level-0]").input_value() == "24.10"
    assert page.locator("input[name=unit-level]:checked").input_value() == "ft"
    assert page.locator(".value .unit").first.inner_text() == "ft"
    page.locator("input[name=r-level-0]").fill("79.10")
    page.locator("input[name=r-level-1]").fill("79.1")
    page.get_by_role("button", name="Keep this reading").click()
    until(page, "document.getElementById('result') !== null")
    until(page, "!Object.keys(localStorage).some((key) => key.startsWith('typed:'))")


def test_timer_survives_a_reload_and_unlocks_with_its_minutes(open_page, technician, visit):
    page = open_page(address(visit, "tightness_whole:T1/"), user=technician)
    page.get_by_role("button", name="Start now").click()
    late = "document.querySelector('input[name=r-pressure-2]').readOnly"
    assert page.evaluate(late) is True
    assert "to the next reading" in page.locator("[data-timer-words]").inner_text()
    # 46 minutes pass while the phone lies in a pocket: only the kept moment of the start tells.
    page.evaluate("""() => { const key = Object.keys(localStorage).find((one) => one.startsWith("started:"));
        localStorage.setItem(key, String(Number(localStorage.getItem(key)) - 46 * 60000)); }""")
    page.reload()
    assert page.evaluate(late) is False
    assert page.locator("[data-timer-words]").inner_text() == "All minutes have come."
    for n, pressure in enumerate(("170", "169", "169")):
        page.locator(f"input[name=r-pressure-{n}]").fill(pressure)
        page.locator(f"input[name=r-temperature-{n}]").fill("14.0")
    page.get_by_role("button", name="Keep this reading").click()
    until(page, "document.getElementById('result') !== null")
    taken = Measurement.objects.get(check_key="tightness_whole")
    assert (taken.event.received_at - taken.taken_at).total_seconds() == pytest.approx(46 * 60, abs=60)


def test_large_photo_is_made_smaller_on_the_phone(open_page, technician, visit):
    page = open_page(address(visit, f"{LEVEL}/"), user=technician)
    noise = io.BytesIO()
    Image.effect_noise((4800, 3200), 80).convert("RGB").save(noise, "JPEG", quality=90)
    assert noise.tell() > 4 * 2**20
    page.locator("input[name=photos]").set_input_files(
        {"name": "gauge.jpg", "mimeType": "image/jpeg", "buffer": noise.getvalue()}
    )
    until(page, "document.querySelector('[data-photo-words]').textContent.includes('chosen')", 30)
    page.locator("input[name=r-level-0]").fill("24.10")
    page.locator("input[name=r-level-1]").fill("24.11")
    page.get_by_role("button", name="Keep this reading").click()
    until(page, "document.getElementById('result') !== null", 30)
    photo = Photo.objects.get()
    assert (photo.width, photo.height) == (3000, 2000)
    until(page, "[...document.querySelectorAll('.photos img')].every((one) => one.naturalWidth > 0 || one.loading)")


def test_signature_is_drawn_and_kept(open_page, technician, visit):
    page = open_page(address(visit, "sign/"), user=technician)
    canvas = page.locator("canvas")
    canvas.scroll_into_view_if_needed()
    box = canvas.bounding_box()
    page.mouse.move(box["x"] + 20, box["y"] + 90)
    page.mouse.down()
    for step in range(20):
        page.mouse.move(box["x"] + 20 + 10 * step, box["y"] + 90 - 12 * (step % 5))
    page.mouse.up()
    page.get_by_label("I took these measurements").check()
    page.get_by_role("button", name="Sign", exact=True).click()
    assert page.get_by_role("status").filter(has_text="Signed by").is_visible()
    assert len(Signature.objects.get().strokes) > 100


PAGES = (
    "",
    f"{LEVEL}/",
    "tightness_whole:T1/",
    "bond_resistance:EE1/",
    "hold/close_strings/",
    "sign/",
    "end/",
    "photos/",
)


@pytest.mark.long
@pytest.mark.parametrize("scheme", ["light", pytest.param("dark", marks=pytest.mark.long)])
def test_pages_have_no_accessibility_fault_and_fit_a_small_phone(
    open_page, accessibility_faults, technician, visit, scheme
):
    measure(visit, "walk_round_well", "W1", actor=technician, answer="as it should be")
    page = open_page("/visits/", user=technician, color_scheme=scheme, **PHONE)
    for path in PAGES:
        page.goto(address(visit, path))
        assert accessibility_faults(page) == [], path
    page.set_viewport_size({"width": 320, "height": 700})
    for path in PAGES:
        page.goto(address(visit, path))
        assert page.evaluate("document.documentElement.scrollWidth") <= 320, path
