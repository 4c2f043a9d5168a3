"""Guards for the ranges of formulas: each states what must hold, so NaN is refused too."""

from math import inf

from sizing.errors import OutOfRangeError


def require(holds: bool, argument: str, value: object, requirement: str) -> None:
    """Raise OutOfRangeError naming `argument` unless `holds`."""
    if not holds:
        raise OutOfRangeError(argument, value, requirement)


def require_positive(argument: str, value: float, unit: str) -> None:
    """Refuse zero, negatives, NaN and infinity."""
    require(0 < value < inf, argument, value, f"> 0 {unit} and finite")


def require_not_negative(argument: str, value: float, unit: str) -> None:
    """Refuse negatives, NaN and infinity."""
    require(0 <= value < inf, argument, value, f"≥ 0 {unit} and finite")


def require_finite(argument: str, value: float, unit: str) -> None:
    """Refuse NaN and the two infinities."""
    require(-inf < value < inf, argument, value, f"a finite number of {unit}")


def require_between(argument: str, value: float, lowest: float, highest: float, unit: str) -> None:
    """Refuse what lies outside `lowest` … `highest`, ends included, and NaN."""
    require(lowest <= value <= highest, argument, value, f"{lowest:g} … {highest:g} {unit}")
