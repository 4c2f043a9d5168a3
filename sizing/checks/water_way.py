"""What checks share about water on its way: density, levels, and the head lost in each part, as steps of a working."""

from sizing.checks.case import Case
from sizing.formulas.filters import filter_pressure_drop, meter_pressure_drop
from sizing.formulas.fittings import minor_loss_head
from sizing.formulas.levels import summed_head, surface_elevation
from sizing.formulas.pipes import flow_velocity, pipe_head_loss
from sizing.formulas.water import pressure_head, water_density
from sizing.hydraulics import (
    STANDARD_WATER_TEMPERATURE,
    VALVE_LOSS,
    fittings_coefficient,
    inside_diameter,
    roughness,
    water_viscosity,
)
from sizing.parts import Filter, Meter, Valve
from sizing.system import Node, Run, System

Part = tuple[Run | Node, float]
"""A pipe, valve, filter or meter, and the flow in it [m³/s]."""


def water_temperature(system: System) -> float:
    """Return the temperature of the site's water [°C]."""
    recorded = system.site.ground_temperature
    return STANDARD_WATER_TEMPERATURE if recorded is None else recorded


def density(case: Case) -> float:
    """Return the density of the site's water, as a step."""
    return case.w.call("ρ", water_density, temperature=water_temperature(case.system))


def surface_of(case: Case, tank: Node, depth: float) -> float:
    """Return the elevation of a tank's water surface from its depth of water, as a step."""
    return case.w.call("z_s", surface_elevation, floor_elevation=tank.need("floor_elevation"), depth=depth)


def in_line(system: System, runs: list[Run], flow: float) -> list[Part]:
    """Return pipes that lie one behind the other and the valves, filters and meters between them, all with one flow."""
    parts: list[Part] = []
    for run, following in zip(runs, [*runs[1:], None], strict=True):
        parts.append((run, flow))
        if following is None:
            break
        joint = system.nodes[_shared_end(run, following)]
        if isinstance(joint.part, Valve | Filter | Meter):
            parts.append((joint, flow))
    return parts


def _shared_end(run: Run, following: Run) -> str:
    return run.end.tag if run.end.tag in (following.start.tag, following.end.tag) else run.start.tag


def lost_on_the_way(case: Case, parts: list[Part]) -> tuple[float, float]:
    """Return the head lost to friction and the head lost in fittings and valves, each part as a step."""
    viscosity = water_viscosity(case.system)
    friction, minor = [], []
    for part, flow in parts:
        if isinstance(part, Run):
            friction.append(_friction(case, part, flow, viscosity))
        elif isinstance(part.part, Filter | Meter):
            minor += _printed_loss(case, part, flow)
            continue
        coefficient, bore = _fittings(case.system, part)
        if coefficient > 0:
            speed = case.w.call(f"v {part.tag}", flow_velocity, flow=flow, inside_diameter=bore)
            lost = case.w.call(f"h_m {part.tag}", minor_loss_head, loss_coefficient=coefficient, velocity=speed)
            minor.append(lost)
    return (
        case.w.call("h_f", summed_head, heads=tuple(friction)),
        case.w.call("h_m", summed_head, heads=tuple(minor)),
    )


def _friction(case: Case, run: Run, flow: float, viscosity: float) -> float:
    return case.w.call(
        f"h_f {run.tag}",
        pipe_head_loss,
        flow=flow,
        length=run.need("length"),
        inside_diameter=inside_diameter(run),
        roughness=roughness(run),
        kinematic_viscosity=viscosity,
    )


def _printed_loss(case: Case, part: Node, flow: float) -> list[float]:
    """Return the head lost in a clean filter or a meter, as steps; nothing in a meter without a printed drop."""
    if isinstance(part.part, Filter):
        clean = part.need("clean_drop")
        drop = case.w.call(
            f"Δp {part.tag}",
            filter_pressure_drop,
            flow=flow,
            reference_flow=part.need("drop_flow"),
            clean_drop=clean,
            change_out_drop=clean,
            dirt=0.0,
        )
    elif getattr(part.part, "pressure_drop", None) is None:
        return []
    else:
        drop = case.w.call(
            f"Δp {part.tag}",
            meter_pressure_drop,
            flow=flow,
            reference_flow=part.need("drop_flow"),
            reference_drop=part.need("pressure_drop"),
        )
    rho = water_density(temperature=water_temperature(case.system))
    return [case.w.call(f"h {part.tag}", pressure_head, pressure=drop, density=rho)]


def _fittings(system: System, part: Run | Node) -> tuple[float, float]:
    """Return the loss coefficient of a part's fittings, or of a valve, and the bore it refers to."""
    if isinstance(part, Run):
        return fittings_coefficient(part), inside_diameter(part)
    assert isinstance(part.part, Valve)
    return VALVE_LOSS[part.part.body or "ball"], inside_diameter(system.runs_at(part.tag, "pipe")[0])
