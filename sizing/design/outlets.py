"""Function: each outlet's pressure and flow against its duty, and where the head went."""

from sizing.checks.declare import COMMON, Limit
from sizing.checks.delivery import others_of
from sizing.design.declare import Ask, Outcome, Rule, Share, Shares, Sort
from sizing.design.heads import density
from sizing.design.reach import Origin, reach
from sizing.design.running import (
    AS_IT_IS,
    CUT_IN,
    FULL,
    LOW,
    outlet_state,
    tanks_in_reach,
)
from sizing.errors import MissingDataError
from sizing.formulas.filters import filter_pressure_drop, meter_pressure_drop
from sizing.formulas.fittings import minor_loss_head
from sizing.formulas.levels import pressure_from_surface, summed_head
from sizing.formulas.pipes import flow_velocity, pipe_head_loss
from sizing.formulas.taps import tap_flow
from sizing.formulas.water import pressure_head
from sizing.hydraulics import (
    VALVE_LOSS,
    fittings_coefficient,
    inside_diameter,
    roughness,
    solve_state,
    water_viscosity,
    way_to,
    where_the_head_went,
)
from sizing.network import Network, Solution
from sizing.parts import Filter, Meter, Outlet, StorageTank, Valve
from sizing.quantities import Quantity as Q
from sizing.system import Node, Run, State, System


def levels_of(system: System, tag: str) -> tuple[str, ...]:
    """Return what feeds an outlet when it is tried: a pressure tank at cut-in, or the tanks low and then full."""
    found = {tag, *reach(system, Origin(tag, ""))}
    if tanks_in_reach(system, Origin(tag, "")):
        return (CUT_IN,)
    if any(isinstance(system.nodes[one].part, StorageTank) for one in found if one in system.nodes):
        return (LOW, FULL)
    return (AS_IT_IS,)


def has_tap_sheet(system: System, tag: str) -> bool:
    """Whether what the tap lets through when fully open is known."""
    part = system.node(tag).part
    return isinstance(part, Outlet) and part.flow_coefficient is not None


def outlet_pressure(ask: Ask) -> Outcome:
    """Return the pressure left in front of an outlet at its duty flow, its test set open, against its duty."""
    required = ask.node.need("required_pressure")
    state = outlet_state(ask.system, ask.node, ask.node.need("required_flow"), ask.against)
    network, solution = _solved(ask, state)
    value = _pressure(ask, state, network, solution)
    basis = f"required pressure at the required flow, {_others(ask)}; {_feeding_words(ask)}"
    shares = head_shares(ask, network, solution)
    return Outcome(Q.GAUGE_PRESSURE, value, lower=required, basis=basis, shares=shares)


def outlet_flow(ask: Ask) -> Outcome:
    """Return what an outlet gives when it is simply open, its test set open beside it, against its duty."""
    required = ask.node.need("required_flow")
    state = outlet_state(ask.system, ask.node, None, ask.against)
    network, solution = _solved(ask, state)
    pressure = _pressure(ask, state, network, solution)
    head = ask.w.call("h_p", pressure_head, pressure=max(pressure, 0.0), density=density(ask))
    coefficient = ask.node.need("flow_coefficient")
    value = ask.w.call("Q", tap_flow, head=head, flow_coefficient=coefficient, note="where tap and pipes balance")
    basis = f"required flow, {_others(ask)}; {_feeding_words(ask)}"
    return Outcome(Q.FLOW, value, lower=required, basis=basis, shares=head_shares(ask, network, solution))


def _solved(ask: Ask, state: State) -> tuple[Network, Solution]:
    return solve_state(ask.system, state, {}, ask.tag)


def _others(ask: Ask) -> str:
    others = [one.tag for one in others_of(ask.system, ask.tag)]
    return f"with {', '.join(others)} open at their own" if others else "with all other taps shut"


def _feeding_words(ask: Ask) -> str:
    """Return what feeds an outlet in words."""
    if ask.against == CUT_IN:
        return f"{', '.join(tank.tag for tank in tanks_in_reach(ask.system, Origin(ask.tag, '')))} at cut-in"
    return {LOW: "water at the tank's outlet", FULL: "water at the tank's overflow"}.get(ask.against, "as it comes")


def _pressure(ask: Ask, state: State, network: Network, solution: Solution) -> float:
    """Return the pressure in front of an outlet, each loss on the way as a step of the balance."""
    way = way_to(network, solution, ask.tag)
    if not way:
        raise MissingDataError(ask.tag, "pipe", f"{ask.tag}: no pipe leads to it from a tank or a spring")
    lost = [head for link, flow in way for head in _lost_in(ask, ask.system.subject(link.tag), flow, state)]
    total = ask.w.call("h", summed_head, heads=tuple(lost))
    first, _ = way[0]
    source = first.a if first.a in network.known_heads else first.b
    return ask.w.call(
        "p",
        pressure_from_surface,
        surface_elevation=network.known_heads[source],
        elevation=ask.node.need("elevation"),
        head_lost=total,
        density=density(ask),
        note=f"from the head at {source.replace('.', ' ')}",
    )


def _lost_in(ask: Ask, part: Node | Run, flow: float, state: State) -> list[float]:
    """Return the heads lost in one part of the way, as steps."""
    if isinstance(part, Run):
        return [
            _friction(ask, part, flow),
            *_local(ask, part.tag, fittings_coefficient(part), inside_diameter(part), flow),
        ]
    if isinstance(part.part, Valve):
        bore = inside_diameter(ask.system.runs_at(part.tag, "pipe")[0])
        return _local(ask, part.tag, VALVE_LOSS[part.part.body or "ball"], bore, flow)
    if isinstance(part.part, Filter | Meter):
        return [_drop(ask, part, flow, state.dirt.get(part.tag, 0.0))]
    return []


def _friction(ask: Ask, run: Run, flow: float) -> float:
    return ask.w.call(
        f"h_f {run.tag}",
        pipe_head_loss,
        flow=flow,
        length=run.need("length"),
        inside_diameter=inside_diameter(run),
        roughness=roughness(run),
        kinematic_viscosity=water_viscosity(ask.system),
    )


def _local(ask: Ask, tag: str, coefficient: float, bore: float, flow: float) -> list[float]:
    if coefficient <= 0:
        return []
    speed = ask.w.call(f"v {tag}", flow_velocity, flow=flow, inside_diameter=bore)
    return [ask.w.call(f"h_m {tag}", minor_loss_head, loss_coefficient=coefficient, velocity=speed)]


def _drop(ask: Ask, part: Node, flow: float, dirt: float) -> float:
    if isinstance(part.part, Meter):
        if part.part.pressure_drop is None:
            return 0.0
        lost = ask.w.call(
            f"Δp {part.tag}",
            meter_pressure_drop,
            flow=flow,
            reference_flow=part.need("drop_flow"),
            reference_drop=part.need("pressure_drop"),
        )
    else:
        lost = ask.w.call(
            f"Δp {part.tag}",
            filter_pressure_drop,
            flow=flow,
            reference_flow=part.need("drop_flow"),
            clean_drop=part.need("clean_drop"),
            change_out_drop=part.need("change_out_drop"),
            dirt=dirt,
        )
    return ask.w.call(f"h {part.tag}", pressure_head, pressure=lost, density=density(ask))


def head_shares(ask: Ask, network: Network, solution: Solution) -> Shares:
    """Return where the head went, from the source's surface to what is left in front of the outlet."""
    elevation = ask.node.need("elevation")
    lost = where_the_head_went(network, solution, ask.tag)
    left = solution.pressure_head(ask.tag, elevation)
    there = left + sum(one.head for one in lost)
    lines = [Share("at the source, above the outlet", there)]
    lines += [Share(label_of(ask.system.subject(one.tag)), one.head) for one in lost]
    return Shares("Where the head went", Q.HEAD, (*lines, Share("left in front of the outlet", left)))


def label_of(part: Node | Run) -> str:
    """Return tag and name of a part, as a person says it."""
    return f"{part.tag} {part.name or part.part.title.lower()}"


RULES = (
    Rule(
        key="outlet_pressure",
        title="Pressure at the outlet",
        sort=Sort.FUNCTION,
        subjects=(Outlet,),
        purpose="What was promised at this tap, with its named neighbours open and the tank nearly empty.",
        limits=(
            Limit("not below the required pressure at the required flow", "the outlet's nameplate: what was promised"),
            Limit("friction by Darcy and Colebrook, filters due for changing", "EPANET 2.2 User Manual; " + COMMON),
        ),
        evaluate=outlet_pressure,
        against=levels_of,
    ),
    Rule(
        key="outlet_flow",
        title="Flow at the outlet, fully open",
        sort=Sort.FUNCTION,
        subjects=(Outlet,),
        purpose="What the open tap really gives, with its named neighbours open and the tank nearly empty.",
        limits=(Limit("not below the required flow", "the outlet's nameplate: what was promised"),),
        evaluate=outlet_flow,
        against=levels_of,
        applies=has_tap_sheet,
    ),
)
