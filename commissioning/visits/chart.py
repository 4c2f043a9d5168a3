"""The performance line: the rows of one measurement over what drives them, with what was expected of each."""

from typing import Any

from commissioning import units
from commissioning.models import Judgement, Reading
from commissioning.plots import Plot
from commissioning.showing import unit_for
from sizing.checks.declare import Check, Input
from sizing.quantities import Quantity

DRIVERS = (Quantity.POWER, Quantity.IRRADIANCE, Quantity.CURRENT, Quantity.FLOW, Quantity.DURATION)
"""What a row is plotted over, if the row was read with it: the first that is there."""
ROOM = 1.08  # of the largest value, so that the last point and its number stand clear of the edge
FAR_RIGHT = 0.7  # beyond this share of the width a point's words stand to its left


def rows_plot(check: Check, judgement: Judgement | None, readings: list[Reading], unit_system: str) -> str:
    """Return the plot of the first judged value of each row, or nothing where fewer than two rows can be drawn."""
    if judgement is None or not check.judged:
        return ""
    name = check.judged[0].name
    driver = driver_of(check, name)
    found = [f for f in judgement.findings if f["name"] == name and f["value"] is not None]
    points = [(x, f) for f in found if (x := _driven(driver, f["repeat"], readings)) is not None]
    if driver is None or len(points) < 2:
        return ""
    return _drawn(driver, sorted(points, key=lambda p: p[0]), readings, unit_system)


def driver_of(check: Check, judged: str) -> Input | None:
    """Return the input that a row is plotted over."""
    inputs = [i for way in check.ways for i in way.inputs if i.repeats and i.name != judged and not i.options]
    return next((i for quantity in DRIVERS for i in inputs if i.quantity is quantity), None)


def _driven(driver: Input | None, label: str, readings: list[Reading]) -> float | None:
    return next((r.value for r in readings if driver and r.input == driver.name and r.label in (label, "")), None)


def _drawn(driver: Input, points: list[tuple[float, dict[str, Any]]], readings: list[Reading], system: str) -> str:
    quantity = Quantity(points[0][1]["quantity"])
    x_code = unit_for(driver.quantity, system, next((r for r in readings if r.input == driver.name), None))
    y_code = unit_for(quantity, system, next((r for r in readings if r.input == points[0][1]["name"]), None))

    def across(value: float) -> float:
        return units.from_core(value, x_code, driver.quantity)

    def up(value: float) -> float:
        return units.from_core(value, y_code, quantity)

    xs = [across(x) for x, _ in points]
    heights = [up(v) for _, f in points for v in (f["value"], *_limits(f)) if v is not None]
    plot = Plot(
        _title(points), (0, max(xs) * ROOM), (min(0, *heights), max(heights) * ROOM),
        f"{driver.label.lower()}, {units.unit(x_code, driver.quantity).symbol}",
        f"{points[0][1]['label'].lower()}, {units.unit(y_code, quantity).symbol}",
    )  # fmt: skip
    _expect(plot, points, across, up)
    for x, f in points:
        number = f["repeat"].rpartition(" ")[2]
        words = number if f["verdict"] == "within" else f"{number} {f['verdict']}"
        spread = units.scale(f["spread"], y_code, quantity) if f["spread"] else 0.0
        dx, anchor = (-9, "end") if across(x) > FAR_RIGHT * max(xs) else (9, "start")
        nominal = (f["expected"] or {}).get("nominal")
        dy = -10 if nominal is not None and f["value"] > nominal else 18  # away from the curve
        plot.point(across(x), up(f["value"]), spread, f["verdict"], words, dx=dx, dy=dy, anchor=anchor)
    return plot.svg()


def _limits(finding: dict[str, Any]) -> tuple[float | None, float | None]:
    expected = finding["expected"] or {}
    return expected.get("lower"), expected.get("upper")


def _expect(plot: Plot, points: list[tuple[float, dict[str, Any]]], across: Any, up: Any) -> None:
    """Draw limits as a band and what is expected dashed, where every row has them."""
    limits = [(across(x), *_limits(f)) for x, f in points]
    if all(low is not None and high is not None for _, low, high in limits):
        plot.band([(x, up(low)) for x, low, _ in limits], [(x, up(high)) for x, _, high in limits])
    nominal = [(across(x), (f["expected"] or {}).get("nominal")) for x, f in points]
    known = [(x, up(value)) for x, value in nominal if value is not None]
    if len(known) > 1:
        plot.curve(known, 1.6, dash="7 4")


def _title(points: list[tuple[float, dict[str, Any]]]) -> str:
    words = ", ".join(f"{f['repeat']} {f['verdict']}" for _, f in points)
    return f"{points[0][1]['label']} of {len(points)} rows: {words}."
