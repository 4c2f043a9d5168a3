"""Rows copied from a spreadsheet land in the pump's table, as copied; the server asks back what it cannot read."""

from collections.abc import Callable
from typing import Any

import pytest
from django.urls import reverse

from commissioning.models import Component
from tests.commissioning.worlds import site_with_record
from tests.e2e.conftest import DESK, PHONE
from tests.sizing.systems import plate, quince_ridge

pytestmark = pytest.mark.django_db(transaction=True)
PASTE = """([id, text]) => {
  const data = new DataTransfer();
  data.setData("text/plain", text);
  const pasted = new ClipboardEvent("paste", {clipboardData: data, bubbles: true, cancelable: true});
  document.getElementById(id).dispatchEvent(pasted);
}"""


def pump_page(technician: Any) -> tuple[Component, str]:
    document = quince_ridge()
    del plate(document, "PU1")["performance"]
    pump = site_with_record(technician, document=document).components.get(tag="PU1")
    return pump, reverse("component-edit", args=[pump.site_id, pump.pk])


def cell(page: Any, row: int, column: str) -> str:
    return str(page.input_value(f"#plate-performance-{row}-{column}"))


@pytest.mark.parametrize("separator", ["\t", *(pytest.param(one, marks=pytest.mark.long) for one in ";,")])
def test_pasted_rows_fill_the_table_and_are_kept(
    open_page: Callable[..., Any], technician: Any, separator: str
) -> None:
    pump, url = pump_page(technician)
    page = open_page(url, user=technician, **DESK)
    rows = [("200", str(20 + n), "17.5", "4.2") for n in range(20)]
    page.evaluate(PASTE, ["plate-performance-1-power", "\r\n".join(separator.join(row) for row in rows) + "\r\n"])
    assert cell(page, 20, "head") == "39"
    page.click("button.main")
    page.wait_for_url("**/record")
    pump.refresh_from_db()
    assert [tuple(row) for row in pump.nameplate["performance"]["rows"]] == rows


def test_decimal_comma_lands_as_typed_and_is_asked_back(open_page: Callable[..., Any], technician: Any) -> None:
    _, url = pump_page(technician)
    page = open_page(url, user=technician, **PHONE)
    page.evaluate(PASTE, ["plate-performance-1-power", "200\t20,5\t17\t4\n300\t30\t20\t5"])
    assert cell(page, 1, "head") == "20,5"
    page.click("button.main")
    page.wait_for_selector("#plate-performance-1-head-error")
    assert "Did you mean 20.5?" in page.inner_text("#plate-performance-1-head-error")
    assert cell(page, 2, "flow") == "20", "the other cells are still there"


def test_one_value_with_a_comma_is_not_taken_apart(open_page: Callable[..., Any], technician: Any) -> None:
    _, url = pump_page(technician)
    page = open_page(url, user=technician, **DESK)
    page.evaluate(PASTE, ["plate-performance-1-flow", "17,5"])
    assert cell(page, 1, "current") == ""


def test_more_rows_come_at_a_touch(open_page: Callable[..., Any], technician: Any) -> None:
    _, url = pump_page(technician)
    page = open_page(url, user=technician, **PHONE)
    page.fill("#plate-performance-1-head", "20")
    page.click("#plate-performance [data-grid-more]")
    assert page.locator("#plate-performance tbody tr").count() == 16
    assert cell(page, 1, "head") == "20"
    assert page.get_attribute("#plate-performance-16-head", "aria-label") == "Row 16, head"
