"""Level switches and the low-water guard, tried by hand before water depends on them."""

from sizing.checks.declare import (
    COMMON,
    Check,
    Kind,
    Limit,
)
from sizing.checks.walk_round import STARTS_BY_ITSELF
from sizing.parts import LevelSwitch, Well
from sizing.system import System


def guards_low_water(system: System, tag: str) -> bool:
    """Whether a level switch protects the pump; one in a well does, unless its purpose says otherwise."""
    node = system.node(tag)
    purpose: str | None = getattr(node.part, "purpose", None)
    if purpose:
        return purpose == "guards_low_water"
    return node.host in system.nodes and isinstance(system.nodes[str(node.host)].part, Well)


def switches_something_else(system: System, tag: str) -> bool:
    """Whether a level switch starts or stops a filling or a booster."""
    return not guards_low_water(system, tag)


LOW_WATER_GUARD_DRY = Check(
    key="low_water_guard_dry",
    title="Low-water guard, tried dry",
    kind=Kind.OBSERVED,
    subject=LevelSwitch,
    group="Dead tests",
    purpose="The probe that saves the pump from running dry changes the right way before water depends on it.",
    method=(
        "Meter on the control line at the controller's end, the line off the controller.",
        "Probe in a bucket of water, then out: the contact changes both times.",
        "Out of the water, or with the wire cut, the controller must read: stop.",
        "Probe back to its depth, tied to the drop pipe, above the intake.",
    ),
    cautions=(STARTS_BY_ITSELF,),
    limits=(Limit("changes both ways, and a broken wire means stop", COMMON),),
    after=("electronics_disconnected",),
    gate="safe_to_work",
    applies=guards_low_water,
)

LEVEL_SWITCH_DRY = Check(
    key="level_switch_dry",
    title="Level switch, tried dry",
    kind=Kind.OBSERVED,
    subject=LevelSwitch,
    group="Dead tests",
    purpose="The float's contact changes the right way, and the line to it is whole.",
    method=(
        "Meter on the control line at the controller's end, the line off the controller.",
        "Lift the float by hand to its full height and let it down: the contact changes both times.",
        "At the level where it must stop, it stops; nothing can catch the float.",
    ),
    cautions=(STARTS_BY_ITSELF,),
    limits=(Limit("changes both ways", COMMON),),
    after=("electronics_disconnected",),
    gate="safe_to_work",
    applies=switches_something_else,
)

CHECKS = (LOW_WATER_GUARD_DRY, LEVEL_SWITCH_DRY)
