"""Function: booster, suction and pressure tank."""

from sizing.boosting import booster_point
from sizing.checks.declare import COMMON, Limit
from sizing.checks.water_way import water_temperature
from sizing.design.declare import Ask, Outcome, Rule, Sort
from sizing.design.heads import curve_at_most, density
from sizing.design.reach import Origin, reach
from sizing.design.running import LOW, cut_ins, switch_of, tank_levels, tanks_in_reach, test_set
from sizing.errors import MissingDataError
from sizing.formulas.atmosphere import absolute_pressure, atmospheric_pressure
from sizing.formulas.levels import rise_between
from sizing.formulas.limits import limit_at_offset
from sizing.formulas.npsh import npsh_available
from sizing.formulas.shut_off import flow_at_head
from sizing.formulas.vessels import pump_run_time, recommended_precharge, tank_drawdown
from sizing.formulas.water import vapour_pressure
from sizing.hydraulics import hydraulic_network, where_the_head_went
from sizing.network import solve
from sizing.parts import BoosterPump, Outlet, PressureTank, SubmersiblePump
from sizing.quantities import Quantity as Q
from sizing.system import Node, State, System

NPSH_MARGIN = 0.5  # m; common practice, no source
LEAST_RUN = 60.0  # s, from cut-in to cut-out; trade publications on pump cycling, common practice
PRECHARGE_SLACK = 7_000.0  # Pa, either way; common practice, no source


def npsh(ask: Ask) -> Outcome:
    """Return the suction head that is left at the greatest flow of a booster against what it requires."""
    booster, system = ask.node, ask.system
    needed = ask.w.call("NPSH_min", limit_at_offset, nominal=booster.need("npsh_required"), offset=NPSH_MARGIN)
    flow = max(q for q, _ in curve_at_most(ask, booster).points)
    surface, lost = _suction(ask, booster, flow)
    static = ask.w.call("z", rise_between, lower_elevation=booster.need("elevation"), upper_elevation=surface)
    air = ask.w.call("p_amb", atmospheric_pressure, altitude=ask.site.need("altitude"))
    warmest = max(water_temperature(system), getattr(system.site, "design_high", None) or 0.0)
    value = ask.w.call(
        "NPSH_A",
        npsh_available,
        surface_pressure=air,
        vapour_pressure=ask.w.call("p_v", vapour_pressure, temperature=warmest),
        density=density(ask),
        static_head=static,
        suction_loss=lost,
    )
    basis = f"NPSH required + 0.5 m, at the greatest flow of its table, tank low, filter due for changing: {COMMON}"
    return Outcome(Q.HEAD, value, lower=needed, basis=basis)


def _suction(ask: Ask, booster: Node, flow: float) -> tuple[float, float]:
    """Return the surface that a booster draws from when the tank is low, and the head lost on the way at a flow."""
    system, point = ask.system, f"{booster.tag}.suction"
    behind = reach(system, Origin(booster.tag, "suction"))
    dirt = {tag: 1.0 for tag in behind if tag in system.nodes and system.nodes[tag].kind == "filter"}
    network = hydraulic_network(system, State(levels=tank_levels(system, LOW), dirt=dirt), {}, point)
    if not network.known_heads:
        raise MissingDataError(booster.tag, "pipe", f"{booster.tag}: no tank with a recorded outlet feeds its suction")
    network.demands[point] = flow
    solution = solve(network)
    lost = sum(one.head for one in where_the_head_went(network, solution, point))
    return solution.heads[point] + lost, lost


def has_lift_printed(system: System, tag: str) -> bool:
    """Whether a greatest suction lift is printed on a booster."""
    return getattr(system.node(tag).part, "maximum_suction_lift", None) is not None


def suction_lift(ask: Ask) -> Outcome:
    """Return how far a booster stands above the lowest water that it draws from."""
    surface, _ = _suction(ask, ask.node, max(q for q, _ in curve_at_most(ask, ask.node).points))
    value = ask.w.call("z", rise_between, lower_elevation=surface, upper_elevation=ask.node.need("elevation"))
    most = ask.node.need("maximum_suction_lift")
    return Outcome(Q.HEAD, value, upper=most, basis="greatest suction lift as printed, at sea level")


def booster_keeps_up(ask: Ask) -> Outcome:
    """Return what a booster gives at cut-in against what the greatest test set behind it draws."""
    system, origin = ask.system, Origin(ask.tag, "discharge")
    behind = reach(system, origin)
    outlets = [outlet for outlet in system.of(Outlet) if outlet.tag in behind]
    if not outlets:
        raise MissingDataError(ask.tag, "pipe", f"{ask.tag}: no outlet behind it is recorded")
    drawn = {one.tag: _drawn(system, one) for one in outlets}
    worst = max(drawn, key=lambda tag: drawn[tag])
    value = flow_against_tank(ask, ask.node, cut_ins(system, origin), "at cut-in")
    return Outcome(Q.FLOW, value, lower=drawn[worst], basis=f"all that the test set of {worst} draws at its duty")


def _drawn(system: System, outlet: Node) -> float:
    return sum(flow or 0.0 for flow in test_set(system, outlet, outlet.need("required_flow")).values())


def flow_against_tank(ask: Ask, booster: Node, pressures: dict[str, float], words: str) -> float:
    """Return the flow at which a booster settles against its pressure tanks, its balance as a step."""
    if not pressures:
        words = f"{booster.tag}: no pressure tank behind it is recorded"
        raise MissingDataError(booster.tag, "pipe", words)
    state = State(levels=tank_levels(ask.system, LOW), pressures=pressures)
    point = booster_point(ask.system, booster, state)
    points = curve_at_most(ask, booster).points
    flows, heads = tuple(q for q, _ in points), tuple(h for _, h in points)
    note = f"where pump and pipes balance {words}, tank low"
    return ask.w.call("Q_p", flow_at_head, flows=flows, heads=heads, head=point.head, note=note)


def filling_flow(ask: Ask, booster: Node) -> float:
    """Return what a booster gives half way from cut-in to cut-out of its pressure tank, as a step."""
    tanks = tanks_in_reach(ask.system, Origin(booster.tag, "discharge"))
    pressures = {tank.tag: _half_way(ask.system, tank) for tank in tanks}
    return flow_against_tank(ask, booster, pressures, "half way from cut-in to cut-out")


def _half_way(system: System, tank: Node) -> float:
    switch = switch_of(system, tank)
    return (switch.need("cut_in") + switch.need("cut_out")) / 2


def filler_of(system: System, tank: Node) -> Node:
    """Return the pump that fills a pressure tank, or raise MissingDataError."""
    for kind in (BoosterPump, SubmersiblePump):
        for pump in system.of(kind):
            if tank in tanks_in_reach(system, Origin(pump.tag, "discharge")):
                return pump
    raise MissingDataError(tank.tag, "pipe", f"{tank.tag}: no pump is recorded that fills it")


def cycling(ask: Ask) -> Outcome:
    """Return how long the pump runs from cut-in to cut-out with nothing drawn."""
    switch, pump = switch_of(ask.system, ask.node), filler_of(ask.system, ask.node)
    low, high = switch.need("cut_in"), switch.need("cut_out")
    drawdown = _drawdown(ask, low, high)
    if not isinstance(pump.part, BoosterPump):
        words = f"{pump.tag}: its flow into a pressure tank changes with the sun; its run time is not computed"
        raise MissingDataError(pump.tag, "performance", words)
    flow = filling_flow(ask, pump)
    value = ask.w.call("t", pump_run_time, drawdown=drawdown, pump_flow=flow, demand=0.0)
    return Outcome(Q.DURATION, value, lower=LEAST_RUN, basis=f"a minute from cut-in to cut-out: {COMMON}")


def _drawdown(ask: Ask, low: float, high: float) -> float:
    tank = ask.node
    air = ask.w.call("p_amb", atmospheric_pressure, altitude=ask.site.need("altitude"))

    def absolute(symbol: str, gauge: float) -> float:
        return ask.w.call(symbol, absolute_pressure, gauge_pressure=gauge, atmosphere=air)

    return ask.w.call(
        "ΔV",
        tank_drawdown,
        tank_volume=tank.need("volume"),
        precharge=absolute("p₀", tank.need("precharge")),
        cut_in=absolute("p_in", low),
        cut_out=absolute("p_out", high),
    )


def precharge(ask: Ask) -> Outcome:
    """Return the precharge of a pressure tank against two psi below its cut-in."""
    cut_in = switch_of(ask.system, ask.node).need("cut_in")
    wanted = ask.w.call("p₀", recommended_precharge, cut_in_gauge=cut_in)
    lower = ask.w.call("lower", limit_at_offset, nominal=wanted, offset=-PRECHARGE_SLACK)
    upper = ask.w.call("upper", limit_at_offset, nominal=wanted, offset=PRECHARGE_SLACK)
    basis = f"2 psi (13.8 kPa) below cut-in, ± 7 kPa: {COMMON}"
    return Outcome(Q.GAUGE_PRESSURE, ask.node.need("precharge"), lower=lower, upper=upper, basis=basis)


RULES = (
    Rule(
        key="npsh",
        title="Suction head (NPSH)",
        sort=Sort.FUNCTION,
        subjects=(BoosterPump,),
        purpose="Below what it requires the water boils in the pump: it rattles, gives less and is eaten away.",
        limits=(Limit("NPSH required + 0.5 m", "nameplate; half a metre: " + COMMON),),
        evaluate=npsh,
    ),
    Rule(
        key="suction_lift",
        title="Suction lift",
        sort=Sort.FUNCTION,
        subjects=(BoosterPump,),
        purpose="Too high above the water it does not prime.",
        limits=(Limit("not above the greatest suction lift", "nameplate, at sea level"),),
        evaluate=suction_lift,
        applies=has_lift_printed,
    ),
    Rule(
        key="booster_keeps_up",
        title="Booster against its taps",
        sort=Sort.FUNCTION,
        subjects=(BoosterPump,),
        purpose="A booster that gives less than the taps draw lets the pressure fall below cut-in and never rests.",
        limits=(Limit("flow at cut-in not below the greatest test set", "the outlets' nameplates"),),
        evaluate=booster_keeps_up,
    ),
    Rule(
        key="cycling",
        title="Run of the pump for each start",
        sort=Sort.FUNCTION,
        subjects=(PressureTank,),
        purpose="Short runs burn motors, switches and batteries: the tank is too small, or the band too narrow.",
        limits=(Limit("a minute or more from cut-in to cut-out", "trade publications on pump cycling, " + COMMON),),
        evaluate=cycling,
    ),
    Rule(
        key="precharge_set",
        title="Precharge for the switch",
        sort=Sort.FUNCTION,
        subjects=(PressureTank,),
        purpose="Above cut-in the taps fall dry before the pump starts; far below it the tank holds little.",
        limits=(Limit("2 psi (13.8 kPa) below cut-in, ± 7 kPa", COMMON),),
        evaluate=precharge,
    ),
)
