"""Which readings tell causes apart, and which to take first where only a few will be taken.

Two causes are parted by a reading of which they say different things; one that does not name it says *unchanged*, and
*either* is neither up nor down. Each next reading is the one that parts most of the pairs still alike: the greedy rule
for coverage, which parts at least 1 - 1/e of what the best set of as many readings parts (Nemhauser, Wolsey and
Fisher, Mathematical Programming 14, 1978, 265-294, section 4; clause from memory).
"""

from collections.abc import Sequence
from functools import lru_cache
from itertools import combinations

from sizing.causes import PRIOR, Cause, Sign

SAME, EITHER = Sign.SAME.value, "either"
UP_OR_DOWN = {Sign.UP.value, Sign.DOWN.value}


def said_of(cause: Cause, key: str) -> str:
    """Return what a cause says of a reading: its sign, *nil* where next to nothing is left, *same* where unnamed."""
    return Sign.NIL.value if key in cause.nil else cause.signs.get(key, SAME)


def are_parted(one: Cause, other: Cause, key: str) -> bool:
    """Whether a reading tells two causes apart."""
    return _differ(said_of(one, key), said_of(other, key))


def _differ(one: str, other: str) -> bool:
    if EITHER in (one, other) and {one, other} & UP_OR_DOWN:
        return False
    return one != other


def telling_order(among: Sequence[Cause], keys: Sequence[str]) -> tuple[str, ...]:
    """Return those of the readings that tell causes apart, the most telling first; of equals the first given."""
    return _telling_order(tuple(tuple(said_of(one, key) for one in among) for key in keys), tuple(keys))


@lru_cache(maxsize=256)
def _telling_order(said: tuple[tuple[str, ...], ...], keys: tuple[str, ...]) -> tuple[str, ...]:
    """The pairs that a reading parts are the bits of one number, so that a reading is weighed by counting bits."""
    masks = {key: _pairs_parted(row) for key, row in zip(keys, said, strict=True)}
    parted, order = 0, list[str]()
    while masks:
        best = max(masks, key=lambda key: (masks[key] & ~parted).bit_count())
        if not masks[best] & ~parted:
            break
        parted |= masks.pop(best)
        order.append(best)
    return tuple(order)


def _pairs_parted(said: Sequence[str]) -> int:
    """Return the pairs that a reading parts: for each cause one row of bits, set where another says otherwise."""
    width = len(said) // 8 + 1  # bytes
    of_sign = {sign: sum(1 << place for place, one in enumerate(said) if one == sign) for sign in set(said)}
    rows = {
        sign: sum(bits for other, bits in of_sign.items() if _differ(sign, other)).to_bytes(width) for sign in of_sign
    }
    return int.from_bytes(b"".join(rows[sign] for sign in said))


def pair_parted(among: Sequence[Cause], key: str, before: Sequence[str]) -> tuple[Cause, Cause] | None:
    """Return the commonest two causes that a reading parts and that those taken before it leave alike."""
    pairs = [
        pair
        for pair in combinations(among, 2)
        if are_parted(*pair, key) and not any(are_parted(*pair, other) for other in before)
    ]
    return max(pairs, key=_common_and_short, default=None)


def _common_and_short(pair: tuple[Cause, Cause]) -> tuple[float, int]:
    """Put the commonest first; of equals those that take fewest words to say."""
    return sum(PRIOR[one.prior] for one in pair), -sum(len(one.words) for one in pair)
