"""Function: pipes and cables. Speed of the water, volts lost on the way, cover against frost."""

from sizing.checks.declare import COMMON, Limit
from sizing.design.conductors import loop_where_it_lies
from sizing.design.declare import Ask, Outcome, Rule, Share, Shares, Sort
from sizing.design.outlets import label_of
from sizing.design.reach import Origin, reach
from sizing.design.running import greatest_flow
from sizing.design.wiring import nominal_voltage, running_current
from sizing.errors import MissingDataError
from sizing.formulas.circuits import lost_share
from sizing.formulas.conductors import series_resistance
from sizing.formulas.pipes import flow_velocity
from sizing.formulas.solar_pumping import motor_cable_loss
from sizing.formulas.voltage_drop import drop_fraction, voltage_drop
from sizing.hydraulics import inside_diameter
from sizing.parts import (
    BatteryBank,
    BoosterPump,
    ChargeController,
    Inverter,
    Load,
    Pipe,
    PumpController,
    SolarArray,
    SubmersiblePump,
)
from sizing.power import is_two_wire
from sizing.quantities import Quantity as Q
from sizing.system import Node, Run, System

PLASTIC = ("pe", "pvc")
PLASTIC_SPEED = 1.5  # m/s (5 ft/s) in plastic pressure pipe; irrigation and pipe handbooks
METAL_SPEED = 2.4  # m/s (8 ft/s), cold water in buildings; plumbing engineering texts
SUCTION_SPEED = 1.2  # m/s (4 ft/s), before a pump; common practice, no source
DROP_LIMIT = 0.03  # array, battery and load circuits; common practice, no source
MOTOR_DROP_LIMIT = 0.05  # from a controller to its pump; common practice, no source
SOURCES: dict[tuple[type, str], tuple[type, ...]] = {
    (PumpController, "array"): (SolarArray, BatteryBank, Inverter, ChargeController),
    (ChargeController, "array"): (SolarArray,),
    (ChargeController, "battery"): (BatteryBank,),
    (SubmersiblePump, "motor"): (PumpController, Inverter, BatteryBank, ChargeController),
    (BoosterPump, "motor"): (PumpController, Inverter, BatteryBank, ChargeController),
    (Inverter, "input"): (BatteryBank, ChargeController, SolarArray),
    (Load, "line"): (Inverter, ChargeController, BatteryBank),
}
"""A user and the port by which it takes power → what may stand at the other end of its cables."""


def velocity(ask: Ask) -> Outcome:
    """Return the greatest speed of the water in a pipe against what its material and place bear."""
    run = ask.system.runs[ask.tag]
    greatest = greatest_flow(ask.scene, run.tag)
    value = ask.w.call("v", flow_velocity, flow=greatest.flow, inside_diameter=inside_diameter(run))
    if _is_suction(ask.system, run):
        return Outcome(Q.VELOCITY, value, upper=SUCTION_SPEED, basis=f"before a pump; {greatest.words}")
    is_plastic = run.need_text("material") in PLASTIC
    most = PLASTIC_SPEED if is_plastic else METAL_SPEED
    return Outcome(Q.VELOCITY, value, upper=most, basis=f"{'plastic' if is_plastic else 'metal'}; {greatest.words}")


def _is_suction(system: System, run: Run) -> bool:
    return any(run.tag in reach(system, Origin(one.tag, "suction")) for one in system.of(BoosterPump))


def ports_of(system: System, tag: str) -> tuple[str, ...]:
    """Return the ports of a user by which it takes power over cables that are recorded; one at least."""
    kind = type(system.node(tag).part)
    ports = [port for user, port in SOURCES if user is kind]
    drawn = [port for port in ports if list(system.reached(tag, "cable", port))]
    return tuple(drawn or ports[:1])


def cable_drop(ask: Ask) -> Outcome:
    """Return the share of its voltage that is lost on the way to a user at full power, and where it went."""
    user = ask.node
    source, path = _source(ask, user)
    if isinstance(user.part, SubmersiblePump | BoosterPump) and not _is_direct(ask, source):
        return _motor_drop(ask, user, source, path)
    voltage = nominal_voltage(ask, source)
    drops = [_drop(ask, run) for run in path]
    total = drops[0] if len(drops) == 1 else sum(drops)
    value = ask.w.call("s", drop_fraction, drop=total, source_voltage=voltage)
    basis = f"from {source.tag} at full power, cables in their hottest surroundings: {COMMON}"
    lines = (
        Share(f"at {label_of(source)}", voltage),
        *(Share(label_of(run), drop) for run, drop in zip(path, drops, strict=True)),
        Share(f"left at {label_of(user)}", voltage - total),
    )
    return Outcome(
        Q.RATIO, value, upper=DROP_LIMIT, basis=basis, shares=Shares("Where the volts went", Q.VOLTAGE, lines)
    )


def _is_direct(ask: Ask, source: Node) -> bool:
    """Whether a motor hangs on direct current of a steady voltage."""
    return isinstance(source.part, BatteryBank | ChargeController)


def _source(ask: Ask, user: Node) -> tuple[Node, list[Run]]:
    wanted = SOURCES[type(user.part), ask.against]
    for node, path in ask.system.reached(user.tag, "cable", ask.against):
        if isinstance(node.part, wanted):
            return node, list(reversed(path))
    raise MissingDataError(user.tag, "cable", f"{user.tag}: no cable leads to its {ask.against} from a source of power")


def _drop(ask: Ask, run: Run) -> float:
    loop = loop_where_it_lies(ask, run)
    return ask.w.call(f"ΔV {run.tag}", voltage_drop, current=running_current(ask, run), loop_resistance=loop)


def _motor_drop(ask: Ask, pump: Node, source: Node, path: list[Run]) -> Outcome:
    """Return the share of power lost in the cable to a motor, by its rated power and voltage."""
    loops = tuple(loop_where_it_lies(ask, run) for run in path)
    loop = loops[0] if len(loops) == 1 else ask.w.call("R_loop", series_resistance, resistances=loops)
    power, voltage = pump.need("rated_power"), pump.need("rated_voltage")
    wires = 2 if is_two_wire(pump) else 3

    def loss(resistance: float) -> float:
        return motor_cable_loss(power=power, voltage=voltage, loop_resistance=resistance, wires=wires)

    lost = ask.w.call("ΔP", motor_cable_loss, power=power, voltage=voltage, loop_resistance=loop, wires=wires)
    value = ask.w.call("s", lost_share, loss=lost, whole=power)
    lines = (
        Share(f"at {label_of(source)}", power),
        *(Share(label_of(run), loss(one)) for run, one in zip(path, loops, strict=True)),
        Share(f"left at {label_of(pump)}", power - lost),
    )
    basis = f"from {source.tag} at rated power, cables in their hottest surroundings: {COMMON}"
    shares = Shares("Where the power went", Q.POWER, lines)
    return Outcome(Q.RATIO, value, upper=MOTOR_DROP_LIMIT, basis=basis, shares=shares)


def freezes(system: System, tag: str) -> bool:
    """Whether frost can reach a pipe: not where it never freezes, nor in a well. An unknown low is asked for."""
    low = system.site.record_low
    if getattr(system.runs[tag].part, "lies", None) == "inside":
        return False
    ends = [system.nodes[end.tag].part for end in (system.runs[tag].start, system.runs[tag].end)]
    return (low is None or low < 0) and not any(isinstance(part, SubmersiblePump) for part in ends)


def frost_cover(ask: Ask) -> Outcome:
    """Return the cover of a pipe against the depth to which the ground freezes."""
    ask.site.need("record_low")
    depth = ask.site.need("frost_depth")
    run = ask.system.runs[ask.tag]
    cover = 0.0 if getattr(run.part, "lies", None) == "open" else run.need("cover")
    return Outcome(Q.LENGTH, cover, lower=depth, basis="depth to which the ground freezes, of the site")


RULES = (
    Rule(
        key="velocity",
        title="Speed of the water",
        sort=Sort.FUNCTION,
        subjects=(Pipe,),
        purpose="Fast water costs head, strikes hard when it is stopped, and wears metal.",
        limits=(
            Limit("plastic: 1.5 m/s (5 ft/s)", "irrigation and pipe handbooks"),
            Limit("metal: 2.4 m/s (8 ft/s)", "plumbing engineering texts, cold water"),
            Limit("before a pump: 1.2 m/s (4 ft/s)", COMMON),
        ),
        evaluate=velocity,
    ),
    Rule(
        key="cable_drop",
        title="Volts lost in the cables",
        sort=Sort.FUNCTION,
        subjects=(PumpController, ChargeController, SubmersiblePump, BoosterPump, Inverter, Load),
        purpose="Thin cable turns sun and battery into heat, and a motor on low voltage wears.",
        limits=(
            Limit("array, battery and load circuits: 3 %", COMMON),
            Limit("from a controller to its pump: 5 %", COMMON),
        ),
        evaluate=cable_drop,
        against=ports_of,
    ),
    Rule(
        key="frost_cover",
        title="Cover against frost",
        sort=Sort.FUNCTION,
        subjects=(Pipe,),
        purpose="A still pipe in frozen ground bursts within hours.",
        limits=(
            Limit("cover not below the depth to which the ground freezes", "the site; local practice comes first"),
        ),
        evaluate=frost_cover,
        applies=freezes,
    ),
)
