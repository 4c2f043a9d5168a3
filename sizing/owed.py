"""One check on one subject that a visit owes."""

from dataclasses import dataclass

from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check


@dataclass(frozen=True)
class Owed:
    """One check on one subject. `number` is its place in the order, the same on phone, desk and paper.

    An `optional` one is offered: it could also be taken, nobody waits for it.
    """

    check: str
    subject: str
    number: int = 0
    optional: bool = False

    @property
    def id(self) -> str:
        """The key of the check and the tag of its subject: stands in URLs."""
        return f"{self.check}:{self.subject}"

    @property
    def declared(self) -> Check:
        return CHECKS[self.check]
