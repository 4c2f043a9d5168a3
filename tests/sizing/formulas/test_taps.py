"""The flow of an open tap, against fluids."""

import pytest
from fluids.fittings import Kv_to_K

from sizing.formulas.fittings import flow_coefficient_head_loss
from sizing.formulas.taps import tap_flow
from tests.sizing.formulas.refusal import assert_refused, refusals

CUBIC_METRES_PER_HOUR = 1 / 3600


def test_one_bar_gives_the_flow_coefficient():
    # by the definition of K_v: 1 bar is 10.197 m of water of 1000 kg/m³
    assert tap_flow(10.19716, 0.8 * CUBIC_METRES_PER_HOUR) * 3600 == pytest.approx(0.8, rel=1e-5)


@pytest.mark.parametrize(("head", "kv"), [(2.0, 0.8), (14.0, 1.0), (35.0, 2.5)])
def test_tap_flow_matches_the_loss_coefficient_of_fluids(head, kv):
    # fluids turns K_v [m³/h] into a loss coefficient on the velocity in a bore; h = K·v²/2g
    bore = 0.0204
    k = Kv_to_K(kv, bore)
    velocity = (2 * 9.80665 * head / k) ** 0.5
    # fluids takes water of 999 kg/m³ in the definition, the standard 1000: 0.1 %
    assert tap_flow(head, kv * CUBIC_METRES_PER_HOUR) == pytest.approx(
        velocity * 3.141592653589793 * bore**2 / 4, rel=2e-3
    )


def test_tap_flow_undoes_the_head_loss():
    flow = tap_flow(7.3, 2.2e-4)
    assert flow_coefficient_head_loss(flow, 2.2e-4) == pytest.approx(7.3)
    assert tap_flow(0, 2.2e-4) == 0


BOUNDS = (
    (tap_flow, {"head": 10.0, "flow_coefficient": 2e-4}, {"head": [-0.1, float("inf")], "flow_coefficient": [0.0]}),
)


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_refuses_what_is_out_of_range(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
