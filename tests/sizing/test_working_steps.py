"""The tests' own helper finds a step whose printed result does not follow from its printed digits."""

import dataclasses

import pytest

from sizing.formulas.photovoltaic import short_circuit_current, spread_from_mean
from sizing.working import Working
from tests.sizing.working_steps import assert_all_recompute, printed, reach_of_rounding


def step():
    w = Working()
    w.call(
        "I_sc",
        short_circuit_current,
        rated_current=5.851,
        irradiance=812.3456789,
        cell_temperature=47.3,
        coefficient=5e-4,
    )
    return w.steps[0]


def test_a_true_step_recomputes():
    assert_all_recompute([step()])


def test_a_step_with_another_result_does_not():
    with pytest.raises(AssertionError, match="I_sc"):
        assert_all_recompute([dataclasses.replace(step(), result=step().result * 1.001)])


def test_a_step_with_another_argument_does_not():
    arguments = tuple(
        dataclasses.replace(a, value=48.3) if a.name == "cell_temperature" else a for a in step().arguments
    )
    with pytest.raises(AssertionError):
        assert_all_recompute([dataclasses.replace(step(), arguments=arguments)])


def test_an_empty_working_is_refused():
    with pytest.raises(AssertionError, match="no steps"):
        assert_all_recompute([])


@pytest.mark.parametrize(
    ("value", "digits"),
    [
        (812.3456789, 812.346),
        (1718996400.0, 1718996400.0),
        (3, 3),
        ("copper", "copper"),
        (True, True),
        ((1.23456789, 2.0), (1.23457, 2.0)),
    ],
)
def test_six_digits_are_printed_and_whole_numbers_whole(value, digits):
    assert printed(value) == digits


def test_rounding_reaches_into_every_member_of_a_series():
    w = Working()
    w.call("s", spread_from_mean, values=(10.00005, 9.99995))
    assert reach_of_rounding(w.steps[0]) > 1e-6  # half of 1e-4 over 10, twice halved
