"""How everything stood before anybody touched it."""

from sizing.checks.declare import COMMON, Check, Kind, Limit

AS_FOUND = Check(
    key="as_found",
    title="As found",
    kind=Kind.OBSERVED,
    subject=None,
    group="Handing over",
    purpose="What stood how before anybody touched it: half of all faults are a valve or a set point that was moved.",
    state="nothing touched yet",
    method=(
        "Photograph before you touch: every valve, the controller's screens, switches, gauges, counters.",
        "Write down what differs from the record: valve positions, set points, bypasses open, locks and tags missing.",
        "Write down counters and hours as they stand; ask the owner what was changed since.",
        "As it should be: as the last sheet left it.",
    ),
    normal="Every tag in its place, every valve as on the drawing, nothing taped or bridged.",
    limits=(Limit("as it should be: as the last sheet left it", COMMON),),
    perishable="lost with the first hand on a valve",
    at_start_up=False,
    at_service=True,
)

CHECKS = (AS_FOUND,)
