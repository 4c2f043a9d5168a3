"""The water side as somebody at a valve sees it: what stands between which valves, and where it can run out.

A tank and a booster count as two places, one a side, because shutting off one side leaves the other as it was.
"""

from collections import deque
from collections.abc import Collection, Iterable

from sizing.parts import BoosterPump, HandPump, Outlet, StorageTank, SubmersiblePump, Valve
from sizing.running.power import once
from sizing.running.steps import Act, Step, label
from sizing.system import THROUGH, Node, Run, System, as_counted

Place = tuple[str, str]  # tag, and the port where the sides of a component are apart
Places = set[Place]
SIDED = frozenset({"storage_tank", "booster_pump"})
STORES = frozenset({"storage_tank", "spring_or_roof", "submersible_pump", "hand_pump"})
"""What water can come from of itself, or be pushed from."""
NONE: frozenset[str] = frozenset()


def place(system: System, tag: str, port: str) -> Place:
    return (tag, port) if system.node(tag).kind in SIDED else (tag, "")


def places_of(system: System, tag: str) -> Places:
    """Return the places of a component that pipes are joined to."""
    return {place(system, tag, run.near(tag).port) for run in system.runs_at(tag, "pipe")}


def pipes_at(system: System, at: Place) -> list[Run]:
    return system.runs_at(at[0], "pipe", at[1] or None)


def isolation_valves(system: System) -> list[Node]:
    """Return the valves that somebody can shut; one whose function nobody recorded counts, unless it is a check."""
    return [v for v in system.of(Valve) if _function(v) == "isolation"]


def _function(valve: Node) -> str:
    body = getattr(valve.part, "body", None) or ""
    return getattr(valve.part, "function", None) or ("check" if body.endswith("check") else "isolation")


def drains(system: System) -> list[Node]:
    return [v for v in system.of(Valve) if _function(v) == "drain"]


def is_normally_shut(valve: Node) -> bool:
    usual = "shut" if _function(valve) == "drain" else "open"
    return (getattr(valve.part, "normal_position", None) or usual) == "shut"


def walk(system: System, start: Iterable[Place], shut: Collection[str]) -> tuple[Places, list[str]]:
    """Return the places that hang together with `start` while some valves are shut, and those of them that bound it.

    Walks both ways through check valves and standing boosters, since neither is tight enough to work behind.
    """
    inside, edge = set(start), list[str]()
    todo = deque(sorted(inside))
    while todo:
        at = todo.popleft()
        for far in _beside(system, at):
            if far[0] in shut:
                edge += [] if far[0] in edge else [far[0]]
            elif far not in inside:
                inside.add(far)
                todo.extend([far] if system.node(far[0]).kind in THROUGH else [])
    return inside, sorted(edge, key=as_counted)


def _beside(system: System, at: Place) -> list[Place]:
    ends = [run.far(at[0]) for run in pipes_at(system, at)]
    return [*(place(system, end.tag, end.port) for end in ends), *_other_side(system, at)]


def _other_side(system: System, at: Place) -> list[Place]:
    if not isinstance(system.node(at[0]).part, BoosterPump):
        return []
    return [one for one in sorted(places_of(system, at[0])) if one != at]


def runs_out_at(system: System, start: Place, shut: Collection[str]) -> list[Node]:
    """Return the taps and drains at which water from a place can run out, the nearest first.

    It passes a check valve one way only, and a standing booster only if that is centrifugal.
    """
    seen, found = {start}, list[Node]()
    todo = deque([start])
    while todo:
        at = todo.popleft()
        found += [node for node in [system.node(at[0])] if is_opening(node)]
        onward = [far for far in _onward(system, at) if far not in seen and far[0] not in shut]
        seen.update(onward)
        todo.extend(far for far in onward if system.node(far[0]).kind in THROUGH or is_opening(system.node(far[0])))
    return found


def is_opening(node: Node) -> bool:
    return isinstance(node.part, Outlet) or (isinstance(node.part, Valve) and _function(node) == "drain")


def _onward(system: System, at: Place) -> list[Place]:
    node = system.node(at[0])
    runs = pipes_at(system, at)
    if isinstance(node.part, Valve) and _function(node) == "check":
        runs = [run for run in runs if run.start.tag == node.tag]
    far = [place(system, run.far(at[0]).tag, run.far(at[0]).port) for run in runs if not _is_held(system, run, at[0])]
    passes = getattr(node.part, "principle", None) == "centrifugal"
    return far + (_other_side(system, at) if passes and at[1] == "suction" else [])


def _is_held(system: System, run: Run, tag: str) -> bool:
    """Whether a check valve at the far end of a run lets nothing in from here."""
    far = system.node(run.far(tag).tag)
    return isinstance(far.part, Valve) and _function(far) == "check" and run.start.tag == far.tag


def pumps_in(system: System, places: Places) -> list[Node]:
    """Return the motor pumps whose water goes through some places, well pumps first."""
    tags = {tag for tag, _ in places}
    return [one for one in [*system.of(SubmersiblePump), *system.of(BoosterPump)] if one.tag in tags]


def zone(system: System, start: Iterable[Place]) -> Places:
    """Return everything that hangs together with `start` when every valve stands open, up to the tanks."""
    return walk(system, start, NONE)[0]


def hands_off(system: System, places: Places) -> list[Step]:
    """Return the steps that keep a hand pump from pushing into pipes on which somebody works."""
    tags = {tag for tag, _ in places}
    found = [one for one in system.of(HandPump) if one.tag in tags]
    return [
        Step(Act.STOP, one.tag, f"Tie up the handle of {label(system, one.tag)}: nobody pumps by hand meanwhile.")
        for one in found
    ]


def feeding_tanks(system: System) -> list[Node]:
    """Return the tanks from whose outlet a pipe goes."""
    return [one for one in system.of(StorageTank) if (one.tag, "outlet") in places_of(system, one.tag)]


def shut(system: System, tags: Iterable[str]) -> list[Step]:
    return once([Step(Act.SHUT, tag, f"Shut {label(system, tag)}.") for tag in tags])


def opened(system: System, tags: Iterable[str]) -> list[Step]:
    return once([Step(Act.OPEN, tag, f"Open {label(system, tag)}.") for tag in tags])
