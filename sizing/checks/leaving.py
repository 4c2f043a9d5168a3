"""Before the door is shut: how everything is left, and whether the owner can do it alone."""

from sizing.checks.declare import COMMON, Caution, Check, Kind, Limit

STAYS_LIVE = Caution(
    "Show what stays live after the stop: the array by day, always. Nobody opens a box that needs a tool.",
    COMMON,
)

AS_LEFT = Check(
    key="as_left",
    title="As left",
    kind=Kind.OBSERVED,
    subject=None,
    group="Handing over",
    purpose="The next person finds valves, settings and counters as written down, or knows that someone was there.",
    method=(
        "Every valve in the position of the record, test taps shut, bypasses shut.",
        "Covers on, cap on the well, lid locked, isolator as it should be, locks and tags taken off.",
        "Write down set points and counters; take a photo of each.",
        "No tools, no chlorine, no open trench left behind.",
    ),
    limits=(Limit("as it should be: every point holds", COMMON),),
    at_service=True,
)

OWNER_UNAIDED = Check(
    key="owner_unaided",
    title="The owner does it unaided",
    kind=Kind.OBSERVED,
    subject=None,
    group="Handing over",
    purpose="The owner can stop, start, drain and pump by hand without help: watched, not told.",
    method=(
        "Hand over the papers, step back and watch.",
        "The owner stops the pump, starts it again, shuts the house off and opens it.",
        "The owner drains what freezes, and pumps by hand where there is a hand pump.",
        "The owner says whom to call, and when not to touch.",
    ),
    cautions=(STAYS_LIVE,),
    limits=(Limit("done once from start to end without help", COMMON),),
    after=("as_left",),
)

CHECKS = (AS_LEFT, OWNER_UNAIDED)
