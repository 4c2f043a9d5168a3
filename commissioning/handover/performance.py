"""Plots of rows through the day, drawn from a frozen record: today's points beside what was expected."""

from typing import Any

from commissioning.plots import Plot

Plain = dict[str, Any]
FEWEST = 2


def performance_plots(frozen: Plain) -> list[Plain]:
    """Return a plot for every check whose values were judged row by row."""
    lines = (line for group in frozen["results"] for line in group["lines"])
    return [plot for line in lines for plot in _of_line(line)]


def _of_line(line: Plain) -> list[Plain]:
    names = dict.fromkeys(row["name"] for row in line["rows"] if row["repeat"].startswith("row "))
    series = [(name, [r for r in line["rows"] if r["name"] == name and r["picture"]]) for name in names]
    return [_plot(line, rows) for _, rows in series if len(rows) >= FEWEST]


def _plot(line: Plain, rows: list[Plain]) -> Plain:
    unit, label = rows[0]["picture"]["unit"], rows[0]["label"]
    title = f"{line['title']}, {line['subject_words']}: {label.lower()} row by row"
    plot = Plot(title, (0.5, len(rows) + 0.5), _range(rows), "row", f"{label} [{unit}]", x_ticks=_ticks(rows),
                y_places=rows[0]["picture"]["places"])  # fmt: skip
    for name, width, dash in (("expected", 1.6, "6 4"), ("lower", 1.0, ""), ("upper", 1.0, "")):
        plot.curve(_through(rows, name), width, dash=dash)
    for place, row in enumerate(rows, 1):
        picture = row["picture"]
        label_of_point = "" if row["verdict"] in ("within", "") else row["verdict"]
        plot.point(place, float(picture["reading"]), float(picture["spread"]), picture["verdict"], label_of_point)
    return {"title": title, "drawing": plot.svg()}


def _through(rows: list[Plain], name: str) -> list[tuple[float, float]]:
    return [(i, float(r["picture"][name])) for i, r in enumerate(rows, 1) if r["picture"][name] is not None]


def _ticks(rows: list[Plain]) -> list[tuple[float, str]]:
    return [(i, row["repeat"].removeprefix("row ")) for i, row in enumerate(rows, 1)]


def _range(rows: list[Plain]) -> tuple[float, float]:
    """Return lowest and highest of all that is drawn, with a little air."""
    values = [
        float(r["picture"][n]) for r in rows for n in ("expected", "lower", "upper") if r["picture"][n] is not None
    ]
    for row in rows:
        reading, spread = float(row["picture"]["reading"]), float(row["picture"]["spread"])
        values += [reading - spread, reading + spread]
    low, high = min(values), max(values)
    air = (high - low or abs(high) or 1.0) / 20
    return (low - air if low < 0 or low > high / 2 else min(0.0, low)), high + air
