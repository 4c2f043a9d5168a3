"""Delivery at the taps against EPANET, the duty, and the table of where the head went."""

from pathlib import Path

import pytest

from sizing.checks.case import Value
from sizing.checks.catalogue import CHECKS
from sizing.checks.delivery import where_the_head_went
from sizing.errors import MissingDataError
from sizing.formulas.fittings import LOSS_COEFFICIENTS
from sizing.formulas.pipes import PIPE_ROUGHNESS
from sizing.hydraulics import fittings_coefficient, water_viscosity
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import LEVEL, Taken, changed, expected, finding, good, in_advance, judged
from tests.sizing.epanet import Epanet
from tests.sizing.systems import L_PER_MIN, plate, quince_ridge

G = 9.80665
RHO = 999.38  # kg/m³ at 13 °C, IAPWS tables
METER = good("delivery_flow", "meter")


def epanet_at_taps(folder: Path, o1: float | None, o2: float | None, level: float = 17.5) -> tuple[dict, dict]:
    """Return EPANET's flows and heads of the gravity side; a tap that is simply open is None."""
    system = build(quince_ridge())
    epanet = Epanet("darcy_weisbach", water_viscosity(system))
    epanet.reservoir("T1", level)
    epanet.junction("V2", 0.0)
    epanet.junction("J1", 1.2)
    for tag, elevation, kv, drawn in (("O1", 1.0, 0.8, o1), ("O2", 0.8, 1.0, o2)):
        emitter = kv / 3600 * (1000 * G / 1e5) ** 0.5 if drawn is None else 0.0
        epanet.junction(tag, elevation, demand=drawn or 0.0, emitter=emitter)
    gate = LOSS_COEFFICIENTS["gate_valve"]
    for tag, a, b, extra in (
        ("P2", "T1", "V2", gate),
        ("P6", "V2", "J1", 0.0),
        ("P3", "J1", "O1", 0.0),
        ("P4", "J1", "O2", 0.0),
    ):
        pipe = system.runs[tag]
        k = fittings_coefficient(pipe) + extra
        epanet.pipe(tag, a, b, pipe.need("length"), pipe.need("inside_diameter"), PIPE_ROUGHNESS["pe"], k=k)
    return epanet.solve(folder)


def test_pressure_expected_agrees_with_epanet(tmp_path: Path) -> None:
    # O2 at the 14.4 L/min measured, O1 of its test set at its required 10 L/min
    _, heads = epanet_at_taps(tmp_path, 10 * L_PER_MIN, 2.4e-4)
    e = expected(METER, "delivery_pressure")
    assert e.nominal == pytest.approx(RHO * G * (heads["O2"] - 0.8), rel=3e-3)


def test_flow_expected_of_an_open_tap_agrees_with_epanet(tmp_path: Path) -> None:
    flows, _ = epanet_at_taps(tmp_path, 10 * L_PER_MIN, None)
    assert expected(METER).nominal == pytest.approx(flows["P4"], rel=3e-3)


def test_flow_is_held_to_the_duty_alone() -> None:
    e = expected(good("delivery_flow"))
    assert e.lower == pytest.approx(10 * L_PER_MIN)
    assert e.upper is None


def test_pressure_limits_by_hand() -> None:
    e = expected(good("delivery_flow"), "delivery_pressure")
    assert e.nominal is not None
    assert e.lower == pytest.approx(0.92 * e.nominal)
    # at rest 17.5 − 1.0 m of water, and 5 kPa
    assert e.upper == pytest.approx(RHO * G * 16.5 + 5_000, rel=1e-5)


def test_the_duty_is_the_limit_where_it_is_higher() -> None:
    document = quince_ridge()
    plate(document, "O1")["required_pressure"] = 130_000.0
    assert expected(good("delivery_flow"), "delivery_pressure", build(document)).lower == 130_000.0


@pytest.mark.parametrize(
    ("seconds", "kilopascal", "flow", "pressure"),
    [
        (41.4, 132.0, Verdict.WITHIN, Verdict.WITHIN),
        (70.0, 140.0, Verdict.OUTSIDE, Verdict.WITHIN),
        (41.4, 90.0, Verdict.WITHIN, Verdict.OUTSIDE),
        (41.4, 200.0, Verdict.WITHIN, Verdict.OUTSIDE),
        (59.8, 140.0, Verdict.WITHIN, Verdict.WITHIN),
    ],
)
def test_verdicts_of_both_values(seconds: float, kilopascal: float, flow: Verdict, pressure: Verdict) -> None:
    taken = changed(
        good("delivery_flow"), **{f"time__{i}": (seconds, 0.3) for i in (1, 2, 3)}, pressure=(kilopascal * 1e3, 1500.0)
    )
    found = judged(taken)
    assert [f.verdict for f in found.findings] == [flow, pressure]
    assert found.verdict is max((flow, pressure), key=["within", "unjudged", "borderline", "outside"].index)


def test_three_buckets_are_one_mean() -> None:
    # 10 L in 41.2, 41.6 and 41.4 s: the mean of three flows is 14.493 L/min
    one = finding(good("delivery_flow"))
    assert one.value is not None
    assert one.value / L_PER_MIN == pytest.approx((600 / 41.2 + 600 / 41.6 + 600 / 41.4) / 3)


def test_buckets_that_do_not_agree_are_taken_again() -> None:
    apart = judged(changed(good("delivery_flow"), time__3=(46.0, 0.3)))
    assert apart.verdict is Verdict.UNJUDGED
    assert all("take them again" in f.reason for f in apart.findings)


def test_different_fills_may_agree() -> None:
    mixed = changed(good("delivery_flow"), volume__3=(0.020, 1e-4), time__3=(83.0, 0.3))
    assert finding(mixed).verdict is Verdict.WITHIN


def test_without_a_flow_coefficient_only_the_duty_is_left() -> None:
    document = quince_ridge()
    del plate(document, "O1")["flow_coefficient"]
    e = expected(good("delivery_flow"), system=build(document))
    assert e.nominal is None
    assert e.lower == pytest.approx(10 * L_PER_MIN)


def test_the_test_set_lowers_the_pressure() -> None:
    document = quince_ridge()
    plate(document, "O1")["open_together"] = ""
    alone = expected(good("delivery_flow"), "delivery_pressure", build(document)).nominal
    together = expected(good("delivery_flow"), "delivery_pressure").nominal
    assert alone is not None
    assert together is not None
    assert together < alone


def test_an_unknown_tap_in_the_test_set_is_named() -> None:
    document = quince_ridge()
    plate(document, "O1")["open_together"] = "O2, O7"
    found = finding(good("delivery_flow"), "delivery_pressure", build(document))
    assert found.verdict is Verdict.UNJUDGED
    assert "O7" in found.reason


def test_a_fuller_tank_promises_more() -> None:
    low, high = (expected(METER, "delivery_pressure", tank_level=Value(depth, 0.01)) for depth in (0.5, 1.5))
    assert low.nominal is not None
    assert high.nominal is not None
    assert high.nominal - low.nominal == pytest.approx(RHO * G * 1.0, rel=1e-5)


def test_both_keys_of_the_promise_are_judged() -> None:
    assert [j.name for j in CHECKS["delivery_flow"].judged] == ["delivery_flow", "delivery_pressure"]


def test_pressure_is_expected_at_the_duty_before_anything_is_read(tmp_path: Path) -> None:
    _, heads = epanet_at_taps(tmp_path, 10 * L_PER_MIN, 12 * L_PER_MIN)
    e = in_advance(Taken("delivery_flow", "O2", {}, LEVEL), "delivery_pressure")
    assert e is not None
    assert e.nominal == pytest.approx(RHO * G * (heads["O2"] - 0.8), rel=3e-3)


def test_where_the_head_went_adds_up_and_agrees_with_epanet(tmp_path: Path) -> None:
    lines = where_the_head_went(build(quince_ridge()), "O1", 2.4e-4, 1.5)
    _, heads = epanet_at_taps(tmp_path, 2.4e-4, 12 * L_PER_MIN)
    labels, values = zip(*lines, strict=True)
    assert labels == (
        "tank surface above the outlet", "P2 tank outlet", "V2 valve", "P6 gravity main", "P3 to the drinking tap",
        "left in front of the tap",
    )  # fmt: skip
    assert values[0] == pytest.approx(16.5)
    assert sum(values[1:]) == pytest.approx(values[0])
    assert values[-1] == pytest.approx(heads["O1"] - 1.0, rel=3e-3)
    assert values[3] == pytest.approx(heads["V2"] - heads["J1"], rel=0.01)


def test_where_the_head_went_names_what_is_missing() -> None:
    document = quince_ridge()
    del plate(document, "P6")["length"]
    with pytest.raises(MissingDataError) as missing:
        where_the_head_went(build(document), "O1", 2.4e-4, 1.5)
    assert (missing.value.owner, missing.value.field) == ("P6", "length")


def test_more_than_the_pipes_can_carry_is_said() -> None:
    found = finding(changed(METER, flow=(2e-3, 1e-5)), "delivery_pressure")
    assert found.verdict is Verdict.UNJUDGED
    assert "cannot carry" in found.reason
