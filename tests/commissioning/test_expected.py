"""`manage.py expected`: what every number should be, for starter layouts and for some nobody planned for."""

import copy
import io
import json
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from commissioning.management.commands.catalogue import is_computed
from commissioning.management.commands.expected import expected_rows
from commissioning.snapshot import system_of
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check, Kind, Need
from sizing.system import System, build
from tests.sizing.more_systems import sallow_clinic
from tests.sizing.systems import plate, quince_ridge

AS_BUILT = Path(__file__).parent.parent / "published" / "as_built"
FILES = sorted(AS_BUILT.glob("*.json"))
CONDITIONS = ("irradiance=850", "module_temperature=48", "tank_level=1.2", "bleach_strength=0.055")
FOOT, GALLON_PER_MINUTE = 0.3048, 231 * 0.0254**3 / 60  # NIST Handbook 44, appendix C: 231 in³ to the US gallon
GRAVITY, DENSITY_AT_20 = 9.80665, 998.2  # m/s² (standard), kg/m³ (CRC Handbook, water at 20 °C)


NUMBERS = ("nominal", "lower", "upper", "working")


def told(file: Path, *conditions: str) -> dict[str, Any]:
    """Return what the command says as JSON."""
    said = io.StringIO()
    call_command("expected", str(file), "--json", "--conditions", *conditions, stdout=said)
    found: dict[str, Any] = json.loads(said.getvalue())
    return found


def row(found: dict[str, Any], key: str, subject: str, value: str = "") -> dict[str, Any]:
    return next(
        one
        for one in found["checks"]
        if (one["key"], one["subject"]) == (key, subject) and (not value or one["value"] == value)
    )


def place_of(one: dict[str, Any]) -> tuple[str, str, str]:
    return one["key"], one["subject"], one["value"]


def example(name: str) -> Path:
    return AS_BUILT / f"{name}.json"


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_row_has_what_a_program_needs(file: Path) -> None:
    found = told(file, *CONDITIONS)
    assert found["format"] == "expected"
    assert len(found["checks"]) > 15
    for one in found["checks"]:
        assert {"key", "subject", "quantity"} <= set(one)
        assert one["key"] in CHECKS
        if "missing" in one:
            assert one["missing"]["words"]
            continue
        assert {"nominal", "lower", "upper", "basis", "working", "unit"} <= set(one)
        assert one["basis"]
        assert [n for n in (one["nominal"], one["lower"], one["upper"]) if n is not None], one["key"]
        assert all({"symbol", "equation", "result", "source"} <= set(step) for step in one["working"])


def test_two_wells_are_each_judged_by_their_own_log() -> None:
    found = told(example("two_wells_one_tank"), *CONDITIONS)
    # yield over drawdown on the drillers' logs: 14 gal/min over 12 ft, 11 gal/min over 16 ft
    for tag, flow, fall in (("W1", 14, 12), ("W2", 11, 16)):
        capacity = row(found, "specific_capacity", tag)["nominal"]
        assert capacity == pytest.approx(flow * GALLON_PER_MINUTE / (fall * FOOT), rel=1e-9)


def test_limits_in_feet_come_out_in_metres() -> None:
    found = told(example("two_wells_one_tank"), *CONDITIONS)
    # the float stands at 46.8 ft, the floor of the tank at 40 ft
    assert row(found, "fill_stop_level", "LS1")["nominal"] == pytest.approx(6.8 * FOOT, rel=1e-9)


def test_the_deeper_water_gives_less_through_the_shared_main() -> None:
    levels = (f"static_level@W1={78 * FOOT}", f"static_level@W2={91 * FOOT}")  # as on the drillers' logs
    found = told(example("two_wells_one_tank"), *CONDITIONS, *levels)
    flows = [row(found, "well_pump_flow", pump, "flow")["nominal"] for pump in ("PU1", "PU2")]
    assert flows[0] > flows[1] > 0, "like pumps, and W2 stands 13 ft deeper behind a longer pipe"


@pytest.mark.parametrize(("tap", "elevation"), [("O1", 1.2), ("O2", 1.0), ("O3", 0.9)])
def test_taps_behind_the_second_tank_feel_that_tank_alone(tap: str, elevation: float) -> None:
    found = told(example("two_tanks_in_line"), *CONDITIONS)
    at_rest = row(found, "delivery_flow", tap, "delivery_pressure")["upper"]
    # water at rest in T2, 1.2 m above its floor at 12 m, and the 5 kPa that the check allows above it
    by_hand = DENSITY_AT_20 * GRAVITY * (12.0 + 1.2 - elevation) + 5_000
    assert at_rest == pytest.approx(by_hand, rel=2e-3)


def test_higher_water_presses_harder() -> None:
    low, high = (told(example("two_tanks_in_line"), f"tank_level={level}") for level in (0.5, 1.8))
    for tap in ("O1", "O2", "O3"):
        for value in ("delivery_flow", "delivery_pressure"):
            before, after = (row(found, "delivery_flow", tap, value)["nominal"] for found in (low, high))
            assert after > before, (tap, value)


def test_table_for_people_names_units_of_the_file(capsys: pytest.CaptureFixture[str]) -> None:
    call_command("expected", str(example("two_wells_one_tank")), "--conditions", *CONDITIONS, "--working")
    said = capsys.readouterr().out
    assert "6.80\u00a0ft" in said
    assert "gal/min" in said
    assert "IEC 62446-1" in said


# nothing recorded


def emptied(document: dict[str, Any]) -> dict[str, Any]:
    """Return the document with the same graph and nothing on any nameplate."""
    bare = copy.deepcopy(document)
    bare["site"].pop("plate", None)
    for one in [*bare["components"], *bare["runs"]]:
        one.pop("nameplate", None)
    return bare


@pytest.mark.parametrize("with_conditions", [True, False])
@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_empty_nameplates_give_no_number_that_would_follow_from_them(
    file: Path, tmp_path: Path, with_conditions: bool
) -> None:
    bare = tmp_path / "bare.json"
    bare.write_text(json.dumps(emptied(json.loads(file.read_text()))))
    given = CONDITIONS if with_conditions else ()
    found, whole = told(bare, *given), told(file, *given)
    assert found["checks"]
    for one in found["checks"]:
        if "missing" in one:
            assert one["missing"]["owner"], one
            continue
        # What is left stands in a rule and not on a nameplate: it and its working are those of the full record.
        full = next((r for r in whole["checks"] if place_of(r) == place_of(one)), None)
        if full is None:  # owed only while a field is unknown, such as whether a tap is for drinking
            assert not one["nominal"], one["key"]  # nothing, or a spread that should be nil
            continue
        assert {name: one[name] for name in NUMBERS} == {name: full[name] for name in NUMBERS}, one["key"]


def each_layout() -> list[Any]:
    """Return every filled layout; all but one, which is in every run, for the long lane."""
    marks = {file: () if file.stem == "solar_well_gravity" else pytest.mark.long for file in FILES}
    return [pytest.param(file, marks=mark) for file, mark in marks.items()]


@pytest.mark.parametrize("file", each_layout(), ids=lambda file: file.stem)
def test_each_empty_nameplate_alone_breaks_nothing(file: Path) -> None:
    document = json.loads(file.read_text())
    whole = {(r["key"], r["value"], r["subject"]) for r in rows_of(document)}
    for place in ("components", "runs"):
        for index in range(len(document[place])):
            less = copy.deepcopy(document)
            less[place][index].pop("nameplate", None)
            found = rows_of(less)
            tag = document[place][index]["tag"]
            assert all(r["missing"].get("words") or r["key"] for r in found if "missing" in r), tag
            assert {(r["key"], r["value"], r["subject"]) for r in found} <= whole | newly_owed(less)


def newly_owed(document: dict[str, Any]) -> set[tuple[str, str, str]]:
    """Return what is owed only while a field is unknown, such as a test of joints whose kind nobody has read."""
    system = system_of(document)
    return {(c.key, j.name, tag) for c in CHECKS.values() for tag in c.subjects(system) for j in c.judged}


def rows_of(document: dict[str, Any]) -> list[dict[str, Any]]:
    return list(expected_rows(system_of(document), {}))


def test_graph_without_anything_owes_what_concerns_a_whole_site_alone(tmp_path: Path) -> None:
    empty = {"format": "as-built", "schema": 1, "site": {}, "components": [], "runs": []}
    file = tmp_path / "empty.json"
    file.write_text(json.dumps(empty))
    assert {one["subject"] for one in told(file)["checks"]} <= {"site"}


# needs


MOVED_ELSEWHERE = {
    ("well_pump_power", "static_level"),  # only of a pump joined straight to its array: tests/sizing/checks/test_drives
    ("battery_rest_voltage", "hours_at_rest"),  # moves the doubt, not the limits: tests/sizing/checks/test_battery
}


def needs_that_move() -> list[tuple[Check, Need]]:
    """Return each check with each need that its expected value follows from."""
    return [
        (check, need)
        for check in CHECKS.values()
        if check.kind is Kind.MEASURED and not check.is_condition and is_computed(check)
        for need in check.needs
        if not need.every_repeat and (check.key, need.name) not in MOVED_ELSEWHERE
    ]


def middle(need: Need) -> float:
    """Return an ordinary value of a need: one at which the systems of the tests work."""
    usual = {
        "irradiance": 850.0, "module_temperature": 48.0, "tank_level": 1.2, "static_level": 24.1,
        "bleach_strength": 0.055, "pumping_level": 26.4, "well_drawdown": 2.3, "specific_capacity": 2.6e-4,
        "battery_temperature": 30.0, "precharge": 180e3, "cut_in": 210e3, "cut_out": 360e3, "booster_flow": 2.2e-4,
        "ambient_temperature": 24.0,
        "hours_since_pumping": 4000.0, "volume_per_stroke": 3.7e-4,
    }  # fmt: skip
    return usual[need.name]


READ = {
    "flow": 6.0e-4, "power": 430.0, "minutes": 7200.0, "time": 4800.0, "level": 24.3, "pumped": 7200.0,
    "strokes": 120.0,
}  # fmt: skip


@pytest.mark.parametrize(
    ("check", "need"), needs_that_move(), ids=lambda one: one.key if isinstance(one, Check) else one.name
)
def test_expected_moves_when_a_need_moves(check: Check, need: Need) -> None:
    document = quince_ridge()
    plate(document, "T1")["inlet_elevation"] = 16.2  # filled from below: the pump feels the tank's level
    centrifugal = quince_ridge()
    plate(centrifugal, "PU1")["principle"] = "centrifugal"  # may stand against a shut valve
    documents = (document, sallow_clinic(), centrifugal)
    system = next(one for one in map(build, documents) if check.subjects(one))
    given = {one.name: middle(one) for one in check.needs if not one.every_repeat}
    moved = {**given, need.name: given[need.name] * 0.8}
    for read in ({}, READ):  # some follow from a need only without a reading of their own, some only beside one
        if numbers(check, system, given | read) != numbers(check, system, moved | read):
            return
    raise AssertionError(f"{check.key} does not follow {need.name}")


def numbers(check: Check, system: System, given: dict[str, float]) -> list[Any]:
    rows = [r for r in expected_rows(system, given) if r["key"] == check.key]
    return [(r["value"], r["subject"], r.get("nominal"), r.get("lower"), r.get("upper")) for r in rows]


# what is refused

HEAD = '{"format": "as-built", "schema": 1, '


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("{", "cannot be read as JSON"),
        ("[]", "is not of type"),
        (HEAD + '"site": {}, "components": [{"kind": "tower"}], "runs": []}', "components"),
        (HEAD + '"site": {"unit_system": "cubits"}, "components": [], "runs": []}', "cubits"),
    ],
)  # fmt: skip
def test_file_that_is_none_is_refused_with_the_place(tmp_path: Path, text: str, words: str) -> None:
    file = tmp_path / "odd.json"
    file.write_text(text)
    with pytest.raises(CommandError, match=words):
        told(file)


@pytest.mark.parametrize("given", ["irradiance", "sunniness=3", "irradiance=high", "static_level=12 furlong"])
def test_condition_that_is_none_is_refused_in_words(given: str) -> None:
    with pytest.raises(CommandError, match=r"no check needs a condition|could not convert|furlong"):
        told(FILES[0], given)


def test_condition_may_come_in_a_unit_of_the_offer() -> None:
    feet, metres = (told(FILES[0], f"static_level@W1={text}") for text in ("60 ft", "18.288"))
    assert feet == metres
