"""Function: the well. Water over the intake, the low-water guard, and how much is asked of it."""

from sizing.checks.declare import COMMON, Limit
from sizing.checks.dry_switches import guards_low_water
from sizing.design.declare import Ask, Outcome, Rule, Sort
from sizing.design.heads import curve_at_most
from sizing.design.running import states
from sizing.formulas.levels import pumping_level, water_elevation
from sizing.formulas.limits import limit_at_offset, lower_limit
from sizing.formulas.shut_off import flow_at_head
from sizing.formulas.wells import drawdown_at_flow, specific_capacity, submergence
from sizing.parts import LevelSwitch, SubmersiblePump, Well
from sizing.quantities import Quantity as Q
from sizing.system import Node, System

ABOVE_INTAKE = 1.0  # m, least from the intake up to the guard; solar pump manuals, common practice
OFF_BOTTOM = 3.0  # m, least from the bottom up to the intake; common practice, no source
YIELD_SHARE = 2 / 3  # of the tested yield; common practice, no source


def level_while_pumping(ask: Ask, well: Node) -> float:
    """Return the depth to water at the tested yield, by the well test on record, as steps."""
    flow, fall = well.need("tested_yield"), well.need("drawdown_at_yield")
    capacity = ask.w.call("C_s", specific_capacity, flow=flow, drawdown=fall)
    drawn = ask.w.call("s", drawdown_at_flow, flow=flow, specific_capacity=capacity)
    return ask.w.call("D_p", pumping_level, static_level=well.need("static_level"), drawdown=drawn)


def water_over_intake(ask: Ask) -> Outcome:
    """Return the water over the intake while the well gives its tested yield against what the pump needs."""
    well = ask.system.host_of(ask.node, Well)
    least = ask.node.need("minimum_submergence")
    level = level_while_pumping(ask, well)
    value = ask.w.call("h_s", submergence, pump_setting=well.need("pump_setting"), pumping_level=level)
    return Outcome(Q.LENGTH, value, lower=least, basis=f"minimum submergence; {well.tag} at its tested yield")


def guard_level(ask: Ask) -> Outcome:
    """Return the low-water guard's level between the intake and the water while pumping."""
    well = ask.system.host_of(ask.node, Well)
    mark = well.need("measuring_point_height")
    intake = ask.w.call("z_i", water_elevation, measuring_point_height=mark, level=well.need("pump_setting"))
    lower = ask.w.call("z_low", limit_at_offset, nominal=intake, offset=_above_intake(ask, well))
    level = level_while_pumping(ask, well)
    upper = ask.w.call("z_w", water_elevation, measuring_point_height=mark, level=level)
    basis = f"1 m or the minimum submergence above the intake, below the water while pumping: {COMMON}"
    return Outcome(Q.ELEVATION, ask.node.need("set_elevation"), lower=lower, upper=upper, basis=basis)


def _above_intake(ask: Ask, well: Node) -> float:
    pumps = ask.system.hosted_on(well.tag, SubmersiblePump)
    needs = [getattr(pump.part, "minimum_submergence", None) or 0.0 for pump in pumps]
    return max([ABOVE_INTAKE, *needs])


def guard_there(ask: Ask) -> Outcome:
    """Return how many low-water guards hang in a pump's well."""
    well = ask.system.host_of(ask.node, Well)
    guards = [one for one in ask.system.hosted_on(well.tag, LevelSwitch) if guards_low_water(ask.system, one.tag)]
    return Outcome(Q.COUNT, float(len(guards)), lower=1.0, basis=f"a level switch in {well.tag} that guards low water")


def off_bottom(ask: Ask) -> Outcome:
    """Return how far the intake hangs above the bottom."""
    well = ask.system.host_of(ask.node, Well)
    value = ask.w.call("h", submergence, pump_setting=well.need("depth"), pumping_level=well.need("pump_setting"))
    return Outcome(Q.LENGTH, value, lower=OFF_BOTTOM, basis=f"above the bottom of {well.tag}: {COMMON}")


def yield_share(ask: Ask) -> Outcome:
    """Return a pump's flow at full power, against the share of its well's yield that is safe to take."""
    well = ask.system.host_of(ask.node, Well)
    most = ask.w.call("Q_most", lower_limit, nominal=well.need("tested_yield"), tolerance=1 - YIELD_SHARE)
    flow = flow_at_full_power(ask, ask.node)
    return Outcome(Q.FLOW, flow, upper=most, basis=f"two thirds of the tested yield of {well.tag}: {COMMON}")


def flow_at_full_power(ask: Ask, pump: Node) -> float:
    """Return where a pump settles at full power against well and pipes, its balance as steps."""
    ran = next(one for one in states(ask.scene) if one.words.startswith(f"{pump.tag} "))
    if ran.problem is not None:
        raise ran.problem
    flow = ran.flows[f"{pump.tag}.lift"]
    curve = curve_at_most(ask, pump)
    head = curve.head_at(flow)
    flows, heads = tuple(q for q, _ in curve.points), tuple(h for _, h in curve.points)
    return ask.w.call("Q", flow_at_head, flows=flows, heads=heads, head=head, note="where pump, well and pipes balance")


def sits_in_well(system: System, tag: str) -> bool:
    """Whether a level switch guards a well against low water."""
    node = system.node(tag)
    host = system.nodes.get(node.host or "")
    return host is not None and isinstance(host.part, Well) and guards_low_water(system, tag)


RULES = (
    Rule(
        key="water_over_intake",
        title="Water over the intake",
        sort=Sort.FUNCTION,
        subjects=(SubmersiblePump,),
        purpose="A pump that draws air runs dry, wears and stops.",
        limits=(Limit("not below the minimum submergence, at the tested yield", "nameplate of the pump"),),
        evaluate=water_over_intake,
    ),
    Rule(
        key="guard_there",
        title="Low-water guard",
        sort=Sort.FUNCTION,
        subjects=(SubmersiblePump,),
        purpose="Without one a dry year or a torn pipe costs the pump.",
        limits=(Limit("one or more in the pump's well", "solar pump manuals, " + COMMON),),
        evaluate=guard_there,
    ),
    Rule(
        key="guard_level",
        title="Low-water guard, level",
        sort=Sort.FUNCTION,
        subjects=(LevelSwitch,),
        purpose="Too low it guards nothing; above the pumping level it stops the pump every noon.",
        limits=(
            Limit(
                "1 m above the intake, or the minimum submergence where that is more", "solar pump manuals, " + COMMON
            ),
            Limit("below the water at the tested yield", COMMON),
        ),
        evaluate=guard_level,
        applies=sits_in_well,
    ),
    Rule(
        key="off_bottom",
        title="Intake above the bottom",
        sort=Sort.FUNCTION,
        subjects=(SubmersiblePump,),
        purpose="Near the bottom a pump draws what has settled there.",
        limits=(Limit("3 m or more", COMMON),),
        evaluate=off_bottom,
    ),
    Rule(
        key="yield_share",
        title="Flow against the well's yield",
        sort=Sort.FUNCTION,
        subjects=(SubmersiblePump,),
        purpose="A well asked for all it gives silts up, falls dry in the dry season and wears the pump.",
        limits=(Limit("two thirds of the tested yield", COMMON),),
        evaluate=yield_share,
    ),
)
