"""An instrument's accuracy as printed on its label or in its manual: read into parts, and written out again.

The kinds of statement are those that standards and manuals use: a share of the reading plus last digits on meters with
a display (IEC 61010 leaves it to the maker), a class, which is a share of the range, on dials (EN 837-1 for pressure,
IEC 60051 for electrical ones), and a fixed amount. What cannot be read without guessing is refused, with examples.
"""

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from decimal import Decimal
from typing import Protocol

from commissioning import units
from sizing.quantities import Quantity

EXAMPLES = (
    "± (0.5 % of reading + 2 digits), resolution 0.1",
    "± 1.5 % of full scale",
    "class 1.6",
    "± 0.5 °C",
    "± (5 % of reading + 10 W/m²)",
)
MOST_CHARACTERS = 120
MOST_PERCENT, MOST_CLASS = Decimal(50), Decimal(10)
MOST_OF_SCALE = Decimal("0.1")
LONGEST, LONGEST_COUNTS = 16, 8  # characters, as a card keeps its figures

NUMBER = r"(?P<number>[0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
READING = r"(?:of )?(?:the )?(?:rdg\.?|reading|measured value|value|indication|rate|o\.?r\.?)"
SCALE = r"(?:of )?(?:the )?(?:full[ -]?scale|f\.? ?s\.?(?: ?d\.?)?|range|span|end of (?:the )?range)"
DIGITS = r"(?:digits?|dgts?\.?|dg\.?|d\.?|counts?|cts?\.?|lsd)"
PATTERNS: tuple[tuple[str, str], ...] = (
    ("of_full_scale_percent", rf"{NUMBER} ?% ?{SCALE}"),
    ("of_reading_percent", rf"{NUMBER} ?%(?: ?{READING})?"),
    ("counts", rf"{NUMBER} ?{DIGITS}"),
    ("class", rf"(?:accuracy )?(?:class|cl\.?) ?{NUMBER}"),
    ("resolution", rf"(?:resolution|res\.?|reads to|one digit(?: is)?|1 digit ?=) ?:?=? ?{NUMBER} ?(?P<unit>.*)"),
    ("full_scale", rf"(?:{SCALE}:?=? ?)?(?:0 ?(?:…|\.\.\.?|to|-|–) ?){NUMBER} ?(?P<unit>.*)"),
    ("full_scale", rf"{SCALE} ?:?=? ?(?:of )?{NUMBER} ?(?P<unit>.*)"),
    ("fixed", rf"{NUMBER} ?(?P<unit>\S.*)"),
)
ALIKE = {
    "ohms": "Ω", "ohm": "Ω", "Ohm": "Ω", "deg C": "°C", "C": "°C", "K": "°C", "deg F": "°F", "F": "°F",
    "volt": "V", "volts": "V", "amp": "A", "amps": "A", "l/min": "L/min", "lpm": "L/min", "gpm": "gal/min",
}  # fmt: skip


class HasParts(Protocol):
    """What keeps a statement in parts: a card, or a statement just read."""

    of_reading_percent: str
    counts: str
    resolution: str
    of_full_scale_percent: str
    full_scale: str


@dataclass(frozen=True)
class Stated:
    """A statement in the parts that a card keeps: numbers as printed, in the instrument's unit."""

    of_reading_percent: str = ""
    counts: str = ""
    resolution: str = ""
    of_full_scale_percent: str = ""
    full_scale: str = ""

    def as_card(self) -> dict[str, str]:
        return asdict(self)


def read(text: str, code: str, quantity: Quantity, *, resolution: str = "", full_scale: str = "") -> Stated:
    """Return a statement in parts, or raise units.InputError with what to type instead.

    `resolution` and `full_scale` are typed beside it; the statement may hold them as well.
    """
    found: dict[str, Decimal] = {}
    for clause in _clauses(text):
        name, number = _clause(clause, code, quantity)
        if name in found:
            raise units.InputError(f"“{clause}” says a second time what stands before it. Type each part once.")
        found[name] = number
    for name, beside in (("resolution", resolution), ("full_scale", full_scale)):
        if beside and found.setdefault(name, Decimal(beside)) != Decimal(beside):
            words = name.replace("_", " ")
            raise units.InputError(
                f"The {words} is {_plain(found[name])} here and {beside} beside it. Type one of them."
            )
    return _stated(found)


def printed(one: HasParts, symbol: str, *, with_range: bool = True) -> str:
    """Return a statement as it would be printed; read again it is the same parts.

    Without `with_range` it leaves out what stands beside it on a card: what one digit is, and how far it reads.
    """
    said = " + ".join(part for part in (_share(one), _of_scale(one), _digits(one, symbol)) if part)
    whole = f"± ({said})" if " + " in said else f"± {said}" if said else ""
    beside = [
        f"resolution {one.resolution} {symbol}".strip() if one.resolution and not is_fixed(one, symbol) else "",
        f"full scale {one.full_scale} {symbol}".strip() if one.full_scale else "",
    ]
    return ", ".join(part for part in (whole, *(beside if with_range else ())) if part)


def is_fixed(one: HasParts, symbol: str) -> bool:
    """Whether digits are better written as an amount: one digit of so much."""
    return one.counts == "1" and bool(one.resolution and symbol)


def _share(one: HasParts) -> str:
    return f"{one.of_reading_percent} % of reading" if one.of_reading_percent else ""


def _of_scale(one: HasParts) -> str:
    return f"{one.of_full_scale_percent} % of full scale" if one.of_full_scale_percent else ""


def _digits(one: HasParts, symbol: str) -> str:
    if is_fixed(one, symbol):
        return f"{one.resolution} {symbol}"
    return f"{one.counts} {'digit' if one.counts == '1' else 'digits'}" if one.counts else ""


def is_stated(one: HasParts) -> bool:
    """Whether a card says anything of its instrument's accuracy."""
    has_digits = one.counts and one.resolution
    has_scale = one.of_full_scale_percent and one.full_scale
    return bool(one.of_reading_percent or has_digits or has_scale)


def _clauses(text: str) -> list[str]:
    """Return the parts of a statement, each by itself."""
    kept = " ".join(unicodedata.normalize("NFKC", text.replace("²", "^2").replace("³", "^3")).split())
    if len(kept) > MOST_CHARACTERS:
        raise units.InputError(f"That is too long: {MOST_CHARACTERS} characters at most.")
    if re.search(r"[0-9],[0-9]", kept):
        raise units.InputError("Type decimals with a point: 1.5, not 1,5.")
    if re.search(r"which ?ever|\bor\b", kept, re.IGNORECASE):
        raise units.InputError("Only one statement can be kept: of two, type the one that is greater where it is read.")
    kept = re.sub(r"\+ ?/? ?[-\u2212]", "±", kept)
    parts = re.split(r" ?[±+;()] ?|, ?| and | plus ", kept)
    clauses = [part.strip(" :") for part in parts if part.strip(" :")]
    if not clauses:
        raise _unreadable(text.strip() or "nothing")
    return clauses


def _clause(clause: str, code: str, quantity: Quantity) -> tuple[str, Decimal]:
    for name, pattern in PATTERNS:
        match = re.fullmatch(pattern, clause, re.IGNORECASE)
        if match is None:
            continue
        number = Decimal(match["number"])
        if not number > 0:
            raise units.InputError(f"“{clause}” is nothing at all: leave out what the label does not say.")
        unit = (match.groupdict().get("unit") or "").strip()
        return _read(name, clause, number, unit, code, quantity)
    if re.fullmatch(NUMBER, clause):
        raise units.InputError(f"{clause} of what? Type “{clause} %”, “{clause} digits”, or {clause} with its unit.")
    raise _unreadable(clause)


def _read(name: str, clause: str, number: Decimal, unit: str, code: str, quantity: Quantity) -> tuple[str, Decimal]:
    if name == "of_reading_percent" and units.unit(code, quantity).symbol == "%" and clause.endswith("%"):
        raise units.InputError("Say what the percent are of: “% of reading”, or “% of full scale”.")
    if name in ("of_reading_percent", "of_full_scale_percent"):
        return name, _at_most(number, MOST_PERCENT, clause)
    if name == "class":
        return "of_full_scale_percent", _at_most(number, MOST_CLASS, clause)
    if name == "counts" or not unit:
        return name, number
    factor = _factor(unit, clause, code, quantity)
    return name, number if factor == 1 else Decimal(f"{number * factor:.9g}")


def _at_most(number: Decimal, most: Decimal, clause: str) -> Decimal:
    if number > most:
        raise units.InputError(f"“{clause}” is more than any instrument is wrong by: at most {most} are taken.")
    return number


def _factor(typed: str, clause: str, code: str, quantity: Quantity) -> Decimal:
    """Return how many of the instrument's own unit are in one of a unit typed, or raise units.InputError."""
    offered = units.offered(quantity)
    wanted = {_spelled(typed), _spelled(ALIKE.get(typed, typed))}
    match = next((one for one in offered if wanted & {_spelled(one.symbol), _spelled(one.code)}), None)
    if match is None:
        known = ", ".join(one.symbol for one in offered if one.symbol)
        raise units.InputError(
            f"“{clause}” cannot be read: “{typed}” is no unit of {quantity.value.replace('_', ' ')}"
            + (f" (there are {known})." if known else ".")
        )
    factor = units.linear(match.code, quantity)[0] / units.linear(code, quantity)[0]
    return Decimal(f"{factor:.12g}")


def _spelled(text: str) -> str:
    plain = unicodedata.normalize("NFKC", text.replace("²", "^2").replace("³", "^3"))
    return re.sub(r"[ ^*·]", "", plain.replace("\u2126", "Ω").replace("Ω", "Ω"))


def _stated(found: Mapping[str, Decimal]) -> Stated:
    """Return the parts of what was read; raises units.InputError where one needs another that is not there."""
    fixed, counts, resolution = found.get("fixed"), found.get("counts"), found.get("resolution")
    if counts is not None and resolution is None:
        raise units.InputError("Say what one digit is: add “resolution 0.1”, or type it beside.")
    if "of_full_scale_percent" in found and "full_scale" not in found:
        raise units.InputError("Say how far its range goes: add “full scale 600”, or type it beside.")
    if fixed is not None and counts is not None:
        raise units.InputError("Digits and a fixed amount together cannot be kept: type their sum as an amount.")
    if fixed is None and counts is None and not {"of_reading_percent", "of_full_scale_percent"} & found.keys():
        raise units.InputError("That says how finely or how far it reads, not how well. " + _such_as())
    if fixed is not None:
        _refuse_a_range(fixed, found.get("full_scale"))
        counts, resolution = Decimal(1), fixed
    text = {name: _kept(found.get(name)) for name in ("of_reading_percent", "of_full_scale_percent", "full_scale")}
    return Stated(counts=_kept(counts, LONGEST_COUNTS), resolution=_kept(resolution), **text)


def _refuse_a_range(fixed: Decimal, full_scale: Decimal | None) -> None:
    """Raise units.InputError where an amount is so great that it must be the range: “± 1 % FS (600 kPa)”."""
    if full_scale is not None and fixed > MOST_OF_SCALE * full_scale:
        text = _plain(fixed)
        raise units.InputError(
            f"Wrong by {text} of {_plain(full_scale)}? If {text} is its range, type “full scale {text}”."
        )


def _kept(number: Decimal | None, longest: int = LONGEST) -> str:
    if number is None:
        return ""
    text = _plain(number)
    if len(text) > longest:
        raise units.InputError(f"{text} has too many digits to be kept: round it.")
    return text


def _plain(number: Decimal) -> str:
    """Return a number without an exponent and without a bare point: 0.5, 2.0, 600."""
    text = format(number, "f")
    if "." not in text or len(text) <= LONGEST_COUNTS:
        return text
    return text.rstrip("0").rstrip(".")


def _unreadable(clause: str) -> units.InputError:
    return units.InputError(f"“{clause[:40]}” cannot be read here. {_such_as()}")


def _such_as() -> str:
    return "Type it such as " + "; ".join(f"“{one}”" for one in EXAMPLES) + "."
