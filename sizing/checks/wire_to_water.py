"""How much of the power into the controller arrives in the water, the best row of the day."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Check, Judged, Kind, Limit, Need, Needed
from sizing.checks.pocket import Pocket, Reduction
from sizing.checks.pump_flow import LEAST_EFFICIENCY, MOST_EFFICIENCY
from sizing.parts import SubmersiblePump
from sizing.quantities import Quantity as Q


def best_efficiency(case: Case) -> float:
    """Return the best wire to water of the day's rows."""
    return max(case.every("well_pump_flow"))


def best_efficiency_expected(case: Case) -> Expected:
    """Return the range in which the best row of a small solar pump lies."""
    return Expected(
        Q.RATIO,
        lower=LEAST_EFFICIENCY,
        upper=MOST_EFFICIENCY,
        basis="15 to 65 % of the power into the controller: " + COMMON,
    )


WIRE_TO_WATER = Check(
    key="wire_to_water",
    title="Wire to water, best of the day",
    kind=Kind.DERIVED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="Enough of the array's power arrives in the water: pump, motor, cable and readings fit together.",
    judged=(Judged("efficiency", "Wire to water", Q.RATIO, best_efficiency_expected, best_efficiency),),
    pocket=Pocket(reduced={"efficiency": (Reduction.GREATEST, "well_pump_flow")}),
    needs=(
        Need(
            "well_pump_flow",
            Needed.EARLIER,
            "Wire to water of each row",
            Q.RATIO,
            every_repeat=True,
            finding="wire_to_water",
        ),
    ),
    limits=(Limit("15 to 65 % of the power into the controller", COMMON),),
)

CHECKS = (WIRE_TO_WATER,)
