"""Types a system in through the screens, as a person with a phone would, and counts fields and taps."""

import time
from dataclasses import dataclass
from typing import Any

from playwright.sync_api import Error

from tests.e2e.job_hands import PASTE
from tests.e2e.unseen.written import Line, Part, Plate, Table, Unseen

Item = Part | Line
PATIENCE = 20.0  # s; other work may share the machine


def button(page: Any, name: str) -> Any:
    return page.get_by_role("button", name=name, exact=True).first


@dataclass
class Hands:
    """What a person does on a page. `reuses_runs` and `goes_on` are ways that can be left unused, to count without."""

    page: Any
    reuses_runs: bool = True
    goes_on: bool = True
    fields: int = 0
    taps: int = 0

    def tap(self, what: Any) -> None:
        self.taps += 1
        what.click()

    def type(self, field: str, text: str) -> None:
        self.fields += 1
        self.page.fill(f"#{field}", text)

    def choose(self, field: str, value: str) -> None:
        """Choose from a list, where it does not stand there already."""
        one = self.page.locator(f"#{field}")
        if one.input_value() != value:
            self.taps += 1
            one.select_option(value)

    def follow(self, name: str) -> None:
        self.tap(self.page.get_by_role("link", name=name, exact=True).first)

    def press(self, name: str) -> None:
        self.tap(button(self.page, name))

    # nameplates

    def fill_plate(self, plate: Plate) -> None:
        for name, typed in plate.items():
            if isinstance(typed, Table):
                self.fill_table(f"plate-{name}", typed)
            elif isinstance(typed, dict):
                for what, many in typed.items():
                    self.type(f"plate-{name}-{what}", many)
            else:
                self.fill_one(f"plate-{name}", typed)

    def fill_one(self, field: str, typed: str) -> None:
        one = self.page.locator(f"#{field}")
        if one.evaluate("one => one.tagName") == "SELECT":
            self.choose(field, typed)
            return
        units = self.page.locator(f"[name={field}-unit]")
        is_figure = one.get_attribute("inputmode") == "decimal"
        figure, _, unit = typed.partition(" ") if is_figure else (typed, "", "")
        if one.input_value() != figure:
            self.type(field, figure)
        if units.count() and units.input_value() != unit:
            self.taps += 1
            units.select_option(unit)

    def fill_table(self, field: str, table: Table) -> None:
        for column, unit in table.units.items():
            if self.page.locator(f"#{field}-unit-{column}").count():
                self.choose(f"{field}-unit-{column}", unit)
        first = self.page.locator(f"#{field} tbody input").first.get_attribute("id")
        self.fields += 1
        self.page.evaluate(PASTE, [first, table.rows])

    # components and runs

    def fill_item(self, item: Item) -> None:
        if self.page.locator("#id_tag").input_value() != item.tag:
            self.type("id_tag", item.tag)
        if item.name and self.page.locator("#id_name").input_value() != item.name:
            self.type("id_name", item.name)
        if isinstance(item, Line):
            for end in ("start", "end"):
                self.join(end, getattr(item, end))
        elif item.host:
            self.choose("id_host", self.value_of("id_host", item.host))
        self.fill_plate(item.plate)

    def join(self, end: str, wanted: str) -> None:
        if wanted:
            tag, _, port = wanted.partition(".")
            self.choose(f"id_{end}", self.value_of(f"id_{end}", tag, port))

    def value_of(self, select: str, tag: str, port: str = "") -> str:
        """Return the value of the choice that says a tag, and a port where one is asked for."""
        options = self.page.locator(f"#{select} option").evaluate_all("all => all.map(one => [one.value, one.text])")
        for value, text in options:
            if text.split(" ")[0] == tag and (not port or text.endswith(f": {port}")):
                return str(value)
        raise AssertionError(f"{select}: {tag} {port} in {[text for _, text in options]}")

    def fill_like(self, item: Item) -> None:
        """Fill a form in from the one that is the same, where the form is not filled in so already."""
        if not item.like or (isinstance(item, Line) and not self.reuses_runs):
            return
        self.choose("like", self.value_of("like", item.like))
        self.press("Fill in")

    def keep(self, button: Any) -> None:
        """Press a button that keeps a form, and wait for the page behind it; what is refused fails at once."""
        self.page.evaluate("window.isOld = true")
        self.tap(button)
        end = time.monotonic() + PATIENCE
        while self.stays():
            assert time.monotonic() < end, self.page.url
            time.sleep(0.02)
        self.page.wait_for_load_state()

    def stays(self) -> bool:
        """Whether the page is still the one that was sent; fails where it says that something needs another look."""
        try:
            said = self.page.locator(".error, .askback").all_inner_texts()
            is_old = self.page.evaluate("window.isOld === true")
        except Error:  # the page was just being left
            return True
        assert not is_old or not any(said), f"{self.page.title()}: {said}"
        return bool(is_old)


def type_in(page: Any, unseen: Unseen, **ways: bool) -> Hands:
    """Type a whole system in, from the page of a new site on; return what it took."""
    hands = Hands(page, **ways)
    _begin(hands, unseen)
    record = page.url
    for items in (unseen.parts, unseen.lines):
        _complete(hands, record, {one.tag: one for one in items if one.is_there})
        _add(hands, record, [one for one in items if not one.is_there])
    page.goto(record)
    return hands


def _begin(hands: Hands, unseen: Unseen) -> None:
    page = hands.page
    hands.type("id_name", unseen.site)
    hands.tap(page.locator(f"input[name=unit_system][value={unseen.units}]"))
    hands.choose("id_zone", "UTC")
    hands.tap(page.locator(f"input[name=layout][value={unseen.layout}]"))
    if unseen.with_hand_pump:
        hands.tap(page.get_by_label("with a hand pump beside it"))
    hands.tap(page.locator("form button.main"))
    record = page.url
    hands.tap(page.locator("a.back"))
    hands.tap(page.locator("a[href$='/edit']").first)
    hands.fill_plate(unseen.place)
    hands.keep(page.locator("form button.main"))
    page.goto(record)
    hands.taps += 1


def _add(hands: Hands, record: str, items: list[Any]) -> None:
    """Add components or runs, each like the one before where it is the same."""
    is_filled = False
    for n, item in enumerate(items):
        if not is_filled:
            _open_new(hands, record, item)
            hands.fill_like(item)
        hands.fill_item(item)
        coming = items[n + 1] if n + 1 < len(items) else None
        is_filled = hands.goes_on and coming is not None and _is_like(coming, item)
        hands.keep(button(hands.page, "Keep, then another like it" if is_filled else "Keep"))


def _is_like(coming: Any, item: Any) -> bool:
    return bool(coming.like) and coming.like in (item.tag, item.like) and coming.kind == item.kind


def _open_new(hands: Hands, record: str, item: Item) -> None:
    """Open the form for a new one of a kind, from the foot of the record."""
    hands.page.goto(record)
    noun = "components" if isinstance(item, Part) else "runs"
    link = hands.page.locator(f"a[href*='/{noun}/new/{item.kind}']")
    link.evaluate("one => one.closest('details').open = true")
    hands.taps += 1
    hands.tap(link)


def _complete(hands: Hands, record: str, left: dict[str, Any]) -> None:
    """Fill the nameplates of what the layout brought, in the order in which the forms lead on."""
    page = hands.page
    page.goto(record)
    while left:
        if page.url.rstrip("/").endswith("/record"):
            hands.tap(page.get_by_role("link", name=next(iter(left)), exact=True).first)
        tag = page.locator("#id_tag").input_value()
        item = left.pop(tag, None)
        if item is None:  # it was complete, or is none of ours
            page.goto(record)
            continue
        hands.fill_like(item)
        hands.fill_item(item)
        onward = page.get_by_role("button", name="Keep, then", exact=False)
        if hands.goes_on and onward.count() and left:
            hands.keep(onward.first)
        else:
            hands.keep(button(page, "Keep"))
