"""The range beside an argument, read out of a formula's docstring: what it takes, and what it must refuse."""

import math
import random
import re
from dataclasses import dataclass

NUMBER = r"[-−]?[0-9][0-9  ]*(?:\.[0-9]+)?(?:·10[⁰¹²³⁴⁵⁶⁷⁸⁹]+)?"
SUPERSCRIPT = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789")
FORMS = (
    rf"(?:(?P<over>>) )?(?P<low>{NUMBER}) … (?:(?P<under><|below) )?(?P<high>{NUMBER})",
    rf"(?P<over>>) (?P<low>{NUMBER}),? (?:≤ )(?P<high>{NUMBER})",
    rf"(?P<over>>) (?P<low>{NUMBER})",
    rf"≥ (?P<low>{NUMBER})",
    rf"(?P<under><) (?P<high>{NUMBER})",
    rf"≤ (?P<high>{NUMBER})",
    r"any",
)
DECADES = 2.0  # how far a draw may lie from the sound value where the range has no end
LARGE = 1e5
MANY_PLACES = 2


@dataclass(frozen=True)
class Span:
    """An interval; an end that belongs to it or not. `is_whole` where nothing but numbers bounds it."""

    low: float = -math.inf
    high: float = math.inf
    low_is_in: bool = True
    high_is_in: bool = True
    is_whole: bool = True
    low_rounded: float = 0.0
    high_rounded: float = 0.0

    def drawn(self, near: float, chance: random.Random) -> float:
        """Return a value inside, its ends now and then, and else within two decades of a sound one."""
        ends = [x for x, is_in in ((self.low, self.low_is_in), (self.high, self.high_is_in)) if is_in]
        ends = [x for x in ends if math.isfinite(x)]
        if ends and chance.random() < 0.1:
            return chance.choice(ends)
        if math.isfinite(self.low) and math.isfinite(self.high):
            return min(max(chance.uniform(self.low, self.high), math.nextafter(self.low, math.inf)), self.high)
        if self.low >= 0 and near > 0:
            found = near * 10 ** chance.uniform(-DECADES, DECADES)
            return found if found > self.low else self.low + found
        reach = max(abs(near), 1.0)
        return min(max(near + chance.uniform(-reach, reach), self.low), self.high)

    def refused(self) -> list[float]:
        """Return numbers that lie outside: the neighbours of the ends, the ends that do not belong, and no number.

        An end that is printed with decimals is rounded: beyond it begins one of its last place further out.
        """
        found = [math.nan]
        if math.isfinite(self.low):
            found += [math.nextafter(self.low - self.low_rounded, -math.inf), self.low - LARGE]
            found += [] if self.low_is_in else [self.low]
        if math.isfinite(self.high):
            found += [math.nextafter(self.high + self.high_rounded, math.inf), self.high + LARGE]
            found += [] if self.high_is_in else [self.high]
        return found


def last_place(text: str) -> float:
    """Return one of the last decimal place of a number as printed; nothing of a whole one, or of tenths."""
    places = len(text.strip().partition(".")[2])
    return 10.0**-places if places >= MANY_PLACES else 0.0


def number(text: str) -> float:
    plain = text.replace("−", "-").replace(" ", "").replace("\u00a0", "").replace("\u202f", "")
    mantissa, _, power = plain.partition("·10")
    return float(mantissa) * (10.0 ** int(power.translate(SUPERSCRIPT)) if power else 1.0)


def span_of(text: str) -> Span | None:
    """Return the interval that a range says, or None where it is a choice, a sequence or another argument alone."""
    for form in FORMS:
        match = re.match(form + r"(?P<rest>[,;]? ?.*)$", text)
        if match is None:
            continue
        given = match.groupdict()
        rest = given["rest"].strip()
        if rest and not rest.startswith((",", ";")):
            return None
        return Span(
            number(given["low"]) if given.get("low") else -math.inf,
            number(given["high"]) if given.get("high") else math.inf,
            not given.get("over"),
            not given.get("under"),
            not rest,
            last_place(given.get("low") or ""),
            last_place(given.get("high") or ""),
        )
    return None
