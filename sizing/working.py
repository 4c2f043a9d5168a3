"""Records formula calls as steps of a working, with equation, symbols and source from the docstring."""

import inspect
import re
from collections.abc import Callable
from functools import cache
from typing import Any

from sizing.records import record

_PARAMETER = re.compile(
    r"^(?P<name>\w+) : (?P<symbol>[^,]+), (?P<words>.*?)\s*\[(?P<unit>[^\]]+)\](?:, (?P<range>.*))?$"
)
_RETURNS = re.compile(r"^(?P<symbol>[^,]+), (?P<words>.*?)\s*\[(?P<unit>[^\]]+)\]")
_HEADINGS = {"Parameters", "Returns", "Raises", "Notes"}


@record
class Described:
    """One argument or result as the docstring describes it."""

    name: str
    symbol: str
    words: str
    unit: str
    range: str = ""


@record
class FormulaText:
    """What a formula's docstring says of it."""

    title: str
    equation: str
    parameters: tuple[Described, ...]
    result: Described
    source: str


@record
class Argument:
    """One argument of a step, with the value it had."""

    name: str
    symbol: str
    words: str
    unit: str
    value: Any


@record
class Step:
    """One formula call: what was computed from what, by which equation, from which source."""

    symbol: str
    words: str
    formula: str
    equation: str
    arguments: tuple[Argument, ...]
    result: float
    unit: str
    source: str
    note: str = ""


class Working:
    """A list of steps in the making. A silent one computes without recording."""

    def __init__(self, *, silent: bool = False) -> None:
        self.steps: list[Step] = []
        self.silent = silent

    def call(self, symbol: str, formula: Callable[..., float], *, note: str = "", **arguments: Any) -> float:
        """Call a formula by keyword and record the step under `symbol`."""
        result = formula(**arguments)
        if not self.silent:
            self.steps.append(_step(symbol, formula, arguments, result, note))
        return result


def _step(symbol: str, formula: Callable[..., float], arguments: dict[str, Any], result: float, note: str) -> Step:
    described = describe(formula)
    by_name = {one.name: one for one in described.parameters}
    used = tuple(
        Argument(name, by_name[name].symbol, by_name[name].words, by_name[name].unit, value)
        for name, value in arguments.items()
    )
    name = f"{formula.__module__.rsplit('.', 1)[-1]}.{formula.__name__}"
    return Step(
        symbol, described.title, name, described.equation, used, result, described.result.unit, described.source, note
    )


@cache
def describe(formula: Callable[..., float]) -> FormulaText:
    """Return a formula's docstring, parsed. Raises ValueError where it does not follow the house form."""
    lines = inspect.cleandoc(formula.__doc__ or "").splitlines()
    if not lines:
        raise ValueError(f"{formula.__name__} has no docstring")
    sections = _sections(lines)
    parameters = tuple(
        _described(_PARAMETER, line, formula.__name__) for line in _joined(sections.get("Parameters", []))
    )
    returned = " ".join(line.strip() for line in sections.get("Returns", []) if line.strip())
    source = "\n".join(lines).rpartition("Source:")[2]
    return FormulaText(
        title=lines[0],
        equation=_equation(lines),
        parameters=parameters,
        result=_described(_RETURNS, returned, formula.__name__),
        source=" ".join(source.split()),
    )


def _sections(lines: list[str]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    current: list[str] = []
    for line, below in zip(lines, [*lines[1:], ""], strict=True):
        if line in _HEADINGS and set(below) == {"-"}:
            current = found.setdefault(line, [])
        elif set(line) != {"-"}:
            current.append(line)
    return found


def _joined(lines: list[str]) -> list[str]:
    """Return one line per parameter: an indented line continues the one above."""
    joined: list[str] = []
    for line in lines:
        if not line.strip():
            continue
        if line.startswith(" ") and joined:
            joined[-1] += " " + line.strip()
        else:
            joined.append(line.strip())
    return joined


def _described(pattern: re.Pattern[str], line: str, formula: str) -> Described:
    match = pattern.match(line)
    if match is None:
        raise ValueError(f"{formula}: this docstring line does not follow the house form: {line!r}")
    parts = match.groupdict()
    return Described(
        parts.get("name") or "",
        parts["symbol"].strip(),
        parts["words"].strip(),
        parts["unit"],
        (parts.get("range") or "").strip(),
    )


def _equation(lines: list[str]) -> str:
    """Return the first indented block before the parameters."""
    block: list[str] = []
    for line in lines[1:]:
        if line == "Parameters":
            break
        if line.startswith("    "):
            block.append(line.strip())
        elif block:
            break
    return "\n".join(block)
