"""A plant that does what each step says, reckoned by a general graph library and not by the walks under test.

It knows what runs, what is live and where water stands under pressure. Common practice, no source, says what must
never happen: a pump running with no way for its water, a charger seeing the sun without its battery.
"""

from dataclasses import dataclass, field

import networkx as nx

from sizing.running.steps import Act, Step
from sizing.system import Node, System

SIDED = {"storage_tank", "booster_pump"}
PUMPS = ("submersible_pump", "booster_pump")
CONVERTS = {"pump_controller": ("motor", "array"), "inverter": ("output", "input")}
PASSING = {"pump_controller", "inverter", "charge_controller"}


def key(system: System, tag: str, port: str) -> str:
    return f"{tag}.{port}" if system.nodes[tag].kind in SIDED else tag


@dataclass
class Plant:
    """The system while somebody works down a list of steps; at first as it normally runs."""

    system: System
    off: set[str] = field(default_factory=set)
    shut: set[str] = field(default_factory=set)
    parted: set[str] = field(default_factory=set)
    opened: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        for node in self.system.nodes.values():
            usual = "shut" if getattr(node.part, "function", None) == "drain" else "open"
            if node.kind == "valve" and (getattr(node.part, "normal_position", None) or usual) == "shut":
                self.shut.add(node.tag)

    def follow(self, step: Step) -> None:
        """Do what a step says."""
        if not step.tag:
            return
        assert step.tag in self.system.nodes, step
        kind = self.system.nodes[step.tag].kind
        if kind == "outlet":
            {Act.OPEN: self.opened.add, Act.SHUT: self.opened.discard}[step.act](step.tag)
        elif kind == "valve":
            {Act.OPEN: self.shut.discard, Act.SHUT: self.shut.add}[step.act](step.tag)
        elif kind in ("isolator", "overcurrent_device"):
            {Act.CONNECT: self.parted.discard, Act.DISCONNECT: self.parted.add}[step.act](step.tag)
        else:
            {Act.START: self.off.discard, Act.STOP: self.off.add}[step.act](step.tag)

    def cables(self) -> nx.Graph:
        """Return what is joined by copper; a component is a star of its ports, electronics and sources apart."""
        graph = nx.Graph()
        sits = {node.host for node in self.system.nodes.values() if node.tag in self.parted}
        for run in self.system.runs.values():
            if run.kind == "cable" and run.tag not in sits:
                graph.add_edge((run.start.tag, run.start.port), (run.end.tag, run.end.port))
        for node in self.system.nodes.values():
            if node.kind not in PASSING and node.tag not in self.parted:
                graph.add_edges_from((node.tag, (node.tag, port)) for port in node.part.ports)
        return graph

    def is_joined(self, one: tuple[str, str], kind: str) -> bool:
        graph = self.cables()
        if one not in graph:
            return False
        return any(node.kind == kind and nx.has_path(graph, one, node.tag)
                   for node in self.system.nodes.values() if node.tag in graph)  # fmt: skip

    def is_live(self, tag: str, port: str) -> bool:
        """Whether power reaches a port, through electronics that are switched on."""
        if self.is_joined((tag, port), "solar_array") or self.is_joined((tag, port), "battery_bank"):
            return True
        graph = self.cables()
        for node in self.system.nodes.values():
            out, into = CONVERTS.get(node.kind, ("", ""))
            ends = (tag, port), (node.tag, out)
            if out and node.tag not in self.off and set(ends) <= set(graph) and nx.has_path(graph, *ends):
                return self.is_live(node.tag, into)
        return False

    def runs(self, pump: Node) -> bool:
        return self.is_live(pump.tag, "motor")

    def charger_without_battery(self) -> list[str]:
        return [
            node.tag
            for node in self.system.nodes.values()
            if node.kind == "charge_controller"
            and self.is_joined((node.tag, "array"), "solar_array")
            and not self.is_joined((node.tag, "battery"), "battery_bank")
        ]

    def pipes(self, blocked: set[str] = frozenset()) -> nx.DiGraph:
        """Return the ways of water with valves as they stand; a check valve lets it through along its runs."""
        graph = nx.DiGraph()
        for run in self.system.runs.values():
            if run.kind != "pipe" or {run.start.tag, run.end.tag} & (self.shut | blocked):
                continue
            a, b = (key(self.system, end.tag, end.port) for end in (run.start, run.end))
            graph.add_edge(a, b)
            if not any(self.is_check(end.tag) for end in (run.start, run.end)):
                graph.add_edge(b, a)
        return graph

    def is_check(self, tag: str) -> bool:
        return getattr(self.system.nodes[tag].part, "function", None) == "check"

    def has_a_way(self, pump: Node) -> bool:
        """Whether a pump's water can go somewhere, and a booster's can come from somewhere."""
        graph = self.pipes()
        start = key(self.system, pump.tag, "discharge")
        goes = start in graph and any(self.takes_in(one) for one in nx.descendants(graph, start))
        if pump.kind == "submersible_pump":
            return goes
        suction = f"{pump.tag}.suction"
        return goes and suction in graph and any(
            one.endswith(".outlet") or self.system.nodes[one.split(".")[0]].kind == "spring_or_roof"
            for one in nx.ancestors(graph, suction)
        )  # fmt: skip

    def takes_in(self, place: str) -> bool:
        node = self.system.nodes[place.split(".")[0]]
        return node.kind in ("storage_tank", "pressure_tank") or node.tag in self.opened

    def water_reaches(self, tag: str) -> list[str]:
        """Return the stores and running pumps from which water could still come, past leaking checks too."""
        graph = self.pipes().to_undirected()
        self.join_boosters(graph)
        own = {place for place in graph if place.split(".")[0] == tag}
        near = {one for place in own for one in nx.node_connected_component(graph, place)} - own
        found = {place.split(".")[0] for place in near if self.is_store(place)}
        return sorted(found - {tag})

    def join_boosters(self, graph: nx.Graph) -> None:
        for node in self.system.nodes.values():
            if node.kind == "booster_pump":
                graph.add_edge(f"{node.tag}.suction", f"{node.tag}.discharge")

    def is_store(self, place: str) -> bool:
        node = self.system.nodes[place.split(".")[0]]
        if node.kind in PUMPS:
            return self.runs(node)
        if node.kind == "hand_pump":
            return node.tag not in self.off
        return place.endswith(".outlet") or node.kind == "spring_or_roof"

    def pressure_kept(self) -> set[str]:
        """Return the pressure tanks whose water cannot run out at a tap or drain that stands open."""
        graph = self.pipes()
        out = self.opened | {n.tag for n in self.system.nodes.values() if self.is_drain(n) and n.tag not in self.shut}
        tanks = [node.tag for node in self.system.nodes.values() if node.kind == "pressure_tank"]
        return {tag for tag in tanks if not (tag in graph and nx.descendants(graph, tag) & out)}

    def is_drain(self, node: Node) -> bool:
        return getattr(node.part, "function", None) == "drain"
