"""Safety: currents against conductors, switches, combiners and controllers."""

from sizing.checks.declare import Limit
from sizing.design.conductors import ampacity_where_it_lies, continuous_ampacity
from sizing.design.declare import Ask, Outcome, Rule, Sort
from sizing.design.wiring import (
    greatest_current,
)
from sizing.errors import MissingDataError
from sizing.formulas.overcurrent import (
    least_overcurrent_rating,
)
from sizing.parts import (
    Combiner,
    Isolator,
    PowerCable,
    PumpController,
    SolarArray,
)
from sizing.quantities import Quantity as Q
from sizing.system import Node, Run, System

US = "US"


def is_us(ask: Ask) -> bool:
    """Whether the site follows the US code family; raises MissingDataError where none is recorded."""
    return ask.site.need_text("code_family") == US


def lasting(ask: Ask, current: float) -> float:
    """Return the rating that a current asks for where it lasts for hours: a quarter more in the US code family."""
    return ask.w.call("I_n", least_overcurrent_rating, maximum_current=current) if is_us(ask) else current


def family(ask: Ask) -> str:
    return "NEC (NFPA 70, 2020) 690.8, 690.9, 240.4" if is_us(ask) else "IEC 60364-7-712, IEC 62548 (from memory)"


def conductor_ampacity(ask: Ask) -> Outcome:
    """Return what a cable carries where it lies against the greatest current of its circuit."""
    run = ask.system.runs[ask.tag]
    needed = greatest_current(ask, run)
    return Outcome(
        Q.CURRENT,
        ampacity_where_it_lies(ask, run),
        lower=needed,
        basis=f"greatest steady current of the circuit; {family(ask)}",
    )


def conductor_continuous(ask: Ask) -> Outcome:
    """Return a cable's table ampacity at its terminals against a current that lasts for hours."""
    run = ask.system.runs[ask.tag]
    needed = lasting(ask, greatest_current(ask, run))
    basis = "1.25 × the greatest steady current, before any correction: NEC (NFPA 70, 2020) 690.8(B)(1), 215.2"
    return Outcome(Q.CURRENT, continuous_ampacity(ask, run), lower=needed, basis=basis)


def counts_in_us(system: System, tag: str) -> bool:
    """Whether a rule of the US code family concerns the site; one without a recorded family is asked for it."""
    return system.site.code_family in (US, None)


def switch_current(ask: Ask) -> Outcome:
    """Return the greatest current of a switch's or combiner's circuit against its rated current."""
    run = _outgoing(ask.system, ask.node)
    value = lasting(ask, greatest_current(ask, run))
    return Outcome(Q.CURRENT, value, upper=ask.node.need("rated_current"), basis=f"rated current; {family(ask)}")


def _outgoing(system: System, node: Node) -> Run:
    """Return the cable that carries all the current of a box."""
    runs = system.runs_at(node.tag, "cable")
    if not runs:
        raise MissingDataError(node.tag, "cable", f"{node.tag}: no cable at it is recorded")
    return next((run for run in runs if run.near(node.tag).port in ("output", "load")), runs[0])


def string_place(ask: Ask) -> Outcome:
    """Return the current of one string against what a string's place in the combiner is rated for."""
    runs = ask.system.runs_at(ask.tag, "cable", "strings")
    if not runs:
        raise MissingDataError(ask.tag, "cable", f"{ask.tag}: no cable from an array is recorded")
    value = lasting(ask, greatest_current(ask, runs[0]))
    basis = f"rated current of a string's place; {family(ask)}"
    return Outcome(Q.CURRENT, value, upper=ask.node.need("string_current"), basis=basis)


def controller_current(ask: Ask) -> Outcome:
    """Return the greatest current of the array against the pump controller's input."""
    _, path = ask.system.path_between(ask.tag, "array", SolarArray, "cable")
    value = greatest_current(ask, path[0])
    return Outcome(Q.CURRENT, value, upper=ask.node.need("maximum_current"), basis="maximum input current")


def is_fed_by_array(system: System, tag: str) -> bool:
    """Whether a pump controller hangs on an array; without any cable it is asked for one."""
    found = [node for node, _ in system.reached(tag, "cable", "array")]
    return not found or any(isinstance(node.part, SolarArray) for node in found)


ARRAY_LIMIT = Limit(
    "1.25 × I_sc of all strings together", "NEC (NFPA 70, 2020) 690.8(A)(1); IEC 60364-7-712 (from memory)"
)
HOURS_LIMIT = Limit(
    "US code family: × 1.25 again, as it lasts for hours", "NEC (NFPA 70, 2020) 690.8(B), 690.9(B), 215.3 (from memory)"
)

RULES = (
    Rule(
        key="conductor_ampacity",
        title="Conductor, where it lies",
        sort=Sort.SAFETY,
        subjects=(PowerCable,),
        purpose="Warm surroundings and cables laid together lower what a conductor can carry.",
        limits=(
            ARRAY_LIMIT,
            Limit("AWG: table 310.16 corrected for heat and bunching", "NEC (NFPA 70, 2020) 310.15"),
            Limit("mm²: tables B.52.2 and B.52.3 corrected alike", "IEC 60364-5-52:2009 (tables from memory)"),
        ),
        evaluate=conductor_ampacity,
    ),
    Rule(
        key="conductor_continuous",
        title="Conductor, current for hours",
        sort=Sort.SAFETY,
        subjects=(PowerCable,),
        purpose="Terminals are rated cooler than the cable: hours of sun heat them.",
        limits=(
            HOURS_LIMIT,
            Limit(
                "table 310.16 in the column of the terminals, 75 °C at most",
                "NEC (NFPA 70, 2020) 110.14(C) (from memory)",
            ),
        ),
        evaluate=conductor_continuous,
        applies=counts_in_us,
    ),
    Rule(
        key="switch_current",
        title="Isolator or combiner, rated current",
        sort=Sort.SAFETY,
        subjects=(Isolator, Combiner),
        purpose="A switch opened beyond its direct-current rating holds an arc.",
        limits=(ARRAY_LIMIT, HOURS_LIMIT),
        evaluate=switch_current,
    ),
    Rule(
        key="string_place",
        title="A string's place in the combiner",
        sort=Sort.SAFETY,
        subjects=(Combiner,),
        purpose="A terminal beyond its rating overheats in the box.",
        limits=(ARRAY_LIMIT, HOURS_LIMIT),
        evaluate=string_place,
    ),
    Rule(
        key="controller_current",
        title="Pump controller, input current",
        sort=Sort.SAFETY,
        subjects=(PumpController,),
        purpose="An array beyond the input current can destroy a controller when its input is shorted.",
        limits=(ARRAY_LIMIT,),
        evaluate=controller_current,
        applies=is_fed_by_array,
    ),
)
