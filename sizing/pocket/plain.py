"""Tables as plain lists and numbers, short enough to travel: what the phone reads.

Columns that are a straight function of another one, such as a limit at nine tenths of what is expected, are written
as that function. Axis nodes keep twelve digits, because an edge is closed in by two nodes that hardly differ.
"""

from collections.abc import Sequence
from math import isclose
from typing import Any

from sizing.checks.declare import Check
from sizing.pocket.grid import Grid, Sort
from sizing.pocket.lines import NodeWorking, Worked, same_words, words_of
from sizing.pocket.tabulate import FigureTable, Pocketed, Table
from sizing.working import Step

DIGITS, NODE_DIGITS, LINE_DIGITS = 6, 12, 9
STRAIGHT = 1e-9  # relative: what two columns may differ from a straight function


def pocket_data(pocketed: Pocketed, check: Check) -> dict[str, Any]:
    """Return all tables of a check on one subject."""
    return {
        "server": pocketed.server,
        "judged": [[one.name, one.label, one.quantity.value] for one in check.judged],
        "figures": [_figure(one) for one in pocketed.figures],
        "tables": [_table(one) for one in pocketed.tables],
        "defaults": {name: shortened(value, NODE_DIGITS) for name, value in pocketed.defaults.items()},
    }


def _figure(one: FigureTable) -> dict[str, Any]:
    figure = one.figure
    found: dict[str, Any] = {"name": figure.name, "of": list(figure.of), "grid": grid_data(one.grid)}
    if figure.stands_in:
        found["stands_in"] = True
    if figure.each_repeat:
        found |= {"each": True, "agree": figure.agree}
    return found


def _table(one: Table) -> dict[str, Any]:
    plan = one.plan
    found: dict[str, Any] = {
        "judged": one.judged,
        "way": plan.way,
        "given": list(plan.given),
        "without": list(plan.without),
        "guards": list(plan.guards),
        "held": dict(plan.held),
        "doubtful": plan.doubtful,
        "reduced": [one.reduced[0].value, one.reduced[1]] if one.reduced else None,
    }
    found = {name: value for name, value in found.items() if value or name == "judged"}
    value = one.value if isinstance(one.value, str) else grid_data(one.value)
    return {**found, "value": value, "expected": grid_data(one.expected), "working": working_data(one.working)}


def grid_data(grid: Grid) -> dict[str, Any]:
    """Return a table: axes, sorts, which node is of which sort, and columns."""
    sorts = list(dict.fromkeys(node.sort for node in grid.nodes))
    names = dict.fromkeys(name for node in grid.nodes for name in node.figures)
    columns = {name: [node.figures.get(name) for node in grid.nodes] for name in names}
    found: dict[str, Any] = {
        "axes": [[line.name, line.scale.value, [shortened(x, NODE_DIGITS) for x in line.nodes]] for line in grid.lines],
        "sorts": [_sort(one) for one in sorts],
        "columns": _columns(columns),
    }
    if len(sorts) > 1:
        found["sort"] = [sorts.index(node.sort) for node in grid.nodes]
    if grid.scale.value != "linear":
        found["scale"] = grid.scale.value
    return found


def _sort(one: Sort) -> dict[str, Any]:
    if one.is_refusal:
        return {"owner": one.owner, "field": one.field, "refusal": one.refusal}
    found: dict[str, Any] = {"basis": one.basis} if one.basis else {}
    return found | ({"terms": list(one.terms), "shared": [int(x) for x in one.shared]} if one.terms else {})


def _columns(columns: dict[str, list[float | None]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, column in columns.items():
        found[name] = _constant(column)
        if found[name] is not None:
            continue
        others = [other for other, made in found.items() if isinstance(made, list)]
        straight = ((other, line) for other in others if (line := _straight(columns[other], column)))
        other, line = next(straight, ("", None))
        found[name] = (
            {"of": other, "line": line} if line else [None if x is None else shortened(x, DIGITS) for x in column]
        )
    return found


def _constant(column: Sequence[float | None]) -> float | None:
    """Return the value that a column has throughout, refusals apart; None where it varies."""
    values = [x for x in column if x is not None]
    if not values or any(not isclose(x, values[0], rel_tol=STRAIGHT, abs_tol=1e-300) for x in values):
        return None
    return shortened(values[0], NODE_DIGITS)


def _straight(of: Sequence[float | None], column: Sequence[float | None]) -> list[float] | None:
    """Return offset and slope, if a column is a straight function of another."""
    if any((x is None) != (y is None) for x, y in zip(of, column, strict=True)):
        return None
    pairs = [(x, y) for x, y in zip(of, column, strict=True) if x is not None and y is not None]
    (x0, y0), (x1, y1) = min(pairs), max(pairs)
    if x0 == x1:
        return None
    slope = (y1 - y0) / (x1 - x0)
    offset = y0 - slope * x0
    size = max(abs(y) for _, y in pairs)
    if any(abs(offset + slope * x - y) > STRAIGHT * size for x, y in pairs):
        return None
    return [0.0 if abs(offset) <= STRAIGHT * size else shortened(offset, LINE_DIGITS), shortened(slope, LINE_DIGITS)]


def working_data(working: NodeWorking) -> dict[str, Any]:
    """Return the working at the nodes that have it: words once, numbers node by node."""
    texts: list[Worked] = []
    nodes = []
    for one in working.nodes:
        known = next((i for i, text in enumerate(texts) if same_words(text.steps, one.steps)), None)
        if known is None:
            known = len(texts)
            texts.append(one)
        at = [shortened(x, DIGITS) for x in one.at]
        nodes.append([at, known, [[_number(n) for n in _numbers(step)] for step in one.steps]])
    return {
        "names": list(working.names),
        "texts": [[_words(step) for step in one.steps] for one in texts],
        "nodes": nodes,
    }


def _words(step: Step) -> dict[str, Any]:
    symbol, words, _, equation, arguments, unit, source, note = words_of(step)
    found = {"symbol": symbol, "words": words.removeprefix("Return ").rstrip("."), "equation": equation, "unit": unit}
    return found | {"source": source, "of": [list(one) for one in arguments]} | ({"note": note} if note else {})


def _numbers(step: Step) -> list[Any]:
    return [step.result, *(one.value for one in step.arguments)]


def _number(value: Any) -> Any:
    if isinstance(value, list | tuple):
        return [_number(one) for one in value]
    return shortened(value, DIGITS) if isinstance(value, float) else value


def shortened(value: float, digits: int) -> float:
    """Return a number with so many significant digits; a whole one without a point."""
    short = float(f"{value:.{digits - 1}e}")
    return int(short) if short.is_integer() and abs(short) < 1e15 else short
