"""A relation between readings: whether it holds beyond their uncertainty, and which slip would make it hold.

A doubt is never a verdict: it says that these readings do not fit each other, so that somebody reads again.
"""

import math
from collections.abc import Callable, Iterator

from sizing.cross.measured import Measured, Other
from sizing.errors import MissingDataError, OutOfRangeError, SystemShapeError
from sizing.quantities import Quantity
from sizing.records import record
from sizing.verdict import COVERAGE

Values = tuple[float, ...]

# How much less ready a person is to believe a slip, on the scale of a natural logarithm of the misfit left over.
# Units that stand side by side on one gauge are mixed up daily, a lost point less often; common practice, no source.
LESS_USUAL = {"unit": 0.0, "atmosphere": 0.0, "point": 0.5, "rare unit": 1.0}
MOST_SLIPS = 3
FARTHEST = 1.0  # a slip must bring the balance this near to where it should lie, or it explains nothing
POINT = (10.0, 0.1, 100.0, 0.01, 1000.0, 0.001)
NO_POINT = frozenset({Quantity.TEMPERATURE, Quantity.COUNT})
CANNOT = (MissingDataError, OutOfRangeError, SystemShapeError, ZeroDivisionError)


@record
class Relation:
    """What must hold between readings: `balance` of their values lies between `lower` and `upper`.

    `nominal` is where it lies when all is right; among several slips the one that comes nearest is named.
    `other_cause` is what else may be the matter, in words, if no reading slipped.
    """

    key: str
    words: str
    readings: tuple[Measured, ...]
    balance: Callable[[Values], float]
    quantity: Quantity
    lower: float | None = None
    upper: float | None = None
    nominal: float | None = None
    model: float = 0.0
    """Standard uncertainty that nameplate and model leave in the balance."""
    other_cause: str = ""
    has_slips: bool = True


@record
class Slip:
    """A slip that would explain a doubt: on which readings, in words, and what each value would be instead."""

    readings: tuple[Measured, ...]
    words: str
    instead: Values
    cost: float


@record
class Doubt:
    """Readings that do not fit each other. Numbers are in the core unit of `quantity`; `spread` is U."""

    key: str
    words: str
    involved: tuple[Measured, ...]
    quantity: Quantity
    found: float
    spread: float
    lower: float | None
    upper: float | None
    slips: tuple[Slip, ...] = ()
    other_cause: str = ""

    @property
    def readings(self) -> tuple[str, ...]:
        """The ids of the owed checks whose readings are in doubt."""
        return tuple(dict.fromkeys(m.owed for m in self.involved))

    @property
    def slip(self) -> str:
        """The likely slip in words, or what else may be the matter; empty where nothing simple explains it."""
        return ", or ".join(s.words for s in self.slips) or self.other_cause


def doubt_of(relation: Relation, atmosphere: float) -> Doubt | None:
    """Return the doubt if the relation fails beyond the uncertainty of its readings; None if it holds.

    None too where it cannot be computed. `atmosphere` is the local air pressure [Pa], by which a gauge and an
    absolute reading differ.
    """
    values = tuple(m.value for m in relation.readings)
    found = _balance(relation, values)
    if found is None:
        return None
    spread = COVERAGE * _uncertainty(relation, values)
    if not _is_beyond(found, spread, relation):
        return None
    slips = tuple(_likeliest(relation, atmosphere)) if relation.has_slips else ()
    return Doubt(
        relation.key, relation.words, relation.readings, relation.quantity, found, spread, relation.lower,
        relation.upper, slips, relation.other_cause,
    )  # fmt: skip


def _balance(relation: Relation, values: Values) -> float | None:
    try:
        found = relation.balance(values)
    except CANNOT:
        return None
    return found if math.isfinite(found) else None


def _is_beyond(found: float, spread: float, relation: Relation) -> bool:
    low = relation.lower is not None and found + spread < relation.lower
    return low or (relation.upper is not None and found - spread > relation.upper)


def _holds(found: float | None, relation: Relation) -> bool:
    if found is None:
        return False
    low = relation.lower is None or found >= relation.lower
    return low and (relation.upper is None or found <= relation.upper)


def _uncertainty(relation: Relation, values: Values) -> float:
    """Return the standard uncertainty of the balance: each reading moved by ± u, the changes taken together."""
    parts = [relation.model]
    for i, reading in enumerate(relation.readings):
        if not reading.u > 0:
            continue
        ends = [_balance(relation, _moved(values, {i: values[i] + sign * reading.u})) for sign in (1, -1)]
        there = [e for e in ends if e is not None]
        here = _balance(relation, values)
        if len(there) == 2:
            parts.append(abs(there[0] - there[1]) / 2)
        elif there and here is not None:
            parts.append(abs(there[0] - here))
    return math.sqrt(math.fsum(p**2 for p in parts))


def _moved(values: Values, instead: dict[int, float]) -> Values:
    return tuple(instead.get(i, v) for i, v in enumerate(values))


def _likeliest(relation: Relation, atmosphere: float) -> list[Slip]:
    """Return the slip that explains best, and those on other readings that explain nearly as well."""
    found = sorted(_explaining(relation, atmosphere), key=lambda s: s.cost)
    kept: list[Slip] = []
    for one in found:
        if one.cost > found[0].cost + LESS_USUAL["point"] or len(kept) == MOST_SLIPS:
            break
        if not any(set(one.readings) & set(other.readings) for other in kept):
            kept.append(one)
    return kept


def _explaining(relation: Relation, atmosphere: float) -> Iterator[Slip]:
    values = tuple(m.value for m in relation.readings)
    for places in _groups(relation.readings):
        mine = tuple(relation.readings[i] for i in places)
        for how, words, change in _slips(mine[0], atmosphere):
            instead = {i: change(values[i]) for i in places}
            if not all(_is_usual(relation.readings[i], v) for i, v in instead.items()):
                continue
            left = _balance(relation, _moved(values, instead))
            if left is None or not _holds(left, relation):
                continue
            distance = _distance(left, relation)
            if distance <= FARTHEST:
                cost = LESS_USUAL[how] + distance
                yield Slip(mine, f"{named(mine)}: {words}", tuple(instead.values()), cost)


def _is_usual(one: Measured, value: float) -> bool:
    return one.usual is None or one.usual[0] <= value <= one.usual[1]


def _groups(readings: tuple[Measured, ...]) -> list[tuple[int, ...]]:
    """Return each reading alone, and those of one check that were typed in one unit together."""
    alone = [(i,) for i in range(len(readings))]
    together: dict[tuple[str, Quantity, str], list[int]] = {}
    for i, one in enumerate(readings):
        together.setdefault((one.owed, one.quantity, one.unit), []).append(i)
    return alone + [tuple(places) for places in together.values() if len(places) > 1]


def _slips(one: Measured, atmosphere: float) -> Iterator[tuple[str, str, Callable[[float], float]]]:
    """Yield each slip that a reading of the kind invites: how usual, in words, and what it does to the value."""
    for other in one.others:
        yield "rare unit" if other.is_rare else "unit", _unit_words(one, other), _times(other.factor)
    if one.quantity is Quantity.GAUGE_PRESSURE:
        yield "atmosphere", "an absolute pressure typed as gauge", lambda value: value - atmosphere
        yield "atmosphere", "a gauge that reads one atmosphere low", lambda value: value + atmosphere
    if one.quantity is Quantity.ABSOLUTE_PRESSURE:
        yield "atmosphere", "a gauge pressure typed as absolute", lambda value: value + atmosphere
    if one.quantity not in NO_POINT:
        for factor in POINT:
            yield "point", _point_words(factor), _times(factor)


def _times(factor: float) -> Callable[[float], float]:
    return lambda value: value * factor


def _unit_words(one: Measured, other: Other) -> str:
    typed = f", typed as {one.unit}" if one.unit else ""
    return f"read in {other.words}{typed}"


def _point_words(factor: float) -> str:
    many = {10.0: "ten", 100.0: "a hundred", 1000.0: "a thousand"}[max(round(factor), round(1 / factor)) * 1.0]
    return f"the point misplaced, {many} times too {'small' if factor > 1 else 'large'}"


def _distance(found: float, relation: Relation) -> float:
    """Return how far a balance lies from where it should, 1 being a factor of e or the whole room on one side."""
    nominal = relation.nominal
    if nominal is None:
        return 0.0
    if nominal > 0 and found > 0:
        return abs(math.log(found / nominal))
    limits = [abs(limit - nominal) for limit in (relation.lower, relation.upper) if limit is not None]
    room = max(limits, default=0.0)
    return abs(found - nominal) / room if room else 0.0


def named(readings: tuple[Measured, ...]) -> str:
    """Return what readings are called in a sentence."""
    labels = dict.fromkeys((m.label or m.name.replace("_", " ")).lower() for m in readings)
    repeats = dict.fromkeys(m.repeat for m in readings if m.repeat)
    one = f" {next(iter(repeats))}" if len(repeats) == 1 else ""
    return " and ".join(labels) + one
