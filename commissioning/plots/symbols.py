"""Symbols of the section, after ISO 14617 (fluid) and IEC 60617 (electrical).

Each is drawn around (40, 40) in a box of 84. A filled valve is shut in normal running.
"""

from html import escape

from commissioning.plots import svg

SIDE = 84
CENTRE = 40


def _open(d: str, width: float = 2) -> str:
    """Return a shape filled with paper, so that what runs behind it does not show."""
    pen = f'stroke="currentColor" stroke-width="{width}" stroke-linejoin="round"'
    return f'<path d="{d}" fill="#fff" {pen} class="ground"/>'


def _filled(d: str) -> str:
    return f'<path d="{d}" fill="currentColor" stroke="currentColor" stroke-width="1" stroke-linejoin="round"/>'


def _stroke(d: str, width: float, dash: str = "") -> str:
    return svg.path(d, width, dash=dash).replace("/>", ' stroke-linejoin="round"/>')


def _round(radius: float, width: float = 2) -> str:
    pen = f'stroke="currentColor" stroke-width="{width}"'
    return f'<circle cx="40" cy="40" r="{radius}" fill="#fff" {pen} class="ground"/>'


def _letter(letter: str, y: float, size: float) -> str:
    return svg.text(CENTRE, y, letter, size, bold=True)


_VALVE = "M29 32V48L51 32V48Z"
_SURFACE = "M32 34h16l-8 10ZM28 44h24M34 48h12"  # the survey sign of a water level, never a gauge
_IMPELLER = "M31.5 25.3L57 40L31.5 54.7"

SYMBOLS: dict[str, tuple[str, str]] = {
    "battery": ("battery", _stroke("M40 20V36M24 36h32M32 44h16M40 44V60", 2)),
    "check_valve": ("check valve", _open(_VALVE) + _filled("M29 32V48L40 40Z")),
    "combiner": ("string combiner", _open("M24 24h32v32h-32Z") + _stroke("M32 24v16h16v-16M40 24v32", 1.6)),
    "converter": (
        "converter, DC to DC",
        _open("M23 23h34v34h-34Z")
        + _stroke("M23 57L57 23", 1.5)
        + _stroke("M27 29h11M27 33h3M31 33h3M35 33h3M42 49h11M42 53h3M46 53h3M50 53h3", 1.2),
    ),
    "earth": ("earth electrode", _stroke("M40 22V42M28 42h24M32 47h16M36 52h8", 1.8)),
    "filter": ("filter", _open("M26 26h28v28h-28Z") + _stroke("M40 26v28", 1.6, "4 3")),
    "fuse": ("fuse or breaker", _open("M34 26h12v28h-12Z") + _stroke("M40 18V62", 1.6)),
    "hand_pump": ("hand pump", _round(17) + _stroke(_IMPELLER, 2) + _stroke("M40 23V14L62 6", 2)),
    "junction": ("junction", '<circle cx="40" cy="40" r="4.5" fill="currentColor"/>'),
    "level_switch": ("level switch", _round(13, 1.6) + _letter("L", 44.5, 12)),
    "load": ("load", _open("M26 32h28v16h-28Z")),
    "meter": ("meter or gauge", _round(13, 1.6) + _stroke("M32 48L48 32", 1.6)),
    "motor": (
        "motor, DC",
        _round(15) + _letter("M", 42, 14) + _stroke("M34 46h12M34 49.5h3M38.5 49.5h3M43 49.5h3", 1.1),
    ),
    "outlet": ("outlet", _stroke("M30 34h16v14M41 43l5 6l5 -6", 2.4)),
    "pressure_switch": ("pressure switch", _round(13, 1.6) + _letter("P", 44.5, 12)),
    "pressure_tank": (
        "pressure tank with membrane",
        _open("M24 18a16 16 0 0 1 32 0v34a16 16 0 0 1 -32 0Z") + _stroke("M24 40c8 12 24 -12 32 0", 1.6),
    ),
    "pump": ("pump", _round(17) + _stroke(_IMPELLER, 2)),
    "relief_valve": (
        "relief valve",
        _open("M40 46l-8 14h16ZM40 46l14 -8v16Z") + _stroke("M40 46v-8l6 -3l-12 -4l12 -4l-6 -3", 1.5),
    ),
    "solar_array": (
        "solar array",
        _open("M30 35h48v34h-48Z")
        + _stroke("M54 35V46M42 46h24M54 69V56", 1.6)
        + _stroke("M48 55h12", 4)
        + _stroke("M8 24l14 13m-1 -8l1 8l-8 -1M18 15l14 13m-1 -8l1 8l-8 -1", 1.3),
    ),
    "spring_box": (
        "spring box",
        _open("M30 24h36v28h-36Z")
        + _stroke("M40 30h16l-8 10ZM36 40h24M42 44h12", 1.3)
        + _stroke("M8 32q6 -6 11 0t11 0", 1.6),
    ),
    "surge_protector": ("surge protector", _open("M33 28h14v24h-14Z") + _stroke("M40 18V28M40 52V62M27 54L53 26", 1.6)),
    "switch": ("switch-disconnector", _stroke("M40 22V29M35 29h10M40 58V50L30 31", 1.8)),
    "tank": ("storage tank", _stroke("M18 26V60H62V26", 2) + _stroke("M18 34h44", 1.3) + _stroke(_SURFACE, 1.3)),
    "valve_open": ("valve, open", _open(_VALVE)),
    "valve_shut": ("valve, shut in normal running", _filled(_VALVE)),
    "water_surface": ("water surface", _stroke(_SURFACE, 1.3)),
    "well": (
        "well",
        _stroke("M30 10V70M50 10V70", 2)
        + _stroke("M30 54h20M30 60h20M30 66h20", 1.2, "3 2")
        + _stroke("M35 24h10l-5 7ZM30 31h20", 1.3),
    ),
}
"""Name → (title, drawing)."""

OF_KIND = {
    "battery_bank": "battery",
    "booster_pump": "pump",
    "charge_controller": "converter",
    "combiner": "combiner",
    "earth_electrode": "earth",
    "filter": "filter",
    "hand_pump": "hand_pump",
    "inverter": "converter",
    "isolator": "switch",
    "junction": "junction",
    "level_switch": "level_switch",
    "load": "load",
    "meter": "meter",
    "outlet": "outlet",
    "overcurrent_device": "fuse",
    "pressure_switch": "pressure_switch",
    "pressure_tank": "pressure_tank",
    "pump_controller": "converter",
    "relief_valve": "relief_valve",
    "solar_array": "solar_array",
    "spring_or_roof": "spring_box",
    "storage_tank": "tank",
    "submersible_pump": "pump",
    "surge_protector": "surge_protector",
    "valve": "valve_open",
    "well": "well",
}
"""Kind of component → name of its symbol; a valve shut in normal running takes "valve_shut"."""


def symbol(name: str) -> str:
    """Return a symbol as a picture of its own."""
    title, inner = SYMBOLS[name]
    return svg.drawing("sch", SIDE, SIDE, title, [inner])


def placed(name: str, x: float, y: float, scale: float = 1.0) -> str:
    """Return a symbol as a part of a larger drawing, its middle at (x, y)."""
    title, inner = SYMBOLS[name]
    move = f"translate({x - CENTRE * scale:.1f} {y - CENTRE * scale:.1f})"
    turn = f" scale({scale:.3g})" if scale != 1 else ""
    return f'<g transform="{move}{turn}"><title>{escape(title)}</title>{inner}</g>'
