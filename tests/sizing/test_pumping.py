"""Operating points of a well pump against EPANET, by hand, and at the edges of its table."""

from pathlib import Path

import pytest

from sizing.errors import MissingDataError, OutOfRangeError
from sizing.formulas.fittings import LOSS_COEFFICIENTS
from sizing.formulas.pipes import PIPE_ROUGHNESS
from sizing.hydraulics import fittings_coefficient, water_viscosity
from sizing.pumping import OperatingPoint, lift_curve, operating_point, pump_rows, well_specific_capacity
from sizing.system import State, System, build
from tests.sizing.epanet import Epanet
from tests.sizing.systems import L_PER_MIN, plate, quince_ridge

CAPACITY = 45 * L_PER_MIN / 3.0


def settled(
    system: System, power: float, *, static: float = 24.0, capacity: float = CAPACITY, level: float = 17.5
) -> OperatingPoint:
    """Return the operating point of the test system's pump."""
    return operating_point(
        system,
        system.node("PU1"),
        power=power,
        static_level=static,
        specific_capacity=capacity,
        state=State(running=frozenset({"PU1"}), levels={"T1": level}),
    )


@pytest.mark.parametrize("power", [220.0, 300.0, 385.0, 450.0, 530.0, 600.0])
def test_operating_points_agree_with_epanet(power: float, tmp_path: Path) -> None:
    system = build(quince_ridge())
    mine = settled(system, power)
    rows = [(p, h, q) for p, h, q in pump_rows(system.node("PU1"))]
    # EPANET draws the same straight lines; the drawdown Q/C_s is taken off the curve's head
    points = [(q, h - q / CAPACITY) for q, h in lift_curve(tuple(rows), power).points]
    epanet = Epanet("darcy_weisbach", water_viscosity(system))
    epanet.reservoir("well", 0.40 - 24.0)
    epanet.reservoir("tank", 18.35)
    epanet.junction("PU1")
    epanet.junction("V1")
    epanet.pump("pump", "well", "PU1", points)
    for tag, a, b in (("P1", "PU1", "V1"), ("P5", "V1", "tank")):
        pipe = system.runs[tag]
        k = fittings_coefficient(pipe) + (LOSS_COEFFICIENTS["ball_valve"] if tag == "P5" else 0.0)
        epanet.pipe(tag, a, b, pipe.need("length"), pipe.need("inside_diameter"), PIPE_ROUGHNESS["pe"], k=k)
    flows, _ = epanet.solve(tmp_path)
    assert mine.flow == pytest.approx(flows["P5"], rel=3e-3)


def test_the_point_lies_on_the_table_by_hand() -> None:
    # at 450 W the table goes from 29.0 L/min at 40 m to 23.2 at 50 m: 0.58 L/min less for each metre
    found = settled(build(quince_ridge()), 450.0)
    assert found.flow / L_PER_MIN == pytest.approx(29.0 - 0.58 * (found.head - 40.0), abs=1e-6)
    assert found.drawdown == pytest.approx(found.flow / CAPACITY)
    # and the head is rise, drawdown and some 2 m of friction: 18.35 − (0.4 − 24) = 41.95 m
    assert 1.5 < found.head - 41.95 - found.drawdown < 2.5


def test_halfway_between_two_powers_the_flow_is_halfway() -> None:
    rows = pump_rows(build(quince_ridge()).node("PU1"))
    # at 40 m: 17.6 L/min at 300 W and 29.0 at 450 W → 23.3 at 375 W
    points = {head: flow for flow, head in lift_curve(rows, 375.0).points}
    assert points[40] / L_PER_MIN == pytest.approx(23.3)


def test_each_condition_moves_the_flow_the_right_way() -> None:
    system = build(quince_ridge())
    here = settled(system, 450.0).flow
    assert settled(system, 470.0).flow > here
    assert settled(system, 450.0, static=27.0).flow < here
    assert settled(system, 450.0, capacity=CAPACITY / 2).flow < here
    assert settled(system, 450.0, level=17.9).flow == pytest.approx(here)  # water falls in above the surface
    assert settled(system, 450.0, level=18.6).flow < here  # inlet under water


def test_a_level_read_while_pumping_needs_no_drawdown() -> None:
    system = build(quince_ridge())
    here = settled(system, 450.0)
    known = settled(system, 450.0, static=24.0 + here.drawdown, capacity=float("inf"))
    assert known.flow == pytest.approx(here.flow, rel=1e-9)
    assert known.drawdown == 0


@pytest.mark.parametrize(
    ("power", "static", "argument"),
    [(700.0, 24.0, "power"), (150.0, 24.0, "power"), (300.0, 44.0, "head"), (600.0, 0.0, "head")],
)
def test_beyond_the_table_nothing_is_made_up(power: float, static: float, argument: str) -> None:
    document = quince_ridge()
    if static == 0.0:
        plate(document, "T1")["inlet_elevation"] = 2.0
        plate(document, "P5")["length"] = 5.0
    with pytest.raises(OutOfRangeError) as refused:
        settled(build(document), power, static=static, level=1.5)
    assert refused.value.argument == argument


def test_a_gap_in_the_table_is_named() -> None:
    document = quince_ridge()
    plate(document, "PU1")["performance"][3][2] = None
    with pytest.raises(MissingDataError) as missing:
        pump_rows(build(document).node("PU1"))
    assert (missing.value.owner, missing.value.field) == ("PU1", "performance")


def test_specific_capacity_of_the_well_test() -> None:
    # 45 L/min at 3 m are 15 L/min for each metre
    assert well_specific_capacity(build(quince_ridge()).node("W1")) / L_PER_MIN == pytest.approx(15)
