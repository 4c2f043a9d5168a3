"""The performance table as a grid: gaps, bad cells, more rows, units by column."""

from typing import Any

from commissioning.asbuilt.grid import MOST_ROWS
from commissioning.asbuilt.plate_form import PlateForm
from commissioning.nameplates import core_values
from sizing.parts import SubmersiblePump

COLUMNS = ("power", "head", "flow", "current")


def table(*rows: tuple[str, ...], **more: str) -> PlateForm:
    data = {"plate-performance-rows": str(len(rows)), **more}
    for number, row in enumerate(rows, 1):
        data |= {f"plate-performance-{number}-{name}": text for name, text in zip(COLUMNS, row, strict=True)}
    form = PlateForm(SubmersiblePump, unit_system="metric", data=data)
    form.is_valid()
    return form


def faults(form: PlateForm) -> dict[str, str]:
    return {fault.label: fault.words for fault in form.faults}


def test_filled_rows_are_kept_as_typed_with_each_columns_unit() -> None:
    rows = ("200", "20", "17.0", "4.2"), ("", "", "", ""), ("0.3", "30", "1", "")
    form = table(*rows, **{"plate-performance-unit-flow": "m3/h"})
    kept = form.plate()["performance"]
    assert kept["rows"] == [["200", "20", "17.0", "4.2"], ["0.3", "30", "1", ""]]
    assert kept["units"]["flow"] == "m3/h"
    read = core_values(SubmersiblePump, form.plate())["performance"]
    assert read[1] == [0.3, 30, 1 / 3600, None]


def test_gap_in_a_column_that_is_needed_names_row_and_column() -> None:
    form = table(("200", "20", "17.0", "4.2"), ("200", "", "13", ""))
    assert list(faults(form)) == ["Row 2, head"]


def test_decimal_comma_is_asked_back_at_its_cell_and_stays() -> None:
    form = table(("200", "20,5", "17", ""))
    assert "20.5" in faults(form)["Row 1, head"]
    grid: Any = form.items["performance"]
    assert grid.rows[0][1].typed == "20,5"


def test_more_than_is_possible_is_refused_at_its_cell() -> None:
    assert list(faults(table(("200", "2000", "17", "")))) == ["Row 1, head"]


def test_unknown_unit_of_a_column_is_refused() -> None:
    form = table(("200", "20", "17", ""), **{"plate-performance-unit-head": "<b>"})
    assert faults(form)["Head"] == "Choose a unit from the list."


def test_more_rows_keep_what_was_typed() -> None:
    form = table(("200", "20,5", "17", ""), more="plate-performance")
    grid: Any = form.items["performance"]
    assert form.wants_more_rows
    assert grid.row_count == 11
    assert grid.rows[0][1].typed == "20,5"


def test_count_of_rows_that_is_none_or_vast_does_no_harm() -> None:
    for text in ("", "-5", "1e9", "٣", "x", "99999"):
        form = table(("200", "20", "17", ""), **{"plate-performance-rows": text})
        grid: Any = form.items["performance"]
        assert grid.row_count <= MOST_ROWS
