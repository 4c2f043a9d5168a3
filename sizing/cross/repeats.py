"""Repeats of one reading: they agree, or one of them slipped."""

from collections.abc import Iterator

from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check, Input, Shape
from sizing.cross.measured import Measured, Taken
from sizing.cross.relation import Relation
from sizing.formulas.battery import greatest_difference
from sizing.formulas.flow import relative_spread
from sizing.quantities import Quantity as Q

AGREE = 0.05  # of their mean; common practice, no source


def repeats_agree(taken: Taken) -> Iterator[Relation]:
    """Yield, for each reading that was taken several times, how far its repeats lie apart."""
    for check in CHECKS.values():
        if check.repeat.shape is Shape.TIMES:
            for subject in taken.subjects(check.key):
                yield from _of(check, taken, subject)


def _of(check: Check, taken: Taken, subject: str) -> Iterator[Relation]:
    for declared in {i.name: i for way in check.ways for i in way.inputs}.values():
        repeats = tuple(m for m in taken.readings(check.key, subject, declared.name) if m.repeat)
        if len(repeats) > 1:
            yield repeats_of(declared, repeats)


def repeats_of(declared: Input, repeats: tuple[Measured, ...]) -> Relation:
    """Return the relation of repeats: within what the reading allows, else within 5 % of their mean."""
    if declared.agree_fixed is not None:
        quantity = Q.LENGTH if declared.quantity is Q.DEPTH else declared.quantity
        return Relation(
            "repeats_agree", "Repeats of one reading agree", repeats, lambda values: greatest_difference(values),
            quantity, None, declared.agree_fixed, 0.0, other_cause="wait until it is steady and read again",
        )  # fmt: skip
    share = declared.agree_share if declared.agree_share is not None else AGREE
    return Relation(
        "repeats_agree", f"Repeats of one reading agree within {100 * share:.0f} %", repeats,
        lambda values: relative_spread(values), Q.RATIO, None, share, 0.0,
        other_cause="wait until it is steady and take five",
    )  # fmt: skip
