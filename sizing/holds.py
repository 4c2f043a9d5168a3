"""Holds: gates between the steps of a start-up, each with the checks that settle it."""

from collections.abc import Mapping
from enum import StrEnum

from sizing.owed import Owed
from sizing.records import record


class Standing(StrEnum):
    """How a hold stands."""

    STANDS = "stands"
    SETTLED = "settled"
    RELEASED = "released"


@record
class Hold:
    """A gate: what stays off while it stands, and the checks and rules of the design that must be good first."""

    key: str
    title: str
    stays_off: str
    requires: tuple[str, ...]
    only_settled: bool = False
    """It can never be released, only settled by good checks."""
    why: str = ""
    design: tuple[str, ...] = ()
    """Keys of the rules of the design check that must be met; one that cannot be said is not met."""
    only_before_others: bool = False
    """It is there for what waits behind it: where nothing on a system does, there is none."""


HOLDS: dict[str, Hold] = {
    hold.key: hold
    for hold in (
        Hold(
            "safe_to_work",
            "safe to work",
            "no electrical work",
            ("walk_round_well", "walk_round_array", "walk_round_tank", "proved_dead"),
            why="a hand that meets live metal or a fall cannot be put right later",
            only_before_others=True,
        ),
        Hold(
            "close_strings",
            "close strings",
            "strings stay apart, the array stays off the controller",
            ("string_polarity", "open_circuit_voltage"),
            only_settled=True,
            why="a reversed string or too many modules destroys the controller and can start a fire",
            design=("array_voltage",),
        ),
        Hold(
            "connect_charging",
            "connect the charging",
            "the array stays off the battery: battery on the controller first, array last",
            ("battery_polarity", "block_spread", "fuse_rating", "vent_opening", "charge_temperature"),
            only_settled=True,
            why="wrong poles, a fuse that cannot break a short, gas shut in, lithium charged in the cold: all can burn",
            design=("interrupting_rating", "charge_cold"),
        ),
        Hold(
            "cover_pipe",
            "cover the pipes",
            "trenches and walls stay open",
            ("buried_line_test", "buried_line_makeup", "cover_depth", "photographs"),
            why="what is covered is dug up for one bad joint, or never found",
        ),
        Hold(
            "start_well_pump",
            "start the well pump",
            "the well pump stays off",
            ("static_level", "pump_cable_insulation", "low_water_guard_dry"),
            why="the level at rest is lost with the first start, and a pump that runs dry or on a bad cable is lost",
        ),
        Hold(
            "fill_tank",
            "fill the tank",
            "the water goes to waste",
            ("turbidity", "sand", "walk_round_tank"),
            why="sand and mud never leave a tank by themselves",
        ),
        Hold(
            "pressurise",
            "pressurise",
            "the pump stays off the pressure tank",
            ("relief_opens", "precharge", "low_pressure_fill"),
            only_settled=True,
            why="a plugged relief, or a pump that presses more than the weakest part stands, bursts it and has killed",
            design=("relief_setting",),
        ),
        Hold(
            "leave_unattended",
            "leave unattended",
            "somebody stays while the pump runs",
            ("fill_stop_level", "low_water_guard_dry", "booster_low_stop", "low_water_stop"),
            why="a stop that was only tried by hand may not stop with real water",
        ),
        Hold(
            "drink",
            "drink",
            "nobody drinks: tags stay on the taps",
            ("residual_at_sampling", "sample_taken", "coliform"),
            only_settled=True,
            why="only the laboratory's result says that the water is safe",
        ),
        Hold(
            "hand_over",
            "hand over",
            "the site is not handed over",
            ("as_left", "owner_unaided"),
            why="most call-backs are a valve left wrong or an owner never shown",
        ),
    )
}
"""Key → hold, in the order in which they are met."""


def hold_that_fixes(check: str) -> Hold | None:
    """Return the hold that can only be settled and that requires a check.

    Such a check is put right: it is never conceded, and no site moves its limits.
    """
    return next((hold for hold in HOLDS.values() if hold.only_settled and check in hold.requires), None)


def is_met_with(hold: Hold, owed: list[Owed]) -> bool:
    """Whether a hold is there on a system: something settles it, and something waits for it where it asks for that."""
    waits = any(one.declared.gate == hold.key and not one.optional for one in owed)
    return bool(required_by(hold, owed)) and (waits or not hold.only_before_others)


def required_by(hold: Hold, owed: list[Owed]) -> list[Owed]:
    """Return the owed checks that settle a hold on this system; what is only offered settles none."""
    return [o for o in owed if o.check in hold.requires and not o.optional]


NO_DESIGN: Mapping[str, bool] = {}
"""A design that nobody has checked: no rule of it counts as met."""


def standing(
    hold: Hold, owed: list[Owed], good: Mapping[str, bool], released: bool, design: Mapping[str, bool] = NO_DESIGN
) -> Standing:
    """Return how a hold stands. `good` maps the id of an owed check to whether it is settled well.

    `design` maps the key of a rule of the design check to whether it is met on everything that it concerns. A hold
    of which nothing is owed on this system is settled.
    """
    is_designed = all(design.get(key, False) for key in hold.design)
    if is_designed and all(good.get(o.id, False) for o in required_by(hold, owed)):
        return Standing.SETTLED
    if released and not hold.only_settled:
        return Standing.RELEASED
    return Standing.STANDS
