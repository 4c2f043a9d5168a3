"""Shared by the formulas' tests: what a formula must refuse, and by which name."""

from collections.abc import Callable
from math import nan
from typing import Any

import pytest

from sizing.errors import OutOfRangeError

Formula = Callable[..., Any]
# A formula, arguments that it accepts, and for each argument the values that it must refuse.
Bounds = tuple[Formula, dict[str, Any], dict[str, list[Any]]]
SOUND: dict[Formula, list[dict[str, Any]]] = {}
"""Arguments that a formula accepts, of every formula whose refusals have been listed so far."""


def refusals(*bounds: Bounds) -> list[Any]:
    """One test case per value to refuse, NaN for every number among the arguments included."""
    cases = []
    for formula, good, bad in bounds:
        formula(**good)
        SOUND.setdefault(formula, []).append(good)
        for argument, value in good.items():
            unusable = [nan] if isinstance(value, int | float) else []
            for refused in [*unusable, *bad.get(argument, [])]:
                changed = {**good, argument: refused}
                name = f"{formula.__name__}-{argument}-{refused}"
                cases.append(pytest.param(formula, changed, argument, id=name))
    return cases


def assert_refused(formula: Formula, arguments: dict[str, Any], argument: str) -> None:
    """The formula raises OutOfRangeError and names the argument."""
    with pytest.raises(OutOfRangeError) as refused:
        formula(**arguments)
    assert refused.value.argument == argument
