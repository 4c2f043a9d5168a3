"""Signing in with a real browser, and what every page must be: accessible, tappable, no wider than the screen."""

import pytest

from tests.e2e.conftest import DESK, PHONE

PUBLIC = ["/account/sign-in", "/account/password/forgotten", "/account/password/sent", "/nowhere"]


def test_person_signs_in_and_out_on_a_phone(open_page, technician):
    page = open_page("/")
    page.get_by_label("Name you sign in with").fill("Marsh")
    page.get_by_label("Password").fill("wrong")
    page.get_by_role("button", name="Sign in").click()
    assert page.get_by_role("alert").filter(has_text="do not belong together").is_visible()
    assert page.get_by_label("Name you sign in with").input_value() == "Marsh"
    page.get_by_label("Password").fill("correct horse 7")
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("button", name="Sign out").click()
    assert page.get_by_role("heading", name="Sign in").is_visible()


@pytest.mark.long
@pytest.mark.parametrize(("screen", "scheme"), [(PHONE, "light"), (DESK, "dark")], ids=["phone light", "desk dark"])
def test_public_pages_have_no_accessibility_fault(open_page, accessibility_faults, screen, scheme):
    page = open_page(PUBLIC[0], color_scheme=scheme, **screen)
    for path in PUBLIC:
        page.goto(path)
        assert accessibility_faults(page) == [], path


def test_page_of_a_signed_in_person_has_no_accessibility_fault(open_page, accessibility_faults, technician):
    page = open_page("/account/password", user=technician, **PHONE)
    assert accessibility_faults(page) == []


@pytest.mark.parametrize("width", [320, 390])
def test_pages_are_no_wider_than_a_small_phone(open_page, technician, width):
    page = open_page("/", user=technician, **{**PHONE, "viewport": {"width": width, "height": 700}})
    for path in [*PUBLIC, "/account/password"]:
        page.goto(path)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path


def test_every_target_is_large_enough_for_a_gloved_thumb(open_page, technician):
    """48 CSS px each way: twice the least of WCAG 2.2, 2.5.8; our own bar."""
    small = """() => [...document.querySelectorAll("a, button, input:not([type=hidden]), summary")]
        .filter(e => !e.matches(".skip") && e.getClientRects().length)
        .filter(e => e.getBoundingClientRect().height < 48 || e.getBoundingClientRect().width < 48)
        .map(e => e.outerHTML)"""
    page = open_page("/", user=technician, **PHONE)
    for path in [*PUBLIC, "/account/password"]:
        page.goto(path)
        assert page.evaluate(small) == [], path


def test_lost_answer_is_said_and_nothing_typed_is_lost(open_page, technician):
    page = open_page("/account/password", user=technician, **PHONE)
    page.evaluate(
        "document.querySelector('main form').setAttribute('hx-post', '/account/password');"
        "htmx.process(document.querySelector('main form'))"
    )
    page.get_by_label("Old password").fill("correct horse 7")
    page.get_by_label("New password", exact=True).fill("another horse 8")
    page.get_by_label("New password once more").fill("another horse 8")
    page.context.set_offline(True)
    page.get_by_role("button", name="Keep this password").click()
    page.get_by_role("alert").filter(has_text="Not sent").wait_for()
    assert page.get_by_label("Old password").input_value() == "correct horse 7"
