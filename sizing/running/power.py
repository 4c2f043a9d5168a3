"""In which order what feeds a system is switched off and on again.

Common practice, no source beside it: what uses power goes off first, then the arrays, and the battery last, because
a charge controller that sees an array without its battery can be destroyed by the array's voltage. On again in the
opposite order: battery, arrays, users.
"""

from collections.abc import Callable, Iterator

from sizing.parts import (
    BatteryBank,
    BoosterPump,
    ChargeController,
    Load,
    OvercurrentDevice,
    SolarArray,
    SubmersiblePump,
)
from sizing.running.steps import FUSE_COLD, LIVE_ARRAY, LIVE_BATTERY, LOCKED, Act, Step, label
from sizing.system import THROUGH, Node, System

FED_BY: dict[str, dict[str, tuple[str, ...]]] = {
    "pump_controller": {"motor": ("array",)},
    "inverter": {"output": ("input",)},
    "charge_controller": {"load": ("battery", "array")},
}
"""Kind → port at which it is reached from what it feeds → ports at which it is fed itself."""
CONVERTERS = frozenset({"pump_controller", "inverter"})
SOURCES = frozenset({"solar_array", "battery_bank"})
Cut = tuple[list[Node], list[Node]]


def consumers(system: System) -> list[Node]:
    """Return what uses power: pumps, boosters, other loads."""
    return [*system.of(SubmersiblePump), *system.of(BoosterPump), *system.of(Load)]


def is_switch(node: Node) -> bool:
    """Whether it may be opened under load: an isolator or a breaker."""
    return node.kind == "isolator" or getattr(node.part, "form", None) == "breaker"


def can_part(node: Node) -> bool:
    return node.kind in ("isolator", "overcurrent_device")


def toward_sources(system: System, tag: str, ports: tuple[str, ...], stops: Callable[[Node], bool]) -> Iterator[Node]:
    """Yield what feeds `tag` at the ports, the nearest first; nothing behind a component that stops the walk."""
    todo = [(tag, port) for port in ports]
    seen = {tag}
    while todo:
        at, port = todo.pop(0)
        for run in system.runs_at(at, "cable", port):
            sitting = [one for one in system.hosted_on(run.tag, OvercurrentDevice) if one.tag not in seen]
            seen |= {one.tag for one in sitting}
            yield from sitting
            far = run.far(at)
            if far.tag in seen or any(stops(one) for one in sitting):
                continue
            node = system.node(far.tag)
            onward = _onward(node, far.port)
            if node.kind not in SOURCES and not onward and not stops(node):
                continue
            seen.add(far.tag)
            yield node
            if not stops(node):
                todo.extend((node.tag, one) for one in onward)


def _onward(node: Node, reached_at: str) -> tuple[str, ...]:
    """Return the ports behind which a walk toward the sources goes on."""
    if node.kind in FED_BY:
        return FED_BY[node.kind].get(reached_at, ())
    if node.kind in THROUGH:
        return tuple(port for port in node.part.ports if port != reached_at and port not in ("bond", "control", "any"))
    return ()


def cut(system: System, tag: str, ports: tuple[str, ...]) -> Cut:
    """Return the devices that part `tag` from everything that feeds it, and the sources that none parts from it.

    Switches are preferred to fuses where they part as well.
    """
    by_switch = _cut(system, tag, ports, is_switch)
    return by_switch if not by_switch[1] else _cut(system, tag, ports, can_part)


def _cut(system: System, tag: str, ports: tuple[str, ...], parts: Callable[[Node], bool]) -> Cut:
    met = list(toward_sources(system, tag, ports, parts))
    return [one for one in met if parts(one)], [one for one in met if one.kind in SOURCES]


def _ports(node: Node) -> tuple[str, ...]:
    return tuple(port for port in node.part.ports if port in ("motor", "line", "array", "input"))


def converters(system: System, node: Node) -> list[Node]:
    """Return the electronics with a switch of their own that feed a consumer, the nearest first."""
    return [one for one in toward_sources(system, node.tag, _ports(node), lambda _: False) if one.kind in CONVERTERS]


def off(system: System, users: list[Node]) -> list[Step]:
    """Return how some consumers are stopped and parted from what feeds them."""
    stopped = [step for user in users for step in _stopped(system, user)]
    parted = [step for user in users for step in _parted(system, user)]
    return once([*stopped, *parted])


def _stopped(system: System, user: Node) -> list[Step]:
    found = converters(system, user)
    if found:
        return [Step(Act.STOP, one.tag, f"Switch {label(system, one.tag)} off at its own switch.") for one in found]
    devices, _ = cut(system, user.tag, _ports(user))
    if all(is_switch(one) for one in devices):
        return []
    words = (
        f"Shut every tap and wait until {label(system, user.tag)} stands still. If it does not: hands off, and call."
    )
    return [Step(Act.WAIT, "", words)]


def _parted(system: System, user: Node) -> list[Step]:
    devices, bare = cut(system, user.tag, _ports(user))
    return [
        *(disconnect(system, one) for one in devices),
        *(_gap(system, one, user) for one in bare),
    ]


def disconnect(system: System, device: Node) -> Step:
    """Return the step that opens an isolator or breaker, or draws a fuse."""
    name = label(system, device.tag)
    if is_switch(device):
        return Step(Act.DISCONNECT, device.tag, f"Switch {name} off and lock it off.", LOCKED)
    return Step(Act.DISCONNECT, device.tag, f"Draw the fuse {name}.", FUSE_COLD)


def connect(system: System, device: Node) -> Step:
    """Return the step that undoes `disconnect`."""
    name = label(system, device.tag)
    verb = f"Switch {name} on." if is_switch(device) else f"Put the fuse {name} back."
    return Step(Act.CONNECT, device.tag, verb)


def _gap(system: System, source: Node, user: Node) -> Step:
    words = (
        f"No switch or fuse is recorded between {label(system, source.tag)} and {label(system, user.tag)}: "
        "the contractor parts them. No step further before that."
    )
    return Step(Act.GAP, "", words, LIVE_ARRAY if source.kind == "solar_array" else LIVE_BATTERY)


def arrays_off(system: System) -> list[Step]:
    """Return how every array is parted from its electronics, each by the switch nearest to them."""
    return once([step for one in _fed_by_arrays(system) for step in _parted_from_array(system, one)])


def _fed_by_arrays(system: System) -> list[Node]:
    return [one for one in system.nodes.values() if "array" in one.part.ports]


def _parted_from_array(system: System, electronics: Node) -> list[Step]:
    devices, bare = cut(system, electronics.tag, ("array",))
    return [
        *(_with(disconnect(system, one), LIVE_ARRAY) for one in devices),
        *(_gap(system, one, electronics) for one in bare if isinstance(one.part, SolarArray)),
    ]


def _with(step: Step, caution: str) -> Step:
    return Step(step.act, step.tag, step.words, caution)


def battery_off(system: System) -> list[Step]:
    """Return how the battery is parted from its chargers. Only when the arrays are off.

    A charger whose array nothing parts keeps its battery.
    """
    chargers = system.of(ChargeController)
    bare = [one for one in chargers if cut(system, one.tag, ("array",))[1]]
    kept = {device.tag for one in bare for device in cut(system, one.tag, ("battery",))[0]}
    return once([step for one in chargers for step in _parted_from_battery(system, one, kept, one in bare)])


def _parted_from_battery(system: System, charger: Node, kept: set[str], is_bare: bool) -> list[Step]:
    if is_bare:
        name = label(system, charger.tag)
        return [Step(Act.GAP, "", f"Leave the battery on {name}: its array cannot be parted from it.", LIVE_ARRAY)]
    devices, bare = cut(system, charger.tag, ("battery",))
    return [
        *(_with(disconnect(system, one), LIVE_BATTERY) for one in devices if one.tag not in kept),
        *(_gap(system, one, charger) for one in bare if isinstance(one.part, BatteryBank)),
    ]


def all_off(system: System) -> list[Step]:
    """Return how everything is switched off: users, arrays, and the battery last."""
    return once([*off(system, consumers(system)), *arrays_off(system), *battery_off(system)])


def on(system: System, undone: list[Step]) -> list[Step]:
    """Return the steps that undo others: the same devices in the opposite order, electronics after what feeds them."""
    back = [step for step in reversed(undone) if step.act in (Act.DISCONNECT, Act.STOP)]
    return [
        connect(system, system.node(one.tag))
        if one.act is Act.DISCONNECT
        else Step(Act.START, one.tag, f"Switch {label(system, one.tag)} on at its own switch.")
        for one in back
    ]


def once(steps: list[Step]) -> list[Step]:
    """Return the steps without those that were already done."""
    seen: set[tuple[str, str]] = set()
    kept: list[Step] = []
    for step in steps:
        key = (step.act.value, step.tag or step.words)
        if key not in seen:
            kept.append(step)
        seen.add(key)
    return kept
