"""The well pump's motor and its energy: the balance of its leads, what a cubic metre costs, how often it trips."""

from sizing.checks.case import Case, Expected, Term
from sizing.checks.declare import COMMON, Accuracy, Check, Input, Judged, Kind, Limit, Need, Needed, Way
from sizing.checks.drives import TWO_WIRES, controller_of
from sizing.checks.needs import STATIC_LEVEL
from sizing.checks.pocket import Pocket, Reduction, along
from sizing.checks.power_now import greatest_input
from sizing.checks.pump_flow import CAPACITY_TODAY, LIVE_CONTROLLER, TANK_LEVEL_IF_KNOWN
from sizing.checks.pump_head import head_by_system, lifts_into_a_tank, pump_of, settled_flow
from sizing.checks.water_way import density
from sizing.formulas.daily import daily_amount
from sizing.formulas.limits import upper_limit
from sizing.formulas.motors import phase_unbalance
from sizing.formulas.pumps import specific_energy, specific_energy_of_efficiency
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.parts import PumpController, SubmersiblePump
from sizing.quantities import Quantity as Q
from sizing.system import System

# Accuracies are what ordinary instruments of the kind state; common practice, no source.
SAME_CLAMP = Accuracy(of_reading=0.01, fixed=0.02, words="the same clamp, lead against lead")
COUNT = Accuracy(words="counted")

MOST_UNBALANCE = 0.05  # of the mean current, submersible-motor application handbooks (from memory)
SPENT_OVER = 0.25  # 10 % of the pump's table, as much of the well and the pipes; common practice, no source
HEAD_HALF_WIDTH = 0.05  # of the head, which the day's best row may have met; common practice, no source


def has_three_leads(system: System, tag: str) -> bool:
    """Whether a pump's motor has three leads to compare; one of unknown kind is asked for it."""
    return getattr(system.node(tag).part, "motor", None) not in TWO_WIRES


def is_driven(system: System, tag: str) -> bool:
    """Whether a pump hangs on a controller that has counters and trips of its own."""
    return any(isinstance(node.part, PumpController) for node, _ in system.reached(tag, "cable", "motor"))


def unbalance_measured(case: Case) -> float:
    """Return the unbalance of the three lead currents."""
    leads = tuple(case.reading(f"lead_{i}") for i in (1, 2, 3))
    return case.w.call("s", phase_unbalance, readings=leads)


def unbalance_expected(case: Case) -> Expected:
    """Return how uneven the leads of a motor may be."""
    basis = "5 % of the mean, submersible-motor application handbooks (from memory)"
    return Expected(Q.RATIO, 0.0, upper=MOST_UNBALANCE, basis=basis)


def energy_spent(case: Case) -> float:
    """Return the energy into the controller for each cubic metre, by the best wire to water of the day."""
    head, _ = _at_full_power(case)
    efficiency = max(case.every("well_pump_flow"))
    return case.w.call(
        "E_s read", specific_energy_of_efficiency, head=head, efficiency=efficiency, density=density(case)
    )


def energy_expected(case: Case) -> Expected:
    """Return what a cubic metre should cost at full power by table, well and pipes; more is wear or a leak."""
    head, flow = _at_full_power(case)
    controller, _ = controller_of(case, pump_of(case))
    taken = greatest_input(case, pump_of(case), controller)
    nominal = case.w.call("E_s", specific_energy, power=taken, flow=flow)
    upper = case.w.call("upper", upper_limit, nominal=nominal, tolerance=SPENT_OVER)
    return Expected(
        Q.SPECIFIC_ENERGY,
        nominal,
        upper=upper,
        basis=f"pump table at rated power, this well and these pipes, + 25 %; less is no fault: {COMMON}",
        terms=(Term(f"head of {head:.0f} m ± 5 %", standard_from_half_width(HEAD_HALF_WIDTH * nominal), shared=True),),
    )


def _at_full_power(case: Case) -> tuple[float, float]:
    """Return the head and the flow at which pump, well and pipes balance at the pump's rated power."""
    pump = pump_of(case)
    flow = settled_flow(case, pump, pump.need("rated_power"))
    head, _ = head_by_system(case, pump, flow)
    return head, flow


def trips_measured(case: Case) -> float:
    """Return the trips of a day."""
    return case.w.call("n", daily_amount, amount=case.reading("trips"), time=case.reading("time"))


def trips_expected(case: Case) -> Expected:
    """Return the most overload trips of a day: none, each has a cause."""
    return Expected(Q.COUNT, upper=0.0, basis="none: each has a cause to be found; " + COMMON, bearable=0.1)


def lead(number: int) -> Input:
    """Return the reading of one motor lead."""
    return Input(
        f"lead_{number}",
        f"Current of lead {number}",
        Q.CURRENT,
        hard=(0, 500),
        soft=(0.3, 60),
        hint="true-RMS clamp, the same for all three",
        usual=SAME_CLAMP,
    )


PHASE_UNBALANCE = Check(
    key="phase_unbalance",
    title="Balance of the motor's leads",
    kind=Kind.MEASURED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="The three leads carry alike: an uneven one is a splice, a winding or a drive on its way out.",
    ways=(Way("clamp", "Clamp on each lead", (lead(1), lead(2), lead(3)), ("clamp meter",)),),
    judged=(Judged("unbalance", "Farthest lead from the mean", Q.RATIO, unbalance_expected, unbalance_measured),),
    state="pump running, outlet fully open, steady sun",
    method=(
        "The same clamp round each lead, one after the other within a minute.",
        "As it should be: alike within a twentieth of their mean.",
        "Uneven: swap the leads in a ring. Moves with the lead: motor or cable. Stays at the terminal: the drive.",
    ),
    cautions=(LIVE_CONTROLLER,),
    limits=(
        Limit("5 % of the mean", "submersible-motor application handbooks (from memory)"),
        Limit("reckoned as the farthest from the mean, not highest less lowest", "NEMA MG 1-2016, 14.36"),
    ),
    after=("rotation",),
    gate="start_well_pump",
    needs_sun=True,
    at_service=True,
    applies=has_three_leads,
    pocket=Pocket(reduced={"unbalance": (Reduction.FROM_MEAN, "lead_1 lead_2 lead_3")}),
)

WELL_PUMP_SPECIFIC_ENERGY = Check(
    key="well_pump_specific_energy",
    title="Energy for each cubic metre",
    kind=Kind.DERIVED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="A worn pump takes more for the same water: the first sign, long before the tank runs low.",
    judged=(Judged("energy", "Energy for each cubic metre", Q.SPECIFIC_ENERGY, energy_expected, energy_spent),),
    needs=(
        Need(
            "well_pump_flow", Needed.EARLIER, "Wire to water of each row", Q.RATIO, every_repeat=True,
            finding="wire_to_water",
        ),
        STATIC_LEVEL,
        CAPACITY_TODAY,
        TANK_LEVEL_IF_KNOWN,
    ),
    limits=(Limit("not above the pump's table at rated power, this well and these pipes, + 25 %", COMMON),),
    tier="full",
    at_service=True,
    applies=lifts_into_a_tank,
    pocket=Pocket(server="all rows of the day together"),
)  # fmt: skip

OVERLOAD_TRIPS = Check(
    key="overload_trips",
    title="Overload trips",
    kind=Kind.MEASURED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="The motor is never stopped for its own sake: no sand, no dragging bearing, no low volts.",
    ways=(
        Way(
            "counter",
            "Controller's log or counter",
            (
                Input("trips", "Trips counted", Q.COUNT, hard=(0, 1e6), soft=(0, 100), usual=COUNT),
                Input(
                    "time",
                    "Over",
                    Q.DURATION,
                    hard=(3_600, 3.2e8),
                    soft=(86_400, 4e7),
                    hint="since the last time it was read or cleared",
                    usual=COUNT,
                ),
            ),
        ),
    ),
    judged=(Judged("trips", "Trips in a day", Q.COUNT, trips_expected, trips_measured),),
    method=(
        "Read the counter of overload or over-current, not that of low water.",
        "Note since when it counts; photograph it before clearing.",
        "One or more: read motor current and insulation before anything is set higher.",
    ),
    cautions=(LIVE_CONTROLLER,),
    limits=(Limit("none", COMMON),),
    tier="full",
    at_service=True,
    applies=is_driven,
    pocket=along("trips", "time"),
)

CHECKS = (PHASE_UNBALANCE, WELL_PUMP_SPECIFIC_ENERGY, OVERLOAD_TRIPS)
