"""What the labels say: tag, name and main datum, in the units of the site."""

from math import isfinite

from commissioning import units
from commissioning.plots.schematic.shapes import Label, Line
from commissioning.plots.svg import printable
from sizing.errors import OutOfRangeError
from sizing.formulas.tanks import rectangular_volume, upright_cylinder_volume
from sizing.quantities import Quantity as Q
from sizing.system import Node, Run

LONGEST = 17  # characters in a line of a label
MOST_LINES = 2  # of a name
SPEAKS_FOR_ITSELF = {"valve", "junction", "isolator", "outlet", "well", "hand_pump", "storage_tank", "level_switch"}
MATERIAL = {"pe": "PE", "pvc": "PVC", "steel": "steel", "galvanized": "galv. steel", "copper": "copper"}
FULL = 20.0  # from here on lengths and depths are told without decimals
CUBIC_METRE = 1.0  # m³; a metric tank below that is told in litres


def value(part: object, field: str) -> float | None:
    """Return a number of a nameplate, or None where it is not recorded or not a number."""
    found = getattr(part, field, None)
    return float(found) if isinstance(found, int | float) and isfinite(found) else None


def figure(part: object, field: str, quantity: Q, unit_system: str, code: str = "") -> str:
    """Return a nameplate value with its unit in the site's units, or nothing."""
    found = value(part, field)
    if found is None:
        return ""
    unit = code or units.default_unit(quantity, unit_system).code
    return units.figure(found, quantity, unit, places=_places(units.from_core(found, unit, quantity)))


def _places(shown: float) -> int:
    """Return no decimals where a whole number is near enough: a label is no nameplate."""
    return 0 if abs(shown) >= FULL or abs(shown - round(shown)) < 0.05 else 1


def height(part: object, field: str, unit_system: str) -> str:
    """Return an elevation with its sign, such as "+12.0 m", or nothing."""
    found = value(part, field)
    if found is None:
        return ""
    code = units.default_unit(Q.ELEVATION, unit_system).code
    tenths = units.from_core(found, code, Q.ELEVATION) * 10
    is_fine = code == "m" and abs(tenths - round(tenths)) > 0.05
    text = units.figure(found, Q.ELEVATION, code, places=2 if is_fine else 1)
    return f"+{text}" if found > 0 else text


def volume(part: object, unit_system: str) -> str:
    """Return what a tank holds from its floor to its overflow, or nothing."""
    floor, overflow = value(part, "floor_elevation"), value(part, "overflow_elevation")
    if floor is None or overflow is None:
        return ""
    try:
        held = _volume(part, overflow - floor)
    except OutOfRangeError:
        return ""
    if held is None:
        return ""
    code = "gal" if unit_system == "us" else "m3" if held >= CUBIC_METRE else "L"
    return units.figure(held, Q.VOLUME, code, places=1 if code == "m3" else 0)


def _volume(part: object, depth: float) -> float | None:
    diameter, length, width = (value(part, one) for one in ("diameter", "length", "width"))
    if diameter is not None:
        return upright_cylinder_volume(diameter, depth)
    return None if length is None or width is None else rectangular_volume(length, width, depth)


def modules(part: object) -> str:
    """Return how an array is made up: strings × modules in each, or nothing."""
    series, parallel = value(part, "series"), value(part, "parallel")
    if series is None or parallel is None:
        return ""
    return f"{parallel:.0f} × {series:.0f} modules"


def datum(node: Node, unit_system: str) -> str:
    """Return the figure that a person looks for first, or nothing where it is not recorded."""
    part, kind = node.part, node.kind
    if kind == "well":
        return figure(part, "depth", Q.DEPTH, unit_system)
    if kind == "storage_tank":
        return ", ".join(filter(None, (volume(part, unit_system), height(part, "floor_elevation", unit_system))))
    if kind == "solar_array":
        return modules(part)
    if kind == "level_switch":
        return height(part, "set_elevation", unit_system)
    if kind == "hand_pump":
        return height(part, "outlet_elevation", unit_system)
    if kind == "earth_electrode":
        return figure(part, "length", Q.LENGTH, unit_system)
    return height(part, "elevation", unit_system) or figure(part, "rated_power", Q.POWER, unit_system)


def wrapped(text: str) -> list[str]:
    """Return a name in at most two lines that keep a column narrow; what is cut ends in an ellipsis."""
    lines: list[str] = []
    for word in printable(text).split():
        piece = word if len(word) <= LONGEST else word[: LONGEST - 1] + "…"
        if lines and len(lines[-1]) + 1 + len(piece) <= LONGEST:
            lines[-1] += " " + piece
        else:
            lines.append(piece)
    if len(lines) > MOST_LINES:
        lines = [*lines[: MOST_LINES - 1], lines[MOST_LINES - 1][: LONGEST - 1] + "…"]
    return lines


def short(tag: str) -> str:
    """Return a tag that fits in a line."""
    return (wrapped(tag) or ["?"])[0]


def lines_of(node: Node, unit_system: str) -> tuple[Line, ...]:
    """Return the lines of a component's label: tag in bold, name, main datum."""
    tag = short(node.tag)
    names = wrapped(node.name)
    figures = datum(node, unit_system)
    if not names and not figures and node.kind not in SPEAKS_FOR_ITSELF:
        names = wrapped(node.part.title.lower())
    return (Line(tag, True), *(Line(one) for one in names), *([Line(figures)] if figures else []))


def run_words(run: Run, unit_system: str) -> tuple[str, str]:
    """Return a run's tag and what is worth saying of it: length, and material or conductor size."""
    length = figure(run.part, "length", Q.LENGTH, unit_system)
    if run.kind == "pipe":
        return short(run.tag), " ".join(filter(None, (length, MATERIAL.get(getattr(run.part, "material", ""), ""))))
    if run.kind == "cable":
        size = str(getattr(run.part, "size", None) or "")
        return short(run.tag), ", ".join(filter(None, (length, size if len(size) <= LONGEST else "")))
    return short(run.tag), length


def label(x: float, top: float, lines: tuple[Line, ...], size: float, anchor: str = "start") -> Label:
    """Return a label that hangs from `top`."""
    return Label(x, top, lines, size, anchor)


def standing(x: float, bottom: float, lines: tuple[Line, ...], size: float, anchor: str = "start") -> Label:
    """Return a label that stands on `bottom`."""
    hung = Label(x, bottom, lines, size, anchor)
    return Label(x, bottom - hung.height, lines, size, anchor)
