"""Delivery, the promise: flow and pressure at each outlet, and where the head went."""

from sizing.checks.case import Case, Expected, Term, Value
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Input, Judged, Kind, Limit, Way, times
from sizing.checks.needs import TANK_LEVEL, tank_of
from sizing.checks.pocket import Axis, Figure, Scale, Span, along
from sizing.checks.pressed import flow_under, pressure_under, where_it_went
from sizing.checks.pressure_zone import pressure_tank_of
from sizing.checks.water_way import Part, density, lost_on_the_way, surface_of
from sizing.errors import MissingDataError, OutOfRangeError
from sizing.formulas.flow import bucket_flow, relative_spread
from sizing.formulas.levels import pressure_from_surface, summed_head, surface_elevation
from sizing.formulas.limits import limit_at_offset, lower_limit
from sizing.formulas.statistics import mean
from sizing.formulas.taps import tap_flow
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.formulas.water import pressure_head, static_head_pressure
from sizing.hydraulics import solve_state, way_to
from sizing.network import Network, Solution
from sizing.parts import BoosterPump, Outlet, PressureTank, StorageTank, SubmersiblePump
from sizing.quantities import Quantity as Q
from sizing.records import record
from sizing.system import Node, Run, State, System
from sizing.working import Working

# Accuracies of ordinary instruments; common practice, no source.
BUCKET = Accuracy(of_reading=0.01, words="marked bucket")
STOPWATCH = Accuracy(fixed=0.5, words="watch by hand")
FLOW_METER = Accuracy(of_reading=0.03, words="flow meter")
GAUGE = Accuracy(fixed=2_500.0, words="pressure gauge, class 1 of 250 kPa")

REPEATS_AGREE = 0.05  # common practice, no source
PRESSURE_SHORT = 0.08  # common practice, no source
ABOVE_STATIC = 5_000.0  # Pa above water at rest: no tap can show it; common practice, no source
FRICTION_HALF_WIDTH = 0.15  # pipes against Darcy-Weisbach, small fittings; common practice, no source
OTHERS_HALF_WIDTH = 0.10  # how near the other taps are to their own flow; common practice, no source

NOT_YET = Caution("Nobody drinks before the laboratory's result: leave the tag on the tap.", COMMON)


@record
class Solved:
    """A test set that has been solved: the network, its balance, and the tank that feeds the outlet."""

    network: Network
    solution: Solution
    tank: Node
    surface: float

    def way(self, system: System, tag: str) -> list[Part]:
        """Return the pipes and valves from the tank to an outlet, each with its flow."""
        links = way_to(self.network, self.solution, tag)
        return [(system.subject(link.tag), flow) for link, flow in links if link.tag in {**system.runs, **system.nodes}]


def others_of(system: System, tag: str) -> list[Node]:
    """Return the other outlets of an outlet's named test set, or raise MissingDataError for an unknown tag."""
    part = system.node(tag).part
    named = part.open_together if isinstance(part, Outlet) and part.open_together else ""
    tags = [word for word in named.replace(",", " ").replace(";", " ").split() if word != tag]
    return [system.node(one) for one in tags]


def is_pumped(system: System, tag: str) -> bool:
    """Whether a pump gives an outlet its pressure, and not the height of a tank alone."""
    try:
        _, path = system.path_between(tag, None, StorageTank, "pipe")
    except MissingDataError:
        return any(isinstance(node.part, PressureTank | SubmersiblePump) for node, _ in system.reached(tag, "pipe"))
    return any(isinstance(system.node(end.tag).part, BoosterPump) for run in path for end in (run.start, run.end))


def solved(case: Case, flow: float | None, others: float = 1.0) -> Solved:
    """Return the balance with this outlet at a flow (None: simply open) and the others at their required flow."""
    system, tag = case.system, case.subject.tag
    tank = system.node(tank_of(system, tag))
    surface = surface_elevation(floor_elevation=tank.need("floor_elevation"), depth=case.condition("tank_level"))
    drawn: dict[str, float | None] = {one.tag: others * one.need("required_flow") for one in others_of(system, tag)}
    state = State(open_outlets={**drawn, tag: flow}, levels={tank.tag: surface})
    network, solution = solve_state(system, state, {}, tag)
    return Solved(network, solution, tank, surface)


def pressure_at(case: Case, found: Solved) -> tuple[float, float]:
    """Return the pressure in front of the outlet and the head lost on the way, as steps of the balance."""
    surface = surface_of(case, found.tank, case.condition("tank_level"))
    lost = case.w.call("h", summed_head, heads=lost_on_the_way(case, found.way(case.system, case.subject.tag)))
    pressure = case.w.call(
        "p",
        pressure_from_surface,
        surface_elevation=surface,
        elevation=case.subject.need("elevation"),
        head_lost=lost,
        density=density(case),
    )
    return pressure, lost


def around_duty(system: System, tag: str) -> Span:
    """Return the flows that an outlet may well give, by its duty."""
    required = system.node(tag).need("required_flow")
    return required / 20, 3 * required


def flow_measured(case: Case) -> float:
    """Return the flow: from a meter, or the mean of three buckets that agree."""
    if not case.has("volume"):
        return case.reading("flow")
    labels = [r.label for r in case.readings if r.input == "volume"]
    flows = tuple(
        case.w.call(f"Q {label}".strip(), bucket_flow, volume=case.at("volume", label), time=case.at("time", label))
        for label in labels
    )
    spread = case.w.call("r", relative_spread, values=flows)
    if spread > REPEATS_AGREE:
        raise OutOfRangeError("repeats", f"{100 * spread:.0f} % apart", "within 5 % of each other; take them again")
    return case.w.call("Q read", mean, values=flows)


def flow_expected(case: Case) -> Expected:
    """Return the promised flow as the lower limit; nominal is what the open tap should give."""
    required = case.subject.need("required_flow")
    basis = "duty of the outlet, one-sided"
    unknown = getattr(case.subject.part, "flow_coefficient", None) is None
    pressed = pressure_tank_of(case.system, case.subject.tag)
    if pressed is not None and not unknown:
        return flow_under(case, pressed, _drawn_beside(case))
    if unknown or is_pumped(case.system, case.subject.tag):
        return Expected(Q.FLOW, None, required, None, basis, bearable=required / 4)
    found = solved(case, None)
    pressure, _ = pressure_at(case, found)
    head = case.w.call("h_p", pressure_head, pressure=pressure, density=density(case))
    nominal = case.w.call(
        "Q",
        tap_flow,
        head=head,
        flow_coefficient=case.subject.need("flow_coefficient"),
        note="where tap and pipes balance",
    )
    return Expected(Q.FLOW, nominal, required, None, basis)


def pressure_expected(case: Case) -> Expected:
    """Return the pressure that height and pipes leave at the measured flow, never less than the duty.

    Under a pressure tank it lies between what cut-in and cut-out leave. Where a pump alone gives the pressure the
    duty is the only limit.
    """
    required = case.subject.need("required_pressure")
    pressed = pressure_tank_of(case.system, case.subject.tag)
    if pressed is not None:
        return pressure_under(case, pressed, _drawn_beside(case), _flow_read(case))
    if is_pumped(case.system, case.subject.tag):
        basis = "duty of the outlet, one-sided: a pump gives the pressure"
        return Expected(Q.GAUGE_PRESSURE, None, required, None, basis, bearable=required / 4)
    flow = _flow_read(case)
    found = solved(case, flow)
    nominal, lost = pressure_at(case, found)
    if not nominal > 0:
        words = "such that pressure is left at the outlet: the pipes cannot carry it"
        raise OutOfRangeError("flow", f"{flow:g} m³/s", words)
    short = case.w.call("lower", lower_limit, nominal=nominal, tolerance=PRESSURE_SHORT)
    at_rest = case.w.call(
        "p at rest",
        pressure_from_surface,
        surface_elevation=found.surface,
        elevation=case.subject.need("elevation"),
        head_lost=0.0,
        density=density(_silent(case)),
    )
    return Expected(
        Q.GAUGE_PRESSURE,
        nominal,
        max(required, short),
        case.w.call("upper", limit_at_offset, nominal=at_rest, offset=ABOVE_STATIC),
        basis="duty, and height and pipes less 8 %; not above water at rest + 5 kPa: " + COMMON,
        terms=_model_terms(case, flow, nominal, lost),
    )


def _flow_read(case: Case) -> float:
    """Return the flow that was read, or before anything is read the outlet's duty."""
    return flow_measured(_silent(case)) if case.readings else case.subject.need("required_flow")


def _drawn_beside(case: Case) -> dict[str, float | None]:
    """Return what the other taps of the test set draw: their required flow."""
    return {one.tag: one.need("required_flow") for one in others_of(case.system, case.subject.tag)}


def _silent(case: Case) -> Case:
    return Case(case.system, case.subject, case.readings, case.conditions, case.label, case.way, case.moment)


def _model_terms(case: Case, flow: float, nominal: float, lost: float) -> tuple[Term, ...]:
    """Return what friction, and the other taps of the test set, leave in doubt."""
    water = density(_silent(case))
    friction = static_head_pressure(height=FRICTION_HALF_WIDTH * lost, density=water)
    terms = [Term("pipe friction ± 15 %", standard_from_half_width(friction), shared=True)]
    if others_of(case.system, case.subject.tag):
        more, _ = pressure_at(_silent(case), solved(case, flow, others=1 + OTHERS_HALF_WIDTH))
        terms.append(Term("flow of the other taps ± 10 %", standard_from_half_width(abs(nominal - more))))
    return tuple(terms)


def where_the_head_went(system: System, tag: str, flow: float, tank_level: float) -> list[tuple[str, float]]:
    """Return label and head [m] from the tank's surface down to an outlet at a flow, its test set open.

    The first line is the height of the surface above the outlet; the losses follow; the last line is
    what is left in front of the tap. The losses and the last line add up to the first.

    Raises MissingDataError where a field on the way is not recorded.
    """
    case = Case(system, system.subject(tag), conditions={"tank_level": Value(tank_level)}, w=Working(silent=True))
    pressed = pressure_tank_of(system, tag)
    if pressed is not None:
        return _under_pressure(case, pressed, flow)
    found = solved(case, flow)
    height = found.surface - case.subject.need("elevation")
    lines = [("tank surface above the outlet", height)]
    for part, carried in found.way(system, tag):
        lost = summed_head(heads=lost_on_the_way(case, [(part, carried)]))
        lines.append((_label(part), lost))
    left = found.solution.pressure_head(tag, case.subject.need("elevation"))
    return [*lines, ("left in front of the tap", left)]


def _under_pressure(case: Case, tank: Node, flow: float) -> list[tuple[str, float]]:
    """Return the same from a pressure tank half way from cut-in to cut-out."""
    height, parts = where_it_went(case, tank, {**_drawn_beside(case), case.subject.tag: flow})
    losses = [(_label(part), summed_head(heads=lost_on_the_way(case, [(part, carried)]))) for part, carried in parts]
    left = height - sum(head for _, head in losses)
    return [(f"{tank.tag} half way from cut-in to cut-out", height), *losses, ("left in front of the tap", left)]


def _label(part: Run | Node) -> str:
    return f"{part.tag} {part.name or part.part.title.lower()}"


PRESSURE = Input(
    "pressure",
    "Pressure in front of the tap",
    Q.GAUGE_PRESSURE,
    hard=(-100_000, 2e6),
    soft=(2_000, 800_000),
    hint="while it runs; note the height of the gauge",
    repeats=False,
    usual=GAUGE,
)

DELIVERY_FLOW = Check(
    key="delivery_flow",
    title="Delivery: flow and pressure",
    kind=Kind.MEASURED,
    subject=Outlet,
    group="Delivery",
    purpose="What was promised at this tap, with its named neighbours open.",
    ways=(
        Way(
            "bucket",
            "Bucket and watch",
            (
                Input(
                    "volume",
                    "Volume caught",
                    Q.VOLUME,
                    hard=(1e-4, 10),
                    soft=(5e-3, 0.3),
                    hint="a mark checked by weight, not the pail's label",
                    usual=BUCKET,
                ),
                Input(
                    "time",
                    "Time to catch it",
                    Q.DURATION,
                    hard=(1, 7_200),
                    soft=(20, 900),
                    hint="20 seconds or more",
                    usual=STOPWATCH,
                ),
                PRESSURE,
            ),
            ("marked bucket", "watch", "pressure gauge on a tee"),
        ),
        Way(
            "meter",
            "Flow meter",
            (
                Input(
                    "flow",
                    "Flow",
                    Q.FLOW,
                    hard=(1e-7, 0.1),
                    soft=(1e-5, 0.01),
                    repeats=False,
                    usual=FLOW_METER,
                ),
                PRESSURE,
            ),
            ("flow meter", "pressure gauge on a tee"),
        ),
    ),
    judged=(
        Judged("delivery_flow", "Flow delivered", Q.FLOW, flow_expected, flow_measured),
        Judged(
            "delivery_pressure",
            "Pressure at that flow",
            Q.GAUGE_PRESSURE,
            pressure_expected,
            lambda case: case.reading("pressure"),
        ),
    ),
    pocket=along(
        "flow",
        "tank_level",
        simply={"delivery_flow": "flow", "delivery_pressure": "pressure"},
        axes=(Axis("flow", around_duty), Axis("time", scale=Scale.RECIPROCAL)),
        figures=(
            Figure("flow", ("volume", "time"), flow_measured, stands_in=True, each_repeat=True, agree=REPEATS_AGREE),
        ),
    ),
    repeat=times(3),
    needs=(TANK_LEVEL,),
    state="this outlet fully open, the other taps of its test set at their required flow, all others shut",
    method=(
        "Take the aerator or screen off; open the named taps, shut all others.",
        "Let it run ten minutes, then read the tank's level.",
        "Three buckets of 20 seconds or more, within 5 %; read the pressure while it runs.",
    ),
    normal="A full, even stream that does not pulse, the same in each of the three buckets.",
    cautions=(NOT_YET,),
    limits=(
        Limit("flow: not below the duty", "the outlet's nameplate: what was promised"),
        Limit("pressure: not below the duty, nor more than 8 % below what height and pipes leave", COMMON),
        Limit("pressure: not above water at rest + 5 kPa", COMMON),
        Limit(
            "under a pressure tank: from cut-in less the pipes less 8 %, to water at rest at cut-out + 5 kPa", COMMON
        ),
        Limit("three buckets within 5 % of each other", COMMON),
    ),
    at_service=True,
)

CHECKS = (DELIVERY_FLOW,)
