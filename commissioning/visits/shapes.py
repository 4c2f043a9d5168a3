"""Which readings a check asks for on one subject, in the order in which they are typed.

The five shapes of a measurement all come out as steps: a step is what is read together, and has a line to write
on for each input. `once` is one step; `times`, `each` and `timed` are one step a repeat.

`rows` through the day is one step at a time, because hours lie between them. Every row that is kept makes a new
measurement that holds the former rows as they were typed, each with its own time, and supersedes the former one
with the reason "row 3 added". So all rows are judged together, nothing is edited, and a row that was kept can no
longer be lost. Rows with names of their own (a frame, a case, a pair of leads) are asked for together; one that is
not there stays empty.
"""

from dataclasses import dataclass

from sizing.checks.declare import Check, Input, Shape, Way
from sizing.system import System

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")


@dataclass(frozen=True)
class Cell:
    """One reading to be typed: an input at one repeat. `name` is that of its form field."""

    input: Input
    label: str
    name: str


@dataclass(frozen=True)
class Step:
    """What is read together. `minute` after the start, where the shape is timed."""

    heading: str
    cells: tuple[Cell, ...]
    minute: float | None = None


def steps(check: Check, way: Way, system: System, tag: str, kept: frozenset[str] = frozenset()) -> list[Step]:
    """Return the steps of a check on one subject. `kept` are the labels of the rows that are there already.

    Raises MissingDataError where the number of repeats follows from a field that is not recorded.
    """
    if check.repeat.shape is Shape.ONCE:
        return [Step("", tuple(Cell(i, "", f"r-{i.name}") for i in way.inputs))]
    found = [] if kept else _read_once(way)
    for place, label in repeats(check, system, tag, kept):
        cells = tuple(Cell(i, label, f"r-{i.name}-{place}") for i in way.inputs if i.repeats)
        minute = check.repeat.minutes[place] if check.repeat.shape is Shape.TIMED else None
        found.append(Step(heading(check, label, place), cells, minute))
    return found


def _read_once(way: Way) -> list[Step]:
    """Return the step for what is read once, whatever is repeated beside it."""
    cells = tuple(Cell(i, "", f"r-{i.name}") for i in way.inputs if not i.repeats)
    return [Step("", cells)] if cells else []


def repeats(check: Check, system: System, tag: str, kept: frozenset[str]) -> list[tuple[int, str]]:
    """Return place and label of the repeats to be typed now."""
    if check.repeat.shape is not Shape.ROWS:
        return list(enumerate(check.repeat.labels_for(system, tag)))
    named = [] if is_through_the_day(check) else list(enumerate(check.repeat.labels))
    left = [(place, label) for place, label in named if label not in kept]
    return left or [next_row(check, kept)]


def rows_again(check: Check, way: Way, labels: list[str]) -> list[Step]:
    """Return the steps in which rows that are kept are typed once more, to put one of them right."""
    found = _read_once(way)
    for place, label in enumerate(labels):
        cells = tuple(Cell(i, label, f"r-{i.name}-{place}") for i in way.inputs if i.repeats)
        found.append(Step(heading(check, label, place), cells))
    return found


def is_through_the_day(check: Check) -> bool:
    """Whether hours lie between the rows of a check, so that they are kept one by one."""
    return check.repeat.shape is Shape.ROWS and check.repeat.noun == "row"


def next_row(check: Check, kept: frozenset[str]) -> tuple[int, str]:
    """Return place and label of the first row that is not kept yet."""
    places = ((place, row_label(check, place)) for place in range(len(kept) + len(check.repeat.labels) + 1))
    return next((place, label) for place, label in places if label not in kept)


def row_label(check: Check, place: int) -> str:
    """Return the label of a row by its place, from 0."""
    labels = check.repeat.labels
    return labels[place] if place < len(labels) else f"{check.repeat.noun or 'row'} {place + 1}"


def heading(check: Check, label: str, place: int) -> str:
    """Return what stands over a step."""
    if check.repeat.shape is Shape.TIMES and label.isdigit():
        return f"{ORDINALS[place].capitalize()} time" if place < len(ORDINALS) else f"Time {place + 1}"
    if check.repeat.shape is Shape.TIMES and check.repeat.noun:
        return f"{check.repeat.noun.capitalize()} {label}"
    if check.repeat.shape is Shape.TIMED:
        return minute_words(check.repeat.minutes[place])
    return label[:1].upper() + label[1:]


def minute_words(minute: float) -> str:
    """Return when after the start a reading is due."""
    return "At the start" if minute == 0 else f"After {minute:g} minute" + ("" if minute == 1 else "s")
