"""The first water of the morning: how much sun it takes."""

import dataclasses

from sizing.checks.case import Case, Expected, Term
from sizing.checks.conditions import IN_THE_SUN, SUN_METER
from sizing.checks.declare import COMMON, Check, Input, Judged, Kind, Limit, Way
from sizing.checks.drives import array_of, controller_of, drive_of, loop_resistance, wires_of
from sizing.checks.needs import MODULE_TEMPERATURE, STATIC_LEVEL
from sizing.checks.pocket import Pocket
from sizing.checks.pump_head import head_by_system, pump_of
from sizing.formulas.limits import upper_limit
from sizing.formulas.solar_pumping import array_power, controller_input_power, motor_cable_loss
from sizing.formulas.starting import irradiance_for_power, start_power
from sizing.formulas.supply import summed_power
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.parts import PumpController, SubmersiblePump
from sizing.pumping import pump_rows
from sizing.quantities import Quantity as Q
from sizing.system import System

MORE_SUN = 0.5  # of the expected; common practice, no source
THRESHOLD_HALF_WIDTH = 0.2  # of the power, extrapolated to no flow; common practice, no source
MORNING_CELL = 25.0  # °C, where nobody felt the modules; common practice, no source


def starts_by_sun(system: System, tag: str) -> bool:
    """Whether a pump starts with the sun: its drive is a controller that tracks, or of unknown kind."""
    try:
        drive, _ = drive_of(system, tag)
    except LookupError:
        return False
    feeds = [node.kind for node, _ in system.reached(drive.tag, "cable", "array")]
    return isinstance(drive.part, PumpController) and drive.part.principle != "direct" and "battery_bank" not in feeds


def start_expected(case: Case) -> Expected:
    """Return the irradiance at which table, cable, controller and array give the first water at the level at rest."""
    pump = pump_of(case)
    controller, cables = controller_of(case, pump)
    array = array_of(case, controller)
    head, _ = head_by_system(case, pump, 0.0)
    least = case.w.call("P₀", start_power, rows=pump_rows(pump), head=head)
    loss = case.w.call(
        "ΔP", motor_cable_loss, power=least, voltage=pump.need("rated_voltage"),
        loop_resistance=loop_resistance(case, cables), wires=wires_of(pump),
    )  # fmt: skip
    sent = case.w.call("P_o", summed_power, powers=(least, loss))
    taken = case.w.call("P_i", controller_input_power, output_power=sent, efficiency=controller.need("efficiency"))
    rated = case.w.call(
        "P_STC", array_power, module_power=array.need("module_power"), modules_in_series=array.need("series"),
        strings=array.need("parallel"),
    )  # fmt: skip
    nominal = case.w.call(
        "G₀", irradiance_for_power, power=taken, rated_power=rated,
        cell_temperature=case.either("module_temperature", MORNING_CELL), coefficient=array.need("power_coefficient"),
    )  # fmt: skip
    return Expected(
        Q.IRRADIANCE,
        nominal,
        upper=case.w.call("upper", upper_limit, nominal=nominal, tolerance=MORE_SUN),
        basis="pump table carried on to no flow, level at rest, + 50 %; with less sun is no fault: " + COMMON,
        terms=(Term("table at no flow ± 20 %", standard_from_half_width(THRESHOLD_HALF_WIDTH * nominal), shared=True),),
    )


START_IRRADIANCE = Check(
    key="start_irradiance",
    title="Sun at the first water",
    kind=Kind.MEASURED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="The pump gives its first water in as little sun as it did when new: dirt, wear and bad joints delay it.",
    ways=(
        Way(
            "meter",
            "Sun meter in the array's plane",
            (
                Input(
                    "irradiance",
                    "Irradiance at the first water",
                    Q.IRRADIANCE,
                    hard=(1, 1400),
                    soft=(40, 700),
                    hint="clear morning, when water first comes at the outlet",
                    usual=SUN_METER,
                ),
            ),
            ("sun meter",),
        ),
    ),
    judged=(Judged("irradiance", "Irradiance at the first water", Q.IRRADIANCE, start_expected),),
    needs=(STATIC_LEVEL, dataclasses.replace(MODULE_TEMPERATURE, optional=True)),
    state="clear morning, tank not full, outlet open",
    method=(
        "Stand at the outlet on a clear morning; sun meter in the array's plane.",
        "Read it when water first comes and stays.",
        "As it should be: a hum first, some turns without water, then drips, then a thread that grows.",
    ),
    cautions=(IN_THE_SUN,),
    limits=(Limit("not above one and a half times what table, well and array ask for", COMMON),),
    after=("rotation",),
    gate="fill_tank",
    tier="full",
    needs_sun=True,
    at_service=True,
    applies=starts_by_sun,
    pocket=Pocket(server="pump table, level at rest and array together"),
)

CHECKS = (START_IRRADIANCE,)
