"""Makes the tables of a check on one subject: what each value should be and what it is, over the plan's axes."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from sizing.checks.case import Case, Expected
from sizing.checks.declare import Check, Judged, Kind
from sizing.checks.pocket import Figure, Plan, Reduction, Scale
from sizing.errors import MissingDataError
from sizing.formulas.uncertainty import combine
from sizing.judgement import measured_value
from sizing.pocket.grid import Grid, Node, Point, Sort
from sizing.pocket.grow import Range, grown
from sizing.pocket.lines import NodeWorking, working_at_nodes
from sizing.pocket.pose import CANNOT, PosingError, SpanError, Stand
from sizing.system import System
from sizing.verdict import COVERAGE, room_of
from sizing.working import Working

BORNE = 0.05  # of the tolerance: what a table may be off; the bar is a tenth
OF_FIGURE = 3e-4  # of a figure: what its table may be off
NO_LESS = 0.02  # of the greatest figure: below it, a share is not asked for
POCKET = "pocket"
BEYOND = "beyond what the phone's tables hold: the server will judge"
FIGURES = ("nominal", "lower", "upper", "bearable")
_NUMBER = re.compile(r"[-−]?\d+(?:\.\d+)?")


@dataclass(frozen=True)
class FigureTable:
    """A figure over the readings that it is worked out from."""

    figure: Figure
    grid: Grid


@dataclass(frozen=True)
class Table:
    """One judged value in one situation. `value` is a grid, or the name of the reading or figure that it is."""

    judged: str
    plan: Plan
    value: Grid | str
    reduced: tuple[Reduction, str] | None
    expected: Grid
    working: NodeWorking


@dataclass(frozen=True)
class Pocketed:
    """All tables of a check on one subject."""

    check: str
    subject: str
    figures: tuple[FigureTable, ...] = ()
    tables: tuple[Table, ...] = ()
    defaults: Mapping[str, float] = field(default_factory=dict)
    server: str = ""
    """Why the phone does not judge; empty where it does."""


@dataclass
class Wording:
    """Gathers words in which only numbers differ from node to node, so that such nodes are of one sort."""

    seen: dict[str, set[str]] = field(default_factory=dict)

    def bare(self, words: str) -> str:
        """Return words without their numbers."""
        bare = _NUMBER.sub("#", words)
        self.seen.setdefault(bare, set()).add(words)
        return bare

    def full(self, bare: str) -> str:
        """Return the words with those numbers that were always the same; a dash of dots for the others."""
        every = [words.split(" ") for words in sorted(self.seen.get(bare, {bare}))]
        if len({len(words) for words in every}) > 1:
            return bare.replace("#", "…")
        columns = zip(*every, strict=True)
        return " ".join(words[0] if len(set(words)) == 1 else _NUMBER.sub("…", words[0]) for words in columns)

    def grid(self, made: Grid) -> Grid:
        """Return a table whose sorts have their words in full."""
        known = {node.sort for node in made.nodes}
        worded = {one: replace(one, basis=self.full(one.basis), refusal=self.full(one.refusal)) for one in known}
        return replace(made, nodes=tuple(replace(node, sort=worded[node.sort]) for node in made.nodes))


def tabulate(check: Check, system: System, tag: str, *, moment: float = 0.0) -> Pocketed:
    """Return the tables of a check on one subject, to serve from a moment on (Unix time [s]).

    Nothing raises for want of data: what a table cannot say stands in it as a refusal with its words.
    """
    if check.kind is Kind.OBSERVED:
        return Pocketed(check.key, tag)
    if check.pocket.server:
        return Pocketed(check.key, tag, server=check.pocket.server)
    stand = Stand(check, system, tag, moment)
    try:
        figures = _figures(stand)
        tables = [
            _table(stand, judged, plan, figures)
            for judged in check.judged
            for plan in check.pocket.plans_for(judged.name)
        ]
    except (*CANNOT, SpanError) as problem:  # what stands in for a reading, or a span, is not on record
        return Pocketed(check.key, tag, server=str(problem))
    return Pocketed(check.key, tag, tuple(figures.values()), tuple(tables), _defaults(stand))


def _defaults(stand: Stand) -> dict[str, float]:
    return {
        axis.name: axis.default(stand.system, stand.tag) for axis in stand.check.pocket.axes if axis.default is not None
    }


def _figures(stand: Stand) -> dict[str, FigureTable]:
    found: dict[str, FigureTable] = {}
    for figure in stand.check.pocket.figures:
        found[figure.name] = FigureTable(figure, _figure_grid(stand, figure, found))
    return found


def _figure_grid(stand: Stand, figure: Figure, before: Mapping[str, FigureTable]) -> Grid:
    words = Wording()

    def at(values: Mapping[str, float]) -> Node:
        base = stand.base(values, "")
        return Node(Sort(), {"value": figure.by(stand.case(base, ""))})

    ranges = tuple(range_on_axis(stand, name, before) for name in figure.of)
    sample = [abs(n.figures["value"]) for n in _corners(ranges, _noting(stand, at, words, ranges)) if n.figures]
    least = NO_LESS * max(sample, default=1.0)

    def error(read: Mapping[str, float], true: Mapping[str, float]) -> float:
        return abs(read["value"] - true["value"]) / (OF_FIGURE * max(abs(true["value"]), least))

    return words.grid(grown(ranges, _noting(stand, at, words, ranges), error, figure.scale))


def _corners(ranges: tuple[Range, ...], at: Callable[[Point], Node]) -> list[Node]:
    points: list[Point] = [()]
    for one in ranges:
        points = [(*p, x) for p in points for x in {one.first_nodes()[0], one.first_nodes()[-1]}]
    return [at(p) for p in points]


def range_on_axis(stand: Stand, name: str, figures: Mapping[str, FigureTable]) -> Range:
    """Return the range of an axis; that of a figure is what its own table reaches."""
    if name not in figures or figures[name].figure.stands_in:
        return stand.range_of(name)
    figure = figures[name].figure
    reached = [node.figures["value"] for node in figures[name].grid.nodes if node.figures]
    low, high = min(reached, default=0.0), max(reached, default=0.0)
    if figure.span is not None:
        least, most = stand.span_of(figure.span)
        low, high = max(low, least), min(high, most)
    return Range(name, low, high, figure.scale, figure.kinks)


def _noting(
    stand: Stand, at: Callable[[Mapping[str, float]], Node], words: Wording, ranges: tuple[Range, ...]
) -> Callable[[Point], Node]:
    """Return the function of a point; what it refuses becomes a node of a sort of its own."""
    known = frozenset(name.partition("@")[0] for one in ranges for name in stand.inputs_of(one.name))

    def node(point: Point) -> Node:
        try:
            return at({one.name: x for one, x in zip(ranges, point, strict=True)})
        except PosingError:
            return Node(Sort(owner=POCKET, field=POCKET, refusal=BEYOND), {})
        except CANNOT as problem:
            return Node(refused(problem, words, known), {})

    return node


def refused(problem: Exception, words: Wording, known: frozenset[str]) -> Sort:
    """Return the sort of a node at which a formula or a record refuses; the server judges what it lacks here only."""
    is_unread = isinstance(problem, MissingDataError) and problem.owner in ("reading", "condition")
    if is_unread and getattr(problem, "field", "") not in known:
        return Sort(owner=POCKET, field=str(getattr(problem, "field", "")), refusal=BEYOND)
    owner, name = getattr(problem, "owner", "range"), getattr(problem, "field", getattr(problem, "argument", "runs"))
    return Sort(owner=str(owner), field=str(name), refusal=words.bare(str(problem)))


def _table(stand: Stand, judged: Judged, plan: Plan, figures: Mapping[str, FigureTable]) -> Table:
    expected = _expected_grid(stand, judged, plan, _ranges(stand, plan, figures, judged.expected))
    value = _value(stand, judged, plan, figures, expected)
    working = working_at_nodes(expected, lambda point: _worked(stand, judged, plan, expected.names, point))
    return Table(judged.name, plan, value, stand.check.pocket.reduced.get(judged.name), expected, working)


def _ranges(
    stand: Stand, plan: Plan, figures: Mapping[str, FigureTable], ask: Callable[[Case], object]
) -> tuple[Range, ...]:
    """Return the plan's axes, and those of readings and needs that a function asks for besides."""
    names = [name for name in plan.axes if name not in plan.held]
    while more := stand.lacking(ask, names, plan):
        names.append(more)
    return tuple(range_on_axis(stand, name, figures) for name in names)


def _based(stand: Stand, plan: Plan, values: Mapping[str, float]) -> dict[str, float]:
    return stand.guarded(plan.guards, stand.base({**plan.held, **values}, plan.way), plan.way)


def _worked(stand: Stand, judged: Judged, plan: Plan, names: tuple[str, ...], point: Point) -> Working:
    """Return the working of the expected value at a point; what a table has no axis for takes its middle."""
    others = {name: stand.stands_in(name) for name in plan.axes if name not in names and not _is_figure(stand, name)}
    values = {**others, **dict(zip(names, point, strict=True))}
    working = Working()
    judged.expected(stand.case(_based(stand, plan, values), plan.way, working))
    return working


def _is_figure(stand: Stand, name: str) -> bool:
    return stand.check.pocket.figure(name) is not None


def _expected_grid(stand: Stand, judged: Judged, plan: Plan, ranges: tuple[Range, ...]) -> Grid:
    words = Wording()

    def at(values: Mapping[str, float]) -> Node:
        return _node(judged.expected(stand.case(_based(stand, plan, values), plan.way)), words)

    def error(read: Mapping[str, float], true: Mapping[str, float]) -> float:
        return off_tolerance(read, true, stand.check.pocket.bearable)

    return words.grid(grown(ranges, _noting(stand, at, words, ranges), error))


def _node(expected: Expected, words: Wording) -> Node:
    """Return what is expected as a node: its figures, and what kind of answer it is."""
    figures = {name: getattr(expected, name) for name in FIGURES if getattr(expected, name) is not None}
    figures |= {f"term {i}": term.u for i, term in enumerate(expected.terms)}
    terms, shared = tuple(t.name for t in expected.terms), tuple(t.shared for t in expected.terms)
    return Node(Sort(words.bare(expected.basis), terms, shared), figures)


def tolerance(figures: Mapping[str, float]) -> float:
    """Return the tolerance of what is expected: half the width of two limits, or from expected to a lone one."""
    lower, upper = figures.get("lower"), figures.get("upper")
    found = room_of(lower, upper, figures.get("nominal"), figures.get("bearable"))
    if found:
        return found
    limit = lower if lower is not None else upper
    if limit is not None:
        return abs(limit)
    return COVERAGE * combine([figures[name] for name in figures if name.startswith("term")] or [0.0])


def off_tolerance(read: Mapping[str, float], true: Mapping[str, float], bearable: float = 0.0) -> float:
    """Return how far figures are off, as a share of what is borne."""
    borne = BORNE * (max(tolerance(true), bearable) or 1e-9)
    return max(
        (abs(read[name] - true[name]) * (COVERAGE if name.startswith("term") else 1) / borne for name in true),
        default=0.0,
    )


def _value(stand: Stand, judged: Judged, plan: Plan, figures: Mapping[str, FigureTable], expected: Grid) -> Grid | str:
    """Return the table of the measured value, or the name of what it simply is."""
    if judged.measured is None or judged.name in stand.check.pocket.reduced:
        return judged.name
    if judged.name in stand.check.pocket.simply:
        return stand.check.pocket.simply[judged.name]
    words, ranges = Wording(), _ranges(stand, plan, figures, lambda case: measured_value(judged, case))

    def at(values: Mapping[str, float]) -> Node:
        base = _based(stand, plan, values)
        return Node(Sort(), {"value": measured_value(judged, stand.case(base, plan.way))})

    noted = _noting(stand, at, words, ranges)
    same = _is_simply(ranges, noted)
    if same:
        return same
    least = min((tolerance(node.figures) for node in expected.nodes if node.figures), default=0.0)
    borne = BORNE * max(least, stand.check.pocket.bearable)

    def error(read: Mapping[str, float], true: Mapping[str, float]) -> float:
        return abs(read["value"] - true["value"]) / max(borne, OF_FIGURE * abs(true["value"]), 1e-12)

    return words.grid(grown(ranges, noted, error, stand.check.pocket.value_scale))


def _is_simply(ranges: tuple[Range, ...], at: Callable[[Point], Node]) -> str:
    """Return the axis whose value the measured value is everywhere, if there is one."""
    points: list[Point] = [()]
    for one in ranges:
        nodes = one.first_nodes()
        points = [(*p, x) for p in points for x in dict.fromkeys((nodes[0], nodes[len(nodes) // 2], nodes[-1]))]
    computed = [(point, at(point)) for point in points]
    if any(not node.figures for _, node in computed):
        return ""
    for i, one in enumerate(ranges):
        if all(abs(node.figures["value"] - p[i]) <= 1e-9 * max(abs(p[i]), 1e-9) for p, node in computed):
            return one.name
    return ""
    for i, one in enumerate(ranges):
        if all(abs(node.figures["value"] - p[i]) <= 1e-9 * max(abs(p[i]), 1e-9) for p, node in nodes):
            return one.name
    return ""


__all__ = ["BORNE", "FigureTable", "Pocketed", "Scale", "Table", "tabulate"]
