"""One check on one subject that a visit owes."""

from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check
from sizing.records import record


@record
class Owed:
    """One check on one subject. `number` is its place in the order, the same on phone, desk and paper.

    An `optional` one is offered: it could also be taken, nobody waits for it.
    """

    check: str
    subject: str
    number: int = 0
    optional: bool = False
    first: str = ""
    """Why it comes before what does not say so: it is lost else, or the owner's words ask for it."""

    @property
    def is_perishable(self) -> bool:
        """Whether it comes first because the reading is lost later."""
        return bool(self.first) and self.first == self.declared.perishable

    @property
    def id(self) -> str:
        """The key of the check and the tag of its subject: stands in URLs."""
        return f"{self.check}:{self.subject}"

    @property
    def declared(self) -> Check:
        return CHECKS[self.check]
