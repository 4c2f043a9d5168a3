"""Cases from published sources, each computed by the product's own functions.

A JSON file beside this module holds one case per published value. Its rules:

- `compute` is an expression: a value with its unit, a `text`, a `moment` (ISO 8601), `values` for a sequence, a `list`
  of expressions, a `constant` or a `call` of `sizing.formulas`, its arguments expressions too, or `sum`, `difference`,
  `product`, `ratio` of expressions. `field` takes one field of a result that is not a number.
- `expected` is compared in its own unit within `tolerance_abs` or `tolerance_rel`; an expected text is compared
  letter by letter; a case without tolerance counts to half a unit of its last printed digit.
- `seen` says whether the figure stood on a page, was computed by a named tool, or is from memory.
- A case with `misprint` prints a wrong figure. It must *not* come out, and says why.
"""

import json
from datetime import datetime
from importlib import import_module
from math import prod
from pathlib import Path
from typing import Any

import pytest

GALLON, IMPERIAL_GALLON, POUND, FOOT = 3.785411784e-3, 4.54609e-3, 0.45359237, 0.3048
PSI = POUND * 9.80665 / 0.0254**2
BTU, RANKINE = 1055.05585, 1 / 1.8
# Factor to the core's unit; NIST SP 811 (2008), appendix B.
FACTORS = {
    "1": 1.0,
    "%": 0.01,
    "m": 1.0,
    "mm": 1e-3,
    "in": 0.0254,
    "ft": FOOT,
    "m2": 1.0,
    "ft2": FOOT**2,
    "m3": 1.0,
    "L": 1e-3,
    "mL": 1e-6,
    "gal": GALLON,
    "imp gal": IMPERIAL_GALLON,
    "fl oz": GALLON / 128,
    "s": 1.0,
    "min": 60.0,
    "h": 3600.0,
    "m/s": 1.0,
    "ft/s": FOOT,
    "m3/h": 1 / 3600,
    "L/s": 1e-3,
    "mL/min": 1e-6 / 60,
    "gpm": GALLON / 60,
    "gal/h": GALLON / 3600,
    "gpm/ft": GALLON / 60 / FOOT,
    "gpm/psi^0.5": GALLON / 60 * (1e5 / PSI) ** 0.5,  # from the flow at 1 psi to that at 1 bar
    "Pa": 1.0,
    "kPa": 1e3,
    "psi": PSI,
    "kPa/K": 1e3,
    "psi/degF": PSI / RANKINE,
    "1/Pa": 1.0,
    "1/K": 1.0,
    "kg": 1.0,
    "g": 1e-3,
    "lb": POUND,
    "oz": POUND / 16,
    "kg/m3": 1.0,
    "lb/ft3": POUND / FOOT**3,
    "Pa.s": 1.0,
    "mPa.s": 1e-3,
    "cP": 1e-3,
    "m2/s": 1.0,
    "mm2/s": 1e-6,
    "W": 1.0,
    "kW": 1e3,
    "hp": 550 * FOOT * POUND * 9.80665,
    "V": 1.0,
    "A": 1.0,
    "kJ": 1e3,
    "kWh": 3.6e6,
    "W/K": 1.0,
    "K": 1.0,
    "delta_degF": RANKINE,
    "degC": 1.0,
    "J/kg/K": 1.0,
    "BTU/lb/degF": BTU / POUND / RANKINE,
    "BTU/h/degF": BTU / 3600 / RANKINE,
    "BTU/h/ft2/degF": BTU / 3600 / RANKINE / FOOT**2,
    "h.ft2.degF/BTU": 3600 * RANKINE * FOOT**2 / BTU,
    "N": 1.0,
    "mg/L": 1.0,
    "rpm": 1 / 60,
    "km/h": 1 / 3.6,
    "d": 86_400.0,
    "deg": 1.0,
    "cm": 1e-2,
    "mm2": 1e-6,
    "cm2": 1e-4,
    "ft3": FOOT**3,
    "m3/d": 1 / 86_400,
    "mbar": 100.0,
    "kV": 1e3,
    "Ah": 1.0,
    "ohm": 1.0,
    "mohm": 1e-3,
    "Mohm": 1e6,
    "ohm.m": 1.0,
    "ohm.mm2/m": 1e-6,
    "ohm/km": 1e-3,
    "ohm/kft": 1 / (1000 * FOOT),
    "1/m": 1.0,
    "%/K": 0.01,
    "mV/K": 1e-3,
    "kA/us": 1e9,
    "W/m2": 1.0,
    "MJ/m2": 1e6,
    "kWh/m2": 3.6e6,
    "m3/Ah": 1.0,
    "L/s/A": 3.6,  # litres a second for each ampere are 3.6 m³ for each ampere-hour
}


def to_core(value: float, unit: str) -> float:
    if unit == "degF":
        return (value - 32) / 1.8
    return value * FACTORS[unit]


def evaluate(expression: dict[str, Any]) -> Any:
    """Compute an expression of a case; all of its numbers are in core units from here on."""
    if "call" in expression:
        return call(expression)
    if "sum" in expression:
        return sum(evaluate(part) for part in expression["sum"])
    if "product" in expression:
        return prod(evaluate(part) for part in expression["product"])
    if "difference" in expression:
        first, second = (evaluate(part) for part in expression["difference"])
        return first - second
    if "ratio" in expression:
        first, second = (evaluate(part) for part in expression["ratio"])
        return first / second
    if "list" in expression:
        return [evaluate(part) for part in expression["list"]]
    if "text" in expression:
        return expression["text"]
    if "moment" in expression:
        return datetime.fromisoformat(expression["moment"]).timestamp()
    if "constant" in expression:
        return product_name(expression["constant"])
    if "values" in expression:
        return [to_core(value, expression["unit"]) for value in expression["values"]]
    if expression["value"] is None:
        return None
    return to_core(expression["value"], expression["unit"])


def product_name(dotted: str) -> Any:
    module, _, name = dotted.rpartition(".")
    return getattr(import_module(f"sizing.formulas.{module}"), name)


def call(expression: dict[str, Any]) -> Any:
    formula = product_name(expression["call"])
    result = formula(**{key: evaluate(value) for key, value in expression["arguments"].items()})
    return getattr(result, expression["field"]) if "field" in expression else result


def half_last_digit(text: str) -> float:
    """Half a unit of the last digit of a printed number: 0.005 for 1.52."""
    return 0.5 * 10.0 ** -len(text.partition(".")[2])


def comes_out(case: dict[str, Any]) -> bool:
    """Whether the product computes what the case prints, within its tolerance."""
    computed, expected = evaluate(case["compute"]), case["expected"]
    if isinstance(expected, str):
        return bool(computed == expected)
    printed, unit = float(expected), case["unit"]
    rel = case.get("tolerance_rel")
    if rel is not None:
        return bool(computed == pytest.approx(to_core(printed, unit), rel=rel, abs=0))
    margin = case.get("tolerance_abs", half_last_digit(str(expected)))
    # The margin is a difference, so an offset of the unit's zero drops out.
    margin = abs(to_core(printed + margin, unit) - to_core(printed, unit))
    return bool(abs(computed - to_core(printed, unit)) <= margin * (1 + 1e-9))


def named(cases: list[dict[str, Any]]) -> list[Any]:
    return [pytest.param(case, id=case["id"]) for case in cases]


def load(name: str) -> list[dict[str, Any]]:
    """Read the cases of a file beside this module."""
    cases: list[dict[str, Any]] = json.loads(Path(__file__).with_name(name).read_text(encoding="utf-8"))
    return cases
