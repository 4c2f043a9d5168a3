"""What README and DEVELOPERS.md name is there: files, commands, settings, words of the decision rule."""

import re
from pathlib import Path

import pytest
from django.core.management import get_commands

ROOT = Path(__file__).resolve().parents[1]
README, DEVELOPERS = ROOT / "README.md", ROOT / "DEVELOPERS.md"
DOCUMENTS = [README, DEVELOPERS]
OF_MANAGE = {"test"}  # handled by manage.py before Django


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda d: d.name)
def test_links_and_pictures_lead_somewhere(document: Path) -> None:
    targets = re.findall(r"\]\(([^)#]+)\)", document.read_text(encoding="utf-8"))
    assert [one for one in targets if not (ROOT / one).exists()] == []


def test_pictures_are_small_and_all_shown() -> None:
    shown = {Path(one).name for one in re.findall(r"\]\((static/pictures/[^)]+)\)", README.read_text(encoding="utf-8"))}
    there = {one.name: one.stat().st_size for one in (ROOT / "static/pictures").iterdir()}
    assert set(there) == shown
    assert all(size <= 120_000 for size in there.values())


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda d: d.name)
def test_commands_exist(document: Path) -> None:
    named = set(re.findall(r"manage\.py ([a-z_]+)", document.read_text(encoding="utf-8")))
    assert named <= set(get_commands()) | OF_MANAGE


def test_files_named_by_path_exist() -> None:
    text = DEVELOPERS.read_text(encoding="utf-8") + README.read_text(encoding="utf-8")
    named = set(re.findall(r"(?:sizing|commissioning|tests|static|\.requirements)/[\w/.-]*\w\.(?:py|json|txt)", text))
    invented = {"commissioning/models/note.py", "commissioning/projections/note.py"}  # of a worked example
    assert sorted(one for one in named - invented if not (ROOT / one).exists()) == []


def test_rooms_of_the_map_exist() -> None:
    text = DEVELOPERS.read_text(encoding="utf-8")
    block = next(one for one in re.findall(r"```\n(.*?)```", text, re.S) if one.startswith("sizing/"))
    assert [one for one in entries(block) if not (ROOT / one).exists()] == []


def entries(block: str) -> list[str]:
    """Return the files and folders of the map, each with the folder it stands in."""
    found, above = [], ""
    for line in block.splitlines():
        names = re.match(r"\s*((?:[\w./]+(?:\.py|/) ?)+)", line)
        if not names:
            continue
        if not line.startswith(" "):
            above = names[1].split()[0] if len(names[1].split()) == 1 else ""
        found += [one if not line.startswith(" ") else above + one for one in names[1].split()]
    return found


def test_every_setting_is_listed_and_no_other() -> None:
    table = DEVELOPERS.read_text(encoding="utf-8").split("## Settings")[1].split("\n## ")[0]
    listed = set(re.findall(r"`([A-Z][A-Z_]+)(?:=1)?`", table))
    settings = (ROOT / "commissioning/settings.py").read_text(encoding="utf-8")
    read = set(re.findall(r"environment\.\w+\(\s*\"([A-Z_]+)\"", settings))
    assert listed == read | {"NO_BOOTSTRAP", "REQUIRE_SYSTEM"}


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda d: d.name)
def test_no_document_names_a_place_on_one_machine(document: Path) -> None:
    assert not re.search(r"(?<![\w.])/(?:home|root|work|tmp|Users)/", document.read_text(encoding="utf-8"))
