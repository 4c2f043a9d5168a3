"""Findings ready to print: figures, limits, interval picture, uncertainty and working, in a reader's units.

Templates compute nothing; what they print is prepared here, alike for phone, desk and paper.
"""

from dataclasses import dataclass
from math import floor, log10
from typing import Any

from commissioning import units
from commissioning.models import Judgement, Reading
from commissioning.plots import interval
from commissioning.units.figures import number as number_text
from sizing.checks.catalogue import CHECKS
from sizing.quantities import CORE_UNIT, Quantity

AS_THE_QUANTITY = "as the quantity"
STEP_DIGITS = 6  # significant digits of a working: enough to follow it on a calculator
EM_DASH = "—"
MOST_COUNTED = 1e6
LEAST_SEEN = 0.005  # of the width between limits: a rounding smaller than this is not seen in the picture


@dataclass(frozen=True)
class TermShown:
    name: str
    u: str


@dataclass(frozen=True)
class ArgumentShown:
    symbol: str
    words: str
    value: str


@dataclass(frozen=True)
class StepShown:
    symbol: str
    words: str
    formula: str
    equation: tuple[str, ...]
    arguments: tuple[ArgumentShown, ...]
    result: str
    source: str
    note: str


@dataclass(frozen=True)
class FindingShown:
    """One judged value as a reader sees it."""

    name: str
    label: str
    repeat: str
    value: str
    number: str
    symbol: str
    spread: str
    limits: str
    expected: str
    basis: str
    verdict: str
    reason: str
    missing: tuple[str, ...]
    picture: str
    small_picture: str
    terms: tuple[TermShown, ...]
    together: str
    steps: tuple[StepShown, ...]


def show(judgement: Judgement | None, unit_system: str, readings: list[Reading] | None = None) -> list[FindingShown]:
    """Return a judgement's findings, each in the unit typed, else in the default unit of the system."""
    if judgement is None:
        return []
    typed = {(r.input, r.label): r for r in readings or []}
    return [_finding(f, unit_system, typed) for f in judgement.findings]


def unit_for(quantity: Quantity, unit_system: str, reading: Reading | None) -> str:
    """Return the unit to show a value in: the one it was typed in, if it was."""
    if reading is not None and reading.unit:
        try:
            return units.unit(reading.unit, quantity).code
        except units.UnknownUnitError:
            pass
    return units.default_unit(quantity, unit_system).code


def code_of(f: dict[str, Any], system: str, readings: list[Reading]) -> str:
    """Return the unit code in which a stored finding is shown."""
    typed = {(r.input, r.label): r for r in readings}
    return unit_for(Quantity(f["quantity"]), system, _reading_of(f, typed))


def _reading_of(f: dict[str, Any], typed: dict[tuple[str, str], Reading]) -> Reading | None:
    same = (r for (name, _), r in typed.items() if name == f["name"])
    return typed.get((f["name"], f["repeat"])) or next(same, None)


def _finding(f: dict[str, Any], system: str, typed: dict[tuple[str, str], Reading]) -> FindingShown:
    quantity = Quantity(f["quantity"])
    code = unit_for(quantity, system, _reading_of(f, typed))
    spread, expected = f["spread"], f["expected"] or {}
    value, symbol = _value(f, quantity, code)
    lower, upper = expected.get("lower"), expected.get("upper")
    nominal = expected.get("nominal")
    pictures = _pictures(f, quantity, code, value)
    return FindingShown(
        name=f["name"],
        label=f["label"],
        repeat=f["repeat"],
        value=units.figure(f["value"], quantity, code, u=spread)
        if f["value"] is not None and not f["bound"]
        else f"{value} {symbol}".strip(),
        number=value,
        symbol=symbol,
        spread=units.plus_minus(spread, quantity, code) if spread and not f["bound"] else "",
        limits=units.span(lower, upper, quantity, code) if (lower, upper) != (None, None) else EM_DASH,
        expected=units.figure(nominal, quantity, code, u=spread) if nominal is not None else EM_DASH,
        basis=expected.get("basis", ""),
        verdict=f["verdict"] or "",
        reason=f["reason"],
        missing=tuple(m["words"] for m in f["missing"]),
        picture=pictures[0],
        small_picture=pictures[1],
        terms=tuple(
            TermShown(t["name"], units.plus_minus(t["u"], quantity, code).removeprefix("±\u00a0"))
            for t in sorted(f["terms"], key=lambda t: -t["u"])
        ),
        together=units.plus_minus(spread, quantity, code) if spread else "",
        steps=tuple(step_shown(s, quantity) for s in f["steps"]),
    )


def _value(f: dict[str, Any], quantity: Quantity, code: str) -> tuple[str, str]:
    if f["value"] is None:
        return EM_DASH, ""
    number, symbol = units.figure_parts(f["value"], quantity, code, u=f["spread"])
    return (f"{f['bound']}\u00a0{number}" if f["bound"] else number), symbol


def _pictures(f: dict[str, Any], quantity: Quantity, code: str, typed: str) -> tuple[str, str]:
    """Return the interval picture, full and small; empty where there is no value to draw."""
    if f["value"] is None:
        return "", ""
    expected = f["expected"] or {}

    def shown(value: float | None) -> float | None:
        return None if value is None else units.from_core(value, code, quantity)

    spread = units.scale(f["spread"], code, quantity) if f["spread"] and not f["bound"] else 0.0
    number = typed.replace("\u00a0", " ").lstrip("<> ")
    marks = [shown(expected.get(name)) for name in ("lower", "upper", "nominal")]
    places = _places_of_marks([m for m in marks if m is not None], len(number.partition(".")[2]))
    given: dict[str, Any] = {
        "unit": units.unit(code, quantity).symbol,
        "verdict": f["verdict"] or "within",
        "reading": shown(f["value"]),
        "spread": spread,
        "lower": shown(expected.get("lower")),
        "upper": shown(expected.get("upper")),
        "expected": shown(expected.get("nominal")),
        "places": places,
        "bound": f["bound"],
        "typed": number,
    }
    note = f["missing"][0]["words"] if f["missing"] else ""
    return interval(**given, note=note if len(note) < 46 else ""), interval(**given, small=True)


def _places_of_marks(marks: list[float], most: int) -> int:
    """Return how many places the limits need in the picture: a rounding must not move one to be seen."""
    width = max(marks, default=0.0) - min(marks, default=0.0) or max((abs(m) for m in marks), default=0.0)
    for places in range(most):
        if all(abs(round(mark, places) - mark) <= LEAST_SEEN * width for mark in marks):
            return places
    return most


def step_shown(step: dict[str, Any], quantity: Quantity) -> StepShown:
    """Return one step of a working, its numbers in the core's SI units with six digits."""

    def unit_of(unit: str) -> str:
        return CORE_UNIT[quantity] if unit == AS_THE_QUANTITY else unit

    return StepShown(
        symbol=step["symbol"],
        words=step["words"].removeprefix("Return ").rstrip("."),
        formula=step["formula"],
        equation=tuple(step["equation"].splitlines()),
        arguments=tuple(
            ArgumentShown(a["symbol"], a["words"], with_unit(a["value"], unit_of(a["unit"]))) for a in step["arguments"]
        ),
        result=with_unit(step["result"], unit_of(step["unit"])),
        source=step["source"],
        note=step["note"],
    )


def with_unit(value: Any, unit: str) -> str:
    """Return a step's number with its unit; a list or a text as it is."""
    if isinstance(value, list | tuple):
        unit = unit.removesuffix(", …")  # of each: the values themselves say how many there are
        return ", ".join(with_unit(v, "") for v in value) + (f"\u00a0{unit}" if unit not in ("1", "text", "") else "")
    if value is None or isinstance(value, str | bool):
        return str(value) if value is not None else "not given"
    text = whole(value) if unit in ("1", "") else significant(float(value))
    return text + (f"\u00a0{unit}" if unit not in ("1", "") else "")


def whole(value: float) -> str:
    """Return a count as a count, anything else with six significant digits."""
    is_count = float(value).is_integer() and abs(value) < MOST_COUNTED
    return number_text(value, 0) if is_count else significant(float(value))


def significant(value: float) -> str:
    """Return a number with six significant digits, in powers of ten where it is very small or large."""
    if value == 0:
        return "0"
    exponent = floor(log10(abs(value)))
    if -4 <= exponent < 9:
        return number_text(value, max(STEP_DIGITS - 1 - exponent, 0))
    mantissa = number_text(value / 10.0**exponent, STEP_DIGITS - 1)
    return f"{mantissa}\u00a0×\u00a010{str(exponent).translate(_RAISED)}"


_RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def title_of(check_key: str) -> str:
    """Return a check's name."""
    return CHECKS[check_key].title
