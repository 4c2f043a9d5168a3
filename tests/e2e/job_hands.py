"""The hands of the whole job: what a person does on a page, as short functions that take the page."""

from typing import Any

PASTE = """([id, text]) => {
  const data = new DataTransfer();
  data.setData("text/plain", text);
  const pasted = new ClipboardEvent("paste", {clipboardData: data, bubbles: true, cancelable: true});
  document.getElementById(id).dispatchEvent(pasted);
}"""
PATIENCE = 20_000  # ms; other work may share the machine


def press(page: Any, name: str) -> None:
    """Press the button of that name."""
    page.get_by_role("button", name=name, exact=True).first.click()


def follow(page: Any, name: str) -> None:
    """Follow the link of that name."""
    page.get_by_role("link", name=name).first.click()


def sign_in(page: Any, name: str, password: str) -> None:
    page.get_by_label("Name you sign in with").fill(name)
    page.get_by_label("Password").fill(password)
    press(page, "Sign in")


# the as-built record


def fill_plate(page: Any, plate: dict[str, Any]) -> None:
    """Fill the fields of a nameplate's form with what is typed, each with its unit; a table is pasted."""
    for name, typed in plate.items():
        field = f"plate-{name}"
        if isinstance(typed, str):
            fill_word(page, field, typed)
        elif "rows" in typed:
            fill_table(page, field, typed)
        elif "typed" in typed:
            fill_measure(page, field, typed)
        else:
            for what, many in typed.items():
                page.fill(f"#{field}-{what}", many)


def fill_word(page: Any, field: str, typed: str) -> None:
    one = page.locator(f"#{field}")
    if one.evaluate("one => one.tagName") == "SELECT":
        one.select_option(typed)
    else:
        one.fill(typed)


def fill_measure(page: Any, field: str, typed: dict[str, str]) -> None:
    page.fill(f"#{field}", typed["typed"])
    choice = page.locator(f"[name={field}-unit]")
    if choice.count():
        choice.select_option(typed["unit"])


def fill_table(page: Any, field: str, typed: dict[str, Any]) -> None:
    """Choose the unit of each column, then paste all rows into the first cell."""
    for column, unit in typed["units"].items():
        page.select_option(f"#{field}-unit-{column}", unit)
    first = page.locator(f"#{field} tbody input").first.get_attribute("id")
    page.evaluate(PASTE, [first, "\n".join("\t".join(row) for row in typed["rows"])])


# one owed check


def owed_id(page: Any) -> str:
    """Return which owed check a page shows, from its address."""
    return str(page.url).rstrip("/").partition("?")[0].partition("#")[0].rstrip("/").rpartition("/")[2]


def keep(page: Any) -> None:
    """Press the main button under the fields and wait for the result."""
    submit(page)
    page.wait_for_selector("#result, #refused, .askback, [data-measure] .error", timeout=PATIENCE, state="attached")
    said = page.locator("#refused, .askback, [data-measure] .error").all_inner_texts()
    assert said == [], f"{owed_id(page)}: {said}"


def submit(page: Any) -> None:
    """Press the main button under the fields."""
    page.locator("form[data-measure] > button.full[type=submit]").last.click()


def answer(page: Any, words: str) -> None:
    """Answer an observation."""
    page.get_by_label(words, exact=True).check()
    keep(page)


def type_readings(page: Any, readings: dict[str, str]) -> None:
    """Type each reading into its field, or choose it where it is a word of a list."""
    for name, text in readings.items():
        choice = page.locator(f"input[type=radio][name={name}][value='{text}']")
        if choice.count():
            choice.check()
        else:
            page.fill(f"[name={name}]", text)


def verdict(page: Any) -> str:
    """Return the verdict that stands beside the reading; empty where there is none."""
    found = page.locator("#answer .reading .verdict")
    return str(found.first.inner_text()) if found.count() else ""


def go_on(page: Any) -> None:
    """Press the main button of a page: what comes next."""
    page.locator("nav[aria-label='Next step'] .main").click()


def draw_signature(page: Any) -> None:
    """Draw a zigzag on the signature's canvas."""
    canvas = page.locator("canvas")
    canvas.scroll_into_view_if_needed()
    box = canvas.bounding_box()
    page.mouse.move(box["x"] + 20, box["y"] + 90)
    page.mouse.down()
    for step in range(15):
        page.mouse.move(box["x"] + 20 + 12 * step, box["y"] + 90 - 14 * (step % 4))
    page.mouse.up()


def let_minutes_pass(page: Any, minutes: int) -> None:
    """Start the timer of a series, lock the phone, and look again after some minutes."""
    page.clock.install()
    press(page, "Start now")
    page.clock.fast_forward(minutes * 60_000)
    page.reload()


def open_fold(page: Any, name: str) -> None:
    """Open what is folded away under a name."""
    page.locator("summary", has_text=name).first.click()


def set_aside(page: Any, button: str, reason: str = "") -> None:
    """Park a check, or say that it cannot be taken, or does not apply here."""
    open_fold(page, "Not taken now")
    page.locator("details[open]").get_by_label("Reason").fill(reason)
    press(page, button)


def replace_reading(page: Any, reason: str, readings: dict[str, str]) -> None:
    """Take a reading again in the place of one that stands, with the reason."""
    open_fold(page, "Replace this reading")
    page.locator("details[open]").get_by_label("Reason").fill(reason)
    press(page, "Take it again")
    type_readings(page, readings)
    keep(page)


def choose_unit(page: Any, name: str, code: str) -> None:
    """Choose the unit in which an input is read."""
    page.locator(f"input[name='unit-{name}'][value='{code}']").check()
