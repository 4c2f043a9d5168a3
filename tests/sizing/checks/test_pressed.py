"""Delivery under a pressure tank: between cut-in and cut-out, by hand and against EPANET."""

from pathlib import Path
from typing import Any

import pytest

from sizing.checks.catalogue import CHECKS
from sizing.checks.delivery import where_the_head_went
from sizing.checks.pressure_zone import zone
from sizing.errors import MissingDataError
from sizing.formulas.pipes import PIPE_ROUGHNESS
from sizing.hydraulics import fittings_coefficient, water_viscosity
from sizing.judgement import Assessment, assess, expect
from sizing.system import System, build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import Taken, changed, readings
from tests.sizing.epanet import Epanet
from tests.sizing.more_systems import KPA, heron_farm, sallow_clinic
from tests.sizing.systems import L_PER_MIN, bare, component, plate, run
from tests.sizing.working_steps import assert_all_recompute

G, RHO = 9.80665, 999.10  # kg/m³ at 15 °C, IAPWS tables
TAP = Taken("delivery_flow", "O1", {"flow": (9 * L_PER_MIN, 0.15 * L_PER_MIN), "pressure": (265 * KPA, 2.9 * KPA)})
METER = "meter"


def clinic(**plates: Any) -> System:
    document = sallow_clinic()
    for key, value in plates.items():
        tag, _, field = key.partition("__")
        plate(document, tag)[field] = value
    return build(document)


def judged(taken: Taken, system: System | None = None) -> Assessment:
    """Return the assessment on the clinic; no tank level is given, and none is needed."""
    return assess(CHECKS["delivery_flow"], system or clinic(), taken.subject, readings=readings(taken.typed), way=METER)


def epanet_at_o1(folder: Path, gas: float, flow: float | None, other: float) -> tuple[dict, dict]:
    """Return EPANET's flows and heads from the pressure tank, as a reservoir at its head, to both taps."""
    system = clinic()
    epanet = Epanet("darcy_weisbach", water_viscosity(system))
    epanet.reservoir("PT1", 0.5 + gas / (RHO * G))
    epanet.junction("J1", 0.5)
    emitter = 0.5 / 3600 * (RHO * G / 1e5) ** 0.5 if flow is None else 0.0
    epanet.junction("O1", 1.0, demand=flow or 0.0, emitter=emitter)
    epanet.junction("O2", 1.2, demand=other)
    for tag, a, b in (("P6", "PT1", "J1"), ("P7", "J1", "O1"), ("P8", "J1", "O2")):
        pipe = system.runs[tag]
        length, bore, k = pipe.need("length"), pipe.need("inside_diameter"), fittings_coefficient(pipe)
        epanet.pipe(tag, a, b, length, bore, PIPE_ROUGHNESS["pvc"], k=k)
    return epanet.solve(folder)


def test_a_sound_measurement_is_within_and_its_steps_recompute() -> None:
    found = judged(TAP)
    assert [f.verdict for f in found.findings] == [Verdict.WITHIN, Verdict.WITHIN], [f.reason for f in found.findings]
    assert_all_recompute(step for one in found.findings for step in one.steps)


def test_expected_flow_and_pressure_agree_with_epanet_half_way(tmp_path: Path) -> None:
    # half way from 200 to 350 kPa; O2 of the test set at its required 4 L/min
    flow, pressure = (f.expected for f in judged(TAP).findings)
    assert flow is not None
    assert pressure is not None
    flows, _ = epanet_at_o1(tmp_path, 275 * KPA, None, 4 * L_PER_MIN)
    assert flow.nominal == pytest.approx(flows["P7"], rel=5e-3)
    _, heads = epanet_at_o1(tmp_path, 275 * KPA, 9 * L_PER_MIN, 4 * L_PER_MIN)
    assert pressure.nominal == pytest.approx(RHO * G * (heads["O1"] - 1.0), rel=2e-3)


def test_pressure_lies_between_cut_in_and_cut_out(tmp_path: Path) -> None:
    pressure = judged(TAP).findings[1].expected
    assert pressure is not None
    _, heads = epanet_at_o1(tmp_path, 200 * KPA, 9 * L_PER_MIN, 4 * L_PER_MIN)
    assert pressure.lower == pytest.approx(0.92 * RHO * G * (heads["O1"] - 1.0), rel=2e-3)
    # at rest at cut-out the tap stands 0.5 m above the tank, and 5 kPa more are allowed
    assert pressure.upper == pytest.approx(350 * KPA - RHO * G * 0.5 + 5 * KPA, rel=1e-4)


@pytest.mark.parametrize(
    ("litres", "kilopascal", "verdicts"),
    [
        (9.0, 200.0, [Verdict.WITHIN, Verdict.WITHIN]),
        (5.0, 330.0, [Verdict.OUTSIDE, Verdict.WITHIN]),
        (9.0, 130.0, [Verdict.WITHIN, Verdict.OUTSIDE]),
        (9.0, 400.0, [Verdict.WITHIN, Verdict.OUTSIDE]),
    ],
)
def test_verdicts(litres: float, kilopascal: float, verdicts: list[Verdict]) -> None:
    taken = changed(TAP, flow=(litres * L_PER_MIN, 0.1 * L_PER_MIN), pressure=(kilopascal * KPA, 2.9 * KPA))
    assert [f.verdict for f in judged(taken).findings] == verdicts


def test_the_switch_moves_what_is_expected() -> None:
    here, there = (judged(TAP, one).findings[1].expected for one in (clinic(), clinic(PS1__cut_in=250 * KPA)))
    assert here is not None
    assert there is not None
    assert here.lower != there.lower
    assert there.nominal - here.nominal == pytest.approx(25 * KPA, rel=1e-3)  # type: ignore[operator]


def test_without_its_switch_the_missing_field_is_named() -> None:
    found = judged(TAP, clinic(PS1__cut_in=None)).findings[1]
    assert found.verdict is Verdict.UNJUDGED
    assert [(one.owner, one.field) for one in found.missing] == [("PS1", "cut_in")]
    empty = judged(TAP, build(bare(sallow_clinic())))
    assert empty.verdict is Verdict.UNJUDGED
    assert all(one.missing for one in empty.findings)


def test_a_well_pump_straight_to_a_pressure_tank_is_judged_the_same_way() -> None:
    check, system = CHECKS["delivery_flow"], build(heron_farm())
    for one in check.judged:
        found, steps, missing = expect(check, one, system, "O1", conditions={})
        assert missing is None
        assert found is not None
        assert found.nominal is not None
        assert_all_recompute(steps)
    taken = assess(check, system, "O1", readings=readings(TAP.typed), way=METER)
    assert [f.verdict for f in taken.findings] == [Verdict.OUTSIDE, Verdict.WITHIN]  # 9 of the 10 L/min promised


def test_a_tap_before_the_booster_is_fed_by_the_tank_s_height() -> None:
    document = sallow_clinic()
    document["components"] += [
        component("J9", "junction", elevation=0.3),
        component("O9", "outlet", elevation=0.4, required_flow=2 * L_PER_MIN, required_pressure=5 * KPA),
    ]
    next(one for one in document["runs"] if one["tag"] == "P2")["end"] = "J9"
    pvc = {"material": "pvc", "inside_diameter": 0.0262, "length": 0.5}
    document["runs"] += [run("P10", "pipe", "J9", "F1", **pvc), run("P11", "pipe", "J9", "O9", **pvc)]
    check = CHECKS["delivery_flow"]
    _, _, missing = expect(check, check.judged[1], build(document), "O9", conditions={})
    assert missing is not None
    assert missing.field == "tank_level"


def test_where_the_head_went_starts_at_the_pressure_tank_and_adds_up() -> None:
    lines = where_the_head_went(clinic(), "O1", 9 * L_PER_MIN, 0.0)
    labels, values = zip(*lines, strict=True)
    assert labels[0] == "PT1 half way from cut-in to cut-out"
    assert values[0] == pytest.approx(275 * KPA / (RHO * G) - 0.5, rel=1e-5)
    assert [label.split()[0] for label in labels[1:-1]] == ["P6", "P7"]
    assert sum(values[1:]) == pytest.approx(values[0])
    with pytest.raises(MissingDataError):
        where_the_head_went(clinic(PS1__cut_out=None), "O1", 9 * L_PER_MIN, 0.0)


def test_what_the_other_taps_of_the_test_set_draw_is_felt() -> None:
    # 40 L/min more through P6, 8 m of 26 mm pipe: v = 1.26 m/s, some 5 kPa by Darcy-Weisbach with f ≈ 0.024
    (_, little), (_, much) = (
        [f.expected for f in judged(TAP, clinic(O2__required_flow=q * L_PER_MIN)).findings] for q in (0.4, 40)
    )
    assert little is not None
    assert much is not None
    assert 3 * KPA < little.nominal - much.nominal < 12 * KPA


def test_a_walk_under_pressure_ends_at_the_booster() -> None:
    open_ended = clinic(V2__function="isolation")
    tags = {node.tag for node in zone(open_ended, "O1")}
    assert "B1" in tags
    assert not tags & {"F1", "V1", "T1"}
