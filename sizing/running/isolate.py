"""How one component is taken out of a running system, and put back.

Pumps off first; then the valves on the side that water comes from; then the pressure is let off while a tap can
still be reached; the last valves after that. Common practice, no source.
"""

from sizing.parts import (
    BoosterPump,
    Filter,
    HandPump,
    PressureTank,
    SpringOrRoof,
    StorageTank,
    SubmersiblePump,
)
from sizing.records import record
from sizing.running import power, water
from sizing.running.steps import GAS_CHARGE, NO_ENTRY, PRESSED, Act, Step, Steps, label, listed
from sizing.running.water import Places
from sizing.system import Node, System, as_counted

WORKED_ON = (StorageTank, Filter, BoosterPump, PressureTank, SubmersiblePump, HandPump)
"""What is cleaned, changed or lifted in the life of a system; in the order of the owner's folder."""


@record
class Enclosure:
    """What is shut off for work on one component."""

    inside: frozenset[water.Place]
    before: tuple[str, ...]
    """Valves behind which water stands that could come."""
    behind: tuple[str, ...]
    """The other valves around it."""
    emptied: tuple[str, ...]
    """Tanks, beside the component itself, from which no valve parts it."""
    open_springs: tuple[str, ...]


def worked_on(system: System) -> list[Node]:
    """Return the components for which a person will want the steps."""
    found = [node for kind in WORKED_ON for node in system.of(kind)]
    return [node for node in found if water.places_of(system, node.tag)]


def enclosure(system: System, tag: str) -> Enclosure:
    """Return the nearest valves around a component, and what they leave on it."""
    valves = frozenset(one.tag for one in water.isolation_valves(system)) - {tag}
    start = water.places_of(system, tag)
    while True:
        inside, edge = water.walk(system, start, valves)
        tanks = {t for t, _ in inside if isinstance(system.node(t).part, StorageTank)}
        wider = start.union(*(water.places_of(system, one) for one in tanks))
        if wider == start:
            break
        start = wider
    before = tuple(one for one in edge if _holds_back(system, one, inside))
    springs = {t for t, _ in inside if isinstance(system.node(t).part, SpringOrRoof)}
    return Enclosure(
        frozenset(inside), before, tuple(one for one in edge if one not in before),
        tuple(sorted(tanks - {tag}, key=as_counted)), tuple(sorted(springs, key=as_counted)),
    )  # fmt: skip


def _holds_back(system: System, valve: str, inside: Places) -> bool:
    """Whether water stands behind a shut valve that could come: a tank, a spring, a pump."""
    reached, _ = water.walk(
        system, {(valve, "")}, {tag for tag, _ in inside if system.node(tag).kind != "storage_tank"}
    )
    return any(system.node(tag).kind in water.STORES for tag, _ in reached - inside)


def isolate(system: System, tag: str) -> Steps:
    """Return the steps after which a component can be opened."""
    around = enclosure(system, tag)
    zone = water.zone(system, around.inside)
    openings = _openings(system, tag, around)
    return tuple(
        power.once(
            [
                *power.off(system, water.pumps_in(system, zone)),
                *water.hands_off(system, zone),
                *_led_aside(system, around),
                *water.shut(system, around.before),
                *_let_off(system, tag, around, openings),
                *water.shut(system, around.behind),
                _proved(system, tag),
            ]
        )
    )


def _openings(system: System, tag: str, around: Enclosure) -> list[str]:
    """Return where the water runs out once what feeds it is shut off: the nearest opening and tap, drains within.

    A pressure tank that stays in the enclosure is let off too: nobody works behind a check valve that holds it.
    """
    found: list[str] = []
    for at in _let_off_from(system, tag, around):
        ways = water.runs_out_at(system, at, around.before)
        taps = [one.tag for one in ways if one.kind == "outlet"]
        within = [one.tag for one in ways if one.kind == "valve" and (one.tag, "") in around.inside]
        found += [*(one.tag for one in ways[:1]), *taps[:1], *within]
    return list(dict.fromkeys(found))


def _let_off_from(system: System, tag: str, around: Enclosure) -> list[water.Place]:
    pressed = {t for t, _ in around.inside if isinstance(system.node(t).part, PressureTank)}
    others = sorted({*around.emptied, *pressed} - {tag}, key=as_counted)
    return [at for one in (tag, *others) for at in sorted(water.places_of(system, one))]


def _led_aside(system: System, around: Enclosure) -> list[Step]:
    words = "No valve parts {} from this: lead its water aside before it enters the pipe."
    return [Step(Act.GAP, "", words.format(label(system, one))) for one in around.open_springs]


def _let_off(system: System, tag: str, around: Enclosure, openings: list[str]) -> list[Step]:
    steps = _no_valve(system, around)
    if openings:
        done = "nothing runs any more" + (" and every gauge there reads nothing" if _is_pressed(system, around) else "")
        wait = f"Wait until {done}. Leave {listed(system, openings)} open while you work."
        steps += [*water.opened(system, openings), Step(Act.WAIT, "", wait, PRESSED)]
    if _stays_full(system, tag, around):
        steps.append(Step(Act.GAP, "", _by_hand(system, system.node(tag)), PRESSED))
    return steps


def _stays_full(system: System, tag: str, around: Enclosure) -> bool:
    """Whether no tap and no drain lets the component's own water out."""
    places = water.places_of(system, tag)
    if isinstance(system.node(tag).part, StorageTank):
        places = {at for at in places if at[1] == "outlet"}
    return not any(water.runs_out_at(system, at, around.before) for at in places)


def _by_hand(system: System, node: Node) -> str:
    name = label(system, node.tag)
    if isinstance(node.part, StorageTank):
        return f"No drain empties {name}: use its water up beforehand, and siphon or bail the rest out from outside."
    if isinstance(node.part, SubmersiblePump | HandPump):
        return f"The pipe over {name} stays full of water: the contractor lifts it, with the weight of that water."
    return (
        f"No tap and no drain lets the water out of {name}: put a bucket under it and loosen one joint slowly, by "
        "hand, until nothing comes."
    )


def _no_valve(system: System, around: Enclosure) -> list[Step]:
    words = "No valve parts {} from this: all the water in it runs out."
    return [Step(Act.GAP, "", words.format(label(system, one)), NO_ENTRY) for one in around.emptied]


def _is_pressed(system: System, around: Enclosure) -> bool:
    return any(system.node(tag).kind in ("pressure_tank", "booster_pump") for tag, _ in around.inside)


def _proved(system: System, tag: str) -> Step:
    kind = system.node(tag).part
    caution = NO_ENTRY if isinstance(kind, StorageTank) else GAS_CHARGE if isinstance(kind, PressureTank) else PRESSED
    return Step(Act.LOOK, "", f"Only now open {label(system, tag)}, and slowly.", caution)


def bring_back(system: System, tag: str) -> Steps:
    """Return the steps that undo `isolate`: valves, air out, taps shut, and the power last."""
    around = enclosure(system, tag)
    openings = _openings(system, tag, around)
    undone = power.off(system, water.pumps_in(system, water.zone(system, around.inside)))
    taps = [one for one in openings if system.node(one).kind == "outlet"]
    drains = [one for one in openings if one not in taps]
    valves = [one for one in [*around.behind, *around.before] if not water.is_normally_shut(system.node(one))]
    return (
        Step(Act.LOOK, "", f"Close {label(system, tag)} and see that every joint is made."),
        *water.shut(system, drains),
        *(Step(Act.OPEN, one, f"Open {label(system, one)} slowly: a quarter, wait, then fully.") for one in valves),
        *_untied(system, around),
        *power.on(system, undone),
        *_air_out(system, taps),
        Step(Act.LOOK, "", "Look for drips at every joint, now and after an hour."),
    )


def _untied(system: System, around: Enclosure) -> list[Step]:
    held = water.hands_off(system, water.zone(system, around.inside))
    return [Step(Act.START, one.tag, f"Untie the handle of {label(system, one.tag)}.") for one in held]


def _air_out(system: System, taps: list[str]) -> list[Step]:
    if not taps:
        return []
    words = f"Let {listed(system, taps)} run until the water comes without air."
    return [Step(Act.WAIT, "", words), *water.shut(system, taps)]
