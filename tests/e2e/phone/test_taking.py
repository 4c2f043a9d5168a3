"""Taking a visit along with the real server: pages without signal, what is never kept, signing out, an old bundle."""

import re
import time
from typing import Any

import pytest

from commissioning.models import Event
from tests.commissioning.worlds import measure, site_with_record, visit_on
from tests.e2e.conftest import sign_in, until
from tests.e2e.phone.small import small_record

pytestmark = pytest.mark.django_db(transaction=True)
TAKEN = "document.getElementById('take-said').textContent.startsWith('It is on this phone now')"


@pytest.fixture
def visit(technician: Any, transactional_db: None) -> Any:
    return visit_on(site_with_record(technician, document=small_record()), technician)


def take_along(open_page: Any, technician: Any, visit: Any) -> Any:
    page = open_page(f"/phone/take/{visit.pk}/", user=technician)
    page.locator("[data-take]").click()
    until(page, TAKEN, 60)
    return page


def cache_names(page: Any) -> list[str]:
    return page.evaluate("caches.keys()")


def test_visit_taken_along_starts_cold_without_signal_within_three_seconds(open_page, technician, visit):
    page = take_along(open_page, technician, visit)
    context = page.context
    page.close()
    context.set_offline(True)
    start = time.monotonic()
    page = context.new_page()
    page.goto(f"/visit/{visit.pk}/")
    assert page.locator("h1").inner_text() == visit.site.name
    until(page, "!document.getElementById('phone-state').hidden")
    assert time.monotonic() - start < 3
    for path in ("static_level:W1/", "sign/", "end/", "defect/"):
        page.goto(f"/visit/{visit.pk}/{path}")
        assert page.locator("h1").count() == 1, path
        assert "Not on this phone" not in page.title(), path
    loaded = page.evaluate("getComputedStyle(document.querySelector('main')).maxWidth")
    assert loaded != "none"  # the style sheet has come along too


@pytest.mark.long
def test_page_that_did_not_come_along_says_so_and_leads_to_what_is_here(open_page, technician, visit):
    page = take_along(open_page, technician, visit)
    page.context.set_offline(True)
    page.goto("/sites/")
    assert page.locator("h1").inner_text() == "This page is not on this phone"
    page.get_by_role("link", name="What is on this phone").click()
    page.get_by_role("link", name=re.compile(visit.site.name)).click()
    assert page.locator("h1").inner_text() == visit.site.name
    page.goto("/")
    assert page.locator("h1").inner_text() == "On this phone"


def test_page_says_what_is_here_how_old_and_whether_it_stays(open_page, technician, visit):
    page = take_along(open_page, technician, visit)
    words = page.locator("main").inner_text()
    assert re.search(r"Taken along\s+just now", words)
    assert re.search(r"\d+ pages, \d+ kinds of checks", words)
    assert re.search(r"How much\s+[\d.]+ [kM]B", words)
    assert "The browser has not promised it" in words  # a headless browser promises nothing


def test_visit_is_answered_from_the_phone_even_with_signal(open_page, technician, visit):
    page = take_along(open_page, technician, visit)
    measure(visit, "static_level", "W1", ("level", "24.10", "m"), ("level", "24.11", "m", "2"), actor=technician)
    asked = []
    page.context.on("request", lambda one: asked.append(one.url) if one.is_navigation_request() else None)
    page.goto(f"/visit/{visit.pk}/static_level:W1/")
    assert page.evaluate("performance.getEntriesByType('navigation')[0].transferSize") == 0


@pytest.mark.long
def test_nothing_but_assets_and_bundles_is_ever_stored(open_page, technician, visit):
    """Browsing, and being sent to the sign-in page, leaves no page behind."""
    page = take_along(open_page, technician, visit)
    page.goto("/sites/")
    page.context.clear_cookies()
    page.goto("/visits/")
    assert "Sign in" in page.title()
    stored = page.evaluate(
        """async () => { const found = [];
        for (const name of await caches.keys()) for (const one of await (await caches.open(name)).keys())
          found.push([name, new URL(one.url).pathname]);
        return found; }"""
    )
    assert {name.split("-")[0] for name, _ in stored} == {"assets", "visit"}
    assert not [path for _, path in stored if path in {"/sites/", "/visits/", "/account/sign-in", "/"}]


def test_signing_out_forgets_pages_and_data_and_keeps_what_was_kept(open_page, technician, visit):
    page = take_along(open_page, technician, visit)
    page.context.route("**/phone/items/", lambda one: one.fulfill(status=503))  # nothing goes before signing out
    keep_one(page, visit)
    page.context.set_offline(False)
    page.goto("/visits/")
    page.get_by_role("button", name="Sign out").click()
    until(page, "location.pathname === '/account/sign-in'")
    assert not [name for name in cache_names(page) if name.startswith("visit-")]
    assert run(page, "allPacks()") == []
    assert len(run(page, "allItems()")) == 1
    until(page, "document.getElementById('phone-state').textContent.includes('Sign in again to send')")


def keep_one(page: Any, visit: Any) -> None:
    """Keep one reading that is not sent: the signal is away meanwhile."""
    page.context.set_offline(True)
    given = {
        "kind": "visit.noted", "site": str(visit.site_id), "visit": str(visit.pk), "body": {"visit": str(visit.pk)},
    }  # fmt: skip
    page.evaluate("(given) => import('/static/phone/store.js').then((m) => m.keep(given))", given)


def run(page: Any, expression: str) -> Any:
    return page.evaluate(f"import('/static/phone/store.js').then((m) => m.{expression})")


def test_other_person_on_the_phone_does_not_see_the_former_ones_pages(
    open_page, technician, office, visit, live_server
):
    page = take_along(open_page, technician, visit)
    page.context.clear_cookies()
    sign_in(page.context, live_server.url, office)
    page.goto("/visits/")
    until(page, "caches.keys().then((names) => !names.some((name) => name.startsWith('visit-')))")
    assert run(page, "allPacks()") == []


@pytest.mark.long
def test_visit_leaves_the_phone_only_when_nothing_of_it_is_unsent(open_page, technician, visit):
    page = take_along(open_page, technician, visit)
    keep_one(page, visit)
    page.get_by_text("Remove it from this phone").click()
    page.get_by_role("button", name="Remove from this phone").click()
    until(page, "document.getElementById('take-said').textContent.includes('not yet sent')")
    assert len(run(page, "allPacks()")) == 1
    page.evaluate(
        """import('/static/phone/database.js').then((m) => m.transact(['items'], 'readwrite', async (t) => {
        t.objectStore('items').clear(); }))"""
    )
    page.get_by_role("button", name="Remove from this phone").click()
    until(page, "document.getElementById('take-said').textContent === 'It is off this phone.'")
    assert not [name for name in cache_names(page) if name.startswith("visit-")]


@pytest.mark.long
def test_half_written_bundle_is_not_looked_at(open_page, technician, visit):
    page = take_along(open_page, technician, visit)
    page.evaluate(
        """async (visit) => { const cache = await caches.open(`visit-${visit}-9999999999999`);
        await cache.put(`/visit/${visit}/`, new Response("half", { headers: { "Content-Type": "text/html" } })); }""",
        str(visit.pk),
    )
    page.goto(f"/visit/{visit.pk}/")
    assert page.locator("h1").inner_text() == visit.site.name


@pytest.mark.long
def test_former_releases_assets_stay_one_release_longer(open_page, technician, visit):
    page = take_along(open_page, technician, visit)
    page.evaluate(
        """async () => { for (const name of ["assets-older", "assets-former"]) await (await caches.open(name)).put(
        "/static/phone/gone.1234.js", new Response("export const from = '" + name + "';",
        { headers: { "Content-Type": "text/javascript" } })); await caches.delete(
        (await caches.keys()).find((name) => /^assets-[0-9a-f]{16}$/.test(name))); }"""
    )
    page.evaluate("navigator.serviceWorker.getRegistration().then((one) => one.unregister())")
    page.goto("/visits/")
    until(page, "navigator.serviceWorker.getRegistration().then((one) => one?.active?.state === 'activated')")
    page.reload()
    names = [name for name in cache_names(page) if name.startswith("assets-")]
    assert sorted(names)[1:] == ["assets-former"]
    assert page.evaluate("import('/static/phone/gone.1234.js').then((m) => m.from)") == "assets-former"


@pytest.mark.long
@pytest.mark.parametrize("scheme", ["light", pytest.param("dark", marks=pytest.mark.long)])
def test_phones_own_pages_have_no_accessibility_fault_and_fit(
    open_page, accessibility_faults, technician, visit, scheme
):
    page = take_along(open_page, technician, visit)
    page.emulate_media(color_scheme=scheme)
    keep_one(page, visit)
    page.context.set_offline(False)
    page.set_viewport_size({"width": 320, "height": 700})
    for path in (f"/phone/take/{visit.pk}/", "/phone/", "/phone/elsewhere/"):
        page.goto(path)
        until(page, "!document.getElementById('phone-state').hidden")
        assert accessibility_faults(page) == [], path
        assert page.evaluate("document.documentElement.scrollWidth") <= 320, path


def test_refused_item_is_shown_with_its_reason_and_settled_by_hand(open_page, technician, visit):
    """Take it again, offer it once more, or give it up with a reason: nothing else makes it go."""
    page = take_along(open_page, technician, visit)
    keep_one(page, visit)  # of a kind that no server knows
    page.context.set_offline(False)
    page.goto("/phone/")
    until(page, "document.querySelector('.settling .refused') !== null")
    assert page.locator("#phone-state").inner_text().startswith("Refused: 1")
    page.get_by_text("Give it up").first.click()
    page.get_by_role("button", name="Give it up").click()
    assert page.locator(".settling .error").inner_text() == "Say why."
    page.get_by_label("Why it is given up").fill("kept twice by mistake")
    page.get_by_role("button", name="Give it up").click()
    until(page, "document.querySelector('.settling') === null")
    until(page, "document.getElementById('phone-state').textContent.startsWith('Everything sent')")
    assert Event.objects.get(kind="item.dropped").actor == technician
