"""Low water in a tank stops what draws from it: tried with real water."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Check, Judged, Kind, Limit
from sizing.checks.storage import AT_THE_TANK, DIPPED, LEVEL_WAYS, STARTS_ALONE, depth_measured, set_depth
from sizing.checks.storage import tank_under as tank_of_level
from sizing.formulas.levels import depth_at_elevation
from sizing.formulas.limits import limit_at_offset
from sizing.parts import LevelSwitch, StorageTank
from sizing.quantities import Quantity as Q
from sizing.system import System

LEVEL_SLACK = 0.05  # m; common practice, no source


def low_stop_expected(case: Case) -> Expected:
    """Return where the water stands when the pump is stopped: at the set level, and never below the outlet."""
    nominal = set_depth(case)
    place = tank_of_level(case)
    outlet = case.w.call(
        "h_out",
        depth_at_elevation,
        elevation=place.need("outlet_elevation"),
        floor_elevation=place.need("floor_elevation"),
    )
    lower = case.w.call("lower", limit_at_offset, nominal=nominal, offset=-LEVEL_SLACK)
    return Expected(
        Q.LENGTH,
        nominal,
        max(lower, outlet),
        case.w.call("upper", limit_at_offset, nominal=nominal, offset=LEVEL_SLACK),
        basis="set level ± 5 cm, not below the outlet: " + COMMON,
    )


def stops_booster(system: System, tag: str) -> bool:
    """Whether a level switch in a tank stops a booster."""
    return _in_tank(system, tag, "stops_booster")


def guards_in_tank(system: System, tag: str) -> bool:
    """Whether a level switch in a tank guards a pump against low water."""
    return _in_tank(system, tag, "guards_low_water")


def _in_tank(system: System, tag: str, purpose: str) -> bool:
    node = system.node(tag)
    host = system.nodes.get(node.host or "")
    is_in_tank = host is not None and isinstance(host.part, StorageTank)
    return is_in_tank and getattr(node.part, "purpose", None) == purpose


BOOSTER_LOW_STOP = Check(
    key="booster_low_stop",
    title="Low water stops the booster",
    kind=Kind.MEASURED,
    subject=LevelSwitch,
    group="Booster and pressure",
    purpose="Real water stops the booster before it draws air: a float that clicks by hand may still hang.",
    ways=LEVEL_WAYS,
    judged=(Judged("level", "Water above the floor at the stop", Q.LENGTH, low_stop_expected, depth_measured),),
    pocket=DIPPED,
    state="booster running, tank not filled meanwhile",
    method=(
        "Stop the filling; draw the tank down through a tap.",
        "Read the level when the booster stops by itself.",
        "Air at the suction before that: stop it by hand.",
    ),
    cautions=(AT_THE_TANK, STARTS_ALONE),
    limits=(Limit("within 5 cm of the set level, never below the outlet", COMMON),),
    gate="pressurise",
    applies=stops_booster,
)

LOW_WATER_STOP = Check(
    key="low_water_stop",
    title="Low water in the tank stops the pump",
    kind=Kind.MEASURED,
    subject=LevelSwitch,
    group="Booster and pressure",
    purpose="Real water stops the pump that draws from this tank before it runs dry.",
    ways=LEVEL_WAYS,
    judged=(Judged("level", "Water above the floor at the stop", Q.LENGTH, low_stop_expected, depth_measured),),
    pocket=DIPPED,
    state="pump running, tank not filled meanwhile",
    method=("Stop the filling; draw the tank down.", "Read the level when the pump stops by itself."),
    cautions=(AT_THE_TANK, STARTS_ALONE),
    limits=(Limit("within 5 cm of the set level, never below the outlet", COMMON),),
    gate="pressurise",
    at_service=True,
    applies=guards_in_tank,
)

CHECKS = (BOOSTER_LOW_STOP, LOW_WATER_STOP)
