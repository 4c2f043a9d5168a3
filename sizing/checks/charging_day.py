"""A charge controller over a day: what its display says, when it lets the loads go, how soon the battery is full."""

from typing import Any

from sizing.cables import loops
from sizing.checks.battery_case import HYDROGEN, KILOAMPERES
from sizing.checks.case import Case, Expected
from sizing.checks.charging import OFF_SET_POINT, POSTS, battery_of, whole_cells
from sizing.checks.declare import COMMON, Accuracy, Check, Input, Judged, Kind, Limit, Way
from sizing.checks.pocket import Axis, Plan, Pocket
from sizing.design.charging import LITHIUM, arrays_of
from sizing.design.declare import Ask, Scene
from sizing.design.energy import ARRAY_FACTOR, KEPT, KEPT_LITHIUM, daily_energy, users_of
from sizing.errors import MissingDataError
from sizing.formulas.battery import battery_voltage
from sizing.formulas.clear_sky import TYPICAL_LINKE_TURBIDITY
from sizing.formulas.comparisons import share_of
from sizing.formulas.daily import summed_energy, time_to_share_of_day
from sizing.formulas.irradiance import TYPICAL_ALBEDO, clear_sky_irradiation, full_sun_time
from sizing.formulas.limits import limit_at_offset, upper_limit
from sizing.formulas.solar_energy import daily_array_energy
from sizing.formulas.solar_pumping import array_power
from sizing.formulas.sun import solar_noon, sunrise, sunset
from sizing.formulas.voltage_drop import voltage_drop
from sizing.parts import ChargeController, Load
from sizing.quantities import Quantity as Q
from sizing.system import SITE, Node, System

# Accuracies are what ordinary instruments of the kind state; common practice, no source.
DISPLAY = Accuracy(words="as the display shows it")
VOLTMETER = Accuracy(of_reading=0.003, fixed=0.01, words="multimeter")
DC_CLAMP = Accuracy(of_reading=0.02, fixed=0.1, words="DC clamp meter")
CLOCK = Accuracy(fixed=600.0, words="clock, when the stage changed")

DISPLAY_OFF = 0.1 / 6  # V of a cell: 0.1 V for a 12 V block; common practice, no source
LATE = 0.5  # of the time on a clear day, for a day of more use or a haze; common practice, no source
AIR = 25.0  # °C, of a cable in a shed; common practice, no source


def difference_measured(case: Case) -> float:
    """Return what the display shows above the posts."""
    return case.reading("display") - case.reading("posts")


def difference_expected(case: Case) -> Expected:
    """Return what the cable to the battery drops at this current, ± 0.1 V for each 12 V."""
    cells, battery = whole_cells(case)
    slack = case.w.call("ΔV", battery_voltage, cell_voltage=DISPLAY_OFF, cells=cells)
    _, runs = case.system.path_between(case.subject.tag, "battery", type(battery.part), "cable")
    current = case.reading("current") if case.readings else case.subject.need("rated_current")
    drop = case.w.call(
        "I · R", voltage_drop, current=current, loop_resistance=loops(runs, AIR, case.w, "R to the battery")
    )
    return Expected(
        Q.VOLTAGE,
        drop,
        case.w.call("lower", limit_at_offset, nominal=drop, offset=-slack),
        case.w.call("upper", limit_at_offset, nominal=drop, offset=slack),
        basis="current × the cable to the battery ± 0.1 V for each 12 V: " + COMMON,
    )


def disconnect_expected(case: Case) -> Expected:
    """Return the voltage at which the loads are let go: the set point ± 0.2 V for each 12 V."""
    cells, _ = whole_cells(case)
    nominal = case.subject.need("low_voltage_disconnect")
    slack = case.w.call("ΔV", battery_voltage, cell_voltage=OFF_SET_POINT, cells=cells)
    return Expected(
        Q.VOLTAGE,
        nominal,
        case.w.call("lower", limit_at_offset, nominal=nominal, offset=-slack),
        case.w.call("upper", limit_at_offset, nominal=nominal, offset=slack),
        basis="low-voltage disconnect of the nameplate ± 0.2 V for each 12 V: " + COMMON,
    )


def feeds_loads(system: System, tag: str) -> bool:
    """Whether loads hang on the controller's own load port."""
    return any(isinstance(node.part, Load) for node, _ in system.reached(tag, "cable", "load"))


def full_after_expected(case: Case) -> Expected:
    """Return how long after sunrise of a clear day the energy of a day's use is back in the battery."""
    if case.moment is None:
        raise MissingDataError("condition", "moment", "the day of the reading is not known")
    battery = battery_of(case.system, case.subject.tag)
    ask = Ask(Scene(case.system), battery.tag, "", case.w)
    used = daily_energy(ask, users_of(case.system, battery))
    brought = _brought(case, ask, battery)
    share = case.w.call("s", share_of, value=used, whole=brought)
    site = case.system.subject(SITE)
    place: dict[str, Any] = {"latitude": site.need("latitude"), "longitude": site.need("longitude")}
    up = case.w.call("t_rise", sunrise, unix_time=case.moment, **place)
    down = case.w.call("t_set", sunset, unix_time=case.moment, **place)
    nominal = case.w.call("t", time_to_share_of_day, share=share, daylight=down - up)
    upper = case.w.call("upper", upper_limit, nominal=nominal, tolerance=LATE)
    basis = f"a day's use brought back by a clear sky, array at 80 %, + 50 %; sooner is no fault here: {COMMON}"
    return Expected(Q.DURATION, nominal, upper=upper, basis=basis)


def _brought(case: Case, ask: Ask, battery: Node) -> float:
    """Return what a clear day brings into the battery and out of it again."""
    assert case.moment is not None
    controller, site = case.system.node(case.subject.tag), case.system.subject(SITE)
    noon = case.w.call("t_noon", solar_noon, unix_time=case.moment, longitude=site.need("longitude"))
    kept = KEPT_LITHIUM if battery.need_text("chemistry") == LITHIUM else KEPT
    each = []
    for array in arrays_of(case.system, controller):
        on_plane = case.w.call(
            f"H {array.tag}", clear_sky_irradiation, unix_time=noon - 43_200.0, latitude=site.need("latitude"),
            longitude=site.need("longitude"), altitude=site.need("altitude"), tilt=array.need("tilt"),
            azimuth=array.need("azimuth"), linke_turbidity=TYPICAL_LINKE_TURBIDITY, albedo=TYPICAL_ALBEDO,
        )  # fmt: skip
        rated = case.w.call(
            f"P {array.tag}", array_power, module_power=array.need("module_power"),
            modules_in_series=array.need("series"), strings=array.need("parallel"),
        )  # fmt: skip
        hours = case.w.call(f"t_sun {array.tag}", full_sun_time, irradiation=on_plane)
        brought = case.w.call(
            f"E {array.tag}",
            daily_array_energy,
            rated_power=rated,
            sun_hours=hours,
            efficiency=controller.need("efficiency") * kept,
            array_factor=ARRAY_FACTOR,
        )
        each.append(brought)
    return case.w.call("E_clear", summed_energy, energies=tuple(each))


DISPLAY_DIFFERENCE = Check(
    key="display_difference",
    title="Display against posts",
    kind=Kind.MEASURED,
    subject=ChargeController,
    group="Battery and charging",
    purpose="The controller knows the battery's true voltage: what it holds at its terminals arrives at the posts.",
    ways=(
        Way(
            "both",
            "Display and multimeter, together",
            (
                Input(
                    "display",
                    "Battery voltage on the display",
                    Q.VOLTAGE,
                    hard=(1, 1000),
                    soft=(10, 64),
                    usual=DISPLAY,
                ),
                Input(
                    "posts",
                    "Voltage at the posts",
                    Q.VOLTAGE,
                    hard=(1, 1000),
                    soft=(10, 64),
                    hint="at the battery, within seconds of the display",
                    usual=VOLTMETER,
                ),
                Input("current", "Current into the battery", Q.CURRENT, hard=(0, 1000), soft=(1, 150), usual=DC_CLAMP),
            ),
            ("multimeter", "DC clamp meter"),
        ),
    ),
    judged=(Judged("difference", "Display above posts", Q.VOLTAGE, difference_expected, difference_measured),),
    state="charging, at as much current as the sun gives",
    method=(
        "Near noon, in bulk: display and posts within seconds, and the current.",
        "Again at small current: a difference that shrinks is cable or joint, one that stays is the display.",
    ),
    cautions=(KILOAMPERES, HYDROGEN),
    limits=(Limit("current × cable to the battery ± 0.1 V for each 12 V", COMMON),),
    gate="connect_charging",
    tier="full",
    needs_sun=True,
    at_service=True,
    pocket=Pocket((Plan(("current", "display", "posts")),)),
)

LOW_VOLTAGE_DISCONNECT = Check(
    key="low_voltage_disconnect",
    title="Low-voltage disconnect",
    kind=Kind.MEASURED,
    subject=ChargeController,
    group="Battery and charging",
    purpose="The loads go before the battery is harmed, and not earlier: seen, not read off the settings.",
    ways=(Way("posts", "Multimeter at the posts, load on", (POSTS,), ("multimeter",)),),
    judged=(Judged("voltage", "Posts when the loads go", Q.VOLTAGE, disconnect_expected),),
    state="array off, a load on the controller's load port",
    method=(
        "Array off. A heavy load on the load port, or a laboratory supply in the battery's place.",
        "Watch the posts; write down the voltage at which the load goes.",
        "Array on again at once, and see that the load comes back.",
    ),
    cautions=(KILOAMPERES,),
    limits=(Limit("nameplate set point ± 0.2 V for each 12 V", COMMON),),
    after=("battery_rest_voltage",),
    gate="connect_charging",
    tier="full",
    at_service=True,
    applies=feeds_loads,
)

TIME_TO_ABSORPTION = Check(
    key="time_to_absorption",
    title="From sunrise to absorption",
    kind=Kind.MEASURED,
    subject=ChargeController,
    group="Battery and charging",
    purpose="On a clear day the array brings back by noon or soon after what an ordinary day took.",
    ways=(
        Way(
            "log",
            "Controller's log, or seen",
            (
                Input(
                    "time",
                    "From sunrise to absorption",
                    Q.DURATION,
                    hard=(0, 72_000),
                    soft=(1_800, 43_200),
                    hint="clear day after an ordinary evening",
                    usual=CLOCK,
                ),
            ),
        ),
    ),
    judged=(Judged("time", "From sunrise to absorption", Q.DURATION, full_after_expected),),
    state="clear day, ordinary use the evening before",
    method=(
        "Read from the controller's log when the voltage was first held.",
        "Count from sunrise, on a clear day after an ordinary evening.",
        "Much later than before: array or use. Much sooner: the battery takes less than it did.",
    ),
    limits=(Limit("not above one and a half times what a clear sky needs for a day's use", COMMON),),
    gate="connect_charging",
    tier="full",
    needs_sun=True,
    at_service=True,
    pocket=Pocket((Plan(("day",)),), axes=(Axis("day"),)),
)

CHECKS = (DISPLAY_DIFFERENCE, LOW_VOLTAGE_DISCONNECT, TIME_TO_ABSORPTION)
