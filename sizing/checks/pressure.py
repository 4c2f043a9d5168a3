"""The pressure tank: its gas, its relief, the first fill, its drawdown, and the length of a run."""

from sizing.boosting import booster_point
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
    times,
)
from sizing.checks.pocket import Axis, Figure, OfSubject, Plan, Pocket, SpanOf, along
from sizing.checks.pressure_zone import fillers_of, switch_of
from sizing.checks.storage import STARTS_ALONE
from sizing.errors import MissingDataError
from sizing.formulas.atmosphere import absolute_pressure, atmospheric_pressure
from sizing.formulas.limits import limit_at_offset, lower_limit, upper_limit
from sizing.formulas.shut_off import flow_at_head
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.formulas.vessels import (
    precharge_at_temperature,
    pump_run_time,
    recommended_precharge,
    tank_drawdown,
)
from sizing.hydraulics import site_water_density
from sizing.lift import booster_curve
from sizing.parts import BoosterPump, PressureTank, ReliefValve, StorageTank
from sizing.quantities import Quantity as Q
from sizing.system import Node, State, System

# Accuracies are what ordinary instruments of the kind state; common practice, no source.
GAUGE = Accuracy(fixed=5_000.0, words="pressure gauge, class 1 of 500 kPa")
TYRE_GAUGE = Accuracy(fixed=4_000.0, words="tyre gauge")
THERMOMETER = Accuracy(fixed=2.0, words="thermometer on the shell")
JUG = Accuracy(of_reading=0.02, words="marked bucket")
STOPWATCH = Accuracy(fixed=1.0, words="watch by hand")

PRECHARGE_SLACK = 7_000.0  # Pa either way; common practice, no source
SWITCH_SLACK = 20_000.0  # Pa either way, some 3 psi; common practice, no source
DRAWDOWN_SLACK = 0.20  # common practice, no source
FAST_GAS = 0.05  # gas compressed within minutes against slowly; common practice, no source
LEAST_RUN = 30.0  # s from cut-in to cut-out, a minute is the aim; common practice, no source

STORED_FORCE = Caution(
    "A tank under pressure can throw its parts: water side open and at zero before anything is unscrewed.",
    COMMON,
)
NO_RELIEF = Caution(
    "Nothing that can be shut between tank and relief valve. A relief that sticks or is plugged: do not pressurise.",
    "California Title 8, section 465; " + COMMON,
)
SPRAY = Caution("Stand aside of the relief's outlet; what it throws out is under full pressure.", COMMON)


def atmosphere(case: Case) -> float:
    """Return the pressure of the air at the site, as a step."""
    altitude = case.system.subject("site").need("altitude")
    return case.w.call("p_amb", atmospheric_pressure, altitude=altitude)


def absolute(case: Case, symbol: str, gauge: float, air: float) -> float:
    """Return an absolute pressure, as a step."""
    return case.w.call(symbol, absolute_pressure, gauge_pressure=gauge, atmosphere=air)


def tank(case: Case) -> Node:
    """Return the pressure tank that a check is taken on."""
    return case.system.node(case.subject.tag)


def precharge_expected(case: Case) -> Expected:
    """Return two psi below cut-in, carried from the temperature at which it was to be set to that of the gas."""
    switch = switch_of(case.system, tank(case))
    nominal = case.w.call("p₀ set", recommended_precharge, cut_in_gauge=switch.need("cut_in"))
    at: float | None = getattr(case.subject.part, "precharge_temperature", None)
    if at is not None and case.has("temperature"):
        air = atmosphere(case)
        here = case.w.call(
            "p₀ abs",
            precharge_at_temperature,
            precharge=absolute(case, "p₀ set abs", nominal, air),
            temperature=at,
            other_temperature=case.reading("temperature"),
        )
        nominal = case.w.call("p₀", limit_at_offset, nominal=here, offset=-air)
    return Expected(
        Q.GAUGE_PRESSURE,
        nominal,
        case.w.call("lower", limit_at_offset, nominal=nominal, offset=-PRECHARGE_SLACK),
        case.w.call("upper", limit_at_offset, nominal=nominal, offset=PRECHARGE_SLACK),
        basis=f"2 psi (13.8 kPa) below cut-in, at the gas's temperature, ± 7 kPa: {COMMON}",
    )


def drawdown_expected(case: Case) -> Expected:
    """Return the water between cut-out and cut-in by Boyle's law, with what was measured of gas and switch."""
    nominal = drawdown(case)
    return Expected(
        Q.VOLUME,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=DRAWDOWN_SLACK),
        case.w.call("upper", upper_limit, nominal=nominal, tolerance=DRAWDOWN_SLACK),
        basis=f"Boyle's law in absolute pressures ± 20 %: {COMMON}",
        terms=(Term("gas compressed fast ± 5 %", standard_from_half_width(FAST_GAS * nominal), shared=True),),
    )


def drawdown(case: Case) -> float:
    """Return the water of a pressure tank between cut-out and cut-in, as steps."""
    here, switch = tank(case), switch_of(case.system, tank(case))
    air = atmosphere(case)
    return case.w.call(
        "ΔV",
        tank_drawdown,
        tank_volume=here.need("volume"),
        precharge=absolute(case, "p₀", measured_or(case, "precharge", here), air),
        cut_in=absolute(case, "p_in", measured_or(case, "cut_in", switch), air),
        cut_out=absolute(case, "p_out", measured_or(case, "cut_out", switch), air),
    )


def measured_or(case: Case, name: str, node: Node) -> float:
    """Return a result of another check, or the nameplate's figure of the same name."""
    return case.condition(name) if case.has(name) else node.need(name)


def _plate(name: str, of_switch: bool = True) -> OfSubject:
    """Return what reads a nameplate's figure of the pressure tank's switch, or of the tank."""

    def read(system: System, tag: str) -> float:
        node = system.node(tag)
        return (switch_of(system, node) if of_switch else node).need(name)

    return read


def _around(plate: OfSubject, least: float, most: float) -> SpanOf:
    """Return what gives the span from one multiple of a nameplate's figure to another."""
    return lambda system, tag: (least * plate(system, tag), most * plate(system, tag))


GAS, IN, OUT = _plate("precharge", of_switch=False), _plate("cut_in"), _plate("cut_out")
TANK_AND_SWITCH = (
    Axis("precharge", _around(GAS, 0.4, 1.2), default=GAS),
    Axis("cut_in", _around(IN, 0.8, 1.2), default=IN),
    Axis("cut_out", _around(OUT, 0.85, 1.2), default=OUT),
)


def run_time_expected(case: Case) -> Expected:
    """Return half a minute as the least run; nominal by drawdown and pump where the pump is a booster."""
    basis = f"30 s or more from cut-in to cut-out, a minute is the aim: {COMMON}"
    fillers = fillers_of(case.system, tank(case))
    if not fillers:
        raise MissingDataError(case.subject.tag, "pipe", f"{case.subject.tag}: no pump is recorded that fills it")
    if len(fillers) > 1 or not isinstance(fillers[0].part, BoosterPump):
        return Expected(Q.DURATION, None, LEAST_RUN, basis=basis, bearable=LEAST_RUN / 2)
    flow = filling_flow(case, fillers[0])
    taken = case.reading("draw") if case.readings else 0.0
    nominal = case.w.call("t", pump_run_time, drawdown=drawdown(case), pump_flow=flow, demand=taken)
    if nominal <= LEAST_RUN:
        basis = f"{basis}; by tank and pump it is no more than {nominal:.0f} s: the tank is too small"
        return Expected(Q.DURATION, None, LEAST_RUN, basis=basis, bearable=LEAST_RUN / 2)
    return Expected(Q.DURATION, nominal, LEAST_RUN, basis=basis)


def filling_flow(case: Case, booster: Node) -> float:
    """Return what a booster gives half way from cut-in to cut-out, its tank low, as the balance of pump and pipes."""
    switch = switch_of(case.system, tank(case))
    halfway = (switch.need("cut_in") + switch.need("cut_out")) / 2
    levels = {one.tag: one.need("outlet_elevation") for one in case.system.of(StorageTank)}
    point = booster_point(case.system, booster, State(levels=levels, pressures={case.subject.tag: halfway}))
    points = booster_curve(booster, site_water_density(case.system)).points
    flows, heads = tuple(q for q, _ in points), tuple(h for _, h in points)
    note = "where pump and pipes balance, half way"
    return case.w.call("Q_p", flow_at_head, flows=flows, heads=heads, head=point.head, note=note)


EARLIER = (
    Need("precharge", Needed.EARLIER, "Precharge as found", Q.GAUGE_PRESSURE, optional=True),
    Need(
        "cut_in", Needed.EARLIER, "Cut-in as read", Q.GAUGE_PRESSURE,
        lambda system, tag: switch_of(system, system.node(tag)).tag, optional=True,
    ),
    Need(
        "cut_out", Needed.EARLIER, "Cut-out as read", Q.GAUGE_PRESSURE,
        lambda system, tag: switch_of(system, system.node(tag)).tag, optional=True,
    ),
)  # fmt: skip


PRECHARGE = Check(
    key="precharge",
    title="Precharge of the pressure tank",
    kind=Kind.MEASURED,
    subject=PressureTank,
    group="Booster and pressure",
    purpose="The gas holds what it should: too little costs water for each start, too much leaves taps dry.",
    ways=(
        Way(
            "gauge",
            "Gauge on the air valve",
            (
                Input(
                    "pressure",
                    "Gas pressure, water side at zero",
                    Q.GAUGE_PRESSURE,
                    hard=(0, 2e6),
                    soft=(70_000, 500_000),
                    hint="a reading that equals the standing water pressure was taken wet",
                    usual=TYRE_GAUGE,
                ),
                Input(
                    "temperature",
                    "Temperature of the shell",
                    Q.TEMPERATURE,
                    hard=(-30, 70),
                    soft=(-5, 45),
                    hint="10 K move it by some 10 kPa; needed where the record says at which it was set",
                    optional=True,
                    usual=THERMOMETER,
                ),
            ),
            ("tyre gauge", "thermometer"),
        ),
    ),
    judged=(Judged("pressure", "Precharge", Q.GAUGE_PRESSURE, precharge_expected),),
    pocket=Pocket((Plan(("temperature",), given=("temperature",)), Plan())),
    state="pump locked off, water side open to the air and at zero",
    method=(
        "Lock the pump off, open a tap below the tank until nothing runs.",
        "Read the gas at the air valve, and the heat of the shell.",
        "Water at the air valve: the bladder is torn, write it down and stop.",
    ),
    normal="Tapped, the tank sounds hollow high and dull low; dull all over it is full of water.",
    cautions=(STORED_FORCE,),
    limits=(Limit("2 psi (13.8 kPa) below cut-in, at the gas's temperature, ± 7 kPa", COMMON),),
    perishable="once water stands in the tank the gauge reads the water's pressure",
    at_service=True,
)

RELIEF_OPENS = Check(
    key="relief_opens",
    title="The relief valve opens",
    kind=Kind.OBSERVED,
    subject=ReliefValve,
    group="Booster and pressure",
    purpose="The one part that stands between a stuck switch and a burst tank moves and is not plugged.",
    state="pump off",
    method=(
        "Look: nothing that can be shut between tank and valve, its outlet open, led down to where it harms none.",
        "Read its setting off the print: above cut-out, not above the weakest part.",
        "Lift its lever by hand: water or air comes, and it closes tight.",
    ),
    normal="A short gush, a clean snap shut, no drip after it.",
    cautions=(NO_RELIEF, SPRAY),
    limits=(Limit("it opens by hand, closes tight, and nothing stands before or behind it", COMMON),),
    at_service=True,
)

LOW_PRESSURE_FILL = Check(
    key="low_pressure_fill",
    title="Filled at low pressure, and looked at",
    kind=Kind.OBSERVED,
    subject=PressureTank,
    group="Booster and pressure",
    purpose="A joint left loose drips at low pressure, and does not burst at full.",
    state="taps open until the air is out, pump stopped by hand below cut-in",
    method=(
        "Open the highest tap; let the tank's height, or short bursts of the pump, fill the pipes.",
        "Air out, taps shut: stop by hand at about a quarter of cut-out.",
        "Walk along every joint with a dry hand and a lamp before going higher.",
    ),
    cautions=(STORED_FORCE,),
    limits=(Limit("not a drop at any joint at about a quarter of cut-out", COMMON),),
    after=("relief_opens", "precharge"),
)

TANK_DRAWDOWN = Check(
    key="tank_drawdown",
    title="Water from cut-out to cut-in",
    kind=Kind.MEASURED,
    subject=PressureTank,
    group="Booster and pressure",
    purpose="The bladder is whole and the gas is right: the tank gives what Boyle's law says.",
    ways=(
        Way(
            "bucket",
            "Marked bucket at a tap",
            (Input("volume", "Water drawn", Q.VOLUME, hard=(1e-4, 5), soft=(2e-3, 0.3), usual=JUG),),
            ("marked bucket",),
        ),
    ),
    judged=(Judged("volume", "Water drawn", Q.VOLUME, drawdown_expected),),
    pocket=along("precharge", "cut_in", "cut_out", axes=TANK_AND_SWITCH),
    needs=EARLIER,
    state="pump stopped by itself at cut-out, then kept off until cut-in is reached",
    method=(
        "Let the pump stop by itself, then draw slowly at one tap into a marked bucket.",
        "Stop when the pump starts, or at cut-in with the pump locked off.",
        "More than Boyle's law gives: the pump was running meanwhile.",
    ),
    normal="An even stream that slowly weakens; it does not pulse.",
    cautions=(STARTS_ALONE,),
    limits=(Limit("within 20 % of Boyle's law, in absolute pressures for the altitude", COMMON),),
    after=("cut_in", "cut_out"),
    gate="pressurise",
    at_service=True,
)

STARTS_AT_FIXED_DRAW = Check(
    key="starts_at_fixed_draw",
    title="Run from start to stop at a fixed draw",
    kind=Kind.MEASURED,
    subject=PressureTank,
    group="Booster and pressure",
    purpose="Each start is a long one: short runs burn motors, contacts and batteries.",
    ways=(
        Way(
            "watch",
            "Watch, one tap left open",
            (
                Input(
                    "run_time", "Run from start to stop", Q.DURATION, hard=(0.5, 36_000), soft=(30, 1_800),
                    usual=STOPWATCH, agree_share=0.2,
                ),
                Input(
                    "draw", "Flow of the open tap", Q.FLOW, hard=(0, 0.05), soft=(0, 0.003), repeats=False,
                    hint="less than the pump gives; the same at every visit",
                    usual=Accuracy(of_reading=0.05, words="bucket and watch"),
                ),
            ),
            ("watch", "bucket"),
        ),
    ),
    judged=(Judged("run_time", "Run from start to stop", Q.DURATION, run_time_expected),),
    pocket=along(
        "drawdown",
        "draw",
        axes=TANK_AND_SWITCH,
        figures=(Figure("drawdown", ("precharge", "cut_in", "cut_out"), drawdown),),
    ),
    repeat=times(3),
    needs=EARLIER,
    state="one tap left open at a measured flow",
    method=(
        "Open one tap to a flow that the pump overcomes; measure it.",
        "Time three runs, from start to stop.",
    ),
    normal="A minute or more each time; the needle climbs evenly and the tone rises a little.",
    cautions=(STARTS_ALONE,),
    limits=(Limit("30 s or more for each run, a minute is the aim", COMMON),),
    after=("cut_in", "cut_out"),
    gate="pressurise",
    at_service=True,
)  # fmt: skip

CHECKS = (
    PRECHARGE,
    RELIEF_OPENS,
    LOW_PRESSURE_FILL,
    TANK_DRAWDOWN,
    STARTS_AT_FIXED_DRAW,
)
