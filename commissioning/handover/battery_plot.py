"""Charge on the sheet: a battery's volts at the posts over the current into it, from what was read on the visit.

Drawn from readings alone: at dawn, before and under the load, on the charger. Dashed stands the set point of the charge
at the temperature of the day, between its limits, as the judgement of the charge voltage says.
"""

from collections.abc import Iterator
from typing import Any

from commissioning.models import Reading
from commissioning.plots import Plot
from commissioning.progress import Line, Progress
from sizing.checks.charging import battery_tag
from sizing.errors import MissingDataError
from sizing.system import System

Plain = dict[str, Any]
Point = tuple[float, float, str]
NOTE = "Readings as typed. Right of nought: charging. Dashed: set point of the charge at the temperature of the day."
FEWEST = 2
AIR = 0.12
TAKEN: dict[str, tuple[tuple[str, str, float, str], ...]] = {
    "dawn_voltage": (("voltage", "current", -1.0, "dawn"),),
    "battery_sag": (("rest_voltage", "", 0.0, "no load"), ("voltage", "current", -1.0, "load")),
    "charge_current": (("voltage", "current", 1.0, "charging"),),
}
"""By check: the reading of the volts, that of the current, its sign as current into the battery, and its name."""


def battery_plots(progress: Progress) -> list[Plain]:
    """Return one plot a battery of which volts were read at two currents or more."""
    system = progress.system
    if system is None:
        return []
    by_bank: dict[str, list[Line]] = {}
    for line in progress.lines:
        bank = _bank(system, line) if line.measurement is not None else ""
        if bank:
            by_bank.setdefault(bank, []).append(line)
    drawn = ((bank, _drawn(bank, lines)) for bank, lines in by_bank.items())
    return [{"title": f"Charge, {bank}", "note": NOTE, "drawing": drawing} for bank, drawing in drawn if drawing]


def _bank(system: System, line: Line) -> str:
    """Return the battery that a check says something of; empty where it is about none."""
    if line.check.key in ("dawn_voltage", "battery_sag"):
        return line.owed.subject
    if line.check.key not in ("charge_current", "charge_voltage"):
        return ""
    try:
        return battery_tag(system, line.owed.subject)
    except MissingDataError:
        return ""


def _drawn(bank: str, lines: list[Line]) -> str:
    points = [point for line in lines for point in _points(line)]
    if len({x for x, _, _ in points}) < FEWEST:
        return ""
    levels = _set_point(lines)
    heights = [y for _, y, _ in points] + list(levels.values())
    xs, ys = _room([x for x, _, _ in points] + [0.0]), _room(heights)
    said = ", ".join(f"{name} {y:.4g} V at {x:.3g} A" for x, y, name in points)
    plot = Plot(f"Battery {bank}: {said}.", xs, ys, "current into the battery, A", "at the posts, V", y_places=1)
    for name, level in levels.items():
        plot.curve([(xs[0], level), (xs[1], level)], 1.6 if name == "nominal" else 1.0,
                   dash="7 4" if name == "nominal" else "")  # fmt: skip
    middle = sum(xs) / 2
    for x, y, name in points:
        dx, anchor = (-9, "end") if x > middle else (9, "start")
        plot.point(x, y, label=name, dx=dx, anchor=anchor)
    return plot.svg()


def _points(line: Line) -> Iterator[Point]:
    assert line.measurement is not None
    readings = {r.input: r for r in line.measurement.readings.all()}
    for volts, amperes, sign, name in TAKEN.get(line.check.key, ()):
        x, y = _value(readings.get(amperes)) if amperes else 0.0, _value(readings.get(volts))
        if x is not None and y is not None:
            yield sign * x, y, name


def _value(reading: Reading | None) -> float | None:
    return reading.value if reading is not None and not reading.bound else None


def _set_point(lines: list[Line]) -> dict[str, float]:
    """Return nominal and limits of the charge voltage, as far as they were said."""
    line = next((one for one in lines if one.check.key == "charge_voltage" and one.judgement), None)
    found = line.judgement.findings if line and line.judgement else []
    expected = next((f["expected"] for f in found if f["expected"]), None) or {}
    return {name: expected[name] for name in ("nominal", "lower", "upper") if expected.get(name) is not None}


def _room(values: list[float]) -> tuple[float, float]:
    low, high = min(values), max(values)
    room = (high - low or abs(high) or 1.0) * AIR
    return low - room, high + room
