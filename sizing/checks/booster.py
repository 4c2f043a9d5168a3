"""The booster: its volts, its amperes, its flow at a pressure rise, the filters before it and its suction."""

from sizing.cables import loops
from sizing.checks.case import Case, Expected, Term
from sizing.checks.declare import (
    COMMON,
    Accuracy,
    Caution,
    Check,
    Input,
    Judged,
    Kind,
    Limit,
    Need,
    Needed,
    Way,
)
from sizing.checks.pocket import Axis, Figure, Plan, Pocket, Span, along
from sizing.checks.storage import STARTS_ALONE
from sizing.checks.water_way import density, water_temperature
from sizing.errors import MissingDataError, OutOfRangeError
from sizing.formulas.atmosphere import atmospheric_pressure
from sizing.formulas.battery import sagged_voltage
from sizing.formulas.booster_tables import table_current
from sizing.formulas.leaks import pressure_fall
from sizing.formulas.levels import rise_between, summed_head
from sizing.formulas.limits import lower_limit, upper_limit
from sizing.formulas.npsh import npsh_available, npsh_margin
from sizing.formulas.shut_off import flow_at_head
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.formulas.water import pressure_head, vapour_pressure
from sizing.hydraulics import hydraulic_network, site_water_density, where_the_head_went
from sizing.lift import booster_curve
from sizing.network import solve
from sizing.parts import BatteryBank, BoosterPump, ChargeController, Filter, Inverter, StorageTank
from sizing.quantities import Quantity as Q
from sizing.system import Node, Run, State, System

# Accuracies are what ordinary instruments of the kind state; common practice, no source.
SAME_VOLTMETER = Accuracy(fixed=0.05, words="the same multimeter, reading against reading")
DC_CLAMP = Accuracy(of_reading=0.02, fixed=0.1, words="DC clamp meter")
GAUGE = Accuracy(fixed=5_000.0, words="pressure gauge, class 1 of 500 kPa")
FLOW_METER = Accuracy(of_reading=0.03, words="flow meter, or bucket and watch")

VOLTS_LOST = 0.03  # of the source, beyond what the cable takes; common practice, no source
ABOVE_SOURCE = 0.02  # no motor stands above its source; common practice, no source
CURRENT_APART = 0.20  # common practice, no source
FLOW_SHORT = 0.15  # common practice, no source
FLOW_MORE = 0.20  # common practice, no source
SHEET_HALF_WIDTH = 0.05  # a pump's sheet against the pump; common practice, no source
NPSH_LEFT = 0.5  # m; common practice, no source

SUCTION_VACUUM = Caution("Do not let it run dry: no longer than ten seconds without water.", COMMON)
LIVE_MOTOR = Caution("Terminals of a running motor are live: leads clipped on while it is locked off.", COMMON)


def booster(case: Case) -> Node:
    """Return the booster that a check is taken on."""
    return case.system.node(case.subject.tag)


def source_of(system: System, pump: Node) -> tuple[Node, list[Run]]:
    """Return what feeds a booster's motor, and the cables from there, or raise MissingDataError."""
    for node, path in system.reached(pump.tag, "cable", "motor"):
        if isinstance(node.part, BatteryBank | ChargeController | Inverter):
            return node, path
    raise MissingDataError(pump.tag, "cable", f"{pump.tag}: no cable leads from a battery or inverter to its motor")


def voltage_expected(case: Case) -> Expected:
    """Return the source's voltage less what the cable takes at the current that flows."""
    pump = booster(case)
    _, runs = source_of(case.system, pump)
    volts = case.reading("source") if case.readings else pump.need("rated_voltage")
    current = case.reading("current") if case.readings else pump.need("rated_current")
    warm = getattr(case.system.site, "design_high", None)
    resistance = loops(runs, 25.0 if warm is None else warm, case.w, "R")
    nominal = case.w.call("V", sagged_voltage, rest_voltage=volts, current=current, resistance=resistance)
    return Expected(
        Q.VOLTAGE,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=VOLTS_LOST),
        case.w.call("upper", upper_limit, nominal=volts, tolerance=ABOVE_SOURCE),
        basis=f"source less I × R of the cable, less 3 % for joints and switch; not above the source + 2 %: {COMMON}",
    )


def rise_measured(case: Case) -> float:
    """Return the pressure that the booster adds, from gauges on both its sides."""
    return case.w.call(
        "Δp", pressure_fall, start_pressure=case.reading("discharge"), end_pressure=case.reading("suction")
    )


def risen_by(case: Case) -> float:
    """Return the pressure behind the booster above that before it, whatever its sign."""
    return case.reading("discharge") - case.reading("suction")


RISE = Figure("rise", ("discharge", "suction"), risen_by, kinks=(0.0,))


def flow_expected(case: Case) -> Expected:
    """Return the flow of the booster's table at the measured pressure rise."""
    if not case.readings:
        raise MissingDataError("reading", "discharge", "the pressure behind the booster has not been read")
    nominal = _of_table(case, "Q", booster_curve(booster(case), site_water_density(case.system)).points)
    return Expected(
        Q.FLOW,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=FLOW_SHORT),
        case.w.call("upper", upper_limit, nominal=nominal, tolerance=FLOW_MORE),
        basis=f"the pump's own table at the measured pressure rise, − 15 + 20 %: {COMMON}",
        terms=(Term("pump's sheet ± 5 %", standard_from_half_width(SHEET_HALF_WIDTH * nominal), shared=True),),
    )


def _of_table(case: Case, symbol: str, points: tuple[tuple[float, float], ...]) -> float:
    head = case.w.call("H", pressure_head, pressure=rise_measured(case), density=density(case))
    least, most = points[-1][1], points[0][1]
    if not least <= head <= most:
        raise OutOfRangeError(
            "pressure rise", f"{head:.1f} m", f"{least:.1f} … {most:.1f} m, as the pump's table has it"
        )
    return case.w.call(
        symbol, flow_at_head, flows=tuple(q for q, _ in points), heads=tuple(h for _, h in points), head=head
    )


def current_expected(case: Case) -> Expected:
    """Return the current of the table at the measured rise, or the rated one as the most where none is printed."""
    pump = booster(case)
    most = case.w.call("upper", upper_limit, nominal=pump.need("rated_current"), tolerance=VOLTS_LOST)
    rows = getattr(pump.part, "performance", None) or ()
    is_printed = len(rows) > 0 and all(row[2] is not None for row in rows)
    if not is_printed or not case.has("discharge"):
        basis = f"rated current + 3 %: {COMMON}"
        return Expected(Q.CURRENT, None, None, most, basis, bearable=most / 4)
    nominal = _current_at(case, rows)
    return Expected(
        Q.CURRENT,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=CURRENT_APART),
        min(most, case.w.call("upper", upper_limit, nominal=nominal, tolerance=CURRENT_APART)),
        basis=f"the pump's table at the measured rise ± 20 %, not above the rated current + 3 %: {COMMON}",
        terms=(Term("pump's sheet ± 5 %", standard_from_half_width(SHEET_HALF_WIDTH * nominal), shared=True),),
    )


def _current_at(case: Case, rows: tuple[tuple[float, ...], ...]) -> float:
    """Return the current printed at the measured rise, straight between the rows."""
    ordered = sorted(rows)
    return case.w.call(
        "I",
        table_current,
        pressures=tuple(row[0] for row in ordered),
        currents=tuple(row[2] for row in ordered),
        pressure=rise_measured(case),
    )


def up_to_most(system: System, tag: str) -> Span:
    """Return the flows of a booster, to a little beyond its table."""
    return 0.0, 1.2 * _greatest_flow(system, system.node(tag))


def margin_measured(case: Case) -> float:
    """Return the suction head left over at the measured flow, or the greatest of the table: tank low, filter dirty."""
    pump = booster(case)
    flow = case.condition("booster_flow") if case.has("booster_flow") else _greatest_flow(case.system, pump)
    surface, lost = _suction(case, pump, flow)
    water = density(case)
    warmest = max(water_temperature(case.system), getattr(case.system.site, "design_high", None) or 0.0)
    available = case.w.call(
        "NPSH_A",
        npsh_available,
        surface_pressure=case.w.call(
            "p_amb", atmospheric_pressure, altitude=case.system.subject("site").need("altitude")
        ),
        vapour_pressure=case.w.call("p_v", vapour_pressure, temperature=warmest),
        density=water,
        static_head=case.w.call("z", rise_between, lower_elevation=pump.need("elevation"), upper_elevation=surface),
        suction_loss=lost,
    )
    return case.w.call("m", npsh_margin, npsh_available=available, npsh_required=pump.need("npsh_required"))


def _greatest_flow(system: System, pump: Node) -> float:
    return max(flow for flow, _ in booster_curve(pump, site_water_density(system)).points)


def _suction(case: Case, pump: Node, flow: float) -> tuple[float, float]:
    """Return the surface that a booster draws from, its tank low, and the head lost on the way, filters dirty."""
    system, point = case.system, f"{pump.tag}.suction"
    levels = {one.tag: one.need("outlet_elevation") for one in system.of(StorageTank)}
    dirt = {one.tag: 1.0 for one in system.of(Filter)}
    network = hydraulic_network(system, State(levels=levels, dirt=dirt), {}, point)
    if not network.known_heads:
        raise MissingDataError(pump.tag, "pipe", f"{pump.tag}: no tank or spring is recorded that feeds its suction")
    network.demands[point] = flow
    solution = solve(network)
    parts = where_the_head_went(network, solution, point)
    lost = case.w.call("h_s", summed_head, heads=tuple(part.head for part in parts), note="along the suction")
    return solution.heads[point] + lost, lost


def margin_expected(case: Case) -> Expected:
    """Return half a metre."""
    case.subject.need("npsh_required")
    basis = f"half a metre over what the pump requires, tank low, filters due for changing: {COMMON}"
    return Expected(Q.HEAD, None, NPSH_LEFT, None, basis, bearable=NPSH_LEFT)


def gauge(name: str, label: str, hint: str = "", usual: Accuracy = GAUGE, optional: bool = False) -> Input:
    return Input(
        name, label, Q.GAUGE_PRESSURE, hard=(-100_000, 3e6), soft=(-60_000, 900_000), hint=hint, usual=usual,
        optional=optional,
    )  # fmt: skip


DISCHARGE = gauge("discharge", "Pressure behind the booster", "steady, one tap set so that it runs on")
SUCTION = gauge("suction", "Pressure before the booster", "negative for a vacuum; kPa, not inches of mercury")
AMPERES = Input(
    "current", "Current of the motor", Q.CURRENT, hard=(0, 500), soft=(0.3, 80), hint="clamp zeroed, one lead",
    usual=DC_CLAMP,
)  # fmt: skip
FLOW = Input("flow", "Flow", Q.FLOW, hard=(1e-7, 0.5), soft=(1e-5, 0.01), usual=FLOW_METER)

BOOSTER_VOLTAGE = Check(
    key="booster_voltage",
    title="Booster: volts at the motor, running",
    kind=Kind.MEASURED,
    subject=BoosterPump,
    group="Booster and pressure",
    purpose="Cable, switch and joints leave the motor the volts it needs.",
    ways=(
        Way(
            "meter",
            "Multimeter at both ends, clamp on a lead",
            (
                Input("voltage", "Volts at the motor", Q.VOLTAGE, hard=(1, 1500), soft=(9, 450), usual=SAME_VOLTMETER),
                Input(
                    "source", "Volts at the source", Q.VOLTAGE, hard=(1, 1500), soft=(10, 450),
                    hint="battery posts, or the inverter's output, at the same moment", usual=SAME_VOLTMETER,
                ),
                AMPERES,
            ),
            ("multimeter", "DC clamp meter"),
        ),
    ),
    judged=(Judged("voltage", "Volts at the motor", Q.VOLTAGE, voltage_expected),),
    pocket=along("source", "current"),
    state="booster running on",
    method=(
        "Clip the leads on while it is locked off; let it run.",
        "Read motor, source and current within a minute of each other.",
    ),
    normal="A few tenths of a volt below the battery, and steady.",
    cautions=(LIVE_MOTOR, STARTS_ALONE),
    limits=(
        Limit("not below the source less I × R of the cable, less 3 %", COMMON),
        Limit("never above the source", "the meter or the moment differed; " + COMMON),
    ),
    gate="pressurise",
    at_service=True,
)  # fmt: skip

BOOSTER_CURRENT = Check(
    key="booster_current",
    title="Booster: current",
    kind=Kind.MEASURED,
    subject=BoosterPump,
    group="Booster and pressure",
    purpose="The motor does the work of its table and no more: neither dragging nor idling.",
    ways=(
        Way(
            "clamp",
            "Clamp, gauges on both sides",
            (AMPERES, DISCHARGE, SUCTION),
            ("DC clamp meter", "pressure gauges"),
        ),
        Way("alone", "Clamp alone", (AMPERES,), ("DC clamp meter",)),
    ),
    judged=(Judged("current", "Current of the motor", Q.CURRENT, current_expected),),
    pocket=Pocket((Plan(("rise",), given=("discharge",)), Plan(without=("discharge",))), figures=(RISE,)),
    state="booster running on at a steady pressure",
    method=("Set a tap so that it runs on at a steady pressure.", "Read current and both gauges together."),
    normal="Steady, rising with the pressure it works against.",
    cautions=(LIVE_MOTOR, STARTS_ALONE),
    limits=(
        Limit("within 20 % of the table at the measured pressure rise", COMMON),
        Limit("not above the rated current + 3 %", "nameplate; 3 %: " + COMMON),
    ),
    gate="pressurise",
    at_service=True,
)

BOOSTER_FLOW = Check(
    key="booster_flow",
    title="Booster: flow at a pressure rise",
    kind=Kind.MEASURED,
    subject=BoosterPump,
    group="Booster and pressure",
    purpose="The pump gives what its table promises at the pressure it works against.",
    ways=(
        Way(
            "gauges",
            "Flow, gauges on both sides",
            (FLOW, DISCHARGE, SUCTION),
            ("flow meter, or bucket and watch", "pressure gauges"),
        ),
    ),
    judged=(Judged("flow", "Flow of the booster", Q.FLOW, flow_expected),),
    pocket=along("rise", figures=(RISE,)),
    state="booster running on at a steady pressure",
    method=(
        "Set a tap so that it runs on at a steady pressure, no water into or out of the tank.",
        "Read flow and both gauges together.",
    ),
    normal="An even sound whose tone changes near cut-out; chatter, hunting or hiss is not normal.",
    cautions=(SUCTION_VACUUM, STARTS_ALONE),
    limits=(Limit("within − 15 + 20 % of the pump's table at the measured pressure rise", COMMON),),
    gate="pressurise",
    at_service=True,
)

NPSH_MARGIN = Check(
    key="npsh_margin",
    title="Booster: suction head left over",
    kind=Kind.DERIVED,
    subject=BoosterPump,
    group="Booster and pressure",
    purpose="The water does not boil in the pump: no rattle, no wear, no lost prime.",
    judged=(Judged("margin", "Available less required", Q.HEAD, margin_expected, margin_measured),),
    pocket=Pocket(
        (Plan(("booster_flow",), given=("booster_flow",)), Plan(without=("booster_flow",))),
        axes=(Axis("booster_flow", up_to_most),),
    ),
    needs=(Need("booster_flow", Needed.EARLIER, "Flow of the booster", Q.FLOW, finding="flow", optional=True),),
    limits=(
        Limit("half a metre or more, tank low, filters due for changing", COMMON),
        Limit("a tank above the inlet leaves no suction lift; a filter before the pump counts against it", COMMON),
    ),
)

CHECKS = (BOOSTER_VOLTAGE, BOOSTER_CURRENT, BOOSTER_FLOW, NPSH_MARGIN)
