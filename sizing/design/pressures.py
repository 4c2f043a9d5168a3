"""Safety: pressures. What a part can come to see, and the surge of water that is stopped, on top of it."""

import re

from sizing.checks.declare import Limit
from sizing.checks.water_way import water_temperature
from sizing.design.declare import Ask, Outcome, Rule, Sort
from sizing.design.heads import (
    at_relief,
    density,
    greatest_head,
    lowest_elevation,
    presses_on,
    pressure_at,
)
from sizing.design.reach import Origin, can_be_dead_headed, origins_reaching, reach, reliefs_behind
from sizing.design.running import greatest_flow, states
from sizing.errors import MissingDataError
from sizing.formulas.pipes import flow_velocity
from sizing.formulas.shut_off import (
    allowed_with_surge,
    dimension_ratio_of_rating,
    pressure_with_surge,
    slow_closure_surge,
)
from sizing.formulas.surge import (
    PVC_MODULUS,
    joukowsky_surge,
    rapid_closing_time,
    wave_speed,
    wave_speed_by_dimension_ratio,
)
from sizing.formulas.water import compressibility, water_density
from sizing.hydraulics import inside_diameter
from sizing.parts import (
    BoosterPump,
    Filter,
    HandPump,
    Pipe,
    PressureTank,
    SpringOrRoof,
    StorageTank,
    SubmersiblePump,
)
from sizing.quantities import Quantity as Q
from sizing.system import Node, Run

RATING_FIELD: dict[str, str] = {PressureTank.kind: "maximum_pressure"}
"""Kind → the field that holds its rating; `pressure_rating` for all others."""
RATED = (Pipe, Filter, BoosterPump, PressureTank)
PSI = 6894.757  # Pa
TAP_CLOSES = 0.5  # s, a quarter-turn tap shut by hand; common practice, no source
PE_MODULUS = 150_000 * PSI  # short-term, for surge; PPI Handbook of PE Pipe, 2nd edition, chapter 6 (from memory)
DESIGN_STRESS = {"pe": 8.0e6, "pvc": 2_000 * PSI}  # Pa, PE 100 of ISO 4427; PVC 1120 of ASTM D2241
MODULUS = {"pe": PE_MODULUS, "pvc": PVC_MODULUS}
SURGE_FACTOR = {"pe": 1.5}  # recurring surges in PE, AWWA C901-17 (from memory); 1 for all others
RIGID_MODULUS = 1e15  # Pa: metal pipe is taken as rigid, which makes the wave some 5 to 10 % too fast
RIGID_RATIO = 10.0
DIMENSION_RATIO = re.compile(r"\bS?DR\s*(\d+(?:\.\d+)?)", re.IGNORECASE)


def rating_of(part: Node | Run) -> float:
    """Return the pressure that a part is rated for, or raise MissingDataError."""
    return part.need(RATING_FIELD.get(part.kind, "pressure_rating"))


def greatest_pressure(ask: Ask) -> Outcome:
    """Return the greatest pressure that a part can come to see against its rating."""
    rating = rating_of(ask.subject)
    value, source = steady_pressure(ask)
    return Outcome(Q.GAUGE_PRESSURE, value, upper=rating, basis=f"pressure rating; greatest from {source}")


def steady_pressure(ask: Ask) -> tuple[float, str]:
    """Return the greatest steady pressure in a part, as steps, and where it comes from."""
    elevation = lowest_elevation(ask, ask.subject)
    found = [
        (pressure_at(ask, greatest_head(ask, one), elevation, f"p {one.tag}"), _source(ask, one))
        for one in origins_reaching(ask.system, ask.tag)
        if presses_on(ask, one, ask.tag)
    ]
    found += [*_while_running(ask, elevation), *_by_hand(ask, elevation)]
    if not found:
        raise MissingDataError(ask.tag, "pipe", f"{ask.tag}: no tank, spring or pump is recorded that presses on it")
    return max(found)


def _source(ask: Ask, origin: Origin) -> str:
    node = ask.system.nodes[origin.tag]
    if isinstance(node.part, StorageTank):
        return f"{origin.tag} full"
    if isinstance(node.part, SpringOrRoof):
        return origin.tag
    return f"{origin.tag} against a shut valve"


def _while_running(ask: Ask, elevation: float) -> list[tuple[float, str]]:
    """Return the pressures in a pipe while pumps run whose water cannot be shut off beyond it."""
    free = [one for one in origins_reaching(ask.system, ask.tag) if not presses_on(ask, one, ask.tag)]
    return [one for origin in free for one in _running_free(ask, origin.tag, elevation)]


def _running_free(ask: Ask, pump: str, elevation: float) -> list[tuple[float, str]]:
    """Return the pressure in a part while a pump runs, by the state that was solved for it."""
    ran = next(one for one in states(ask.scene) if one.words.startswith(f"{pump} "))
    if ran.problem is not None:
        raise ran.problem
    subject = ask.subject
    ends = [subject.start.tag, subject.end.tag] if isinstance(subject, Run) else [subject.tag]
    heads = [head for point, head in ran.heads.items() if point.partition(".")[0] in ends]
    return [(pressure_at(ask, max(heads), elevation, f"p {pump}"), ran.words)] if heads else []


def _by_hand(ask: Ask, elevation: float) -> list[tuple[float, str]]:
    """Return the pressures in a part that hand pumps press on; one against a shut valve has no top without relief."""
    found = []
    for pump in ask.system.of(HandPump):
        origin = Origin(pump.tag, "discharge")
        if ask.tag not in reach(ask.system, origin):
            continue
        if not can_be_dead_headed(ask.system, origin, ask.tag):
            found += _running_free(ask, pump.tag, elevation)
            continue
        reliefs = [at_relief(ask, one) for one in reliefs_behind(ask.system, origin)]
        if not reliefs:
            words = (
                f"{pump.tag}: a hand pump against a shut valve has no greatest pressure, and no relief valve is there"
            )
            raise MissingDataError(pump.tag, "relief", words)
        found.append((pressure_at(ask, min(reliefs), elevation, f"p {pump.tag}"), f"{pump.tag} against a shut valve"))
    return found


def surge(ask: Ask) -> Outcome:
    """Return steady pressure and surge together against what the pipe stands for the time of a surge."""
    run = ask.system.runs[ask.tag]
    material = run.need_text("material")
    allowed = ask.w.call(
        "p_max", allowed_with_surge, pressure_rating=rating_of(run), factor=SURGE_FACTOR.get(material, 1.0)
    )
    steady, source = steady_pressure(ask)
    greatest = greatest_flow(ask.scene, run.tag)
    speed = ask.w.call("v", flow_velocity, flow=greatest.flow, inside_diameter=inside_diameter(run))
    wave = _wave(ask, run, material)
    rise = ask.w.call("Δp_J", joukowsky_surge, density=density(ask), wave_speed=wave, velocity_change=speed)
    rise = _after_closing(ask, run, wave, rise, is_pumped=_is_pumped(ask))
    value = ask.w.call("p", pressure_with_surge, steady_pressure=steady, surge=rise)
    basis = f"rating with its allowance for surge; {greatest.words} stopped, on top of {source}"
    return Outcome(Q.GAUGE_PRESSURE, value, upper=allowed, basis=basis)


def _wave(ask: Ask, run: Run, material: str) -> float:
    if material in MODULUS:
        ratio = _dimension_ratio(ask, run, material)
        return ask.w.call("a", wave_speed_by_dimension_ratio, dimension_ratio=ratio, pipe_modulus=MODULUS[material])
    temperature = water_temperature(ask.system)
    return ask.w.call(
        "a",
        wave_speed,
        bulk_modulus=1 / compressibility(temperature),
        density=water_density(temperature),
        pipe_modulus=RIGID_MODULUS,
        diameter_over_wall=RIGID_RATIO,
        note="metal pipe taken as rigid",
    )


def _dimension_ratio(ask: Ask, run: Run, material: str) -> float:
    """Return the dimension ratio: printed with the size, or the one that the pressure rating stands for."""
    printed = DIMENSION_RATIO.search(getattr(run.part, "nominal", None) or "")
    if printed:
        return float(printed.group(1))
    stress = DESIGN_STRESS[material]
    return ask.w.call("DR", dimension_ratio_of_rating, pressure_rating=rating_of(run), design_stress=stress)


def _is_pumped(ask: Ask) -> bool:
    """Whether a pump presses water through a part: when it trips, the column stops at once at the check valve."""
    nodes = [ask.system.nodes[one.tag] for one in origins_reaching(ask.system, ask.tag)]
    return any(isinstance(node.part, SubmersiblePump | BoosterPump) for node in nodes)


def _after_closing(ask: Ask, run: Run, wave: float, sudden: float, *, is_pumped: bool) -> float:
    if is_pumped:
        return sudden
    back = ask.w.call("t_r", rapid_closing_time, length=_length_to_surface(ask, run), wave_speed=wave)
    if back >= TAP_CLOSES:
        return sudden
    return ask.w.call(
        "Δp", slow_closure_surge, joukowsky_surge=sudden, rapid_closing_time=back, closing_time=TAP_CLOSES
    )


def _length_to_surface(ask: Ask, run: Run) -> float:
    """Return the longest way over pipes from an open surface to the far end of a pipe."""
    ways = [reach(ask.system, one)[run.tag].way for one in origins_reaching(ask.system, run.tag)]
    lengths = [
        sum(ask.system.runs[tag].need("length") for tag in (*way, run.tag) if tag in ask.system.runs) for way in ways
    ]
    return max(lengths, default=run.need("length"))


RULES = (
    Rule(
        key="greatest_pressure",
        title="Greatest pressure",
        sort=Sort.SAFETY,
        subjects=RATED,
        purpose="A full tank above it, or a pump against a shut valve, bursts what is rated for less.",
        limits=(
            Limit("not above the pressure rating", "nameplates; ISO 4427, ISO 1452, ASTM D1785, D2241, D3035"),
            Limit(
                "a pump counts at shut-off on top of its suction, or at its relief valve + 10 %",
                "ISO 4126-1 (from memory)",
            ),
        ),
        evaluate=greatest_pressure,
    ),
    Rule(
        key="surge",
        title="Pressure class with surge",
        sort=Sort.SAFETY,
        subjects=(Pipe,),
        purpose="Water stopped suddenly strikes: a tap shut by hand, a pump that trips.",
        limits=(
            Limit(
                "PE: 1.5 × rating in a recurring surge; PVC and metal: the rating",
                "AWWA C901-17, C900-16 (from memory)",
            ),
            Limit("surge ρ·a·v; less where a tap shuts more slowly than the wave returns", "Joukowsky; Michaud"),
        ),
        evaluate=surge,
    ),
)
