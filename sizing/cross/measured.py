"""What was measured on a visit, as the cross-checks see it: readings as typed and values as reduced, in core units."""

from collections.abc import Iterable

from sizing.quantities import Quantity
from sizing.records import record

IN_ITS_TIME = 300.0
"""Seconds within which a condition of the weather still belongs to a reading."""


@record
class Other:
    """Another unit in which a number may have been read: its words, and by how much the value would then grow."""

    words: str
    factor: float
    is_rare: bool = False


@record
class Measured:
    """One reading, or one value reduced from readings, with its standard uncertainty.

    `unit` says in words what it was typed in; `others` are the units it may have been read in instead.
    `at` is Unix time [s]; `nominal` is what a reduced value should have been, where that could be computed.
    """

    check: str
    subject: str
    name: str
    value: float
    quantity: Quantity
    repeat: str = ""
    u: float = 0.0
    at: float | None = None
    is_reading: bool = True
    label: str = ""
    unit: str = ""
    others: tuple[Other, ...] = ()
    nominal: float | None = None
    usual: tuple[float, float] | None = None
    """Between what such a reading commonly lies: no slip explains it by a value beyond."""

    @property
    def owed(self) -> str:
        """The id of the owed check it belongs to."""
        return f"{self.check}:{self.subject}"


@record
class Taken:
    """Everything that counts on a visit, latest last."""

    items: tuple[Measured, ...]

    def readings(self, check: str, subject: str, *names: str) -> list[Measured]:
        """Return the readings of one owed check, all or those of certain names."""
        return [
            m
            for m in self.items
            if m.is_reading and (m.check, m.subject) == (check, subject) and (not names or m.name in names)
        ]

    def rows(self, check: str, subject: str) -> dict[str, list[Measured]]:
        """Return the readings of one owed check by the repeat they belong to."""
        found: dict[str, list[Measured]] = {}
        for one in self.readings(check, subject):
            found.setdefault(one.repeat, []).append(one)
        return found

    def results(self, check: str, subject: str, name: str = "") -> list[Measured]:
        """Return the reduced values of one owed check: those of a name, or those of the first name there is."""
        mine = [m for m in self.items if not m.is_reading and (m.check, m.subject) == (check, subject)]
        wanted = name or (mine[0].name if mine else "")
        return [m for m in mine if m.name == wanted]

    def result(self, check: str, subject: str, name: str = "") -> Measured | None:
        """Return the latest reduced value of one owed check."""
        found = self.results(check, subject, name)
        return found[-1] if found else None

    def near(self, check: str, subject: str, at: float | None, within: float = IN_ITS_TIME) -> Measured | None:
        """Return the value of a condition nearest to a moment; the latest one where no moment is known."""
        found = self.results(check, subject)
        if at is None or not found:
            return found[-1] if found else None
        best = min(found, key=lambda m: abs((m.at if m.at is not None else at) - at))
        return best if best.at is None or abs(best.at - at) <= within else None

    def subjects(self, check: str) -> list[str]:
        """Return the subjects on which a check was taken."""
        return list(dict.fromkeys(m.subject for m in self.items if m.check == check))


def taken(items: Iterable[Measured]) -> Taken:
    """Return what was measured on a visit."""
    return Taken(tuple(items))
