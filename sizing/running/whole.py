"""How a whole system is stopped, started again, emptied, filled and left for the winter.

Common practice, no source, as far as the order goes. Each list names only what this system has.
"""

from sizing.parts import (
    BoosterPump,
    HandPump,
    Outlet,
    PressureTank,
    ReliefValve,
    SpringOrRoof,
    StorageTank,
    SubmersiblePump,
)
from sizing.running import frost, power, water
from sizing.running.steps import (
    BURST,
    LIVE_ARRAY,
    LIVE_BATTERY,
    NO_ENTRY,
    PRESSED,
    Act,
    Step,
    Steps,
    label,
    listed,
)
from sizing.running.water import Place
from sizing.system import Node, System

ASK_BEFORE_DRINKING = Step(
    Act.LOOK,
    "",
    "Ask whether it must be disinfected and tested before anybody drinks.",
    "Where it was opened, it is not for drinking until it has been disinfected, flushed and tested.",
)


def pumps(system: System) -> list[Node]:
    return [*system.of(SubmersiblePump), *system.of(BoosterPump)]


def main_valves(system: System) -> list[str]:
    """Return the valves that keep a tank's or pressure tank's water back from the taps: the nearest behind each."""
    starts: list[set[Place]] = [{(one.tag, "outlet")} for one in water.feeding_tanks(system)]
    starts += [{(one.tag, "")} for one in system.of(PressureTank) if water.places_of(system, one.tag)]
    valves = frozenset(one.tag for one in water.isolation_valves(system))
    edges = [tag for start in starts for tag in water.walk(system, start, valves)[1]]
    return [tag for tag in dict.fromkeys(edges) if _leads_to_taps(system, tag)]


def _leads_to_taps(system: System, valve: str) -> bool:
    return any(isinstance(one.part, Outlet) for one in water.runs_out_at(system, (valve, ""), frozenset()))


def stop(system: System) -> Steps:
    """Return how everything is stopped in an emergency: pumps first, then the main valves."""
    return (
        *power.once([step for pump in pumps(system) for step in _stopped_at_once(system, pump)]),
        *water.shut(system, main_valves(system)),
        *_still_live(system),
    )


def _stopped_at_once(system: System, pump: Node) -> list[Step]:
    """Return how one pump is stopped in a hurry: no fuse is drawn where electronics have a switch of their own."""
    steps = power.off(system, [pump])
    if not any(step.act is Act.STOP for step in steps):
        return steps
    return [step for step in steps if step.act is not Act.DISCONNECT or power.is_switch(system.node(step.tag))]


def _still_live(system: System) -> list[Step]:
    kinds = {node.kind for node in system.nodes.values()}
    steps = []
    if "solar_array" in kinds:
        steps.append(Step(Act.LOOK, "", "Still live now: the modules and their cables, in daylight.", LIVE_ARRAY))
    if "battery_bank" in kinds:
        steps.append(Step(Act.LOOK, "", "Still live now: the battery, day and night.", LIVE_BATTERY))
    return steps


def restart(system: System) -> Steps:
    """Return how a stopped system is started: valves as they should stand, then power, well pumps before boosters."""
    return (
        Step(Act.LOOK, "", "Know why it was stopped, and that it is put right. If not: leave it off and call."),
        *water.shut(system, _taps(system)),
        *_normal_valves(system),
        *_started(system),
        *_watched(system),
    )


def _normal_valves(system: System) -> list[Step]:
    valves = water.isolation_valves(system)
    closed = [one.tag for one in [*water.drains(system), *valves] if water.is_normally_shut(one)]
    return [*water.shut(system, closed), *water.opened(system, _open_ones(system))]


def _open_ones(system: System) -> list[str]:
    return [one.tag for one in water.isolation_valves(system) if not water.is_normally_shut(one)]


def _taps(system: System) -> list[str]:
    return [one.tag for one in system.of(Outlet)]


def _started(system: System) -> list[Step]:
    """Return how power comes back: battery, charging arrays, then each user, well pumps before boosters."""
    users = power.consumers(system)
    of_users = {step.tag for step in power.off(system, users)}
    charging = [step for step in power.arrays_off(system) if step.tag not in of_users]
    back = [*power.on(system, power.battery_off(system)), *power.on(system, charging)]
    return power.once([*back, *(step for user in users for step in power.on(system, power.off(system, [user])))])


def _watched(system: System) -> list[Step]:
    steps = []
    if system.of(BoosterPump) or system.of(PressureTank):
        steps.append(Step(Act.LOOK, "", "The pump stops by itself with every tap shut, and stays off.", PRESSED))
    if system.of(ReliefValve):
        names = listed(system, [one.tag for one in system.of(ReliefValve)])
        steps.append(Step(Act.LOOK, "", f"Nothing drips from {names}.", BURST))
    return [*steps, Step(Act.LOOK, "", "Look for drips, now and after an hour.")]


def drain(system: System, with_tanks: bool = False) -> Steps:
    """Return how the pipes are emptied, or with the tanks; power off first, springs shut, highest tap first."""
    springs = _spring_valves(system)
    held = [] if with_tanks else _tank_valves(system)
    shut = frozenset([*held, *(valve for edge in springs.values() for valve in edge)])
    openings = [*_highest_first(system, _taps(system)), *_drains(system, with_tanks)]
    return (
        *power.off(system, pumps(system)),
        *_hands_tied(system),
        *_springs_off(system, springs),
        *water.shut(system, held),
        *([] if with_tanks else _unheld(system)),
        *_ways_open(system, shut),
        *water.opened(system, openings),
        Step(Act.WAIT, "", "Wait until nothing runs any more, and leave them open.", PRESSED),
        *_left_over(system, shut, with_tanks),
    )


def _spring_valves(system: System) -> dict[str, list[str]]:
    """Return the nearest valves below each spring or roof."""
    valves = frozenset(one.tag for one in water.isolation_valves(system))
    return {one.tag: water.walk(system, water.places_of(system, one.tag), valves)[1] for one in _springs(system)}


def _springs(system: System) -> list[Node]:
    return [one for one in system.of(SpringOrRoof) if water.places_of(system, one.tag)]


def _hands_tied(system: System) -> list[Step]:
    places = {(one.tag, "") for one in system.of(HandPump) if water.places_of(system, one.tag)}
    return water.hands_off(system, places)


def _springs_off(system: System, springs: dict[str, list[str]]) -> list[Step]:
    steps: list[Step] = []
    for tag, edge in springs.items():
        steps += water.shut(system, edge)
        if not edge:
            steps.append(Step(Act.GAP, "", f"No valve shuts {label(system, tag)}: lead its water aside at the source."))
    return steps


def _tank_valves(system: System) -> list[str]:
    """Return the nearest valves on the pipes below a tank: behind its outlet, and before an inlet under water."""
    valves = frozenset(one.tag for one in water.isolation_valves(system))
    edges = [tag for start in _below_water(system) for tag in water.walk(system, {start}, valves)[1]]
    return list(dict.fromkeys(edges))


def _below_water(system: System) -> list[Place]:
    return [(one.tag, "outlet") for one in water.feeding_tanks(system)]


def _unheld(system: System) -> list[Step]:
    """Return a word on each tank whose water no valve holds back from the taps."""
    words = "No valve holds back the water of {}: it runs out with the rest."
    bare = [at[0] for at in _below_water(system) if any(one.kind == "outlet" for one in _straight_out(system, at))]
    return [Step(Act.GAP, "", words.format(label(system, tag))) for tag in bare]


def _straight_out(system: System, start: Place) -> list[Node]:
    """Return the taps and drains that no valve parts from a tank."""
    return water.runs_out_at(system, start, frozenset(one.tag for one in water.isolation_valves(system)))


def _drains(system: System, with_tanks: bool) -> list[str]:
    """Return the drains to open: not those of a tank whose water is kept."""
    kept = [] if with_tanks else [one.tag for at in _below_water(system) for one in _straight_out(system, at)]
    return [one.tag for one in water.drains(system) if one.tag not in kept]


def _ways_open(system: System, held: frozenset[str]) -> list[Step]:
    """Return the valves to open so that each pipe can run empty, except those that hold water back."""
    return water.opened(system, [one.tag for one in water.isolation_valves(system) if one.tag not in held])


def _highest_first(system: System, tags: list[str]) -> list[str]:
    """Return taps from the highest down, so that air comes in above; those without a height as they are counted."""
    return sorted(tags, key=lambda tag: -(getattr(system.node(tag).part, "elevation", None) or 0.0))


def _left_over(system: System, shut: frozenset[str], with_tanks: bool) -> list[Step]:
    steps: list[Step] = []
    full = frost.staying_full(system, shut)
    if full:
        words = f"Water stays in {listed(system, full)}: shut in, or lower than every tap and drain."
        steps.append(Step(Act.LOOK, "", words))
    if with_tanks and system.of(StorageTank):
        names = listed(system, [one.tag for one in system.of(StorageTank)])
        steps.append(Step(Act.LOOK, "", f"What is left in {names}: siphon it out from outside.", NO_ENTRY))
    return steps


def refill(system: System) -> Steps:
    """Return how an empty system is filled: each tank first with its outlet shut, then pipes, then boosters."""
    held = _tank_valves(system)
    taps = _highest_first(system, _taps(system))
    steps = [
        *water.shut(system, [*(one.tag for one in water.drains(system)), *taps[1:]]),
        *water.opened(system, taps[:1]),
        *water.shut(system, held),
        *water.opened(system, [one for one in _open_ones(system) if one not in held]),
        *_untied(system),
        *power.on(system, power.off(system, system.of(SubmersiblePump))),
        *(step for tank in _fill_order(system) for step in _filled(system, tank)),
        *_boosters_on(system, system.of(BoosterPump)),
    ]
    return (*power.once(steps), *_air_out(system, taps), *_watched(system), ASK_BEFORE_DRINKING)


def _fill_order(system: System) -> list[Node]:
    """Return the tanks that feed something, each after those whose water fills it."""
    left, done = water.feeding_tanks(system), list[Node]()
    while left:
        ready = [one for one in left if not _above(system, one) & {other.tag for other in left if other is not one}]
        done += ready or left
        left = [one for one in left if one not in done]
    return done


def _above(system: System, tank: Node) -> set[str]:
    reached = water.zone(system, {(tank.tag, "inlet")})
    return {tag for tag, port in reached if port == "outlet"}


def _filled(system: System, tank: Node) -> list[Step]:
    """Return the steps that fill one tank and let its water on."""
    pumps_before = water.pumps_in(system, water.zone(system, {(tank.tag, "inlet")}))
    valves = frozenset(one.tag for one in water.isolation_valves(system))
    behind = water.walk(system, {(tank.tag, "outlet")}, valves)[1]
    return [
        *_boosters_on(system, [one for one in pumps_before if isinstance(one.part, BoosterPump)]),
        Step(Act.WAIT, "", f"Wait until there is water over the outlet of {label(system, tank.tag)}."),
        *_slowly(system, [one for one in behind if one in _open_ones(system)]),
    ]


def _boosters_on(system: System, boosters: list[Node]) -> list[Step]:
    started = power.on(system, power.off(system, boosters))
    return [*(_primed(system, one) for one in boosters), *started]


def _untied(system: System) -> list[Step]:
    return [
        Step(Act.START, one.tag, f"Untie the handle of {label(system, one.tag)}.")
        for one in system.of(HandPump)
        if water.places_of(system, one.tag)
    ]


def _slowly(system: System, tags: list[str]) -> list[Step]:
    return [Step(Act.OPEN, tag, f"Open {label(system, tag)} slowly: a quarter, wait, then fully.") for tag in tags]


def _primed(system: System, booster: Node) -> Step:
    words = f"See that {label(system, booster.tag)} stands full of water before it runs: dry, it is spoiled in minutes."
    return Step(Act.LOOK, "", words)


def _air_out(system: System, taps: list[str]) -> list[Step]:
    if not taps:
        return []
    first, rest = taps[0], taps[1:]
    steps = [Step(Act.WAIT, "", f"Let {label(system, first)} run until the water comes without air.")]
    for tag in rest:
        steps += [
            Step(Act.OPEN, tag, f"Open {label(system, tag)} until the water comes without air."),
            Step(Act.SHUT, tag, f"Shut {label(system, tag)}."),
        ]
    return [*steps, Step(Act.SHUT, first, f"Shut {label(system, first)}.")]


def leave_for_winter(system: System) -> Steps:
    """Return how the system is left where water would freeze: emptied with its tanks, batteries kept on charge."""
    shut = frozenset(valve for edge in _spring_valves(system).values() for valve in edge)
    return (*drain(system, with_tanks=True), *frost.what_freezes(system, shut), *frost.batteries_kept(system))
