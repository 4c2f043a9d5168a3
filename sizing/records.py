"""Frozen records that the core declares when it is imported: like `dataclass(frozen=True)`, made without compiling.

A dataclass writes and compiles five methods for every class, which is most of what importing the core would take.
Here the methods are written once and read the fields. They are slower for each object made, by a microsecond or two:
for what is declared (checks, rules, nameplates), not for what is computed in the thousands.
"""

import dataclasses
from collections.abc import Callable
from typing import Any, TypeVar, dataclass_transform

C = TypeVar("C", bound=type)


@dataclass_transform(frozen_default=True, field_specifiers=(dataclasses.field,))
def record(cls: C) -> C:
    """Make a class a frozen record; its fields are declared as those of a dataclass."""
    return _made(cls, keywords_only=False)


@dataclass_transform(frozen_default=True, kw_only_default=True, field_specifiers=(dataclasses.field,))
def keyword_record(cls: C) -> C:
    """Make a class a frozen record whose fields are given by name alone."""
    return _made(cls, keywords_only=True)


def _made(cls: C, *, keywords_only: bool) -> C:
    made: Any = dataclasses.dataclass(init=False, repr=False, eq=False, kw_only=keywords_only)(cls)
    fields = dataclasses.fields(made)
    names = tuple(one.name for one in fields)
    made.__init__ = _initial(cls.__name__, fields, () if keywords_only else names)
    made.__eq__ = _equal(names)
    made.__hash__ = _hashed(names)
    made.__repr__ = _shown(names)
    made.__setattr__ = made.__delattr__ = _refuse
    return cls


def _initial(title: str, fields: tuple[dataclasses.Field[Any], ...], by_place: tuple[str, ...]) -> Callable[..., None]:
    defaults = {one.name: one.default for one in fields if one.default is not dataclasses.MISSING}
    makers = {one.name: one.default_factory for one in fields if one.default_factory is not dataclasses.MISSING}
    names = frozenset(one.name for one in fields)
    required = tuple(one.name for one in fields if one.name not in defaults and one.name not in makers)

    def initialise(self: Any, *values: Any, **named: Any) -> None:
        if len(values) > len(by_place):
            raise TypeError(f"{title} takes {len(by_place)} values by place, {len(values)} were given")
        given = dict(zip(by_place, values, strict=False))
        odd = [name for name in named if name not in names or name in given]
        given.update(named)
        lacking = [name for name in required if name not in given]
        if odd or lacking:
            raise TypeError(f"{title}: " + ", ".join([*(f"odd {n}" for n in odd), *(f"no {n}" for n in lacking)]))
        made = {name: make() for name, make in makers.items() if name not in given}
        self.__dict__.update({**defaults, **made, **given})

    return initialise


def _equal(names: tuple[str, ...]) -> Callable[[Any, object], Any]:
    def equal(self: Any, other: object) -> Any:
        if other.__class__ is not self.__class__:
            return NotImplemented
        return all(getattr(self, name) == getattr(other, name) for name in names)

    return equal


def _hashed(names: tuple[str, ...]) -> Callable[[Any], int]:
    return lambda self: hash(tuple(getattr(self, name) for name in names))


def _shown(names: tuple[str, ...]) -> Callable[[Any], str]:
    def shown(self: Any) -> str:
        fields = ", ".join(f"{name}={getattr(self, name)!r}" for name in names)
        return f"{self.__class__.__qualname__}({fields})"

    return shown


def _refuse(self: Any, name: str, *value: Any) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot change field {name!r}")
