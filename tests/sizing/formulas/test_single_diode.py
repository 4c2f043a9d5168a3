"""The curve of a module against pvlib."""

from math import inf

import pytest
from pvlib import pvsystem
from scipy import optimize

from sizing.formulas.single_diode import (
    Diode,
    current_at_voltage,
    current_into_motor,
    diode_at_conditions,
    maximum_power_voltage,
    open_circuit_point,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

RATED = Diode(5.114, 8.196e-10, 1.065, 381.68, 2.6373)  # 96 cells, 220 W class, documentation of pvlib
SLOPE = 0.004539  # A/K
CONDITIONS = [(1000, 25), (400, 30), (600, 45), (850, 52), (100, -10)]


def _theirs(light, temperature):
    return pvsystem.calcparams_desoto(light, temperature, SLOPE, 2.6373, 5.114, 8.196e-10, 381.68, 1.065)


@pytest.mark.parametrize(("light", "temperature"), CONDITIONS)
def test_five_numbers_agree_with_pvlib(light, temperature):
    photo, saturation, series, shunt, thermal = _theirs(light, temperature)
    assert diode_at_conditions(RATED, light, temperature, SLOPE) == pytest.approx(
        (photo, saturation, series, shunt, thermal), rel=1e-4
    )


@pytest.mark.parametrize(("light", "temperature"), CONDITIONS)
def test_points_of_the_curve_agree_with_pvlib(light, temperature):
    mine, theirs = diode_at_conditions(RATED, light, temperature, SLOPE), _theirs(light, temperature)
    points = pvsystem.singlediode(*theirs)
    best = maximum_power_voltage(mine)
    assert current_at_voltage(mine, 0) == pytest.approx(points["i_sc"], rel=1e-5)
    assert open_circuit_point(mine) == pytest.approx(points["v_oc"], rel=1e-5)
    assert best == pytest.approx(points["v_mp"], rel=1e-4)
    assert current_at_voltage(mine, best) == pytest.approx(points["i_mp"], rel=1e-4)
    for share in (0.3, 0.6, 0.95):
        volts = share * points["v_oc"]
        assert current_at_voltage(mine, volts) == pytest.approx(pvsystem.i_from_v(volts, *theirs), rel=1e-4)


def test_no_current_at_open_circuit():
    assert current_at_voltage(RATED, open_circuit_point(RATED)) == pytest.approx(0, abs=1e-9)


def test_a_module_without_series_resistance():
    plain = RATED._replace(series_resistance=0.0)
    assert current_at_voltage(plain, 30) == pytest.approx(
        pvsystem.i_from_v(30, 5.114, 8.196e-10, 0.0, 381.68, 2.6373), rel=1e-9
    )


def test_a_motor_coupled_directly():
    # The crossing of pvlib's curve with V = 30 V + I · 1.5 Ω at 800 W/m², 50 °C, by scipy.
    theirs = _theirs(800, 50)
    expected = optimize.brentq(lambda i: pvsystem.i_from_v(30 + 1.5 * i, *theirs) - i, 0, 5)
    mine = current_into_motor(diode_at_conditions(RATED, 800, 50, SLOPE), 30, 1.5)
    assert mine == pytest.approx(expected, rel=1e-5)


def test_a_stalled_motor_sits_near_short_circuit():
    # Standing still it generates nothing: a short of its winding, about short-circuit current.
    assert current_into_motor(RATED, 0, 0.5) == pytest.approx(current_at_voltage(RATED, 0), rel=0.01)


BROKEN = [RATED._replace(**{name: value}) for name in Diode._fields for value in (-1.0, inf, float("nan"))]
BOUNDS = [
    (
        diode_at_conditions,
        {"rated": RATED, "irradiance": 800, "cell_temperature": 50, "coefficient": SLOPE},
        {
            "rated": BROKEN,
            "irradiance": [0, inf],
            "cell_temperature": [-90.1, 150.1],
            "coefficient": [-1.1, 1.1, -0.3],
        },
    ),
    (open_circuit_point, {"diode": RATED}, {"diode": BROKEN}),
    (maximum_power_voltage, {"diode": RATED}, {"diode": BROKEN}),
    (current_at_voltage, {"diode": RATED, "voltage": 40}, {"diode": BROKEN, "voltage": [-0.1, 59.5, inf]}),
    (
        current_into_motor,
        {"diode": RATED, "back_emf": 30, "armature_resistance": 1.5},
        {"diode": BROKEN, "back_emf": [-1, 59.5], "armature_resistance": [-1, inf]},
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
