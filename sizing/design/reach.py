"""How far a pressure reaches: from a pump or a water surface over pipes, up to what it cannot pass."""

from collections.abc import Iterator

from sizing.parts import (
    BoosterPump,
    Filter,
    Junction,
    Meter,
    PressureTank,
    ReliefValve,
    SpringOrRoof,
    StorageTank,
    SubmersiblePump,
    Valve,
)
from sizing.records import record
from sizing.system import Node, Run, System

PASSED = (Junction, Valve, Filter, Meter, PressureTank)


@record
class Origin:
    """A port from which a pressure starts: a tank's, a spring's, a pump's discharge. An empty port is any."""

    tag: str
    port: str


@record
class Reached:
    """A component or pipe that a pressure reaches, and what lies between, from the origin on."""

    tag: str
    way: tuple[str, ...]

    def is_free(self, system: System) -> bool:
        """Whether nothing on the way can be shut."""
        return not any(can_be_shut(system, tag) for tag in self.way)


def can_be_shut(system: System, tag: str) -> bool:
    """Whether a part is a valve that a hand can shut; a check valve shuts by itself and only backwards."""
    node = system.nodes.get(tag)
    return node is not None and isinstance(node.part, Valve) and node.part.function != "check"


def origins(system: System) -> list[Origin]:
    """Return every port from which a pressure can start, in tag order."""
    found = [Origin(node.tag, "discharge") for kind in (SubmersiblePump, BoosterPump) for node in system.of(kind)]
    found += [Origin(node.tag, "outlet") for node in system.of(SpringOrRoof)]
    found += [Origin(node.tag, port) for node in system.of(StorageTank) for port in ("outlet", "inlet")]
    return sorted(found, key=lambda one: (one.tag, one.port))


def reach(system: System, origin: Origin) -> dict[str, Reached]:
    """Return everything that a pressure from an origin reaches, each by one way."""
    return {one.tag: one for one in _walk(system, origin)}


def _walk(system: System, origin: Origin) -> Iterator[Reached]:
    seen = {origin.tag}
    todo: list[tuple[str, str | None, tuple[str, ...]]] = [(origin.tag, origin.port or None, ())]
    while todo:
        at, port, way = todo.pop(0)
        for run in _pipes_at(system, at, port):
            if run.tag in seen:
                continue
            seen.add(run.tag)
            yield Reached(run.tag, way)
            far = run.far(at)
            if far.tag in seen:
                continue
            seen.add(far.tag)
            node = system.nodes[far.tag]
            beyond = (*way, run.tag)
            yield Reached(far.tag, beyond)
            if isinstance(node.part, PASSED) and not _stops(node, run):
                todo.append((far.tag, None, (*beyond, far.tag)))


def _pipes_at(system: System, tag: str, port: str | None) -> list[Run]:
    """Return the pipes at a port; where ends name no ports, all of them."""
    every = system.runs_at(tag, "pipe")
    if port is None:
        return every
    named = [run for run in every if run.near(tag).port == port]
    blank = [run for run in every if not run.near(tag).port]
    return named or (blank if port in ("discharge", "outlet") else [])


def _stops(node: Node, run: Run) -> bool:
    """Whether a check valve stops a pressure that comes over this pipe: one drawn as leaving it comes from behind."""
    return isinstance(node.part, Valve) and node.part.function == "check" and run.start.tag == node.tag


def origins_reaching(system: System, tag: str) -> list[Origin]:
    """Return the origins whose pressure reaches a component or pipe; a booster sees its own discharge."""
    return [one for one in origins(system) if _own(system, one, tag) or tag in reach(system, one)]


def _own(system: System, origin: Origin, tag: str) -> bool:
    return origin.tag == tag and isinstance(system.nodes[tag].part, BoosterPump)


def reliefs_behind(system: System, origin: Origin) -> list[Node]:
    """Return the relief valves that an origin's pressure reaches with nothing between that can be shut."""
    found = reach(system, origin)
    return [node for node in system.of(ReliefValve) if node.tag in found and found[node.tag].is_free(system)]


def can_be_dead_headed(system: System, origin: Origin, tag: str) -> bool:
    """Whether a pump can come to press against a shut end while it presses on a part.

    It cannot where, from the part on, the water runs into a tank and nothing on that way can be shut; nor can it in
    a branch that leaves such a way.
    """
    found = reach(system, origin)
    to_part = (*found[tag].way, tag) if tag in found else (tag,)
    for one in found.values():
        node = system.nodes.get(one.tag)
        if node is None or not isinstance(node.part, StorageTank | SpringOrRoof) or one.tag == origin.tag:
            continue
        if not any(can_be_shut(system, part) for part in _beyond(one.way, to_part)):
            return False
    return True


def _beyond(way: tuple[str, ...], to_part: tuple[str, ...]) -> tuple[str, ...]:
    """Return a way from the last part on that it shares with the way to some part; all of it where they share none."""
    shared = [way.index(one) for one in to_part if one in way]
    return way[max(shared, default=0) :]
