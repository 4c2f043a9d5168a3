"""Elements of SVG, each one escaped string, and the scale's arithmetic that all drawings share."""

from html import escape
from math import ceil, floor, isfinite, log10

MINUS = "\u2212"
MOST_TICKS = 60


def number(value: float, places: int) -> str:
    """Return a value as printed: fixed places, true minus sign, no negative zero."""
    text = f"{value:.{places}f}"
    return text.lstrip("-") if not text.strip("-0.") else text.replace("-", MINUS)


def finite(name: str, value: float | None) -> float | None:
    """Return the value, or raise ValueError: a drawing of NaN or infinity would mislead."""
    if value is not None and not isfinite(value):
        raise ValueError(f"{name} is {value}; it cannot be drawn")
    return value


def nice_step(span: float, wanted: int) -> float:
    """Return the 1-2-5 step that cuts `span` into about `wanted` parts."""
    raw = span / wanted
    power = 10.0 ** floor(log10(raw))
    return next(times * power for times in (1, 2, 5, 10, 20) if times * power >= raw)


def ticks(low: float, high: float, step: float) -> list[int]:
    """Return which multiples of `step` lie from `low` to `high`."""
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    return list(range(first, min(last, first + MOST_TICKS) + 1))


def _optional(name: str, value: object) -> str:
    return f' {name}="{escape(str(value))}"' if value else ""


def line(x1: float, y1: float, x2: float, y2: float, width: float, cls: str = "", dash: str = "") -> str:
    """Return a straight line."""
    ends = f'x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"'
    extra = _optional("class", cls) + _optional("stroke-dasharray", dash)
    return f'<line {ends} stroke="currentColor" stroke-width="{width:.4g}"{extra}/>'


def path(
    d: str, width: float = 1.0, cls: str = "", dash: str = "", fill: str = "none", opacity: float | None = None
) -> str:
    """Return a path; a width of 0 means no outline."""
    stroke = f'stroke="currentColor" stroke-width="{width:.4g}"' if width else 'stroke="none"'
    extra = _optional("stroke-dasharray", dash) + _optional("fill-opacity", opacity) + _optional("class", cls)
    return f'<path d="{d}" fill="{fill}" {stroke}{extra}/>'


def text(x: float, y: float, words: str, size: float, anchor: str = "middle", bold: bool = False, cls: str = "") -> str:
    """Return a line of text."""
    extra = _optional("font-weight", "700" if bold else "") + _optional("class", cls)
    place = f'x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="{anchor}"'
    return f'<text {place} fill="currentColor"{extra}>{escape(printable(words))}</text>'


def dot(x: float, y: float, radius: float, cls: str) -> str:
    """Return a filled circle."""
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.4g}" fill="currentColor" class="{cls}"/>'


def ground(x: float, y: float, radius: float) -> str:
    """Return a disc of paper, which keeps a dot off the bar behind it."""
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.4g}" fill="#fff" class="ground"/>'


def ring(x: float, y: float, radius: float, width: float, dash: str, cls: str) -> str:
    """Return a dashed ring: not there yet."""
    shape = f'cx="{x:.1f}" cy="{y:.1f}" r="{radius:.4g}" fill="none"'
    return f'<circle {shape} stroke="currentColor" stroke-width="{width:.4g}" stroke-dasharray="{dash}" class="{cls}"/>'


def printable(words: str) -> str:
    """Return the words without the characters that XML forbids."""
    return "".join(one for one in words if one in "\t\n\r" or (" " <= one < "\ud800") or one > "\udfff")


def drawing(cls: str, width: float, height: float, title: str, parts: list[str]) -> str:
    """Return a whole picture; its title tells in a sentence what it shows."""
    size = f'viewBox="0 0 {width} {height}" width="{width}" height="{height}"'
    head = f'<svg class="{cls}" {size} role="img" font-family="Lato, sans-serif">'
    return f"{head}<title>{escape(printable(title))}</title>{''.join(parts)}</svg>"
