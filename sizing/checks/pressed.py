"""What an outlet gets under a pressure tank: between the pressures at which the pump starts and stops."""

from collections.abc import Mapping

from sizing.checks.case import Case, Expected, Term
from sizing.checks.declare import COMMON
from sizing.checks.pressure_zone import switch_of, zone
from sizing.checks.water_way import Part, density, lost_on_the_way
from sizing.errors import OutOfRangeError
from sizing.formulas.levels import pressure_from_surface, summed_head, surface_elevation
from sizing.formulas.limits import limit_at_offset, lower_limit
from sizing.formulas.statistics import mean
from sizing.formulas.taps import tap_flow
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.formulas.water import pressure_head, static_head_pressure
from sizing.hydraulics import solve_state, way_to
from sizing.parts import PressureTank
from sizing.quantities import Quantity as Q
from sizing.records import record
from sizing.system import Node, State
from sizing.working import Working

Drawn = Mapping[str, float | None]
"""Tag of an open outlet → its flow [m³/s], or None where it is simply open."""

PRESSURE_SHORT = 0.08  # common practice, no source
ABOVE_CUT_OUT = 5_000.0  # Pa above water at rest at cut-out; common practice, no source
FRICTION_HALF_WIDTH = 0.15  # pipes against Darcy-Weisbach, small fittings; common practice, no source


@record
class Band:
    """The gauge pressures of a pressure tank's gas from start to stop of its pump."""

    tank: Node
    cut_in: float
    cut_out: float


def band_of(case: Case, tank: Node) -> Band:
    """Return from where to where a pressure tank's pressure goes, or raise MissingDataError."""
    switch = switch_of(case.system, tank)
    return Band(tank, switch.need("cut_in"), switch.need("cut_out"))


def halfway(case: Case, band: Band) -> float:
    """Return the pressure half way from cut-in to cut-out, as a step."""
    return case.w.call("p_t", mean, values=(band.cut_in, band.cut_out), note="half way from cut-in to cut-out")


def way(case: Case, band: Band, gas: float, drawn: Drawn) -> list[Part]:
    """Return the pipes and valves from the pressure tank to the outlet at a gas pressure, each with its flow.

    Whether the pump runs meanwhile does not matter here: the tank's pressure is known.
    """
    system, tag = case.system, case.subject.tag
    tanks = [node.tag for node in zone(system, tag) if isinstance(node.part, PressureTank)]
    state = State(open_outlets=drawn, pressures=dict.fromkeys(tanks, gas))
    network, solution = solve_state(system, state, {}, tag)
    links = way_to(network, solution, tag)
    known = {**system.runs, **system.nodes}
    return [(system.subject(link.tag), flow) for link, flow in links if link.tag in known]


def pressure_at(case: Case, band: Band, gas: float, lost: float, symbol: str = "p") -> float:
    """Return the pressure in front of the outlet at a gas pressure, as steps."""
    water = density(case)
    head = case.w.call(f"h_t for {symbol}", pressure_head, pressure=gas, density=water)
    surface = case.w.call(
        f"z_t for {symbol}",
        surface_elevation,
        floor_elevation=band.tank.need("elevation"),
        depth=head,
        note="as high as water would stand over the pressure tank",
    )
    return case.w.call(
        symbol,
        pressure_from_surface,
        surface_elevation=surface,
        elevation=case.subject.need("elevation"),
        head_lost=lost,
        density=water,
    )


def lost(case: Case, parts: list[Part]) -> float:
    """Return the head lost from the pressure tank to the outlet, as steps."""
    return case.w.call("h", summed_head, heads=lost_on_the_way(case, parts))


def flow_under(case: Case, tank: Node, drawn: Drawn) -> Expected:
    """Return the duty as the lower limit; nominal is what the open tap gives half way from cut-in to cut-out."""
    band = band_of(case, tank)
    gas = halfway(case, band)
    taken = lost(case, way(case, band, gas, {**drawn, case.subject.tag: None}))
    head = case.w.call("h_p", pressure_head, pressure=pressure_at(case, band, gas, taken), density=density(case))
    nominal = case.w.call(
        "Q",
        tap_flow,
        head=head,
        flow_coefficient=case.subject.need("flow_coefficient"),
        note="where tap and pipes balance",
    )
    basis = "duty of the outlet, one-sided; expected half way from cut-in to cut-out"
    return Expected(Q.FLOW, nominal, case.subject.need("required_flow"), None, basis)


def pressure_under(case: Case, tank: Node, drawn: Drawn, flow: float) -> Expected:
    """Return the pressure at a flow half way; from cut-in less 8 %, never below the duty, to rest at cut-out."""
    band = band_of(case, tank)
    gas = halfway(case, band)
    taken = lost(case, way(case, band, gas, {**drawn, case.subject.tag: flow}))
    nominal = pressure_at(case, band, gas, taken)
    least = pressure_at(case, band, band.cut_in, taken, "p at cut-in")
    if not least > 0:
        words = "such that pressure is left at the outlet at cut-in: the pipes cannot carry it"
        raise OutOfRangeError("flow", f"{flow:g} m³/s", words)
    short = case.w.call("lower", lower_limit, nominal=least, tolerance=PRESSURE_SHORT)
    at_rest = pressure_at(case, band, band.cut_out, 0.0, "p at rest")
    friction = static_head_pressure(height=FRICTION_HALF_WIDTH * taken, density=density(_quiet(case)))
    return Expected(
        Q.GAUGE_PRESSURE,
        nominal,
        max(case.subject.need("required_pressure"), short),
        case.w.call("upper", limit_at_offset, nominal=at_rest, offset=ABOVE_CUT_OUT),
        basis=f"duty, and cut-in less the pipes less 8 %; not above water at rest at cut-out + 5 kPa: {COMMON}",
        terms=(Term("pipe friction ± 15 %", standard_from_half_width(friction), shared=True),),
    )


def _quiet(case: Case) -> Case:
    return Case(case.system, case.subject, w=Working(silent=True))


def where_it_went(case: Case, tank: Node, drawn: Drawn) -> tuple[float, list[Part]]:
    """Return how high water would stand over the outlet half way from cut-in to cut-out, and the parts on the way."""
    band = band_of(case, tank)
    gas = halfway(case, band)
    head = pressure_head(pressure=gas, density=density(case))
    return tank.need("elevation") + head - case.subject.need("elevation"), way(case, band, gas, drawn)
