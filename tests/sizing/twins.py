"""Random systems of this trade, each built twice: as an as-built document and as a network for EPANET.

The two are written from the same draw of numbers, part by part, and share no code of the solver.
"""

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from math import pi
from typing import Any

from sizing.formulas.fittings import LOSS_COEFFICIENTS
from sizing.formulas.pipes import PIPE_ROUGHNESS
from sizing.formulas.water import kinematic_viscosity, water_density
from sizing.hydraulics import VALVE_LOSS, Source
from sizing.lift import LiftCurve
from sizing.system import State
from tests.sizing.epanet import Epanet
from tests.sizing.systems import L_PER_MIN, component, run

G = 9.80665  # m/s², standard gravity
BORES = {"pe": (0.0204, 0.0262, 0.0326, 0.0408), "pvc": (0.0262, 0.0346, 0.0404), "galvanized": (0.0217, 0.0273)}
WIDE = 1.5  # m, bore of the pipe that stands for a well: so wide that its flow is laminar
Points = list[tuple[float, float]]


@dataclass
class Twin:
    """One system twice, the state it is in, and the points around which its pieces are solved."""

    rng: random.Random
    parts: list[dict[str, Any]] = field(default_factory=list)
    runs: list[dict[str, Any]] = field(default_factory=list)
    bores: dict[str, float] = field(default_factory=dict)
    roughness: dict[str, float] = field(default_factory=dict)
    drawn: dict[str, float | None] = field(default_factory=dict)
    levels: dict[str, float] = field(default_factory=dict)
    pressures: dict[str, float] = field(default_factory=dict)
    dirt: dict[str, float] = field(default_factory=dict)
    running: set[str] = field(default_factory=set)
    sources: dict[str, Source] = field(default_factory=dict)
    about: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.temperature = self.rng.choice([6.0, 13.0, 20.0, 28.0])
        self.viscosity = kinematic_viscosity(temperature=self.temperature)
        self.density = water_density(temperature=self.temperature)
        self.epanet = Epanet("darcy_weisbach", self.viscosity)

    @property
    def document(self) -> dict[str, Any]:
        return {"site": {"ground_temperature": self.temperature}, "components": self.parts, "runs": self.runs}

    @property
    def state(self) -> State:
        return State(frozenset(self.running), self.drawn, {}, self.levels, self.pressures, self.dirt)

    def bore(self) -> float:
        return self.rng.choice([one for bores in BORES.values() for one in bores])

    def part(self, tag: str, kind: str, host: str | None = None, **nameplate: Any) -> None:
        self.parts.append(component(tag, kind, host, **nameplate))

    def pipe(self, tag: str, start: str, end: str, longest: float) -> float:
        """Lay a pipe between two points of EPANET in both, and return its bore."""
        material = self.rng.choice(list(BORES))
        bore, length = self.rng.choice(BORES[material]), self.rng.uniform(2, longest)
        fittings = {"elbow_90": self.rng.randint(0, 4), "tee_branch": self.rng.randint(0, 1)}
        nameplate = {"material": material, "inside_diameter": bore, "length": length, "fittings": fittings}
        self.runs.append(run(tag, "pipe", _end(start), _end(end), **nameplate))
        k = sum(LOSS_COEFFICIENTS[name] * many for name, many in fittings.items())
        self.epanet.pipe(tag, start, end, length=length, bore=bore, roughness=PIPE_ROUGHNESS[material], k=k)
        self.bores[tag], self.roughness[tag] = bore, PIPE_ROUGHNESS[material]
        return bore

    def surface(self, tag: str, kind: str, head: float, port: str = "", **nameplate: Any) -> str:
        """Add a part whose water stands at a known head, and return its point."""
        self.part(tag, kind, **nameplate)
        self.levels[tag] = head
        point = f"{tag}.{port}" if port else tag
        self.epanet.reservoir(point, head)
        return point

    def junction(self, tag: str, elevation: float) -> str:
        self.part(tag, "junction", elevation=elevation)
        self.epanet.junction(tag, elevation)
        return tag

    def line(self, names: list[str], start: str, end: str, longest: float) -> None:
        """Lay pipes from a point to another, through a part with two sides wherever one is named."""
        at, here = start, []
        for number, name in enumerate(names):
            kind, tag = name.split(":")
            self.epanet.junction(f"{tag}.in")
            self.epanet.junction(f"{tag}.out")
            bore = self.pipe(f"P{tag}{number}", at, f"{tag}.in", longest)
            here.append((kind, tag, bore))
            at = f"{tag}.out"
        self.pipe(f"Q{names[0].partition(':')[2]}", at, end, longest)
        for kind, tag, bore in here:
            # the loss of a valve belongs to the bore of its first pipe by tag
            joined = sorted(one["tag"] for one in self.runs if tag in (one["start"], one["end"]))
            _TWO_SIDED[kind](self, tag, self.bores[joined[0]] if kind != "filter" else bore)

    def local_loss(self, tag: str, k: float, bore: float, one_way: bool = False) -> None:
        """Add a loss between the sides of a part: to EPANET a very short pipe with that coefficient."""
        sides = f"{tag}.in", f"{tag}.out"
        self.epanet.pipe(tag, *sides, length=1e-3, bore=bore, roughness=1.5e-6, k=k, one_way=one_way)

    def valve(self, tag: str, bore: float) -> None:
        body = self.rng.choice(["ball", "gate"])
        self.part(tag, "valve", function="isolation", body=body, normal_position="open")
        self.local_loss(tag, VALVE_LOSS[body], bore)

    def check_valve(self, tag: str, bore: float) -> None:
        self.part(tag, "valve", function="check", body="swing_check", normal_position="open")
        self.local_loss(tag, VALVE_LOSS["swing_check"], bore, one_way=True)

    def filter(self, tag: str, bore: float) -> None:
        flow, clean, spent = self.rng.uniform(15, 40) * L_PER_MIN, self.rng.uniform(2e3, 1.2e4), 5e4
        dirt = self.rng.choice([0.0, self.rng.random(), 1.0])
        self.part(tag, "filter", clean_drop=clean, change_out_drop=spent, drop_flow=flow)
        self.dirt[tag] = dirt
        velocity = flow / (pi * bore**2 / 4)
        self.local_loss(tag, (clean + dirt * (spent - clean)) / (self.density * velocity**2 / 2), bore)

    def meter(self, tag: str, bore: float) -> None:
        flow, drop = self.rng.uniform(40, 60) * L_PER_MIN, self.rng.uniform(2e4, 6.3e4)
        self.part(tag, "meter", reads="volume", pressure_drop=drop, drop_flow=flow)
        velocity = flow / (pi * bore**2 / 4)
        self.local_loss(tag, drop / (self.density * velocity**2 / 2), bore)

    def taps(self, root: str, most_elevation: float) -> None:
        """Grow a random tree behind a point and hang two to five taps on it, each open or drawing a known flow."""
        points = [root]
        for i in range(1, self.rng.randint(2, 6)):
            self.junction(f"J{i}", self.rng.uniform(most_elevation - 3, most_elevation))
            self.pipe(f"M{i}", self.rng.choice(points), f"J{i}", 80)
            points.append(f"J{i}")
        for i in range(1, self.rng.randint(3, 6)):
            self.tap(f"O{i}", self.rng.choice(points[1:]), self.rng.uniform(most_elevation - 2, most_elevation))

    def tap(self, tag: str, point: str, elevation: float) -> None:
        coefficient = self.rng.uniform(0.3, 1.2) / 3600
        self.drawn[tag] = self.rng.choice([None, self.rng.uniform(1.5, 5) * L_PER_MIN])
        self.part(tag, "outlet", elevation=elevation, flow_coefficient=coefficient)
        # the tap's flow at 1 m: K_v · √(ρ·g·1 m / 1 bar), ρ 1000 kg/m³
        emitter = coefficient * (1000 * G / 1e5) ** 0.5 if self.drawn[tag] is None else 0.0
        self.epanet.junction(tag, elevation, demand=self.drawn[tag] or 0.0, emitter=emitter)
        self.pipe(f"B{tag}", point, tag, 20)
        self.about.append(tag)

    def well(self, tag: str, rest: float) -> float:
        """Add a well; to EPANET a pipe so wide that its laminar flow falls in proportion, as the drawdown does."""
        capacity = self.rng.uniform(8, 40) * L_PER_MIN
        self.part(tag, "well", measuring_point_height=0.0)
        self.epanet.reservoir(f"{tag}.rest", rest)
        self.epanet.junction(f"{tag}.level")
        # Hagen-Poiseuille: h = 128 · ν · L · Q / (π · g · d⁴)
        length = pi * G * WIDE**4 / (128 * self.viscosity * capacity)
        self.epanet.pipe(f"{tag}.drawdown", f"{tag}.rest", f"{tag}.level", length, WIDE, 1.5e-6)
        return capacity

    def well_pump(self, tag: str, well: str, rest: float, capacity: float, points: Points) -> str:
        self.part(tag, "submersible_pump", well)
        self.epanet.junction(tag)
        self.epanet.pump(f"{tag}.lift", f"{well}.level", tag, points)
        self.sources[tag] = Source(LiftCurve(tuple(points)), rest, capacity, well)
        self.running.add(tag)
        return tag

    def booster(self, tag: str, points: Points) -> None:
        rows = [[head * self.density * G, flow] for flow, head in points]
        self.part(tag, "booster_pump", performance=rows)
        self.epanet.junction(f"{tag}.suction")
        self.epanet.junction(f"{tag}.discharge")
        self.epanet.pump(f"{tag}.lift", f"{tag}.suction", f"{tag}.discharge", points)
        self.running.add(tag)

    def pressure_tank(self, tag: str, elevation: float, pressure: float) -> str:
        self.part(tag, "pressure_tank", elevation=elevation)
        self.pressures[tag] = pressure
        self.epanet.reservoir(tag, elevation + pressure / (self.density * G))
        return tag

    def pump_points(self, most: float, top: float, is_vertical: bool) -> Points:
        """Return a falling curve: of a centrifugal pump from shut-off on, or hardly changing its flow at all."""
        if is_vertical:
            return [(most * (1 - 0.002 * (4 - i)), top * (1 - i / 4)) for i in range(4)]
        bend = self.rng.uniform(1.6, 2.4)
        return [(most * s, top * (1 - 0.85 * s**bend)) for s in (0.0, 0.35, 0.7, 1.0)]


def _end(point: str) -> str:
    """Return the end of a run at a point of EPANET."""
    if point.endswith((".in", ".out")):
        return point.partition(".")[0]
    return f"{point}.discharge" if point.startswith("PU") else point


_TWO_SIDED: dict[str, Callable[[Twin, str, float], None]] = {
    "valve": Twin.valve,
    "check": Twin.check_valve,
    "filter": Twin.filter,
    "meter": Twin.meter,
}


def gravity(twin: Twin) -> None:
    """A tank on a rise, filter and meter behind it, taps below."""
    level = twin.rng.uniform(6, 25)
    outlet = twin.surface("T1", "storage_tank", level, "outlet")
    twin.junction("J0", 0.0)
    twin.line(["valve:V1", *twin.rng.sample(["filter:F1", "meter:X1"], twin.rng.randint(0, 2))], outlet, "J0", 60)
    twin.taps("J0", 1.0)


def well_to_tank(twin: Twin) -> None:
    """One or two pumps in a well, each with its own drop pipe, to a tank; taps below the tank."""
    rest, level = twin.rng.uniform(-40, -10), twin.rng.uniform(5, 15)
    capacity = twin.well("W1", rest)
    twin.junction("J9", 0.5)
    for i in range(1, twin.rng.randint(2, 4)):
        top = (level - rest) * twin.rng.uniform(1.4, 2.2)
        most = twin.rng.uniform(15, 45) * L_PER_MIN
        pump = twin.well_pump(f"PU{i}", "W1", rest, capacity, twin.pump_points(most, top, twin.rng.random() < 0.5))
        twin.line([f"check:V{i}"], pump, "J9", 50)
    inlet = twin.surface("T1", "storage_tank", level, "inlet", inlet_elevation=level)
    twin.epanet.reservoir("T1.outlet", level)
    twin.line(["valve:V9"], "J9", inlet, 150)
    twin.about.append(inlet)
    twin.junction("J0", 0.0)
    twin.line(["valve:V8"], "T1.outlet", "J0", 60)
    twin.taps("J0", 1.0)


def well_to_pressure_tank(twin: Twin) -> None:
    """A well pump straight to a pressure tank at some pressure between cut-in and cut-out, taps drawing."""
    rest, pressure = twin.rng.uniform(-30, -5), twin.rng.uniform(1.5e5, 4e5)
    capacity = twin.well("W1", rest)
    top = (pressure / 9790 - rest) * twin.rng.uniform(1.3, 2.0)
    points = twin.pump_points(twin.rng.uniform(20, 60) * L_PER_MIN, top, twin.rng.random() < 0.5)
    pump = twin.well_pump("PU1", "W1", rest, capacity, points)
    tank = twin.pressure_tank("PT1", 0.5, pressure)
    twin.line(["check:V1", "valve:V2"], pump, tank, 60)
    twin.about.append(tank)
    twin.junction("J0", 0.5)
    twin.line(["filter:F1"], tank, "J0", 20)
    twin.taps("J0", 4.0)


def boosted(twin: Twin) -> None:
    """A tank or a roof, a suction filter, a booster with or without a pressure tank, taps up to a first floor."""
    level = twin.rng.uniform(0.5, 4)
    is_roof = twin.rng.random() < 0.4
    outlet = (
        twin.surface("SR1", "spring_or_roof", level) if is_roof else twin.surface("T1", "storage_tank", level, "outlet")
    )
    is_vertical = twin.rng.random() < 0.4
    twin.booster("B1", twin.pump_points(twin.rng.uniform(25, 60) * L_PER_MIN, twin.rng.uniform(30, 60), is_vertical))
    twin.line(["valve:V1", "filter:F1"], outlet, "B1.suction", 6)
    if twin.rng.random() < 0.5:
        tank = twin.pressure_tank("PT1", 0.3, twin.rng.uniform(1.2e5, 2.8e5))
        twin.line(["check:V2"], "B1.discharge", tank, 4)
        twin.about.append(tank)
        twin.junction("J0", 0.5)
        twin.line(["meter:X1"], tank, "J0", 15)
    else:
        twin.junction("J0", 0.5)
        twin.line(["check:V2", "meter:X1"], "B1.discharge", "J0", 15)
    twin.taps("J0", 4.0)


def spring_in_line(twin: Twin) -> None:
    """A spring to two tanks in line and from the second to the taps."""
    heights = sorted((twin.rng.uniform(8, 80) for _ in range(3)), reverse=True)
    spring, upper, lower = heights[0] + 6, heights[1] + 4, heights[2]
    point = twin.surface("SR1", "spring_or_roof", spring)
    for tag, head in (("T1", upper), ("T2", lower)):
        twin.surface(tag, "storage_tank", head, "inlet", inlet_elevation=head)
        twin.epanet.reservoir(f"{tag}.outlet", head)
    twin.line(["filter:F1", "valve:V1"], point, "T1.inlet", 300)
    twin.line(["valve:V2"], "T1.outlet", "T2.inlet", 300)
    twin.about += ["T1.inlet", "T2.inlet"]
    twin.junction("J0", 0.0)
    twin.line(["valve:V3"], "T2.outlet", "J0", 60)
    twin.taps("J0", 1.0)


LAYOUTS: dict[str, Callable[[Twin], None]] = {
    "gravity": gravity,
    "well to tank": well_to_tank,
    "well to pressure tank": well_to_pressure_tank,
    "boosted": boosted,
    "spring in line": spring_in_line,
}


def random_twin(seed: str, layout: str) -> Twin:
    """Return one random system of a layout."""
    twin = Twin(random.Random(seed))  # noqa: S311  a reproducible layout, no secret
    LAYOUTS[layout](twin)
    return twin
