"""Safety: the relief valve that ends a pump's pressure. Whether it is there, how it is set, what it carries."""

from sizing.checks.declare import COMMON, Limit
from sizing.design.declare import Ask, Outcome, Rule, Sort
from sizing.design.heads import (
    DISPLACEMENT,
    OVERPRESSURE,
    curve_at_most,
    density,
    head_before,
    lowest_elevation,
    pressure_at,
)
from sizing.design.pressures import RATED, rating_of
from sizing.design.reach import Origin, can_be_dead_headed, reach, reliefs_behind
from sizing.design.running import switch_of, tanks_in_reach
from sizing.errors import MissingDataError
from sizing.formulas.levels import rise_between
from sizing.formulas.limits import limit_at_offset
from sizing.formulas.shut_off import flow_at_head, relief_head
from sizing.parts import BoosterPump, ReliefValve, SubmersiblePump
from sizing.quantities import Quantity as Q
from sizing.system import Node, Run, System

ABOVE_CUT_OUT = 50_000.0  # Pa, least from cut-out to the relief's setting; common practice, no source
NO_PUMP = "{tag}: no pump reaches it without a valve between that can be shut"


def needs_relief(system: System, tag: str) -> bool:
    """Whether something has to end a pump's pressure: behind a booster, and behind any pump without a greatest one."""
    node = system.node(tag)
    if isinstance(node.part, BoosterPump):
        return True
    if not can_be_dead_headed(system, Origin(tag, "discharge"), tag):
        return False
    fills = tanks_in_reach(system, Origin(tag, "discharge"))
    return bool(fills) or getattr(node.part, "principle", None) in (DISPLACEMENT, None)


def relief_there(ask: Ask) -> Outcome:
    """Return how many relief valves a pump reaches with nothing between that can be shut."""
    if isinstance(ask.node.part, SubmersiblePump) and not tanks_in_reach(ask.system, Origin(ask.tag, "discharge")):
        ask.node.need_text("principle")
    many = len(reliefs_behind(ask.system, Origin(ask.tag, "discharge")))
    basis = "a relief valve behind the pump, with nothing between that can be shut"
    return Outcome(Q.COUNT, float(many), lower=1.0, basis=basis)


def _pumps_before(ask: Ask, relief: Node) -> list[Origin]:
    """Return the pumps whose pressure a relief valve ends."""
    pumps = [Origin(node.tag, "discharge") for kind in (SubmersiblePump, BoosterPump) for node in ask.system.of(kind)]
    return [one for one in pumps if relief in reliefs_behind(ask.system, one)]


def relief_setting(ask: Ask) -> Outcome:
    """Return a relief valve's setting between the switch that stops the pump and the weakest part behind it."""
    pumps = _pumps_before(ask, ask.node)
    if not pumps:
        raise MissingDataError(ask.tag, "pipe", NO_PUMP.format(tag=ask.tag))
    tanks = {tank.tag: tank for one in pumps for tank in tanks_in_reach(ask.system, one)}
    cut_outs = [switch_of(ask.system, tank).need("cut_out") for tank in tanks.values()]
    lower = ask.w.call("p_low", limit_at_offset, nominal=max(cut_outs), offset=ABOVE_CUT_OUT) if cut_outs else None
    upper, weakest = _weakest(ask, pumps)
    basis = f"50 kPa above cut-out; not above what {weakest} stands, {COMMON}" if cut_outs else f"what {weakest} stands"
    return Outcome(Q.GAUGE_PRESSURE, ask.node.need("set_pressure"), lower=lower, upper=upper, basis=basis)


def _weakest(ask: Ask, pumps: list[Origin]) -> tuple[float, str]:
    """Return the least rating behind the pumps, as it stands at the height of the relief valve, and whose it is."""
    tags = {tag for one in pumps for tag in (*reach(ask.system, one), one.tag)}
    parts = [ask.system.subject(tag) for tag in sorted(tags)]
    rated = [part for part in parts if isinstance(part.part, RATED)]
    if not rated:
        raise MissingDataError(ask.tag, "pipe", f"{ask.tag}: no pipe behind the pump is recorded")
    return min((_allowed_here(ask, part), part.tag) for part in rated)


def _allowed_here(ask: Ask, part: Node | Run) -> float:
    """Return a part's rating less the water between it and the relief valve above it."""
    low = lowest_elevation(ask, part)
    quiet = ask.silent()
    above = quiet.w.call("z", rise_between, lower_elevation=low, upper_elevation=ask.node.need("elevation"))
    return pressure_at(quiet, -above, 0.0) + rating_of(part)


def relief_capacity(ask: Ask) -> Outcome:
    """Return what a relief valve carries against the pump's flow while it is open."""
    pumps = _pumps_before(ask, ask.node)
    if not pumps:
        raise MissingDataError(ask.tag, "pipe", NO_PUMP.format(tag=ask.tag))
    at_relief = ask.w.call(
        "H_r",
        relief_head,
        set_pressure_gauge=ask.node.need("set_pressure"),
        overpressure=OVERPRESSURE,
        elevation=ask.node.need("elevation"),
        density=density(ask),
    )
    needed, pump = max((_flow_into(ask, one, at_relief), one.tag) for one in pumps)
    basis = f"flow of {pump} at 10 % above the setting"
    return Outcome(Q.FLOW, ask.node.need("capacity"), lower=needed, basis=basis)


def _flow_into(ask: Ask, origin: Origin, at_relief: float) -> float:
    pump = ask.system.nodes[origin.tag]
    points = curve_at_most(ask, pump).points
    before = head_before(ask, pump)
    head = ask.w.call(f"H_p {pump.tag}", rise_between, lower_elevation=before, upper_elevation=at_relief)
    flows, heads = tuple(q for q, _ in points), tuple(h for _, h in points)
    return ask.w.call(f"Q {pump.tag}", flow_at_head, flows=flows, heads=heads, head=head)


RULES = (
    Rule(
        key="relief_there",
        title="Relief valve",
        sort=Sort.SAFETY,
        subjects=(BoosterPump, SubmersiblePump),
        purpose="Where the switch fails the pump goes on pressing until something bursts: people have died of it.",
        limits=(
            Limit(
                "one relief valve or more, with nothing between that can be shut",
                "California Title 8, section 465; " + COMMON,
            ),
        ),
        evaluate=relief_there,
        applies=needs_relief,
    ),
    Rule(
        key="relief_setting",
        title="Relief valve, setting",
        sort=Sort.SAFETY,
        subjects=(ReliefValve,),
        purpose="Set too low it weeps at each stop and is plugged; too high it opens after the weakest part has burst.",
        limits=(
            Limit("50 kPa or more above cut-out", COMMON),
            Limit("not above the rating of the weakest part behind the pump", "nameplates"),
        ),
        evaluate=relief_setting,
    ),
    Rule(
        key="relief_capacity",
        title="Relief valve, capacity",
        sort=Sort.SAFETY,
        subjects=(ReliefValve,),
        purpose="A relief valve that carries less than the pump gives does not hold the pressure.",
        limits=(Limit("not below the pump's flow at 10 % above the setting", "ISO 4126-1 (from memory)"),),
        evaluate=relief_capacity,
    ),
)
