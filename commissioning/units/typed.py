"""What a person types as a reading: a strict grammar, and a helpful answer to anything else.

Nothing is guessed. Whatever could mean two things is asked back; the text itself is kept.
"""

import re
import unicodedata
from dataclasses import dataclass
from typing import Literal

from commissioning.units.convert import to_core
from commissioning.units.figures import range_text
from commissioning.units.offer import Unit
from commissioning.units.offer import unit as look_up
from commissioning.units.slips import Cure, Slip, is_outside, likely_slip
from sizing.quantities import Quantity

MINUS = "\u2212"
MOST_DIGITS = 15  # what a float carries exactly; no instrument shows more
MOST_CHARACTERS = 60

Bound = Literal["", ">", "<", "OL", "nil"]
Bounds = tuple[float, float]

_NUMBER = re.compile(rf"[-{MINUS}]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)", re.ASCII)
_BOUND = re.compile(r"(>=|<=|[<>≥≤])[ \u00a0]*(.*)", re.DOTALL)
_BOUND_SIGN: dict[str, Bound] = {">": ">", ">=": ">", "≥": ">", "<": "<", "<=": "<", "≤": "<"}
_WITH_UNIT = re.compile(rf"({_NUMBER.pattern})[ \u00a0]*([^\W0-9_]|[%°]|\().*", re.DOTALL)
_COMMA_DECIMAL = re.compile(rf"[-{MINUS}]?[0-9]+,[0-9]+", re.ASCII)
_COMMA_GROUPS = re.compile(rf"[-{MINUS}]?[1-9][0-9]{{0,2}}(?:,[0-9]{{3}})+", re.ASCII)
_GROUPED = re.compile(
    rf"[-{MINUS}]?[1-9][0-9]{{0,2}}(?:([ '’_.,\u00a0\u202f])[0-9]{{3}})(?:\1[0-9]{{3}})*(?:[.,][0-9]+)?", re.ASCII
)
_EXPONENT = re.compile(rf"{_NUMBER.pattern}[eE][+-]?[0-9]+", re.ASCII)
_NOT_A_NUMBER = re.compile(r"[-+]?(nan|inf|infinity|none|null|n/?a|-+|—|–)", re.IGNORECASE)


class InputError(ValueError):
    """Typed text that is refused: what to say at the field, and the text perhaps meant."""

    def __init__(self, message: str, suggestion: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.suggestion = suggestion


@dataclass(frozen=True, slots=True)
class Typed:
    """A number as typed. `value` is None for OL (over the instrument's range) and for nil."""

    text: str
    value: float | None
    bound: Bound = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """A reading as typed, its unit code and its core value; `doubt` is what to ask back once."""

    typed: str
    unit: str
    value_core: float | None
    bound: Bound = ""
    doubt: str = ""
    cure: Cure | None = None


def parse_number(text: str, *, bounds: bool = False, nil: bool = False) -> Typed:
    """Return the number in `text`, or raise InputError with words for the person at the field."""
    kept = text.strip(" \t\r\n\u00a0")
    if not kept:
        raise InputError("Type a number.")
    if nil and kept.lower() == "nil":
        return Typed(kept, None, "nil")
    if kept.lower() in {"ol", "0l", "o.l", "o.l."}:
        return _over_range(kept, bounds)
    sign, digits = _split_bound(kept, bounds)
    try:
        _refuse_what_is_no_number(digits)
    except InputError as error:
        raise InputError(error.message, f"{sign} {error.suggestion}".strip() if error.suggestion else "") from None
    return Typed(kept, float(digits.replace(MINUS, "-")) + 0.0, sign)


def _over_range(kept: str, bounds: bool) -> Typed:
    if not bounds:
        raise InputError("OL says that the meter is over its range: choose a higher range and read again.")
    if kept.lower() != "ol":
        raise InputError("Did you mean OL, over the meter's range?", "OL")
    return Typed(kept, None, "OL")


def _split_bound(kept: str, bounds: bool) -> tuple[Bound, str]:
    found = _BOUND.fullmatch(kept)
    if not found:
        return "", kept
    if not bounds:
        raise InputError("This reading has to be a number of its own, without < or >.")
    return _BOUND_SIGN[found[1]], found[2]


def _refuse_what_is_no_number(text: str) -> None:
    if _NUMBER.fullmatch(text):
        if sum(one.isdigit() for one in text) > MOST_DIGITS:
            raise InputError(f"That is more than {MOST_DIGITS} digits. Type only those the instrument shows.")
        return
    if len(text) > MOST_CHARACTERS:
        raise InputError("That is too long for a number. Type digits, with a point if needed: 12.5")
    for look in (_hidden_characters, _other_digits, _separators, _signs, _exponent, _unit_inside, _no_value):
        look(text)
    raise InputError("This is not a number. Type digits, with a point if needed: 12.5")


def _if_valid(text: str) -> str:
    """Return `text` when it could be typed as it is, otherwise nothing: no suggestion is invented."""
    short = len(text) <= MOST_DIGITS + 2
    return text if short and _NUMBER.fullmatch(text) else ""


def _did_you_mean(text: str, cure: str) -> InputError:
    suggestion = _if_valid(text)
    return InputError(f"Did you mean {suggestion}? {cure}" if suggestion else cure, suggestion)


def _hidden_characters(text: str) -> None:
    shown = "".join(one for one in text if unicodedata.category(one) not in {"Cc", "Cf", "Cn", "Co", "Cs"})
    if shown != text:
        raise _did_you_mean(shown.strip(), "There is an invisible character in it: type the number again.")


def _other_digits(text: str) -> None:
    digits = "".join(str(unicodedata.decimal(one, one)) for one in text)
    if digits != text:
        cure = "Type the digits 0 to 9."
        raise _did_you_mean(digits.replace("\u066b", ".").replace("．", "."), cure)


def _separators(text: str) -> None:
    if _COMMA_GROUPS.fullmatch(text) and text.count(",") == 1:
        point, plain_text = text.replace(",", "."), text.replace(",", "")
        raise InputError(f"Did you mean {plain_text} or {point}? Leave the comma out, or type a point.")
    if _COMMA_DECIMAL.fullmatch(text):
        raise _did_you_mean(text.replace(",", "."), "Type a point.")
    if _GROUPED.fullmatch(text):
        raise _did_you_mean(_without_groups(text), "Leave out what parts the thousands.")
    if "," in text:
        raise InputError("A comma can mean two things. Type a point, and nothing between thousands: 1234.5")


def _without_groups(text: str) -> str:
    last = max(text.rfind("."), text.rfind(","))
    marks = {one for one in text if one in ".,"}
    is_decimal = last > 0 and (len(marks) > 1 or text.count(text[last]) == 1)
    whole, part = (text[:last], "." + text[last + 1 :]) if is_decimal else (text, "")
    return re.sub(rf"[^0-9{MINUS}-]", "", whole) + part


def _signs(text: str) -> None:
    if text.startswith("+"):
        raise _did_you_mean(text[1:].strip(), "Leave out the plus sign.")
    if text.startswith(("–", "—", "- ", f"{MINUS} ")):
        raise _did_you_mean("-" + text[1:].strip(), "Type the minus directly before the digits.")
    if text.endswith("."):
        raise _did_you_mean(text[:-1], "Leave out the point at the end, or type the digits after it.")


def _exponent(text: str) -> None:
    if _EXPONENT.fullmatch(text):
        raise InputError("Type the number in full, without an exponent, or choose a larger unit.")


def _unit_inside(text: str) -> None:
    if found := _WITH_UNIT.fullmatch(text):
        is_mixed = re.search(r"[\s,;][0-9]", text[len(found[1]) :])  # 3 m 20, 5 ft 6 in
        suggestion = "" if is_mixed else _if_valid(found[1])
        raise InputError("Type the number alone and choose the unit beside it.", suggestion)


def _no_value(text: str) -> None:
    if _NOT_A_NUMBER.fullmatch(text):
        raise InputError("Type a number. If the reading cannot be taken, say so below, with the reason.")


def parse(
    text: str,
    unit: str,
    quantity: Quantity,
    hard: Bounds | None = None,
    soft: Bounds | None = None,
    bounds: bool = False,
    nil: bool = False,
) -> Entry:
    """Return a reading. Beyond `hard` (core unit) is refused, beyond `soft` carries a doubt."""
    chosen = look_up(unit, quantity)
    typed = parse_number(text, bounds=bounds, nil=nil)
    if typed.value is None:
        return Entry(typed.text, unit, None, typed.bound)
    core = to_core(typed.value, unit, quantity)
    usual = soft or hard
    slip = likely_slip(typed.value, chosen, quantity, usual) if usual and not typed.bound else None
    if hard and is_outside(core, hard):
        raise _impossible(core, hard, chosen, quantity, slip)
    if typed.bound or not soft or not is_outside(core, soft):
        return Entry(typed.text, unit, core, typed.bound)
    return Entry(typed.text, unit, core, "", _doubt(core, soft, chosen, quantity, slip), slip.cure if slip else None)


def _impossible(core: float, hard: Bounds, chosen: Unit, quantity: Quantity, slip: Slip | None) -> InputError:
    side = "More" if core > hard[1] else "Less"
    message = f"{side} than is possible here: {range_text(*hard, chosen, quantity)}."
    if not slip:
        return InputError(message)
    is_same_unit = slip.cure is not None and slip.cure.unit == chosen.code
    return InputError(f"{message} {slip.words}", slip.cure.text if slip.cure and is_same_unit else "")


def _doubt(core: float, soft: Bounds, chosen: Unit, quantity: Quantity, slip: Slip | None) -> str:
    side = "More" if core > soft[1] else "Less"
    words = f"{side} than is usual here: {range_text(*soft, chosen, quantity)}."
    return f"{words} {slip.words}" if slip else f"{words} Is it right?"
