"""The as-built graph: components joined by runs, and the state it is in while a check is taken."""

import dataclasses
import re
from collections.abc import Iterator, Mapping
from dataclasses import field
from functools import cache, cached_property
from typing import Any, TypeVar

from sizing.errors import MissingDataError, SystemShapeError
from sizing.parts import COMPONENT_KINDS, RUN_KINDS, FieldKind, Part, RunPart, SiteData, Valve
from sizing.records import record

P = TypeVar("P", bound=Part)
SITE = "site"
"""Tag of the pseudo-component that stands for the whole site."""


@cache
def as_counted(tag: str) -> tuple[tuple[int, str], ...]:
    """Return a key by which P2 comes before P10, as a person counts."""
    return tuple((int(part), "") if part.isdecimal() else (-1, part) for part in re.split(r"([0-9]+)", tag))


@record
class Node:
    """A component: its tag, its nameplate and the tag of the component or run it sits in or on."""

    tag: str
    part: Part
    name: str = ""
    host: str | None = None

    @property
    def kind(self) -> str:
        return self.part.kind

    def need(self, field: str) -> float:
        """Return a nameplate number in core units, or raise MissingDataError."""
        return self.part.need(self.tag, field)

    def need_text(self, field: str) -> str:
        """Return a nameplate text, or raise MissingDataError."""
        return self.part.need_text(self.tag, field)


@record
class End:
    """One end of a run: a component's tag and the port it is joined to."""

    tag: str
    port: str


@record
class Run:
    """A pipe, cable or control line between two ends; water or power is meant to go start to end."""

    tag: str
    part: RunPart
    start: End
    end: End
    name: str = ""

    @property
    def kind(self) -> str:
        return self.part.kind

    def need(self, field: str) -> float:
        """Return a nameplate number in core units, or raise MissingDataError."""
        return self.part.need(self.tag, field)

    def need_text(self, field: str) -> str:
        """Return a nameplate text, or raise MissingDataError."""
        return self.part.need_text(self.tag, field)

    def far(self, tag: str) -> End:
        """Return the end that is not at `tag`."""
        return self.end if self.start.tag == tag else self.start

    def near(self, tag: str) -> End:
        """Return the end that is at `tag`."""
        return self.start if self.start.tag == tag else self.end


@record
class State:
    """What runs and what is open while a check is taken.

    `open_outlets` maps an outlet's tag to the flow drawn there [m³/s], or None where the tap is
    simply open. `positions` overrides a valve's normal position. `levels` are the water surfaces
    in tanks and springs, above the datum [m]. `pressures` are the gauge pressures of the gas in
    pressure tanks [Pa]; a pressure tank without one takes no part. `dirt` says how dirty a filter is,
    from 0, clean, to 1, due for changing. `inflows` are flows that springs, roofs and hand
    pumps give [m³/s], where it is the flow that is known and not the surface. A booster that does not run is shut.
    """

    running: frozenset[str] = frozenset()
    open_outlets: Mapping[str, float | None] = field(default_factory=dict)
    positions: Mapping[str, str] = field(default_factory=dict)
    levels: Mapping[str, float] = field(default_factory=dict)
    pressures: Mapping[str, float] = field(default_factory=dict)
    dirt: Mapping[str, float] = field(default_factory=dict)
    inflows: Mapping[str, float] = field(default_factory=dict)


@record
class System:
    """A whole as-built record in core units."""

    site: SiteData
    nodes: Mapping[str, Node]
    runs: Mapping[str, Run]

    def of(self, kind: type[P]) -> list[Node]:
        """Return the components of one kind, in the order of their tags."""
        found = (n for n in self.nodes.values() if isinstance(n.part, kind))
        return sorted(found, key=lambda n: as_counted(n.tag))

    def node(self, tag: str) -> Node:
        """Return a component, or raise MissingDataError."""
        if tag not in self.nodes:
            raise MissingDataError(tag, "component", f"component {tag} is not in the as-built record")
        return self.nodes[tag]

    def subject(self, tag: str) -> Node | Run:
        """Return the component or run of that tag; the tag `site` is the whole site."""
        if tag == SITE:
            return Node(SITE, self.site, "whole site")
        return self.runs[tag] if tag in self.runs else self.node(tag)

    def runs_at(self, tag: str, kind: str, port: str | None = None) -> list[Run]:
        """Return the runs of a kind joined to a component, at one port if it is given."""
        found = self._joined.get((tag, kind), [])
        return [r for r in found if port is None or r.near(tag).port == port]

    @cached_property
    def _joined(self) -> dict[tuple[str, str], list[Run]]:
        """The runs of each kind joined to each component, by tag: walks ask for them thousands of times."""
        found: dict[tuple[str, str], list[Run]] = {}
        for run in sorted(self.runs.values(), key=lambda r: r.tag):
            for tag in {run.start.tag, run.end.tag}:
                found.setdefault((tag, run.kind), []).append(run)
        return found

    def hosted_on(self, tag: str, kind: type[P]) -> list[Node]:
        """Return the components of a kind that sit in or on the component or run `tag`."""
        return [n for n in self.of(kind) if n.host == tag]

    def host_of(self, node: Node, kind: type[P]) -> Node:
        """Return the component that `node` sits in, or raise MissingDataError."""
        if node.host is None or node.host not in self.nodes:
            raise MissingDataError(node.tag, "host", f"{node.tag}: where it sits is not recorded")
        host = self.nodes[node.host]
        if not isinstance(host.part, kind):
            raise MissingDataError(node.tag, "host", f"{node.tag} sits in {host.tag}, which is no {kind.title.lower()}")
        return host

    def run_under(self, node: Node) -> Run:
        """Return the run that `node` sits on, such as a fuse on its cable, or raise MissingDataError."""
        if node.host is None or node.host not in self.runs:
            raise MissingDataError(node.tag, "host", f"{node.tag}: the run it sits on is not recorded")
        return self.runs[node.host]

    def reached(self, tag: str, kind: str, port: str | None = None) -> Iterator[tuple[Node, list[Run]]]:
        """Yield each component reached over runs of a kind, with the runs on the way.

        Starts at `port` of `tag`; walks through junctions, valves, boosters, isolators and the like, and
        stops behind anything that stores, converts or uses (a tank, a controller), which it still yields.
        """
        seen = {tag}
        todo: list[tuple[str, str | None, list[Run]]] = [(tag, port, [])]
        while todo:
            at, gate, path = todo.pop(0)
            for run in self.runs_at(at, kind, gate):
                far = run.far(at)
                if far.tag in seen or far.tag not in self.nodes:
                    continue
                seen.add(far.tag)
                node = self.nodes[far.tag]
                yield node, [*path, run]
                if passes_through(node):
                    todo.append((far.tag, None, [*path, run]))

    def path_between(self, tag: str, port: str | None, goal: type[P], kind: str) -> tuple[Node, list[Run]]:
        """Return the nearest component of a kind over runs from a port, and the runs; or raise."""
        for node, path in self.reached(tag, kind, port):
            if isinstance(node.part, goal):
                return node, path
        raise MissingDataError(tag, kind, f"{tag}: no {kind} leads from it to a {goal.title.lower()}")


THROUGH = {
    "junction",
    "valve",
    "filter",
    "meter",
    "pressure_tank",
    "booster_pump",
    "combiner",
    "isolator",
    "overcurrent_device",
    "pressure_switch",
}
"""Kinds behind which a walk over pipes or cables goes on."""


def passes_through(node: Node) -> bool:
    """Whether a walk over runs goes on behind this component."""
    return node.kind in THROUGH


def is_shut(node: Node, state: State) -> bool:
    """Whether a valve is shut in a state; a valve without a recorded position counts as open."""
    if not isinstance(node.part, Valve):
        return False
    return state.positions.get(node.tag, node.part.normal_position or "open") == "shut"


def without(part: Part, name: str) -> Part:
    """Return the nameplate with one field not recorded."""
    return dataclasses.replace(part, **{name: None})


def _part_from(kind: type[P], owner: str, plate: Mapping[str, Any]) -> P:
    declared = kind.declarations()
    unknown = sorted(set(plate) - set(declared))
    if unknown:
        raise SystemShapeError(f"{owner}: {kind.title.lower()} has no field {', '.join(unknown)}")
    values: dict[str, Any] = {}
    for name, value in plate.items():
        if value is None or value == "":
            continue
        shape = declared[name].kind
        if shape is FieldKind.TABLE:
            value = tuple(tuple(row) for row in value) or None
        elif shape is FieldKind.COUNTS:
            value = tuple(sorted((str(k), float(v)) for k, v in dict(value).items()))
        elif shape in (FieldKind.MEASURE, FieldKind.NUMBER):
            value = float(value)
        values[name] = value
    return kind(**values)


def build(document: Mapping[str, Any]) -> System:
    """Return the system of an as-built document whose numbers are in core units.

    `document` has `site` (field → number or text), `components` (tag, kind, name, host: the tag of a
    component or run, nameplate)
    and `runs` (tag, kind, name, start, start_port, end, end_port, nameplate).

    Raises
    ------
    SystemShapeError
        If a kind or field is unknown, a tag stands twice, or a run ends nowhere.
    """
    nodes: dict[str, Node] = {}
    for item in document["components"]:
        tag = item["tag"]
        if item["kind"] not in COMPONENT_KINDS:
            raise SystemShapeError(f"{tag}: unknown kind of component {item['kind']}")
        if tag in nodes:
            raise SystemShapeError(f"tag {tag} stands twice")
        part = _part_from(COMPONENT_KINDS[item["kind"]], tag, item.get("nameplate", {}))
        nodes[tag] = Node(tag, part, item.get("name", ""), item.get("host") or None)
    runs: dict[str, Run] = {}
    for item in document["runs"]:
        tag = item["tag"]
        if item["kind"] not in RUN_KINDS:
            raise SystemShapeError(f"{tag}: unknown kind of run {item['kind']}")
        if tag in runs or tag in nodes:
            raise SystemShapeError(f"tag {tag} stands twice")
        ends = End(item["start"], item.get("start_port", "")), End(item["end"], item.get("end_port", ""))
        for end in ends:
            if end.tag not in nodes:
                raise SystemShapeError(f"{tag} ends at {end.tag}, which is not in the record")
        part_of_run = _part_from(RUN_KINDS[item["kind"]], tag, item.get("nameplate", {}))
        runs[tag] = Run(tag, part_of_run, *ends, item.get("name", ""))
    return System(_part_from(SiteData, "site", document.get("site", {})), nodes, runs)
