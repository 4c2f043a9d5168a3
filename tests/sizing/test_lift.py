"""Pump curves from nameplates: by power, by voltage, from one duty point, nearly vertical, from shut-off."""

import dataclasses

import pytest

from sizing.errors import MissingDataError, OutOfRangeError
from sizing.lift import (
    STEEPEST,
    LiftCurve,
    booster_curve,
    duty_curve,
    falling,
    full_rows,
    lift_curve,
    pump_rows,
    voltage_rows,
    well_pump_curve,
)
from sizing.pumping import operating_point, operating_points, source_of
from sizing.system import Node, State, build
from tests.sizing.boosted import KPA, hollow_house
from tests.sizing.systems import L_PER_MIN, plate, quince_ridge

CAPACITY = 45 * L_PER_MIN / 3.0
STATE = State(running=frozenset({"PU1"}), levels={"T1": 17.5})


def pump(**changed: object) -> Node:
    document = quince_ridge()
    plate(document, "PU1").update(changed)
    return build(document).node("PU1")


def test_a_table_by_voltage_is_read_like_one_by_power() -> None:
    rows = [[24.0, 20.0, 1e-4], [24.0, 40.0, 6e-5], [48.0, 20.0, 3e-4], [48.0, 40.0, 2e-4]]
    curve = well_pump_curve(pump(performance_by_voltage=rows), voltage=36.0)
    # halfway between 24 and 48 V: (1 + 3)/2 at 20 m, (0.6 + 2)/2 at 40 m, in units of 1e-4 m³/s
    assert curve.points == (pytest.approx((1.3e-4, 40.0)), pytest.approx((2e-4, 20.0)))
    assert voltage_rows(pump(performance_by_voltage=rows)) == tuple(tuple(row) for row in rows)


def test_a_voltage_without_a_table_by_voltage_falls_back_on_the_power() -> None:
    assert well_pump_curve(pump(), power=450.0, voltage=48.0) == lift_curve(pump_rows(pump()), 450.0)
    with pytest.raises(MissingDataError) as missing:
        well_pump_curve(pump(), voltage=48.0)
    assert missing.value.field == "performance_by_voltage"


DUTY = {
    "performance": None, "principle": "centrifugal", "rated_power": 600.0,
    "duty_flow": 30 * L_PER_MIN, "duty_head": 45.0,
}  # fmt: skip


def test_one_duty_point_draws_the_parabola_of_epanet() -> None:
    curve = well_pump_curve(pump(**DUTY), power=600.0)
    # EPANET 2.2 User Manual, chapter 3, single-point curve: shut-off at 4/3 of the head, nothing at twice the flow
    assert curve.points[0] == pytest.approx((0.0, 60.0))
    assert curve.points[-1] == pytest.approx((60 * L_PER_MIN, 0.0), abs=1e-9)
    assert curve.head_at(30 * L_PER_MIN) == pytest.approx(45.0)


def test_an_eighth_of_the_power_is_half_the_speed() -> None:
    # affinity laws: Q ∝ N, H ∝ N², P ∝ N³
    curve = duty_curve(pump(**DUTY), 75.0)
    assert curve.points[0] == pytest.approx((0.0, 15.0))
    assert curve.head_at(15 * L_PER_MIN) == pytest.approx(45.0 / 4)


def test_one_point_of_a_positive_displacement_pump_is_not_enough() -> None:
    with pytest.raises(MissingDataError, match="positive displacement"):
        duty_curve(pump(**{**DUTY, "principle": "positive_displacement"}), 600.0)


@pytest.mark.parametrize("field", ["rated_power", "duty_head", "principle"])
def test_what_a_duty_point_lacks_is_named(field: str) -> None:
    with pytest.raises(MissingDataError) as missing:
        well_pump_curve(pump(**{**DUTY, field: None}), power=300.0)
    assert (missing.value.owner, missing.value.field) == ("PU1", field)


def test_a_vertical_curve_is_given_a_head_for_each_flow() -> None:
    flow = 20 * L_PER_MIN
    curve = falling([(flow, 60.0), (flow, 40.0), (flow, 20.0)], "power", 1.0)
    assert curve.points[1] == pytest.approx((flow * (1 + STEEPEST), 40.0))
    assert curve.points[2][0] > curve.points[1][0]
    assert curve.points[2][0] < flow * 1.001


def test_heads_above_shut_off_are_left_out() -> None:
    curve = falling([(0.0, 60.0), (0.0, 50.0), (1e-4, 30.0)], "power", 1.0)
    assert curve.points == ((0.0, 50.0), (1e-4, 30.0))


def test_a_single_point_is_no_curve() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        falling([(0.0, 60.0), (0.0, 50.0)], "power", 7.0)
    assert refused.value.argument == "power"


def test_beyond_the_ends_is_refused_and_the_ends_are_not() -> None:
    curve = LiftCurve(((1e-4, 50.0), (3e-4, 20.0)))
    curve.refuse_beyond(1e-4)
    curve.refuse_beyond(3e-4)
    with pytest.raises(OutOfRangeError, match="highest"):
        curve.refuse_beyond(0.9e-4)
    with pytest.raises(OutOfRangeError, match="lowest"):
        curve.refuse_beyond(3.1e-4)


def booster(rows: list[list[float | None]], shut_off: float | None = None) -> Node:
    document = hollow_house()
    plate(document, "B1").update(performance=rows, shut_off_pressure=shut_off)
    return build(document).node("B1")


def test_a_booster_s_pressure_is_turned_into_head() -> None:
    curve = booster_curve(booster([[300 * KPA, 1e-4], [100 * KPA, 2e-4]]), 1000.0)
    # 100 kPa over 1000 kg/m³ · 9.80665 m/s² is 10.197 m
    assert curve.points == (pytest.approx((1e-4, 30.591), rel=1e-4), pytest.approx((2e-4, 10.197), rel=1e-4))


def test_shut_off_is_added_only_where_the_table_has_none() -> None:
    rows: list[list[float | None]] = [[300 * KPA, 1e-4], [100 * KPA, 2e-4]]
    assert len(booster_curve(booster(rows, 400 * KPA), 1000.0).points) == 3
    assert len(booster_curve(booster([[350 * KPA, 0.0], *rows], 400 * KPA), 1000.0).points) == 3


def test_a_table_that_rises_or_has_a_gap_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="falls"):
        booster_curve(booster([[300 * KPA, 2e-4], [100 * KPA, 1e-4]]), 1000.0)
    with pytest.raises(MissingDataError, match="gap"):
        booster_curve(booster([[300 * KPA, None], [100 * KPA, 1e-4]]), 1000.0)
    with pytest.raises(MissingDataError, match="gap"):
        full_rows(booster([[300 * KPA, None, 1.0], [100 * KPA, 1e-4, 1.0]]), "performance")


@pytest.mark.parametrize("static", [5.0, 18.0, 24.0, 31.0])
def test_a_pump_of_one_flow_at_every_head_settles(static: float) -> None:
    document = quince_ridge()
    plate(document, "PU1")["performance"] = [[p, h, p * 1e-6] for p in (200, 600) for h in (20, 40, 60, 80)]
    system = build(document)
    found = operating_point(
        system, system.node("PU1"), power=400.0, static_level=static, specific_capacity=CAPACITY, state=STATE
    )
    assert found.flow == pytest.approx(4e-4, rel=4 * STEEPEST)


def test_two_pumps_in_one_well_draw_it_down_for_each_other() -> None:
    document = quince_ridge()
    second = dict(next(one for one in document["components"] if one["tag"] == "PU1"), tag="PU2")
    document["components"].append(second)
    document["runs"].append({**document["runs"][0], "tag": "P9", "start": "PU2", "end": "J2"})
    document["components"].append({**next(c for c in document["components"] if c["tag"] == "J1"), "tag": "J2"})
    document["runs"].append({**document["runs"][1], "tag": "P8", "start": "J2", "start_port": ""})
    system = build(document)
    curve = lift_curve(pump_rows(system.node("PU1")), 300.0)
    sources = {
        tag: source_of(system, system.node(tag), curve, static_level=24.0, specific_capacity=CAPACITY)
        for tag in ("PU1", "PU2")
    }
    both = operating_points(system, sources, STATE)
    alone = operating_points(system, {"PU1": sources["PU1"]}, STATE)["PU1"]
    total = both["PU1"].flow + both["PU2"].flow
    assert both["PU1"].drawdown == pytest.approx(total / CAPACITY)
    assert both["PU1"].drawdown == pytest.approx(both["PU2"].drawdown)
    assert both["PU1"].flow < alone.flow
    apart = {tag: dataclasses.replace(one, well="") for tag, one in sources.items()}
    assert operating_points(system, apart, STATE)["PU1"].flow == pytest.approx(alone.flow, rel=1e-6)
