"""A record is drawn once for its content: ids and makers are not drawn, everything else is."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest

from commissioning import drawn_section as drawer
from commissioning.demo import larkmoor

DOCUMENT = json.loads((Path(larkmoor.__file__).parent / "larkmoor_school.json").read_text())


def changed(**fields: Any) -> str:
    document = json.loads(json.dumps(DOCUMENT))
    document["components"][0].update(fields)
    return json.dumps(document)


@pytest.fixture
def times(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[str]]:
    """Count the drawings made, each a text of its own."""
    made: list[str] = []

    def drawn(system: Any, **_: Any) -> str:
        made.append("")
        return f"drawing {len(made)}"

    monkeypatch.setattr(drawer, "schematic", drawn)
    drawer._drawn.cache_clear()
    yield made
    drawer._drawn.cache_clear()


def draw(text: str, unit_system: str = "metric", is_print: bool = True) -> str:
    return drawer.drawn_section(text, unit_system, is_print=is_print)


def test_equal_records_of_two_sites_are_drawn_once(times: list[str]) -> None:
    first = draw(changed(id=str(uuid4())))
    assert draw(changed(id=str(uuid4()), serial="7-114")) == first
    assert len(times) == 1


@pytest.mark.parametrize("fields", [{"name": "another name"}, {"nameplate": {}}])
def test_what_is_drawn_is_drawn_again_when_it_changes(times: list[str], fields: dict[str, Any]) -> None:
    assert draw(changed()) != draw(changed(**fields))


def test_units_and_paper_have_drawings_of_their_own(times: list[str]) -> None:
    assert len({draw(changed()), draw(changed(), "us"), draw(changed(), is_print=False)}) == 3
