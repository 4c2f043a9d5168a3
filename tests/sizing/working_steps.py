"""Recompute a printed working step from the digits that are printed.

A sheet prints six significant digits of each argument; whole numbers (counts, a moment in seconds)
are printed whole. The formula, called with those digits, must give the printed result again to
1 in 10 000, or to what the rounding of its arguments can do to it where that is more.
"""

import importlib
import math
import pkgutil
from collections.abc import Callable, Iterable
from functools import cache
from typing import Any

import sizing
import sizing.formulas
from sizing.errors import OutOfRangeError
from sizing.working import Step

DIGITS = 6
AGREES = 1e-4


def assert_all_recompute(steps: Iterable[Step]) -> None:
    """Every step gives its printed result again; a working without steps is no working."""
    steps = tuple(steps)
    assert steps, "no steps"
    for step in steps:
        again = recompute(step)
        allowed = max(AGREES * abs(step.result), reach_of_rounding(step))
        assert abs(again - step.result) <= allowed, f"{step.symbol}: printed {step.result}, recomputed {again}"


def recompute(step: Step) -> float:
    """Return what the step's formula gives for the printed digits of its arguments."""
    return float(formula_of(step)(**{one.name: printed(one.value) for one in step.arguments}))


def reach_of_rounding(step: Step) -> float:
    """Return how far the last printed digits of the arguments can move the result, all together."""
    formula = formula_of(step)
    arguments = {one.name: one.value for one in step.arguments}
    here = float(formula(**arguments))
    return math.fsum(
        abs(_value(formula, {**arguments, name: moved}, here) - here)
        for name, value in arguments.items()
        for moved in _moved(value)
    )


def printed(value: Any) -> Any:
    """Return a value as the sheet prints it."""
    if isinstance(value, tuple | list):
        return tuple(printed(one) for one in value)
    if not isinstance(value, float) or not math.isfinite(value) or value.is_integer():
        return value
    return float(f"{value:.{DIGITS}g}")


@cache
def formula_of_name(name: str) -> Callable[..., Any]:
    """Return the function that a step names as `module.function`."""
    module, function = name.split(".")
    for package in (sizing.formulas, sizing):
        if module in {one.name for one in pkgutil.iter_modules(package.__path__)}:
            return getattr(importlib.import_module(f"{package.__name__}.{module}"), function)
    raise LookupError(name)


def formula_of(step: Step) -> Callable[..., Any]:
    """Return the formula that a step was computed by."""
    return formula_of_name(step.formula)


def _moved(value: Any) -> list[Any]:
    """Return an argument with one number moved by half of its last printed digit, one for each number."""
    if isinstance(value, tuple | list):
        return [(*value[:i], moved, *value[i + 1 :]) for i, one in enumerate(value) for moved in _moved(one)]
    if not isinstance(value, float) or not math.isfinite(value) or value.is_integer():
        return []
    return [value + 0.5 * 10.0 ** (math.floor(math.log10(abs(value))) - DIGITS + 1)]


def _value(formula: Callable[..., Any], arguments: dict[str, Any], otherwise: float) -> float:
    try:
        return float(formula(**arguments))
    except OutOfRangeError:
        return otherwise
