"""A nameplate as a form: every kind of field, refused, asked back once, kept as typed."""

from typing import Any

import pytest

from commissioning.asbuilt.plate_form import PlateForm
from commissioning.nameplates import NameplateError, core_values
from sizing.parts import (
    COMPONENT_KINDS,
    RUN_KINDS,
    HandPump,
    Part,
    Pipe,
    PowerCable,
    SiteData,
    SolarArray,
    SubmersiblePump,
    Well,
)
from tests.commissioning.worlds import typed_plate
from tests.sizing.systems import plate, quince_ridge


def sent(part: type[Part], unit_system: str = "metric", stored: Any = None, **typed: str) -> PlateForm:
    data = {f"plate-{name.replace('__', '-')}": value for name, value in typed.items()}
    form = PlateForm(part, unit_system=unit_system, stored=stored, data=data)
    form.is_valid()
    return form


@pytest.mark.parametrize("part", [*COMPONENT_KINDS.values(), *RUN_KINDS.values(), SiteData], ids=lambda p: p.kind)
def test_every_declared_field_stands_on_the_form_of_its_kind(part: type[Part]) -> None:
    form = PlateForm(part, unit_system="us")
    shown = [item.field.name for group in form.groups for item in (*group.items, *group.wide)]
    assert sorted(shown) == sorted(part.declarations())


@pytest.mark.parametrize("tag", ["W1", "PU1", "T1", "A1", "P3", "K3", "site"])
@pytest.mark.parametrize("unit_system", ["metric", "us"])
def test_stored_nameplate_comes_back_from_its_form_unchanged(tag: str, unit_system: str) -> None:
    document = quince_ridge()
    kinds = {one["tag"]: one["kind"] for one in [*document["components"], *document["runs"]]}
    kind = kinds.get(tag, SiteData.kind)
    stored = typed_plate(kind, plate(document, tag), unit_system)
    part = {**COMPONENT_KINDS, **RUN_KINDS, SiteData.kind: SiteData}[kind]
    form = PlateForm(part, unit_system=unit_system, stored=stored, data={})
    assert form.is_valid(), form.faults
    assert form.plate() == stored


def test_number_keeps_its_text_and_its_unit() -> None:
    form = sent(Well, depth="200.0", depth__unit="ft")
    assert form.plate() == {"depth": {"typed": "200.0", "unit": "ft"}}
    assert core_values(Well, form.plate())["depth"] == pytest.approx(60.96)  # 1 ft = 0.3048 m exactly, NIST SP 811


@pytest.mark.parametrize(
    "typed", ["1,5", "1e309", "NaN", "inf", "٣٤", "12 m", "<script>alert(1)</script>", "\x00", "9" * 400, "--", "1.2.3"]
)
def test_what_is_no_number_is_refused_at_the_field_and_stays(typed: str) -> None:
    form = sent(Well, depth=typed)
    assert form.items["depth"].error
    assert form.items["depth"].typed == typed.strip()  # type: ignore[attr-defined]


def test_beyond_the_possible_is_refused() -> None:
    assert "possible" in sent(Well, depth="5000").items["depth"].error


def test_unit_that_is_not_on_offer_is_refused() -> None:
    assert sent(Well, depth="60", depth__unit="furlong").items["depth"].error == "Choose a unit from the list."


def test_beyond_the_usual_is_asked_back_once() -> None:
    asked = sent(Well, depth="900")
    assert asked.items["depth"].doubt
    mark = asked.items["depth"].offers[-1].value
    assert not sent(Well, depth="900", depth__right=mark).faults
    assert sent(Well, depth="901", depth__right=mark).items["depth"].doubt, "another number is another question"
    stored = {"depth": {"typed": "900", "unit": "m"}}
    assert not sent(Well, stored=stored, depth="900").faults, "kept once, it is not asked again"


def test_cure_of_a_slip_is_taken_when_chosen() -> None:
    offer = sent(Well, depth="900").items["depth"].offers[0]
    form = sent(Well, depth="900", depth__right=offer.value)
    assert form.plate() == {"depth": {"typed": "900", "unit": "ft"}}


def test_choice_that_is_not_on_the_list_is_refused() -> None:
    assert sent(SubmersiblePump, motor="steam").items["motor"].error


@pytest.mark.parametrize("typed", ["-1", "1.5", "1000", "three", "1,0"])
def test_fittings_are_counted_in_whole_numbers(typed: str) -> None:
    form = sent(Pipe, fittings__elbow_90=typed)
    assert [fault.anchor for fault in form.faults] == ["plate-fittings-elbow_90"]


def test_fittings_are_kept_by_kind() -> None:
    assert sent(Pipe, fittings__elbow_90="3", fittings__exit="").plate() == {"fittings": {"elbow_90": "3"}}


# ASTM B258, nominal section: 10 AWG 5.261 mm², 4/0 AWG 107.2 mm². A metric size is its section by name, IEC 60228.
@pytest.mark.parametrize(
    ("typed", "size", "section"),
    [
        ("10 AWG", "10 AWG", "5.261"),
        ("4/0awg", "4/0 AWG", "107.2"),
        ("6 mm²", "6 mm²", "6"),
        ("2.5mm2", "2.5 mm²", "2.5"),
    ],
)
def test_size_as_printed_gives_its_section(typed: str, size: str, section: str) -> None:
    form = sent(PowerCable, size=typed)
    assert form.plate() == {"size": size, "section": {"typed": section, "unit": "mm2"}}


@pytest.mark.parametrize("size", ["10", "99 AWG", "5/0 AWG", "AWG", "six", "0x10 mm²", "250 kcmil", "7 mm²", "٦ mm²"])
def test_what_is_no_size_of_the_tables_is_refused(size: str) -> None:
    form = sent(PowerCable, size=size)
    assert form.items["size"].error
    assert "section" not in form.plate()


def test_size_and_section_that_disagree_are_asked_back() -> None:
    form = sent(PowerCable, size="10 AWG", section="10", section__unit="mm2")
    item = form.items["section"]
    assert "5.261" in item.doubt
    cured = sent(PowerCable, size="10 AWG", section="10", section__unit="mm2", section__right=item.offers[0].value)
    assert cured.plate()["section"]["typed"] == "5.261"


# ASTM D1785 prints 1.380 in as the average bore of 1-1/4 in Schedule 40 and allows for a thicker wall: 1.36 in;
# ISO 4427-2: 40 mm SDR 11 has a least wall of 3.7 mm and carries 16 bar.
@pytest.mark.parametrize(
    ("typed", "unit_system", "bore", "unit", "material", "rating"),
    [
        ("40 mm SDR 11 PE 100", "metric", 32.6, "mm", "pe", 1600.0),
        ("40MM sdr 11 pe100", "metric", 32.6, "mm", "pe", 1600.0),
        ("1-1/4 in Sch 40 PVC", "us", 1.36, "in", "pvc", 370.0),
    ],
)
def test_pipe_as_printed_gives_its_bore(
    typed: str, unit_system: str, bore: float, unit: str, material: str, rating: float
) -> None:
    plate = sent(Pipe, unit_system, nominal=typed).plate()
    assert float(plate["inside_diameter"]["typed"]) == pytest.approx(bore, rel=0.01)
    assert plate["inside_diameter"]["unit"] == unit
    assert plate["material"] == material
    assert float(plate["pressure_rating"]["typed"]) == pytest.approx(rating)


def test_pipe_that_is_in_no_table_is_kept_as_typed() -> None:
    assert sent(Pipe, nominal="black roll, no print").plate() == {"nominal": "black roll, no print"}


def test_bore_that_disagrees_with_the_printed_size_is_asked_back() -> None:
    form = sent(Pipe, nominal="40 mm SDR 11 PE 100", inside_diameter="40", inside_diameter__unit="mm")
    item = form.items["inside_diameter"]
    assert "ISO 4427-2" in item.doubt
    kept = sent(
        Pipe, nominal="40 mm SDR 11 PE 100", inside_diameter="40", inside_diameter__unit="mm",
        inside_diameter__right=item.offers[-1].value,
    )  # fmt: skip
    assert kept.plate()["inside_diameter"] == {"typed": "40", "unit": "mm"}


@pytest.mark.parametrize("name", ["series", "parallel", "cells_in_series"])
def test_modules_are_counted_in_whole_numbers(name: str) -> None:
    assert sent(SolarArray, **{name: "2.5"}).items[name].error == "Type a whole number."
    with pytest.raises(NameplateError, match="whole"):
        core_values(SolarArray, {name: {"typed": "2.5"}})
    assert not sent(SolarArray, **{name: "36"}).items[name].error


def test_ratio_may_be_a_fraction() -> None:
    assert sent(HandPump, handle_ratio="7.5").plate() == {"handle_ratio": {"typed": "7.5"}}
