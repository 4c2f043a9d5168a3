"""Every formula's docstring can be read by the working, and a step says what was computed from what."""

import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator
from typing import Any

import pytest

import sizing.formulas
from sizing.formulas.limits import lower_limit
from sizing.formulas.photovoltaic import short_circuit_current
from sizing.working import Working, describe


def every_formula() -> Iterator[Callable[..., Any]]:
    """Yield every public function of sizing.formulas, once, from the module that defines it."""
    for module in pkgutil.iter_modules(sizing.formulas.__path__, "sizing.formulas."):
        members = inspect.getmembers(importlib.import_module(module.name), inspect.isfunction)
        yield from (one for name, one in members if not name.startswith("_") and one.__module__ == module.name)


FORMULAS = list(every_formula())


def test_the_formulas_are_found():
    assert len(FORMULAS) > 100
    assert short_circuit_current in FORMULAS


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: f"{f.__module__.rsplit('.', 1)[-1]}.{f.__name__}")
def test_docstring_of_formula_follows_the_house_form(formula):
    text = describe(formula)
    assert [one.name for one in text.parameters] == list(inspect.signature(formula).parameters)
    for one in text.parameters:
        assert one.symbol, one.name
        assert one.unit, one.name
        assert one.range, f"{one.name} has no range"
    assert text.result.symbol
    assert text.result.unit
    assert text.equation
    assert text.title.endswith(".")
    assert text.source
    assert "\nRaises\n------\nOutOfRangeError\n" in inspect.getdoc(formula)


def test_a_step_holds_call_equation_and_source():
    w = Working()
    result = w.call(
        "I_sc", short_circuit_current, rated_current=5.0, irradiance=800.0, cell_temperature=45.0, coefficient=5e-4
    )
    (step,) = w.steps
    assert result == step.result == pytest.approx(5.0 * 0.8 * 1.01)  # by hand
    assert step.symbol == "I_sc"
    assert step.formula == "photovoltaic.short_circuit_current"
    assert step.equation == "I_sc = I_sc0 · G / 1000 W/m² · [1 + α · (T_c − 25 °C)]"
    assert [(a.symbol, a.value, a.unit) for a in step.arguments] == [
        ("I_sc0", 5.0, "A"),
        ("G", 800.0, "W/m²"),
        ("T_c", 45.0, "°C"),
        ("α", 5e-4, "1/K"),
    ]
    assert step.unit == "A"
    assert step.source.startswith("IEC 60891:2021")


def test_a_silent_working_computes_and_keeps_nothing():
    w = Working(silent=True)
    assert w.call("lower", lower_limit, nominal=10.0, tolerance=0.1) == pytest.approx(9.0)
    assert w.steps == []


def bare(value: float) -> float:
    return value


def half_said(value: float) -> float:
    """Return the value.

        y = x

    Parameters
    ----------
    value : a number

    Returns
    -------
    y, the number [1]
    """
    return value


@pytest.mark.parametrize("formula", [bare, half_said])
def test_a_docstring_out_of_form_is_refused(formula):
    with pytest.raises(ValueError, match=formula.__name__):
        describe(formula)
