"""What can go wrong in the core, each error naming the argument or the field it concerns."""


class OutOfRangeError(ValueError):
    """An argument lies outside the range in which a formula holds."""

    def __init__(self, argument: str, value: object, requirement: str) -> None:
        super().__init__(f"{argument} is {value}; it must be {requirement}")
        self.argument = argument
        self.value = value
        self.requirement = requirement


class MissingDataError(LookupError):
    """A number cannot be computed because a field or a measurement is not there.

    `owner` is the tag of the component or run, or the key of a check; `field` names what is missing.
    """

    def __init__(self, owner: str, field: str, words: str = "") -> None:
        super().__init__(words or f"{owner}: {field} is not recorded")
        self.owner = owner
        self.field = field
        self.words = words or f"{owner}: {field} is not recorded"


class SystemShapeError(ValueError):
    """The as-built graph has a shape that the core refuses, such as a loop of pipes."""
