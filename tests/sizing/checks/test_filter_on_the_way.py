"""A filter and a meter in the gravity main take their share of the pressure at the tap, in network and working."""

from typing import Any

import pytest

from sizing.checks.case import Case, Reading, Value
from sizing.checks.delivery import pressure_expected
from sizing.system import System, build
from sizing.working import Working
from tests.sizing.systems import L_PER_MIN, component, quince_ridge, run
from tests.sizing.working_steps import assert_all_recompute

PIPE = {"length": 0.5, "material": "pe", "inside_diameter": 0.0326}


def with_parts(**plates: dict[str, Any]) -> System:
    document = quince_ridge()
    document["components"] += [component("F1", "filter", **plates["F1"]), component("M1", "meter", **plates["M1"])]
    main = next(one for one in document["runs"] if one["tag"] == "P6")
    main["end"] = "F1"
    document["runs"] += [run("P7", "pipe", "F1", "M1", **PIPE), run("P8", "pipe", "M1", "J1", **PIPE)]
    return build(document)


def expected(system: System) -> tuple[float, Working]:
    w = Working()
    readings = (Reading("flow", 10 * L_PER_MIN), Reading("pressure", 1e5))
    case = Case(system, system.subject("O1"), readings, {"tank_level": Value(1.5)}, "", "meter", 0.0, w)
    nominal = pressure_expected(case).nominal
    assert nominal is not None
    return nominal, w


def test_filter_and_meter_take_their_printed_drops_at_the_flow_of_both_taps() -> None:
    flow = 20 * L_PER_MIN
    filtered = {"clean_drop": 8_000.0, "drop_flow": flow}
    plain, _ = expected(with_parts(F1={**filtered, "clean_drop": 1e-3}, M1={}))
    found, w = expected(with_parts(F1=filtered, M1={"pressure_drop": 12_000.0, "drop_flow": flow}))
    share = (10 + 12) ** 2 / 20**2  # both taps of the test set: 10 and 12 L/min
    assert plain - found == pytest.approx((8_000 + 12_000) * share, rel=1e-3)
    assert {"h F1", "h M1"} <= {step.symbol for step in w.steps}
    assert_all_recompute(w.steps)
