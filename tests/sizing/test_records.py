"""A record behaves as the dataclass that it stands for."""

import dataclasses
from dataclasses import dataclass, field

import pytest

from sizing.parts import COMPONENT_KINDS, RUN_KINDS
from sizing.records import keyword_record, record


@record
class Mine:
    """A record."""

    first: int
    second: str = "two"
    third: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Theirs:
    """The dataclass of the same fields."""

    first: int
    second: str = "two"
    third: dict[str, int] = field(default_factory=dict)


@keyword_record
class Base:
    """Fields by name."""

    one: float | None = None


@keyword_record
class Longer(Base):
    """A record with fields of its own behind those of its base."""

    two: float | None = None


WAYS = [((1,), {}), ((1, "x"), {}), ((1,), {"third": {"a": 1}}), ((), {"first": 3, "second": "y"}), ((1, "x", {}), {})]


@pytest.mark.parametrize(("values", "named"), WAYS)
def test_it_is_made_shown_and_replaced_as_a_dataclass_is(values, named):
    mine, theirs = Mine(*values, **named), Theirs(*values, **named)
    assert dataclasses.asdict(mine) == dataclasses.asdict(theirs)
    assert repr(mine) == repr(theirs).replace("Theirs", "Mine")
    assert dataclasses.replace(mine, second="z").second == "z"
    assert mine == Mine(*values, **named)
    assert mine != dataclasses.replace(mine, first=99)
    assert mine != theirs


@pytest.mark.parametrize(
    ("values", "named"), [((), {}), ((1, "x", {}, 4), {}), ((1,), {"first": 2}), ((1,), {"odd": 2})]
)
def test_what_a_dataclass_refuses_it_refuses(values, named):
    for kind in (Mine, Theirs):
        with pytest.raises(TypeError):
            kind(*values, **named)


def test_nothing_in_it_can_be_changed():
    mine = Mine(1)
    for change in (lambda: setattr(mine, "first", 2), lambda: delattr(mine, "first"), lambda: setattr(mine, "new", 2)):
        with pytest.raises(dataclasses.FrozenInstanceError):
            change()


def test_each_has_its_own_made_default():
    assert Mine(1).third is not Mine(1).third


def test_equal_ones_hash_alike_and_unhashable_fields_are_refused_as_there():
    assert hash(Base(one=1.0)) == hash(Base(one=1.0))
    with pytest.raises(TypeError):
        hash(Mine(1))
    with pytest.raises(TypeError):
        hash(Theirs(1))


def test_fields_by_name_alone_and_those_of_the_base_first():
    assert [one.name for one in dataclasses.fields(Longer)] == ["one", "two"]
    assert Longer(two=2.0) == Longer(one=None, two=2.0)
    assert Longer() != Base()
    with pytest.raises(TypeError):
        Base(1.0)


@pytest.mark.parametrize("kind", [*COMPONENT_KINDS.values(), *RUN_KINDS.values()], ids=lambda kind: kind.kind)
def test_every_nameplate_is_one_and_starts_empty(kind):
    plate = kind()
    assert all(getattr(plate, name) is None for name in kind.declarations())
    assert plate == kind()
    assert hash(plate) == hash(kind())
