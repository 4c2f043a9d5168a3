"""What a check's functions see: the system, the readings, the conditions, and a working to record into."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from sizing.errors import MissingDataError
from sizing.quantities import Quantity
from sizing.system import Node, Run, System
from sizing.working import Working


@dataclass(frozen=True)
class Reading:
    """One reading in core units, with its standard uncertainty. `label` is the repeat it belongs to."""

    input: str
    value: float
    label: str = ""
    u: float = 0.0
    bound: str = ""
    words: str = ""


@dataclass(frozen=True)
class Value:
    """A condition or earlier result in core units, with its standard uncertainty and where it came from."""

    value: float
    u: float = 0.0
    shared: bool = False
    words: str = ""
    source: str = ""


@dataclass(frozen=True)
class Term:
    """One contribution to the uncertainty of measured minus expected, as a standard uncertainty."""

    name: str
    u: float
    shared: bool = False
    """Shared: the same at every visit, so it cancels in a drift (nameplate, model)."""


@dataclass(frozen=True)
class Expected:
    """What a number should be. Nominal and limits in the core unit of `quantity`; a limit may be None.

    `basis` says in a few words whose limits these are; `terms` are the uncertainty of nameplate and model.
    `bearable` is the greatest expanded uncertainty with which a one-sided limit without nominal is judged.
    """

    quantity: Quantity
    nominal: float | None = None
    lower: float | None = None
    upper: float | None = None
    basis: str = ""
    terms: tuple[Term, ...] = ()
    bearable: float | None = None


@dataclass
class Case:
    """One evaluation of one judged value, for one repeat where repeats are judged one by one."""

    system: System
    subject: Node | Run
    readings: tuple[Reading, ...] = ()
    conditions: Mapping[str, Value | MissingDataError] = field(default_factory=dict)
    label: str = ""
    way: str = ""
    moment: float | None = None
    w: Working = field(default_factory=lambda: Working(silent=True))
    used: set[str] = field(default_factory=set)

    def series(self, name: str) -> tuple[float, ...]:
        """Return all repeats of a reading, or raise MissingDataError if there is none."""
        found = tuple(r.value for r in self.readings if r.input == name)
        if not found:
            raise MissingDataError("reading", name, f"{name.replace('_', ' ')} has not been read")
        return found

    def has(self, name: str) -> bool:
        """Whether a reading or condition of that name is there."""
        return any(r.input == name for r in self.readings) or isinstance(self.conditions.get(name), Value)

    def here(self, name: str) -> bool:
        """Whether a reading of this repeat, or a condition, of that name is there."""
        mine = any(r.input == name and r.label in (self.label, "") for r in self.readings)
        return mine or isinstance(self.conditions.get(name), Value)

    def reading(self, name: str) -> float:
        """Return the reading of this repeat (or the only one); a condition of the same name stands in."""
        self.used.add(name)
        mine = [r for r in self.readings if r.input == name and r.label in (self.label, "")]
        if mine:
            return mine[0].value
        if isinstance(self.conditions.get(name), Value):
            return self.condition(name)
        raise MissingDataError("reading", name, f"{name.replace('_', ' ')} has not been read")

    def at(self, name: str, label: str) -> float:
        """Return the reading of one named repeat, such as the end of a timed series."""
        self.used.add(name)
        for r in self.readings:
            if r.input == name and r.label == label:
                return r.value
        raise MissingDataError("reading", name, f"{name.replace('_', ' ')} at {label} has not been read")

    def condition(self, name: str) -> float:
        """Return a condition or earlier result, or raise MissingDataError with the reason."""
        self.used.add(name)
        found = self.conditions.get(name)
        if isinstance(found, MissingDataError):
            raise found
        if found is None:
            raise MissingDataError("condition", name, f"{name.replace('_', ' ')} has not been measured")
        return found.value

    def every(self, name: str) -> tuple[float, ...]:
        """Return the results of every repeat of another check, by label: those named `name/label`."""
        keys = sorted((key for key in self.conditions if key.startswith(f"{name}/")), key=lambda key: (len(key), key))
        if not keys:
            return (self.condition(name),)
        return tuple(self.condition(key) for key in keys)

    def either(self, name: str, otherwise: float) -> float:
        """Return a reading or condition if it is there, else `otherwise`."""
        if not self.has(name):
            return otherwise
        return self.reading(name)
