"""The pressure switch: where it starts the pump and where it stops it."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Check, Input, Judged, Kind, Limit, Way, times
from sizing.checks.pressure import GAUGE, NO_RELIEF, SWITCH_SLACK
from sizing.checks.storage import STARTS_ALONE
from sizing.formulas.limits import limit_at_offset
from sizing.parts import PressureSwitch
from sizing.quantities import Quantity as Q

SWITCH_AGREES = 15_000.0  # Pa between three cycles; common practice, no source


def around_set_point(case: Case, field: str) -> Expected:
    """Return a switch's set point either way."""
    nominal = case.subject.need(field)
    return Expected(
        Q.GAUGE_PRESSURE,
        nominal,
        case.w.call("lower", limit_at_offset, nominal=nominal, offset=-SWITCH_SLACK),
        case.w.call("upper", limit_at_offset, nominal=nominal, offset=SWITCH_SLACK),
        basis=f"nameplate of the switch ± 20 kPa (3 psi): {COMMON}",
    )


def _pressure(label: str, hint: str, usual: Accuracy = GAUGE) -> Input:
    return Input(
        "pressure", label, Q.GAUGE_PRESSURE, hard=(0, 3e6), soft=(20_000, 1e6), hint=hint, usual=usual,
        agree_fixed=SWITCH_AGREES,
    )  # fmt: skip


CUT_IN = Check(
    key="cut_in",
    title="Cut-in",
    kind=Kind.MEASURED,
    subject=PressureSwitch,
    group="Booster and pressure",
    purpose="The pump starts where it is set to: below the precharge the taps would run dry first.",
    ways=(Way("gauge", "Gauge at the switch", (_pressure("Pressure at the start", "slowly falling"),), ("gauge",)),),
    judged=(
        Judged("pressure", "Cut-in, mean of three", Q.GAUGE_PRESSURE, lambda case: around_set_point(case, "cut_in")),
    ),
    repeat=times(3),
    state="one tap a little open, so that the needle falls slowly",
    method=("Open a tap a little; watch the needle fall.", "Read at the click of the start. Three times."),
    normal="The needle sinks slowly, a click, and it climbs. One that swings fast is a tank without gas.",
    cautions=(STARTS_ALONE,),
    limits=(Limit("within 20 kPa (3 psi) of the set point; three within 15 kPa", COMMON),),
    gate="pressurise",
    at_service=True,
)

CUT_OUT = Check(
    key="cut_out",
    title="Cut-out",
    kind=Kind.MEASURED,
    subject=PressureSwitch,
    group="Booster and pressure",
    purpose="The pump stops where it is set to, below the relief and the weakest part.",
    ways=(Way("gauge", "Gauge at the switch", (_pressure("Pressure at the stop", "slowly rising"),), ("gauge",)),),
    judged=(
        Judged("pressure", "Cut-out, mean of three", Q.GAUGE_PRESSURE, lambda case: around_set_point(case, "cut_out")),
    ),
    repeat=times(3),
    state="taps shut, pump filling the tank",
    method=(
        "Shut the taps; a hand on the pump's switch. Watch the needle rise.",
        "Read at the click of the stop. Three times.",
        "No stop 50 kPa above the set point: stop it by hand.",
    ),
    normal="An even climb, a click, and the needle stands.",
    cautions=(NO_RELIEF, STARTS_ALONE),
    limits=(Limit("within 20 kPa (3 psi) of the set point; three within 15 kPa", COMMON),),
    gate="pressurise",
    at_service=True,
)

CHECKS = (CUT_IN, CUT_OUT)
