"""Sums that a technician does on the spot: from the record, what was measured before, and what is typed so far.

Each stands at the step where it is needed, before anything is kept. It calls what the checks call, so that the number
told beforehand and the number judged afterwards are the same; nothing here is judged.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from sizing.cables import loops
from sizing.checks.booster import source_of
from sizing.checks.case import Case, Expected, Reading, Value
from sizing.checks.catalogue import CHECKS
from sizing.errors import MissingDataError, OutOfRangeError, SystemShapeError
from sizing.formulas.voltage_drop import drop_fraction, voltage_drop
from sizing.formulas.wells import drawdown, drawdown_at_flow, specific_capacity
from sizing.quantities import Quantity as Q
from sizing.system import System
from sizing.working import Step, Working

WARM = 25.0  # °C, of a cable where nobody has recorded how hot it gets; common practice, no source


@dataclass(frozen=True)
class Line:
    """One result of a sum, in the core unit of its quantity."""

    words: str
    value: float
    quantity: Q


@dataclass(frozen=True)
class Sum:
    """One sum: what it is called, and how it is done."""

    title: str
    of: Callable[[Case], list[Line]]


@dataclass(frozen=True)
class Worked:
    """A sum that was done, with its steps; or what was missing for it."""

    title: str
    lines: tuple[Line, ...]
    steps: tuple[Step, ...]
    missing: str = ""
    wants_reading: bool = False
    """Whether what is missing can be typed at the check itself."""


def worked(
    check: str,
    system: System,
    subject: str,
    *,
    readings: tuple[Reading, ...] = (),
    conditions: Mapping[str, Value | MissingDataError] | None = None,
    way: str = "",
    moment: float | None = None,
) -> list[Worked]:
    """Return every sum that belongs to a check, done for one subject. What is missing is said and never raises."""
    case = Case(system, system.subject(subject), readings, conditions or {}, "", way, moment)
    return [_done(one, case) for one in SUMS.get(check, ())]


def _done(one: Sum, case: Case) -> Worked:
    here = replace(case, w=Working(), used=set())
    try:
        lines = one.of(here)
    except (MissingDataError, OutOfRangeError, SystemShapeError) as problem:
        words, owner = getattr(problem, "words", "") or str(problem), getattr(problem, "owner", "")
        return Worked(one.title, (), (), words, wants_reading=owner == "reading")
    return Worked(one.title, tuple(lines), tuple(here.w.steps))


def _expected(case: Case, check: str, name: str) -> Expected:
    """Return what a judged value of a check should be in a case."""
    return next(one for one in CHECKS[check].judged if one.name == name).expected(case)


def bleach(case: Case) -> list[Line]:
    """The bleach for the wetted volume, the bounds of the dose, and the dose of what is typed."""
    e = _expected(case, "chlorine_dose", "bleach")
    bounds = _expected(replace(case, w=Working(silent=True)), "chlorine_dose", "dose")
    found = [
        Line(f"for {dose:.0f} mg/L", volume, Q.VOLUME)
        for dose, volume in ((bounds.nominal, e.nominal), (bounds.lower, e.lower), (bounds.upper, e.upper))
        if dose is not None and volume is not None
    ]
    if case.has("bleach"):
        dose = next(one for one in CHECKS["chlorine_dose"].judged if one.name == "dose").measured
        assert dose is not None
        found.append(Line("what is typed gives", dose(case), Q.MASS_CONCENTRATION_MG_PER_L))
    return found


def precharge(case: Case) -> list[Line]:
    """The pressure to which the gas is set, at the temperature typed."""
    return _lines("set the gas, water side at zero, to", _expected(case, "precharge", "pressure"))


def tank_drawdown(case: Case) -> list[Line]:
    """The water between cut-out and cut-in."""
    return _lines("water from cut-out to cut-in", _expected(case, "tank_drawdown", "volume"))


def _lines(words: str, e: Expected) -> list[Line]:
    return [] if e.nominal is None else [Line(words, e.nominal, e.quantity)]


def cable_drop(case: Case) -> list[Line]:
    """What the cable takes of the booster's voltage, at the current typed or else the rated one."""
    pump = case.system.node(case.subject.tag)
    _, runs = source_of(case.system, pump)
    source = case.either("source", pump.need("rated_voltage"))
    current = case.either("current", pump.need("rated_current"))
    warm = getattr(case.system.site, "design_high", None)
    resistance = loops(runs, WARM if warm is None else warm, case.w, "R")
    drop = case.w.call("ΔV", voltage_drop, current=current, loop_resistance=resistance)
    share = case.w.call("ΔV/V", drop_fraction, drop=drop, source_voltage=source)
    return [
        Line("the cable takes", drop, Q.VOLTAGE),
        Line("of the source's voltage", share, Q.RATIO),
        Line("left at the motor, joints apart", source - drop, Q.VOLTAGE),
    ]


def suction_head(case: Case) -> list[Line]:
    """The suction head left over, at the flow typed or else the greatest of the pump's table."""
    around = {name: value for name, value in case.conditions.items() if name != "booster_flow"}
    if case.has("flow"):
        around["booster_flow"] = Value(case.reading("flow"))
    margin = CHECKS["npsh_margin"].judged[0].measured
    assert margin is not None
    left = margin(replace(case, readings=(), conditions=around))
    return [Line("NPSH left over, tank low and filters dirty; half a metre or more is sound", left, Q.HEAD)]


def well_drawdown(case: Case) -> list[Line]:
    """The drawdown so far, what the well's test lets expect at the flow typed, and the specific capacity today."""
    static, found = case.condition("static_level"), []
    if case.has("level"):
        now = case.w.call("s", drawdown, pumping_level=case.reading("level"), static_level=static)
        found.append(Line("drawdown so far", now, Q.LENGTH))
    if case.has("flow"):
        flow, well = case.reading("flow"), case.subject
        tested = case.w.call(
            "C_s test", specific_capacity, flow=well.need("tested_yield"), drawdown=well.need("drawdown_at_yield")
        )
        by_test = case.w.call("s test", drawdown_at_flow, flow=flow, specific_capacity=tested)
        found.append(Line("by the well's test it would be", by_test, Q.LENGTH))
        if found[0].words == "drawdown so far" and found[0].value > 0:
            today = case.w.call("C_s", specific_capacity, flow=flow, drawdown=found[0].value)
            found.append(Line("specific capacity today", today, Q.SPECIFIC_CAPACITY))
    if not found:
        raise MissingDataError("reading", "level", "neither the level nor the flow has been typed")
    return found


SUCTION = Sum("Suction head left over (NPSH)", suction_head)
DRAWDOWN = Sum("Drawdown of the pressure tank", tank_drawdown)
SUMS: dict[str, tuple[Sum, ...]] = {
    "chlorine_dose": (Sum("Bleach for all that is wetted", bleach),),
    "precharge": (Sum("Precharge to set", precharge),),
    "tank_drawdown": (DRAWDOWN,),
    "booster_run_time": (DRAWDOWN,),
    "booster_voltage": (Sum("Drop of the cable", cable_drop),),
    "booster_flow": (SUCTION,),
    "booster_suction_vacuum": (SUCTION,),
    "pumping_level": (Sum("Drawdown of the well", well_drawdown),),
}
"""Key of a check → the sums at its step."""
