"""Numbers written out: figure and unit with a space that does not break, true minus, honest digits."""

from math import floor, isclose, isfinite, log10

from commissioning.units.convert import from_core, scale
from commissioning.units.offer import Unit, unit
from sizing.quantities import Quantity

MINUS = "\u2212"
NO_BREAK = "\u00a0"
DIGITS = 4  # significant digits of a computed value whose uncertainty is not known
MORE_PLACES = 3  # a value smaller still is printed as zero
DIGITS_OF_U = 2  # JCGM 100:2008, 7.2.6: at most two significant digits suffice for U


def _exponent(value: float) -> int:
    """Return the power of ten of the first digit, as it stands after rounding to two digits."""
    return floor(log10(float(f"{abs(value):.{DIGITS_OF_U - 1}e}")))


def _places_for(value: float, chosen: Unit) -> int:
    if not value:
        return 0
    useful = max(min(DIGITS - 1 - _exponent(value), chosen.places), 0)
    if isclose(round(value, useful), value):
        return useful
    visible = DIGITS_OF_U - 1 - _exponent(value)  # 0.0042 must not print as 0.00
    return max(useful, min(visible, chosen.places + MORE_PLACES))


def _places_for_u(u: float) -> int:
    # Never rounds left of the point: 1234 ± 56 stays as read.
    return max(DIGITS_OF_U - 1 - _exponent(u), 0)


def number(value: float, places: int) -> str:
    """Return a number with fixed places and a true minus sign; a rounded zero has no sign."""
    text = f"{_finite(value):.{places}f}"
    is_zero = not text.strip("-0.")
    return text.lstrip("-") if is_zero else text.replace("-", MINUS)


def _finite(value: float) -> float:
    if not isfinite(value):
        raise ValueError(f"{value} cannot be printed as a figure")
    return value


def plain(value: float) -> str:
    """Return a number as a person would type it again: 1.265, 40, 0.0005."""
    return f"{float(f'{value:.12g}'):.12f}".rstrip("0").rstrip(".") or "0"


def _choose(value: float, chosen: Unit, places: int | None, u: float | None) -> int:
    if places is not None:
        return places
    return _places_for_u(u) if u else _places_for(value, chosen)


def figure_parts(
    value_core: float, quantity: Quantity, code: str, places: int | None = None, u: float | None = None
) -> tuple[str, str]:
    """Return (number, symbol). `u` is the expanded uncertainty in the core unit."""
    chosen = unit(code, quantity)
    value = from_core(_finite(value_core), code, quantity)
    shown_u = scale(u, code, quantity) if u else None
    return number(value, _choose(value, chosen, places, shown_u)), chosen.symbol


def figure(value_core: float, quantity: Quantity, code: str, places: int | None = None, u: float | None = None) -> str:
    """Return figure and unit, such as "180.4 kPa"."""
    return with_symbol(*figure_parts(value_core, quantity, code, places=places, u=u))


def with_symbol(text: str, symbol: str) -> str:
    """Return number and unit symbol; only the degree of an angle stands close."""
    return text + symbol if symbol in {"", "°"} else f"{text}{NO_BREAK}{symbol}"


def typed_figure(typed: str, quantity: Quantity, code: str) -> str:
    """Return a reading exactly as typed, with its unit."""
    text = typed.replace("-", MINUS).replace(" ", NO_BREAK)
    is_word = text.lower() in {"ol", "nil"}
    return text if is_word else with_symbol(text, unit(code, quantity).symbol)


def plus_minus(u: float, quantity: Quantity, code: str, places: int | None = None) -> str:
    """Return an expanded uncertainty with two significant digits and its unit: "± 3.4 kPa"."""
    chosen = unit(code, quantity)
    shown = scale(u, code, quantity)
    digits = places if places is not None else (_places_for_u(shown) if shown else 0)
    return "±" + NO_BREAK + with_symbol(number(shown, digits), chosen.symbol)


def difference(value: float, quantity: Quantity, code: str, u: float | None = None) -> str:
    """Return a difference of two values of a quantity, with its sign: an offset such as that of °F plays no part.

    `u` is its expanded uncertainty in the core unit.
    """
    chosen = unit(code, quantity)
    shown = scale(value, code, quantity)
    sign = "+" if shown > 0 else ""
    places = _choose(shown, chosen, None, scale(u, code, quantity) if u else None)
    return sign + with_symbol(number(shown, places), chosen.symbol)


def span(
    lower: float | None,
    upper: float | None,
    quantity: Quantity,
    code: str,
    places: int | None = None,
    u: float | None = None,
    symbol: bool = False,
) -> str:
    """Return limits: "180.4 … 194.4", "≥ 0.5", "≤ 1.00", with the unit if `symbol`."""
    chosen = unit(code, quantity)
    ends = [from_core(_finite(end), code, quantity) for end in (lower, upper) if end is not None]
    if not ends:
        return "no limits"
    text = _span_text(
        lower, upper, [number(end, _span_places(ends, chosen, places, code, quantity, u)) for end in ends]
    )
    return with_symbol(text, chosen.symbol) if symbol else text


def _span_text(lower: float | None, upper: float | None, texts: list[str]) -> str:
    if lower is None:
        return f"≤{NO_BREAK}{texts[0]}"
    if upper is None:
        return f"≥{NO_BREAK}{texts[0]}"
    return f"{texts[0]}{NO_BREAK}…{NO_BREAK}{texts[1]}"


def _span_places(
    ends: list[float], chosen: Unit, places: int | None, code: str, quantity: Quantity, u: float | None
) -> int:
    """Return one number of places for both limits, enough to show the distance between them."""
    if places is not None:
        return places
    shown_u = scale(u, code, quantity) if u else None
    best = _choose(max(ends, key=abs), chosen, None, shown_u)
    width = ends[-1] - ends[0]
    return max(best, _places_for_u(width)) if width > 0 else best


def range_text(lower: float, upper: float, chosen: Unit, quantity: Quantity) -> str:
    """Return a range of possible or usual values in short figures: "0 … 1000 psi"."""
    ends = [f"{from_core(end, chosen.code, quantity):.3g}" for end in (lower, upper)]
    texts = [number(float(end), max(0, 2 - _exponent(float(end)))) if float(end) else "0" for end in ends]
    tidy = [text.rstrip("0").rstrip(".") if "." in text else text for text in texts]
    return with_symbol(f"{tidy[0]}{NO_BREAK}…{NO_BREAK}{tidy[1]}", chosen.symbol)
