"""The drawing of every starter layout, empty with a hand pump and filled, and of the systems that no layout holds."""

import json
import re
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from commissioning.asbuilt.layouts import LAYOUTS, document_of, with_hand_pump
from commissioning.plots.schematic import schematic
from commissioning.snapshot import system_of
from sizing.system import System
from tests.commissioning.schematic_geometry import overlaps
from tests.e2e.unseen.booster import TWO_ARRAYS
from tests.e2e.unseen.clinic import CLINIC
from tests.e2e.unseen.document import document
from tests.e2e.unseen.spring import SPRING_TANKS

FILLED = Path(__file__).parents[1] / "published" / "as_built"
POINT = 25.4 / 72  # mm; a point of type is 1/72 inch
UPRIGHT, ACROSS = 182.0, 281.0  # mm, width between the margins of record.css on A4; across where a drawing is wide
LEAST_TYPE = 6.5  # points

SYSTEMS: dict[str, Any] = {
    **{f"{key}, hand pump": lambda one=one: document_of(with_hand_pump(one)) for key, one in LAYOUTS.items()},
    **{
        f"{path.stem}, filled": lambda path=path: json.loads(path.read_text()) for path in sorted(FILLED.glob("*.json"))
    },
    **{one.key: lambda one=one: document(one) for one in (SPRING_TANKS, TWO_ARRAYS, CLINIC)},
}


@cache
def system(name: str) -> System:
    return system_of(SYSTEMS[name]())


@cache
def drawn(name: str, unit_system: str, is_print: bool) -> str:
    return schematic(system(name), unit_system=unit_system, print=is_print)


@pytest.mark.parametrize("name", SYSTEMS)
def test_nothing_overlaps_on_screen_and_on_paper(name: str) -> None:
    assert overlaps(drawn(name, "us", False)) == []
    assert overlaps(drawn(name, "metric", True)) == []


@pytest.mark.parametrize("name", SYSTEMS)
def test_no_label_on_paper_is_too_small_to_read(name: str) -> None:
    svg = drawn(name, "metric", True)
    root = ElementTree.fromstring(svg)  # noqa: S314  our own drawing
    sizes = [float(one.get("font-size") or 99) for one in root[1] if one.tag.endswith("text")]  # not those of a symbol
    paper = ACROSS if "wide" in (root.get("class") or "").split() else UPRIGHT
    width = float(re.search(r'viewBox="0 0 (\d+)', svg)[1])  # type: ignore[index]  # every drawing has one
    assert min(sizes) * paper / width / POINT >= LEAST_TYPE
