"""Which components are drawn together, in which order the water meets them, and what hangs above what."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import ClassVar

from sizing.parts import RUN_KINDS, RunPart
from sizing.system import End, Node, Run, System

EARTH = "earth_electrode"
ELECTRICAL = {
    "solar_array", "combiner", "isolator", "pump_controller", "charge_controller", "inverter", "battery_bank", "load",
    "overcurrent_device", "surge_protector",
}  # fmt: skip


class Seat(RunPart):
    """No run of the record: it shows on the drawing what a component sits on."""

    kind: ClassVar[str] = "seat"
    title: ClassVar[str] = "Seat"
    tag_prefix: ClassVar[str] = "seat of "


@dataclass(frozen=True, slots=True)
class Perch:
    """Where an electrical component hangs: how far above which consumer, and straight above what."""

    layer: int
    consumer: str
    under: str


@dataclass
class Plan:
    """A system sorted for drawing. A block is a component with everything that is drawn inside it."""

    system: System
    inside: dict[str, list[Node]] = field(default_factory=dict)
    water: list[str] = field(default_factory=list)
    perches: dict[str, Perch] = field(default_factory=dict)
    loose: list[str] = field(default_factory=list)
    riders: dict[str, str] = field(default_factory=dict)

    def block_of(self, tag: str) -> str:
        """Return the block in which a component is drawn."""
        return next((block for block, nodes in self.inside.items() if any(one.tag == tag for one in nodes)), tag)

    @property
    def hosted(self) -> set[str]:
        return {node.tag for nodes in self.inside.values() for node in nodes}

    def runs_of(self, tag: str, *kinds: str) -> list[Run]:
        """Return the runs at one component, leaving out those that come back to the same block."""
        block = self.block_of(tag)
        found = [run for kind in kinds for run in self.system.runs_at(tag, kind)]
        return [run for run in found if self.block_of(run.far(tag).tag) != block or run.far(tag).tag == tag]


def plan_of(system: System) -> Plan:
    """Return the plan of a system."""
    seats = [_seat(node) for node in system.nodes.values() if _is_seated(system, node)]
    plan = Plan(System(system.site, system.nodes, {**system.runs, **{one.tag: one for one in seats}}))
    system = plan.system
    for node in _sorted(system):
        if _is_drawn_inside(system, node):
            plan.inside.setdefault(str(node.host), []).append(node)
    hosted = plan.hosted
    plan.riders = {node.tag: str(node.host) for node in _sorted(system) if _is_rider(system, node)}
    blocks = [node for node in _sorted(system) if node.tag not in hosted and node.tag not in plan.riders]
    water = [node.tag for node in blocks if _is_water(system, node)]
    power = [node.tag for node in blocks if _is_power(system, node)]
    plan.water = _by_flow(plan, water)
    plan.perches = _perches(plan, water, power)
    plan.loose = [one.tag for one in blocks if one.tag not in plan.perches and one.tag not in water]
    return plan


def _is_rider(system: System, node: Node) -> bool:
    """Whether a component sits on a run and no run of its own leads to it."""
    return node.host in system.runs and not any(system.runs_at(node.tag, kind) for kind in RUN_KINDS)


def _is_seated(system: System, node: Node) -> bool:
    return node.host in system.nodes and node.host != node.tag and not _is_drawn_inside(system, node)


def _seat(node: Node) -> Run:
    return Run(Seat.tag_prefix + node.tag, Seat(), End(node.tag, ""), End(str(node.host), ""))


def _sorted(system: System) -> list[Node]:
    return sorted(system.nodes.values(), key=lambda node: natural(node.tag))


def natural(tag: str) -> tuple[str, int, str]:
    """Return a key by which T2 comes before T10."""
    letters = tag.rstrip("0123456789")
    digits = tag[len(letters) :]
    return letters, int(digits) if digits.isdecimal() else 0, tag


def _is_drawn_inside(system: System, node: Node) -> bool:
    host = system.nodes.get(node.host or "")
    if host is None or host.tag == node.tag or (host.host in system.nodes and host.kind != "well"):
        return False
    if host.kind == "well":
        return node.kind not in ("well", "storage_tank", "outlet", EARTH)
    return host.kind == "storage_tank" and node.kind == "level_switch" and not system.runs_at(node.tag, "pipe")


def _is_water(system: System, node: Node) -> bool:
    return node.kind in ("well", "storage_tank", "outlet") or bool(system.runs_at(node.tag, "pipe"))


def _is_power(system: System, node: Node) -> bool:
    if _is_water(system, node) or node.kind == EARTH:
        return False
    is_electrical = node.kind in ELECTRICAL and node.host is None
    return is_electrical or bool(system.runs_at(node.tag, "cable"))


def _flows(plan: Plan, blocks: list[str]) -> dict[str, list[str]]:
    """Return block → blocks that its pipes lead to."""
    made: dict[str, list[str]] = {tag: [] for tag in blocks}
    for run in sorted(plan.system.runs.values(), key=lambda run: natural(run.tag)):
        start, end = plan.block_of(run.start.tag), plan.block_of(run.end.tag)
        if run.kind == "pipe" and start != end and end not in made[start] and start not in made[end]:
            made[start].append(end)
    return made


def _by_flow(plan: Plan, blocks: list[str]) -> list[str]:
    """Return the blocks so that water, where it can, meets them from left to right; short branches first."""
    flows = _flows(plan, blocks)
    waits = {tag: sum(tag in ends for ends in flows.values()) for tag in blocks}
    ready = [tag for tag in reversed(blocks) if not waits[tag]]
    order: list[str] = []
    while len(order) < len(blocks):
        tag = ready.pop() if ready else min((one for one in blocks if one not in order), key=lambda one: waits[one])
        if tag in order:
            continue
        order.append(tag)
        for end in flows[tag]:
            waits[end] -= 1
        after = [end for end in flows[tag] if waits[end] <= 0]
        ready += sorted(after, key=lambda end: (len(set(_below(flows, end))), natural(end)), reverse=True)
    return order


def _below(flows: dict[str, list[str]], tag: str) -> Iterator[str]:
    seen, todo = {tag}, [tag]
    while todo:
        at = todo.pop()
        yield at
        new = [one for one in flows[at] if one not in seen]
        seen.update(new)
        todo += new


def _perches(plan: Plan, water: list[str], power: list[str]) -> dict[str, Perch]:
    """Return where each electrical component hangs, by its distance from a consumer over cables."""
    made: dict[str, Perch] = {}
    wet = [*water, *plan.hosted]
    consumers = [tag for tag in wet if any(run.far(tag).tag in power for run in plan.runs_of(tag, "cable"))]
    _climb(plan, [(tag, Perch(0, plan.block_of(tag), tag)) for tag in sorted(consumers, key=natural)], power, made)
    while left := [tag for tag in power if tag not in made]:
        foot = min(left, key=lambda tag: (_feeds(plan, tag), natural(tag)))
        made[foot] = Perch(1, "", "")
        _climb(plan, [(foot, made[foot])], power, made)
    return made


def _feeds(plan: Plan, tag: str) -> int:
    return sum(run.start.tag == tag for run in plan.runs_of(tag, "cable"))


def _climb(plan: Plan, feet: list[tuple[str, Perch]], power: list[str], made: dict[str, Perch]) -> None:
    todo = list(feet)
    while todo:
        tag, perch = todo.pop(0)
        for run in plan.runs_of(tag, "cable"):
            far = run.far(tag).tag
            if far in power and far not in made:
                made[far] = Perch(perch.layer + 1, perch.consumer, tag)
                todo.append((far, made[far]))
