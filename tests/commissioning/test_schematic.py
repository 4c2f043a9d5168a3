"""The section drawn from the as-built graph: true heights, nothing over anything else, any system.

What a good section looks like is our own rule of drawing; symbols after ISO 14617 and IEC 60617.
"""

import re
from functools import cache
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from commissioning.plots.schematic import schematic
from sizing.parts import COMPONENT_KINDS, Part
from sizing.system import Node, System, build
from tests.commissioning.schematic_geometry import overlaps, read
from tests.commissioning.schematic_systems import DOCUMENTS, clinic, only_a_well, systems, two_wells
from tests.sizing.systems import bare, component, quince_ridge, run

SYSTEMS = systems()
POINT = 25.4 / 72  # mm; a point of type is 1/72 inch
ON_A_PAGE = ("quince ridge", "high tank and six outlets", "clinic with a hand pump", "spring and two tanks in line")
PAPER, LEAST_TYPE = 170.0, 6.5  # mm of paper, points


def drawn(document, unit_system="metric", is_print=False):
    return schematic(build(document), unit_system=unit_system, print=is_print)


def words(svg):
    return [text for text, _ in read(svg).texts]


def width_of(svg):
    return float(re.search(r'viewBox="0 0 (\d+)', svg)[1])


@cache
def known(name, unit_system="metric", is_print=False):
    return schematic(SYSTEMS[name], unit_system=unit_system, print=is_print)


@pytest.mark.parametrize("is_print", [False, True], ids=["screen", "print"])
@pytest.mark.parametrize("name", SYSTEMS)
def test_nothing_overlaps(name, is_print):
    assert overlaps(known(name, "metric", is_print)) == []


@pytest.mark.parametrize("name", DOCUMENTS)
def test_nothing_overlaps_in_feet_and_gallons(name):
    assert overlaps(known(name, "us")) == []


@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_component_and_run_is_named(name):
    system = SYSTEMS[name]
    found = " ".join(words(known(name))).replace("·", " ").split()
    for tag in [*system.nodes, *system.runs]:
        assert tag in found, tag


def test_the_eye_of_these_tests_sees_an_overlap():
    svg = drawn(quince_ridge())
    moved = svg.replace(">V1<", ">V1 with words that reach far over the tank and more<")
    assert overlaps(moved)


def test_drawing_twice_gives_the_same_picture():
    assert drawn(two_wells()) == drawn(two_wells())


def staff(svg):
    """Return (y, elevation) of each figure on the staff: the texts left of its line."""
    picture = read(svg)
    line = next(segments for segments in picture.of("staff"))[0][0]
    figures = [(text.replace("\u2212", "-"), box) for text, box in picture.texts if box[2] <= line - 10]
    return sorted(((box[1] + box[3]) / 2, float(text)) for text, box in figures if re.fullmatch(r"-?[\d.]+", text))


def elevation_at(svg, y):
    """Return the elevation that the staff's figures give a height of the picture."""
    figures = staff(svg)
    pairs = pairwise(figures)
    (y1, e1), (y2, e2) = min(pairs, key=lambda pair: abs((pair[0][0] + pair[1][0]) / 2 - y))
    return e1 + (e2 - e1) * (y - y1) / (y2 - y1)


def test_tank_and_well_stand_at_their_heights_on_the_staff():
    svg = drawn(quince_ridge())
    walls = read(svg).of("wall")
    bottoms = sorted(elevation_at(svg, max(max(one[1], one[3]) for one in wall)) for wall in walls)
    assert bottoms == pytest.approx([0.4 - 60.0, 16.0], abs=0.4)  # measuring point 0.40, depth 60 m; floor 16 m


def test_outlets_stand_at_their_heights_on_the_staff():
    svg = drawn(DOCUMENTS["spring and two tanks in line"]())
    spouts = sorted(elevation_at(svg, box[1] + 2) for name, box in read(svg).signs if name == "outlet")
    # The three elevations of the record; levels nearer than can be seen share one line.
    assert spouts == pytest.approx([0.8, 4.0, 6.0], abs=0.35)


def test_a_deep_well_breaks_staff_and_casing_and_the_figures_stay_true():
    svg = drawn(quince_ridge())
    marks = read(svg).of("break")
    assert len(marks) == 4  # two strokes on the staff, two on the well
    figures = [elevation for _, elevation in staff(svg)]
    assert figures == sorted(figures, reverse=True)
    assert min(figures) < -50
    assert max(figures) > 15


def test_without_heights_nothing_says_a_height():
    svg = drawn(bare(quince_ridge()))
    assert staff(svg) == []
    assert not any(re.search(r"\d (m|ft)\b", text.replace("\u00a0", " ")) for text in words(svg))
    assert "No height is recorded: not to scale." in words(svg)


def test_a_missing_height_is_drawn_and_not_told():
    document = quince_ridge()
    next(one for one in document["components"] if one["tag"] == "O1")["nameplate"].pop("elevation")
    texts = words(drawn(document))
    assert "+1.0\u00a0m" not in texts
    assert "+0.8\u00a0m" in texts


def test_labels_are_in_the_units_of_the_site():
    texts = words(drawn(quince_ridge(), "us"))
    assert "+52.5\u00a0ft" in " ".join(texts)  # 16.0 m / 0.3048 = 52.49 ft
    assert "197\u00a0ft" in texts  # 60 m / 0.3048 = 196.85 ft
    assert any("gal" in text for text in texts)


def test_a_tank_tells_what_it_holds():
    # π · 2.40² / 4 · (18.20 − 16.00) = 9.95 m³, by hand
    assert "10.0\u00a0m³, +16.0\u00a0m" in words(drawn(quince_ridge()))


@pytest.mark.parametrize("name", SYSTEMS)
def test_static_picture_with_title_and_no_style(name):
    svg = known(name)
    root = ElementTree.fromstring(svg)  # noqa: S314  our own drawing
    assert root.get("role") == "img"
    assert root.get("class").split()[0] == "sch"
    assert [one for one in ("style=", "<script", "href") if one in svg] == []
    title = root[0].text
    assert all(tag in title for tag in SYSTEMS[name].nodes)


def test_pipes_are_blue_on_screen_and_ink_on_paper():
    assert 'class="run pipe"' in drawn(quince_ridge())
    assert "pipe" not in re.findall(r'class="([^"]*)"', drawn(quince_ridge(), is_print=True))
    widths = {(cls, width) for cls, width, _ in read(drawn(quince_ridge())).lines if "run" in cls.split()}
    assert widths == {("run pipe", 3.4), ("run", 1.5)}


def test_control_lines_are_dashed_and_nothing_else_that_runs():
    svg = drawn(quince_ridge())
    dashed = re.findall(r'<path [^>]*stroke-dasharray="5 4"[^>]*class="([^"]*)"', svg)
    assert dashed == ["run", "run"]  # N1 and N2


def test_a_shut_valve_is_filled_and_a_check_valve_has_its_own_symbol():
    names = [name for name, _ in read(drawn(clinic())).signs]
    assert names.count("valve_shut") == 1
    assert "check_valve" in [name for name, _ in read(drawn(two_wells())).signs]


def test_the_electrical_side_hangs_above_what_it_feeds():
    picture = read(drawn(quince_ridge()))
    place = dict(picture.signs)
    order = [place[name][1] for name in ("solar_array", "switch", "converter", "pump")]
    assert order == sorted(order)
    assert abs(place["pump"][0] - place["converter"][0]) < 40  # over its well


@pytest.mark.parametrize("name", ON_A_PAGE)
def test_letters_on_paper_are_large_enough(name):
    svg = known(name, "metric", True)
    root = ElementTree.fromstring(svg)  # noqa: S314  our own drawing
    sizes = [float(one.get("font-size")) for one in root[1] if one.tag.endswith("text")]
    assert min(sizes) * PAPER / width_of(svg) / POINT >= LEAST_TYPE


def test_an_empty_record_is_a_picture_too():
    assert "No component is recorded yet." in drawn({"components": [], "runs": []})


def test_a_lone_well_is_drawn_to_its_depth():
    svg = drawn(only_a_well())
    assert "74\u00a0m" in words(svg)
    assert "static 31\u00a0m" in words(svg)


class Cistern(Part):
    """A kind that nobody has drawn a symbol for."""

    kind = "cistern_of_another_age"
    title = "Cistern"
    tag_prefix = "X"


def test_an_unknown_kind_is_a_plain_box_with_its_tag():
    system = build(quince_ridge())
    nodes = {**system.nodes, "V1": Node("V1", Cistern()), "C1": Node("C1", Cistern()), "X9": Node("X9", Cistern())}
    svg = schematic(System(system.site, nodes, system.runs), unit_system="metric")
    assert len(read(svg).frames) == 3
    assert overlaps(svg) == []
    assert {"V1", "C1", "X9"} <= set(words(svg))


def test_words_in_a_record_cannot_break_the_picture():
    document = quince_ridge()
    document["components"][0]["name"] = '</text><script>alert("1")</script>\x07'
    svg = drawn(document)
    ElementTree.fromstring(svg)  # noqa: S314  our own drawing
    assert "<script" not in svg


NAMES = st.sampled_from(["", "tap", "upper tank by the school", "x" * 40, "ÄÖÜ 木村 дом"])
HEIGHT = st.one_of(st.none(), st.floats(-20, 60, allow_nan=False))
PLATES = {
    "well": st.fixed_dictionaries(
        {}, optional={"depth": st.floats(1, 300), "static_level": st.floats(0, 200), "pump_setting": st.floats(1, 250)}
    ),
    "storage_tank": st.fixed_dictionaries(
        {}, optional={"floor_elevation": HEIGHT, "overflow_elevation": HEIGHT, "outlet_elevation": HEIGHT}
    ),
    "level_switch": st.fixed_dictionaries({}, optional={"set_elevation": HEIGHT}),
    "hand_pump": st.fixed_dictionaries({}, optional={"outlet_elevation": st.floats(-1, 3)}),
}
WITH_HEIGHT = st.fixed_dictionaries({}, optional={"elevation": HEIGHT})
RUNS = ("pipe", "pipe", "pipe", "cable", "control")


@st.composite
def documents(draw):
    """Draw a tree of any components and runs, some of them in a well or tank."""
    components, runs = [], []
    for k in range(draw(st.integers(1, 12))):
        kind = draw(st.sampled_from(sorted(COMPONENT_KINDS)))
        hosts = [one["tag"] for one in components if one["kind"] in COMPONENT_KINDS[kind].hosts]
        host = draw(st.sampled_from(hosts)) if hosts and draw(st.booleans()) else None
        has_height = "elevation" in COMPONENT_KINDS[kind].declarations()
        plate = draw(PLATES.get(kind, WITH_HEIGHT if has_height else st.just({})))
        components.append(component(f"X{k}", kind, host, draw(NAMES), **plate))
        if k and draw(st.integers(0, 5)):
            other = draw(st.integers(0, k - 1))
            ends = [f"X{k}", f"X{other}"] if draw(st.booleans()) else [f"X{other}", f"X{k}"]
            runs.append(run(f"R{k}", draw(st.sampled_from(RUNS)), *ends))
    return {"site": {}, "components": components, "runs": runs}


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(documents(), st.booleans())
def test_any_tree_is_drawn_and_nothing_overlaps(document, is_print):
    svg = drawn(document, is_print=is_print)
    assert overlaps(svg) == []
