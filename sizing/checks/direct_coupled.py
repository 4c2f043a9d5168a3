"""A pump whose controller only joins it to the array: where their two curves, the well and the pipes balance."""

from sizing.cables import loops
from sizing.checks.case import Case, Expected, Term
from sizing.checks.declare import COMMON
from sizing.checks.drives import array_of, controller_of
from sizing.checks.pump_head import capacity_now, tank_levels
from sizing.errors import MissingDataError, OutOfRangeError
from sizing.formulas.direct_coupling import pump_table_current
from sizing.formulas.limits import lower_limit, upper_limit
from sizing.formulas.pump_curves import pump_table_flow
from sizing.formulas.supply import array_current_at_voltage
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.lift import PumpRows, lift_curve, voltage_rows
from sizing.parts import SolarArray, Well
from sizing.power import ArrayNow, array_now
from sizing.pumping import operating_points, source_of, tank_filled_by
from sizing.quantities import Quantity as Q
from sizing.records import record
from sizing.system import Node, State
from sizing.working import Working

CURVE_MODEL = 0.02  # of the current, greatest departure from a single-diode model up to maximum power
HALVINGS = 24  # of the table's span of voltages: a millionth of it


@record
class DirectPoint:
    """Where array and pump balance: volts at the motor and at the array, current, head [m] and flow [m³/s]."""

    voltage: float
    array_voltage: float
    current: float
    head: float
    flow: float


def direct_point(case: Case, pump: Node) -> DirectPoint:
    """Return where a pump joined straight to its array runs, in the sun and heat of the moment, as steps.

    The array's current falls with the voltage, the pump's rises: they meet once. Cables take their drop; the
    controller is taken to lose nothing. Raises OutOfRangeError where the sun is too weak for the table.
    """
    controller, to_pump = controller_of(case, pump)
    array = array_of(case, controller)
    _, to_array = case.system.path_between(controller.tag, "array", SolarArray, "cable")
    sun, heat = case.reading("irradiance"), case.condition("module_temperature")
    now = array_now(array, sun, heat, case.w)
    air = case.system.subject("site").need("design_high")
    resistance = loops([*to_array, *to_pump], air, case.w, "R_cables")
    low, high = (pick(row[0] for row in voltage_rows(pump)) for pick in (min, max))
    if _surplus(case, pump, now, resistance, low) < 0:
        raise OutOfRangeError("irradiance", f"{sun:.0f} W/m²", "more: the pump's table begins at a higher current")
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _surplus(case, pump, now, resistance, middle) > 0 else (low, middle)
    return _at(case, pump, now, resistance, low, case.w)


def _surplus(case: Case, pump: Node, now: ArrayNow, resistance: float, voltage: float) -> float:
    """Return what the array would give more than the pump takes at a voltage of the motor."""
    point = _at(case, pump, now, resistance, voltage, Working(silent=True))
    if point.array_voltage >= now.open_circuit_voltage:
        return -point.current
    return _array_current(now, point.array_voltage, Working(silent=True)) - point.current


def _at(case: Case, pump: Node, now: ArrayNow, resistance: float, voltage: float, w: Working) -> DirectPoint:
    head, flow = _settled(case, pump, voltage)
    rows = current_rows(pump)
    taken = w.call("I", pump_table_current, rows=rows, voltage=voltage, head=head, note="where all of it balances")
    point = DirectPoint(voltage, voltage + resistance * taken, taken, head, flow)
    if not w.silent:
        _array_current(now, point.array_voltage, w)
    return point


def _array_current(now: ArrayNow, voltage: float, w: Working) -> float:
    return w.call(
        "I_a",
        array_current_at_voltage,
        voltage=voltage,
        short_circuit_current=now.short_circuit_current,
        open_circuit_voltage=now.open_circuit_voltage,
        maximum_power_voltage=now.maximum_power_voltage,
        maximum_power_current=now.maximum_power_current,
        note="the same, seen from the array",
    )


def _settled(case: Case, pump: Node, voltage: float) -> tuple[float, float]:
    """Return head and flow at which pump, well and pipes balance at a voltage of the motor."""
    well, tank = case.system.host_of(pump, Well), tank_filled_by(case.system, pump)
    tank.need("inlet_elevation")
    silent = Case(case.system, case.subject, case.readings, case.conditions, case.label, case.way, case.moment)
    source = source_of(
        case.system,
        pump,
        lift_curve(voltage_rows(pump), voltage),
        static_level=case.condition("static_level"),
        specific_capacity=capacity_now(silent, well),
    )
    state = State(running=frozenset({pump.tag}), levels=tank_levels(case, tank))
    point = operating_points(case.system, {pump.tag: source}, state)[pump.tag]
    return point.head, point.flow


def current_rows(pump: Node) -> PumpRows:
    """Return voltage, head and current of each row of a pump's table by voltage, or raise MissingDataError."""
    rows = pump.part.need_table(pump.tag, "performance_by_voltage")
    if any(value is None for row in rows for value in (row[0], row[1], row[3])):
        words = f"{pump.tag}: a row of the performance table by voltage has no current"
        raise MissingDataError(pump.tag, "performance_by_voltage", words)
    return tuple((float(row[0] or 0), float(row[1] or 0), float(row[3] or 0)) for row in rows)


def is_direct(case: Case, pump: Node) -> bool:
    """Whether a pump is joined straight to its array, and its sheet goes by voltage and not by power."""
    if getattr(pump.part, "performance", None) or not getattr(pump.part, "performance_by_voltage", None):
        return False
    drive, _ = controller_of(case, pump)
    return getattr(drive.part, "principle", None) == "direct"


def direct_flow_expected(case: Case, pump: Node, tolerance: float) -> Expected:
    """Return what a pump joined straight to its array gives in the sun of the moment."""
    point = direct_point(case, pump)
    nominal = case.w.call(
        "Q",
        pump_table_flow,
        rows=voltage_rows(pump),
        power=point.voltage,
        head=point.head,
        note="volts in the place of watts; where array, pump and pipes balance",
    )
    return Expected(
        Q.FLOW,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=tolerance),
        case.w.call("upper", upper_limit, nominal=nominal, tolerance=tolerance),
        basis=f"pump's table by voltage where it meets the array, ± {100 * tolerance:.0f} %: {COMMON}",
        terms=(Term("array's curve ± 2 %", standard_from_half_width(CURVE_MODEL * nominal), shared=True),),
    )
