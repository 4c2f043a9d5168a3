"""The plots of the appendix, drawn when the sheet is frozen: a later version of the drawing may differ.

Nothing is computed here that is not printed in a working: the points of the pump's plot are the flows and heads of
its steps, its curves are the rows of its own table at the power of each step.
"""

from typing import Any

from commissioning import units
from commissioning.handover.battery_plot import battery_plots
from commissioning.handover.drift_plots import drift_plots
from commissioning.models import Reading
from commissioning.plots import Plot
from commissioning.progress import Line, Progress
from commissioning.visits.chart import rows_plot
from sizing.errors import OutOfRangeError
from sizing.lift import lift_curve
from sizing.quantities import Quantity

Plain = dict[str, Any]
HEAD_STEP, TABLE_STEP = "pumps.total_dynamic_head", "pump_curves.pump_table_flow"
EFFICIENCY_STEP = "pumps.wire_to_water_efficiency"
AIR = 1.06
CLOSE = 0.03  # of the largest value: the least room above and below it
BEFORE = ("start", "settled", "end")
Point = tuple[float, float]


def drawings_of(progress: Progress) -> list[Plain]:
    """Return every plot of a visit, each with its title and what its lines mean."""
    system = progress.visit.site.unit_system
    found = [one for line in progress.lines if line.judgement for one in _of_line(line, system)]
    return [one for one in found if one["drawing"]] + battery_plots(progress) + drift_plots(progress.visit)


def _of_line(line: Line, system: str) -> list[Plain]:
    assert line.measurement is not None
    assert line.judgement is not None
    readings = list(line.measurement.readings.all())
    title = f"{line.check.title}, {line.subject_words}"
    through = rows_plot(line.check, line.judgement, readings, system)
    return [
        {"title": title, "note": "Dashed: expected. Thin lines: limits.", "drawing": through},
        {"title": f"{title}: pump, pipes and well", "note": PUMP_NOTE, "drawing": pump_plot(line, system)},
        {"title": f"{title}: over time", "note": "Readings as typed.", "drawing": time_plot(line, readings, system)},
    ]


PUMP_NOTE = (
    "Thin lines: the pump's table at the power of each row. Dashed: what well and pipes ask for. "
    "Dots: the flows measured, each at the head reckoned for it."
)


def pump_plot(line: Line, system: str) -> str:
    """Return the pump's table with the curve of well and pipes and the points of the day; empty if it has none."""
    steps = [(f, step) for f in (line.judgement.findings if line.judgement else []) for step in f["steps"]]
    tables = [step for _, step in steps if step["formula"] == TABLE_STEP]
    today = [_flow_and_head(step) for _, step in steps if step["formula"] == EFFICIENCY_STEP]
    if not tables or not today:
        return ""
    asked = sorted({_asked(step) for step in tables} | set(today))
    curves = [curve for step in tables if (curve := _curve(step))]
    return _drawn_pump(curves, asked, today, [f["repeat"] for f, s in steps if s["formula"] == EFFICIENCY_STEP], system)


def _argument(step: Plain, symbol: str) -> Any:
    return next(one["value"] for one in step["arguments"] if one["symbol"] == symbol)


def _flow_and_head(step: Plain) -> Point:
    return float(_argument(step, "Q")), float(_argument(step, "H"))


def _asked(step: Plain) -> Point:
    """Return where pump and pipes balance: the flow of the table at the head asked for."""
    return float(step["result"]), float(_argument(step, "H"))


def _curve(step: Plain) -> list[Point]:
    rows = tuple(tuple(float(cell) for cell in row) for row in _argument(step, "R"))
    try:
        return list(lift_curve(rows, float(_argument(step, "P"))).points)  # type: ignore[arg-type]  # three cells a row
    except OutOfRangeError:
        return []


def _drawn_pump(
    curves: list[list[Point]], asked: list[Point], today: list[Point], names: list[str], system: str
) -> str:
    flow, head = units.default_unit(Quantity.FLOW, system), units.default_unit(Quantity.HEAD, system)

    def shown(points: list[Point]) -> list[Point]:
        return [
            (units.from_core(q, flow.code, Quantity.FLOW), units.from_core(h, head.code, Quantity.HEAD))
            for q, h in points
        ]

    every = [point for curve in [*curves, asked, today] for point in shown(curve)]
    top, right = max(h for _, h in every) * AIR, max(q for q, _ in every) * AIR
    title = f"Head over flow: {len(today)} rows of the day beside the pump's table and the curve of well and pipes."
    plot = Plot(title, (0, right), (0, top), f"flow, {flow.symbol}", f"head, {head.symbol}")
    for curve in curves:
        plot.curve(shown(curve), 1.0)
    plot.curve(shown(asked), 1.6, dash="7 4")
    for name, (q, h) in zip(names, shown(today), strict=True):
        plot.point(q, h, label=name.removeprefix("row "), dx=7, dy=-8)
    return plot.svg()


def time_plot(line: Line, readings: list[Reading], system: str) -> str:
    """Return the first input that was read at the start, settled and at the end, over the minutes between."""
    first = next((r.input for r in readings if r.label == BEFORE[0]), "")
    row = [r for label in BEFORE for r in readings if r.input == first and r.label == label]
    declared = line.check.input(first) if first else None
    if declared is None or len(row) < 2:
        return ""
    code = units.default_unit(declared.quantity, system).code if not row[0].unit else row[0].unit
    values = [units.from_core(r.value, code, declared.quantity) for r in row]
    minutes = [(r.at - row[0].at).total_seconds() / 60 for r in row]
    is_timed = minutes == sorted(set(minutes))
    xs = minutes if is_timed else [float(i) for i in range(len(row))]
    ticks = None if is_timed else [(float(i), r.label) for i, r in enumerate(row)]
    low, high = _close_range(values)
    title = f"{declared.label}: {', '.join(f'{r.label} {r.typed}' for r in row)}."
    symbol = units.unit(code, declared.quantity).symbol
    plot = Plot(title, (-0.08 * xs[-1], xs[-1] * 1.1), (low, high), "minutes" if is_timed else "",
                f"{declared.label.lower()}, {symbol}", x_ticks=ticks)  # fmt: skip
    plot.curve(list(zip(xs, values, strict=True)), 1.2)
    for x, value, r in zip(xs, values, row, strict=True):
        plot.point(x, value, label=r.typed, dx=0, dy=22, anchor="middle")
    return plot.svg()


def _close_range(values: list[float]) -> tuple[float, float]:
    """Return a scale close round some values, on which a fall of a few parts in a hundred is seen."""
    room = max(max(values) - min(values), CLOSE * max(abs(v) for v in values)) or 1.0
    return min(values) - room, max(values) + room
