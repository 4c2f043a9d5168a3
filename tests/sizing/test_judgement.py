"""From readings and conditions to findings: uncertainty by re-evaluation, missing data, repeats."""

import dataclasses
import math

import pytest

from sizing.checks.case import Case, Expected, Reading, Term, Value
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check, Input, Judged, Kind, Need, Needed, Way, each, rows, times
from sizing.errors import MissingDataError, SystemShapeError
from sizing.formulas.photovoltaic import short_circuit_current
from sizing.judgement import assess, disagreement, expect
from sizing.parts import SolarArray
from sizing.quantities import Quantity as Q
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import ROW, STILL, WEATHER, Taken, judged, readings
from tests.sizing.systems import quince_ridge

SYSTEM = build(quince_ridge())
RECTANGULAR = 1 / math.sqrt(3)


def current_expected(case):
    """Return the current of a string with a nameplate good to ± 3 %, limits ± 10 %."""
    nominal = case.w.call(
        "I_sc",
        short_circuit_current,
        rated_current=case.subject.need("module_short_circuit_current"),
        irradiance=case.condition("irradiance"),
        cell_temperature=25.0,
        coefficient=0.0,
    )
    plate = Term("module nameplate ± 3 %", 0.03 * nominal * RECTANGULAR, shared=True)
    return Expected(Q.CURRENT, nominal, 0.9 * nominal, 1.1 * nominal, terms=(plate,))


def power_measured(case):
    return case.reading("voltage") * case.reading("current")


CURRENT = Input("current", "Current", Q.CURRENT, hard=(0, 100))
CHECK = Check(
    key="a_current",
    title="A current",
    kind=Kind.MEASURED,
    subject=SolarArray,
    group="",
    purpose="",
    ways=(Way("", "", (CURRENT,)),),
    judged=(Judged("current", "Current", Q.CURRENT, current_expected),),
    needs=(Need("irradiance", Needed.WEATHER, "Irradiance", Q.IRRADIANCE),),
)
POWER = dataclasses.replace(
    CHECK,
    key="a_power",
    ways=(Way("", "", (Input("voltage", "Voltage", Q.VOLTAGE, hard=(0, 100)), CURRENT)),),
    judged=(
        Judged("power", "Power", Q.POWER, lambda case: Expected(Q.POWER, 100.0, 50.0, 150.0), measured=power_measured),
    ),
)


def judge(check, *readings, conditions=None):
    return assess(check, SYSTEM, "A1", readings=readings, conditions=conditions or {})


def sun(value=1000.0, u=0.0, **more):
    return {"irradiance": Value(value, u, **more)}


def test_uncertainty_of_measured_against_expected_current():
    """Sensor ± 5 %, clamp ± 2 %, nameplate ± 3 %, all rectangular: by hand √(5² + 2² + 3²)/√3 = 3.559 %, k = 2."""
    reading = Reading("current", 5.85, u=0.02 * 5.85 * RECTANGULAR)
    (finding,) = judge(CHECK, reading, conditions=sun(u=50 * RECTANGULAR)).findings
    assert finding.spread / 5.85 == pytest.approx(2 * math.sqrt(38) / 100 * RECTANGULAR, rel=1e-6)
    assert finding.leading.name == "irradiance"
    assert {t.name for t in finding.terms} == {"current", "irradiance", "module nameplate ± 3 %"}
    assert [t.shared for t in finding.terms if t.name.startswith("module")] == [True]


def test_uncertainty_of_a_product_follows_the_law_of_propagation():
    """JCGM 100:2008, equation 10: u² = (I · u_V)² + (V · u_I)²; here 4 · 0.2 = 0.8 and 25 · 0.1 = 2.5."""
    (finding,) = judge(POWER, Reading("voltage", 25.0, u=0.2), Reading("current", 4.0, u=0.1)).findings
    assert finding.value == 100.0
    assert {t.name: pytest.approx(t.u) for t in finding.terms} == {"voltage": 0.8, "current": 2.5}
    assert finding.spread == pytest.approx(2 * math.hypot(0.8, 2.5))


def test_a_value_is_only_uncertain_by_what_moves_it():
    conditions = {**sun(), "wind": Value(3.0, 1.0)}
    (finding,) = judge(CHECK, Reading("current", 5.85), conditions=conditions).findings
    assert [t.name for t in finding.terms] == ["module nameplate ± 3 %"]


def test_a_shared_condition_stays_shared():
    conditions = sun(u=10.0, shared=True, words="the same sun meter")
    (finding,) = judge(CHECK, Reading("current", 5.85), conditions=conditions).findings
    assert next(t for t in finding.terms if t.name == "the same sun meter").shared


@pytest.mark.parametrize(
    ("read", "verdict"),
    [(5.85, Verdict.WITHIN), (5.40, Verdict.BORDERLINE), (4.00, Verdict.OUTSIDE), (7.50, Verdict.OUTSIDE)],
)
def test_verdict_follows_the_value(read, verdict):
    assert judge(CHECK, Reading("current", read, u=0.05), conditions=sun(u=10.0)).verdict is verdict


def test_too_much_doubt_is_said_with_its_source():
    (finding,) = judge(CHECK, Reading("current", 5.85), conditions=sun(u=150.0)).findings
    assert finding.verdict is Verdict.UNJUDGED
    assert finding.reason == "conditions too uncertain; most of it from irradiance"


def test_the_edge_of_what_can_be_computed_still_gives_a_number():
    """± u around 20 W/m² reaches below zero, where there is no formula: the other side counts alone."""
    (finding,) = judge(CHECK, Reading("current", 0.117), conditions=sun(20.0, 30.0)).findings
    term = next(t for t in finding.terms if t.name == "irradiance")
    assert term.u == pytest.approx(5.85 * 30 / 1000)


def test_missing_data_is_a_finding_and_never_an_error():
    (finding,) = judge(CHECK, Reading("current", 5.85, u=0.1)).findings
    assert (finding.value, finding.verdict, finding.expected) == (5.85, Verdict.UNJUDGED, None)
    assert finding.reason == "irradiance has not been measured"
    assert finding.spread == pytest.approx(0.2)
    late = {"irradiance": MissingDataError("condition", "irradiance", "irradiance is older than 5 minutes")}
    (finding,) = judge(CHECK, Reading("current", 5.85), conditions=late).findings
    assert finding.reason == "irradiance is older than 5 minutes"


def test_a_reading_that_is_not_there_is_named():
    (finding,) = judge(CHECK, conditions=sun()).findings
    assert (finding.value, finding.reason) == (None, "current has not been read")


def test_a_number_out_of_range_is_named():
    (finding,) = judge(CHECK, Reading("current", 5.85), conditions=sun(-3.0)).findings
    assert finding.missing[0].field == "irradiance"
    assert finding.verdict is Verdict.UNJUDGED


def test_a_record_that_cannot_be_computed_is_named():
    def no_shape(case):
        raise SystemShapeError("the pipes form a loop, closed by P9; only trees are computed")

    check = dataclasses.replace(CHECK, judged=(Judged("current", "Current", Q.CURRENT, no_shape),))
    (finding,) = judge(check, Reading("current", 5.85)).findings
    assert finding.verdict is Verdict.UNJUDGED
    assert "P9" in finding.reason


def test_expectation_needs_no_reading():
    expected, steps, missing = expect(CHECK, CHECK.judged[0], SYSTEM, "A1", conditions=sun(800.0))
    assert expected.nominal == pytest.approx(4.68)  # by hand: 5.85 · 0.8
    assert [s.symbol for s in steps] == ["I_sc"]
    assert missing is None
    expected, steps, missing = expect(CHECK, CHECK.judged[0], SYSTEM, "A1", conditions={})
    assert (expected, steps, missing.field) == (None, (), "irradiance")


def test_repeats_are_averaged_and_share_their_doubt():
    """Two readings with u = 0.1 each: the mean has 0.1/√2 (JCGM 100:2008, 4.2.3, no common part)."""
    check = dataclasses.replace(CHECK, repeat=times(2))
    readings = (Reading("current", 5.8, "1", 0.1), Reading("current", 5.9, "2", 0.1))
    (finding,) = judge(check, *readings, conditions=sun()).findings
    assert finding.value == pytest.approx(5.85)
    assert next(t.u for t in finding.terms if t.name == "current") == pytest.approx(0.1 / math.sqrt(2))


@pytest.mark.parametrize(
    ("share", "fixed", "words"),
    [(0.05, None, "repeats differ by 10 %, more than 5 %"), (None, 0.3, "repeats do not agree"), (0.2, 0.7, "")],
)
def test_repeats_far_apart_are_taken_again(share, fixed, words):
    one = dataclasses.replace(CURRENT, agree_share=share, agree_fixed=fixed)
    check = dataclasses.replace(CHECK, ways=(Way("", "", (one,)),), repeat=times(2))
    readings = (Reading("current", 5.5575, "1"), Reading("current", 6.1425, "2"))
    said = disagreement(check, readings)
    assert words in said
    assert bool(said) == bool(words)
    (finding,) = judge(check, *readings, conditions=sun()).findings
    assert (finding.verdict is Verdict.UNJUDGED) == bool(words)


@pytest.mark.parametrize("repeat", [each("parallel", "string"), rows(1, 2)], ids=["each", "rows"])
def test_some_repeats_are_judged_one_by_one(repeat):
    check = dataclasses.replace(CHECK, repeat=repeat)
    readings = (Reading("current", 5.85, "a", 0.1), Reading("current", 3.0, "b", 0.2))
    assessment = judge(check, *readings, conditions=sun())
    assert [(f.repeat, f.value, f.verdict) for f in assessment.findings] == [
        ("a", 5.85, Verdict.WITHIN),
        ("b", 3.0, Verdict.OUTSIDE),
    ]
    assert [next(t.u for t in f.terms if t.name == "current") for f in assessment.findings] == pytest.approx([0.1, 0.2])
    assert assessment.verdict is Verdict.OUTSIDE


def test_a_bound_is_kept_with_its_finding():
    (finding,) = judge(CHECK, Reading("current", 60.0, bound=">"), conditions=sun()).findings
    assert (finding.bound, finding.verdict) == (">", Verdict.OUTSIDE)


def test_a_condition_has_a_value_and_no_verdict():
    check = dataclasses.replace(CHECK, is_condition=True, needs=())
    for conditions in ({}, sun()):
        assessment = judge(check, Reading("current", 5.85, u=0.1), conditions=conditions)
        assert assessment.verdict is None
        assert [f.verdict for f in assessment.findings] == [None]
        assert assessment.findings[0].value == 5.85


def test_every_repeat_of_another_check_comes_in_the_order_of_its_labels():
    conditions = {f"volts/string {i}": Value(float(i)) for i in (10, 2, 1)}
    case = Case(SYSTEM, SYSTEM.subject("A1"), conditions={**conditions, "volts/string 3": Value(3.0)})
    assert case.every("volts") == (1.0, 2.0, 3.0, 10.0)
    assert case.used == {"volts/string 1", "volts/string 2", "volts/string 3", "volts/string 10"}
    assert Case(SYSTEM, SYSTEM.subject("A1"), conditions={"volts": Value(7.0)}).every("volts") == (7.0,)
    with pytest.raises(MissingDataError, match="volts has not been measured"):
        Case(SYSTEM, SYSTEM.subject("A1")).every("volts")
    with pytest.raises(MissingDataError, match="string 2 was not read"):
        Case(
            SYSTEM,
            SYSTEM.subject("A1"),
            conditions={
                "volts/string 1": Value(1.0),
                "volts/string 2": MissingDataError("r", "v", "string 2 was not read"),
            },
        ).every("volts")


def test_fewer_rows_than_wanted_settle_nothing() -> None:
    one = judged(Taken("well_pump_flow", "PU1", ROW, STILL, "meter"))
    assert [f.verdict for f in one.findings] == [Verdict.WITHIN, Verdict.WITHIN]
    assert one.verdict is Verdict.UNJUDGED


def test_each_row_has_the_conditions_of_its_own_time() -> None:
    check = CHECKS["well_pump_flow"]
    typed = readings({"flow@row 1": 4e-4, "flow@row 2": 4e-4})
    strong, weak = ({**WEATHER, "irradiance": Value(g, 0.0)} for g in (900.0, 600.0))
    found = assess(check, SYSTEM, "PU1", readings=typed, at_each={"row 1": (0.0, strong), "row 2": (3600.0, weak)})
    first, second = (f.expected.nominal for f in found.findings if f.name == "flow" and f.expected)
    assert first > second  # the stronger sun lifts more
