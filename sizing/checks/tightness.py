"""Tightness of the gravity side: the pipes from a tank's outlet to the taps, shut in under pressure.

The subject is the storage tank that feeds them: a site may have two, and each line is shut in alone.
"""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Input, Judged, Kind, Limit, Way, timed
from sizing.checks.pocket import Axis, Figure, Plan, Pocket, Scale, along
from sizing.checks.water_way import density
from sizing.errors import MissingDataError, OutOfRangeError
from sizing.formulas.flow import bucket_flow
from sizing.formulas.leaks import makeup_allowance, pressure_fall, rigid_pressure_slope, unexplained_pressure_fall
from sizing.formulas.levels import pressure_from_surface, rise_between, summed_head
from sizing.formulas.limits import lower_limit
from sizing.formulas.water import compressibility, thermal_expansivity
from sizing.parts import Outlet, Pipe, StorageTank
from sizing.quantities import Quantity as Q
from sizing.system import Node, Run, System

# Accuracies of ordinary instruments; common practice, no source.
FINE_GAUGE = Accuracy(fixed=1_000.0, words="fine gauge, the same throughout")
SAME_THERMOMETER = Accuracy(fixed=0.05, words="the same thermometer, read to a tenth")
JUG = Accuracy(of_reading=0.02, fixed=5e-6, words="measuring jug")
WATCH = Accuracy(fixed=5.0, words="watch")

RIGID = {"steel", "galvanized", "copper"}
MOST_FALL = 7_000.0  # Pa in half an hour; common practice, no source
BEARABLE = 5_000.0
STILL = 0.5  # K; warmer or colder than this, plastic moves its pressure as a leak would; common practice, no source
BELOW_WORKING = 0.10  # the test may be this much below a full tank; common practice, no source

WATER_ONLY = Caution(
    "Test with water, never with air: compressed air bursts a pipe like a shot. Bleed all air, stand aside.",
    "ASTM F2164 (scope); " + COMMON,
)


def gravity_side(system: System, tag: str) -> list[Run]:
    """Return the pipes behind a tank's outlet, in tag order."""
    found = {run.tag: run for _, path in system.reached(tag, "pipe", "outlet") for run in path}
    return [found[key] for key in sorted(found)]


def taps_behind(system: System, tag: str) -> list[Node]:
    """Return the taps that a tank feeds."""
    return [node for node, _ in system.reached(tag, "pipe", "outlet") if isinstance(node.part, Outlet)]


def tanks_behind(system: System, tag: str) -> list[Node]:
    """Return the tanks into which a tank runs: its line ends open at their inlets."""
    return [node for node, _ in system.reached(tag, "pipe", "outlet") if isinstance(node.part, StorageTank)]


def lowest_end(system: System, tag: str) -> float:
    """Return the height of the lowest end of the pipes behind a tank: a tap, or the inlet of a tank further down."""
    ends = [tap.need("elevation") for tap in taps_behind(system, tag)]
    ends += [tank.need("inlet_elevation") for tank in tanks_behind(system, tag)]
    if not ends:
        raise MissingDataError(tag, "pipe", f"{tag}: no tap and no tank is recorded behind it")
    return min(ends)


def is_gasketed(system: System, tag: str) -> bool:
    """Whether any pipe behind a tank has gasketed joints, which are allowed some makeup water."""
    return any(isinstance(run.part, Pipe) and run.part.joints == "gasketed" for run in gravity_side(system, tag))


def holds_pressure(system: System, tag: str) -> bool:
    """Whether a tank feeds pipes whose joints are allowed no leakage at all."""
    return bool(gravity_side(system, tag)) and not is_gasketed(system, tag)


def makes_up(system: System, tag: str) -> bool:
    """Whether a tank feeds pipes of which some are gasketed."""
    return is_gasketed(system, tag)


def is_rigid(case: Case) -> bool:
    """Whether every pipe behind the tank is of metal, or raise MissingDataError."""
    return all(run.need_text("material") in RIGID for run in gravity_side(case.system, case.subject.tag))


def fall_measured(case: Case) -> float:
    """Return the fall in pressure over the hold; in metal pipe without what temperature explains."""
    return fall_over_hold(case, is_rigid=is_rigid(case))


def fall_over_hold(case: Case, *, is_rigid: bool) -> float:
    """Return the fall in pressure of a line of metal, or of plastic, which must not warm or cool meanwhile."""
    fall = pressure_lost(case)
    first, last = case.at("temperature", "settled"), case.at("temperature", "end")
    if not is_rigid:
        _refuse_moving_temperature(first, last)
        return fall
    warmed = warmed_by(case)
    return case.w.call(
        "Δp_u",
        unexplained_pressure_fall,
        pressure_fall=fall,
        pressure_slope=_slope(case, first),
        temperature_change=warmed,
    )


def pressure_lost(case: Case) -> float:
    """Return the fall in pressure from settled to the end, as a step."""
    return case.w.call(
        "Δp",
        pressure_fall,
        start_pressure=case.at("pressure", "settled"),
        end_pressure=case.at("pressure", "end"),
    )


def warmed_by(case: Case) -> float:
    """Return by how much the water has warmed from settled to the end, as a step."""
    return case.w.call(
        "Δt",
        rise_between,
        lower_elevation=case.at("temperature", "settled"),
        upper_elevation=case.at("temperature", "end"),
    )


def _refuse_moving_temperature(first: float, last: float) -> None:
    if abs(last - first) > STILL:
        words = (
            f"within {STILL:g} K: in plastic pipe more moves the pressure as a leak does. Wait until it stands still"
        )
        raise OutOfRangeError("temperature", f"{abs(last - first):.1f} K apart", words)


def _slope(case: Case, temperature: float) -> float:
    """Return how fast pressure follows temperature in a full metal pipe, as steps."""
    return case.w.call(
        "dp/dt",
        rigid_pressure_slope,
        expansivity=case.w.call("β", thermal_expansivity, temperature=temperature),
        compressibility=case.w.call("κ", compressibility, temperature=temperature),
    )


def fall_expected(case: Case) -> Expected:
    """Return the most that the pressure may fall: no leakage, and what a gauge can tell apart from it."""
    is_rigid(case)
    return Expected(Q.PRESSURE_DIFFERENCE, upper=MOST_FALL, bearable=BEARABLE, basis="7 kPa in 30 minutes: " + COMMON)


def hold_pressure_measured(case: Case) -> float:
    """Return the pressure at which the line was held."""
    return case.at("pressure", "settled")


def hold_pressure_expected(case: Case) -> Expected:
    """Return the pressure of a full tank at the lowest tap, less a tenth, up to the weakest pipe's rating."""
    tank = case.system.node(case.subject.tag)
    working = case.w.call(
        "p_w",
        pressure_from_surface,
        surface_elevation=tank.need("overflow_elevation"),
        elevation=lowest_end(case.system, tank.tag),
        head_lost=0.0,
        density=density(case),
    )
    rating = min(run.need("pressure_rating") for run in gravity_side(case.system, tank.tag))
    return Expected(
        Q.GAUGE_PRESSURE,
        None,
        case.w.call("lower", lower_limit, nominal=working, tolerance=BELOW_WORKING),
        rating,
        basis="pressure of a full tank less 10 %, up to the weakest pipe's rating: " + COMMON,
    )


def makeup_measured(case: Case) -> float:
    """Return the flow of water that kept up the pressure."""
    return case.w.call("Q", bucket_flow, volume=case.reading("makeup"), time=case.reading("time"))


def makeup_expected(case: Case) -> Expected:
    """Return the makeup that the gasketed pipes may take at the test pressure."""
    if not case.readings:
        raise MissingDataError("reading", "pressure", "the test pressure has not been read")
    pipes = [r for r in gravity_side(case.system, case.subject.tag) if getattr(r.part, "joints", None) == "gasketed"]
    allowed = tuple(
        case.w.call(
            f"L {run.tag}",
            makeup_allowance,
            length=run.need("length"),
            nominal_diameter=run.need("inside_diameter"),
            test_pressure_gauge=case.reading("pressure"),
        )
        for run in pipes
    )
    upper = case.w.call("L", summed_head, heads=allowed)
    return Expected(Q.FLOW, upper=upper, bearable=upper, basis="AWWA C600 and C605 allowance, gasketed pipes only")


TIGHTNESS_WHOLE = Check(
    key="tightness_whole",
    title="Tightness of the gravity side",
    kind=Kind.MEASURED,
    subject=StorageTank,
    group="Tightness",
    purpose="Pipes, valves and taps hold: no joint weeps into the ground where nobody sees it.",
    ways=(
        Way(
            "hold",
            "Shut in and watched",
            (
                Input(
                    "pressure",
                    "Pressure at the lowest tap",
                    Q.GAUGE_PRESSURE,
                    hard=(0, 2.5e6),
                    soft=(10_000, 1e6),
                    hint="tap the gauge before each reading",
                    usual=FINE_GAUGE,
                ),
                Input(
                    "temperature",
                    "Water temperature",
                    Q.TEMPERATURE,
                    hard=(0, 60),
                    soft=(2, 35),
                    hint="the pipe's skin under a wrapped rag will do; needed when settled and at the end",
                    optional=True,
                    usual=SAME_THERMOMETER,
                ),
            ),
            ("fine pressure gauge", "thermometer", "watch", "hand test pump, if the tank is not full"),
        ),
    ),
    judged=(
        Judged("fall", "Fall in half an hour", Q.PRESSURE_DIFFERENCE, fall_expected, fall_measured),
        Judged("test_pressure", "Test pressure", Q.GAUGE_PRESSURE, hold_pressure_expected, hold_pressure_measured),
    ),
    pocket=Pocket(
        (Plan(("fall", "temperature@settled", "warming"), "fall"), Plan(("pressure@settled",), "test_pressure")),
        figures=(
            Figure("fall", ("pressure@settled", "pressure@end"), pressure_lost, lead="pressure@end"),
            Figure(
                "warming",
                ("temperature@settled", "temperature@end"),
                warmed_by,
                lead="temperature@end",
                kinks=(-STILL, 0.0, STILL),
                span=(-12.0, 12.0),
            ),
        ),
    ),
    repeat=timed(start=0.0, settled=15.0, end=45.0),
    state="all taps shut, tank outlet valve shut after filling, no sun on bare pipe",
    method=(
        "Bleed all air at the highest tap, shut every tap, plug a line that ends in a lower tank; gauge at the lowest.",
        "Bring it to the pressure of a full tank, shut the tank's valve: minute 0.",
        "Read when settled at minute 15 and at the end at minute 45, pressure and temperature.",
        "A fall: walk the line, look at every joint before you dig.",
    ),
    normal="The needle drops a little while the pipe settles, then stands.",
    cautions=(WATER_ONLY,),
    limits=(
        Limit(
            "no leakage is allowed in fused, solvent-welded and threaded pipe: not above 7 kPa in 30 minutes", COMMON
        ),
        Limit("plastic pipe: temperature within 0.5 K; metal pipe: corrected by β/κ of the water", COMMON),
        Limit("test pressure at least 90 % of a full tank's, not above the weakest rating", COMMON),
    ),
    at_service=True,
    applies=holds_pressure,
)

TIGHTNESS_MAKEUP = Check(
    key="tightness_makeup",
    title="Makeup water of the gravity side",
    kind=Kind.MEASURED,
    subject=StorageTank,
    group="Tightness",
    purpose="Gasketed joints take no more water under pressure than the waterworks rule allows.",
    ways=(
        Way(
            "makeup",
            "Pressure kept up from a jug",
            (
                Input(
                    "pressure",
                    "Mean pressure",
                    Q.GAUGE_PRESSURE,
                    hard=(0, 2.5e6),
                    soft=(10_000, 1e6),
                    usual=FINE_GAUGE,
                ),
                Input("makeup", "Water added", Q.VOLUME, hard=(1e-7, 1), soft=(1e-6, 0.02), usual=JUG),
                Input("time", "Over", Q.DURATION, hard=(60, 90_000), soft=(7_200, 15_000), usual=WATCH),
            ),
            ("hand test pump", "measuring jug", "fine pressure gauge", "watch"),
        ),
    ),
    judged=(Judged("makeup", "Makeup water", Q.FLOW, makeup_expected, makeup_measured),),
    pocket=along("pressure", "makeup", "time", axes=(Axis("time", scale=Scale.RECIPROCAL),)),
    state="all taps shut, tank outlet valve shut",
    method=(
        "Bleed all air, bring it to the test pressure.",
        "Keep the pressure within 35 kPa (5 psi) for two hours from a measuring jug.",
        "Note what you added.",
    ),
    normal="A few strokes of the test pump in two hours.",
    cautions=(WATER_ONLY,),
    limits=(Limit("not above S·D·√P / 148 000 of the gasketed pipes", "AWWA C600 and C605, testing allowance"),),
    at_service=True,
    applies=makes_up,
)

CHECKS = (TIGHTNESS_WHOLE, TIGHTNESS_MAKEUP)
