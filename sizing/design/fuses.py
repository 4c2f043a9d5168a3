"""Safety: fuses and breakers. Rated current, interrupting rating, and whether they are there at all."""

from sizing.checks.declare import COMMON, Limit
from sizing.design.conductors import ampacity_where_it_lies
from sizing.design.currents import ARRAY_LIMIT, HOURS_LIMIT, family, is_us, lasting
from sizing.design.declare import Ask, Outcome, Rule, Sort
from sizing.design.wiring import (
    arrays_on,
    battery_on,
    cable_of,
    carries_one_string,
    devices_on,
    greatest_current,
)
from sizing.errors import MissingDataError
from sizing.formulas.circuits import (
    bank_fault_current,
    next_iec_rating,
    string_fuse_least,
    string_fuse_most,
)
from sizing.formulas.overcurrent import (
    highest_allowed_rating,
    next_standard_rating,
    reverse_current,
)
from sizing.parts import BatteryBank, Combiner, OvercurrentDevice, SolarArray
from sizing.quantities import Quantity as Q
from sizing.system import Node, Run, System


def is_string_device(system: System, device: Node) -> bool:
    """Whether a fuse protects one string: it sits in a combiner, or on the cable of one string."""
    host = system.nodes.get(device.host or "")
    if host is not None and isinstance(host.part, Combiner):
        return True
    run = _cable_or_none(system, device)
    return run is not None and carries_one_string(system, run)


def _cable_or_none(system: System, device: Node) -> Run | None:
    try:
        return cable_of(system, device)
    except MissingDataError:
        return None


def fuse_rating(ask: Ask) -> Outcome:
    """Return a fuse's rated current between what its circuit needs and what cable and modules stand."""
    run = cable_of(ask.system, ask.node)
    rated = ask.node.need("rated_current")
    if is_string_device(ask.system, ask.node):
        return _string_fuse(ask, run, rated)
    least = lasting(ask, greatest_current(ask, run))
    _next_rating(ask, least)
    most = ampacity_where_it_lies(ask, run)
    basis = f"{run.tag}: its greatest current, and what it carries where it lies; {family(ask)}"
    return Outcome(Q.CURRENT, rated, lower=least, upper=most, basis=basis)


def _string_fuse(ask: Ask, run: Run, rated: float) -> Outcome:
    arrays = arrays_on(ask.system, run)
    if not arrays:
        raise MissingDataError(ask.tag, "host", f"{ask.tag}: no array is recorded behind {run.tag}")
    array = arrays[0]
    short, module = array.need("module_short_circuit_current"), array.need("series_fuse_maximum")
    if is_us(ask):
        least = lasting(ask, greatest_current(ask, run))
        ampacity = ampacity_where_it_lies(ask, run)
        most = ask.w.call("I_high", highest_allowed_rating, ampacity=ampacity, device_limit=module)
    else:
        least = ask.w.call("I_n", string_fuse_least, short_circuit_current=short)
        most = ask.w.call("I_high", string_fuse_most, short_circuit_current=short, module_maximum=module)
    _next_rating(ask, least)
    basis = f"one string of {array.tag}: its current, its cable, and the module's series fuse maximum; {family(ask)}"
    return Outcome(Q.CURRENT, rated, lower=least, upper=most, basis=basis)


def _next_rating(ask: Ask, least: float) -> None:
    """Show the standard rating that comes next, so that a person knows which fuse to fetch."""
    formula = next_standard_rating if is_us(ask) else next_iec_rating
    ask.w.call("I_std", formula, current=least, note="the next rating that is made")


def interrupting_rating(ask: Ask) -> Outcome:
    """Return what a fuse can interrupt against the current that a short circuit would push through it."""
    run = cable_of(ask.system, ask.node)
    battery = battery_on(ask.system, run)
    rated = ask.node.need("interrupting_rating")
    if battery is None:
        fault = greatest_current(ask, run)
        return Outcome(Q.CURRENT, rated, lower=fault, basis=f"greatest current of the circuit of {run.tag}")
    fault = ask.w.call(
        "I_k",
        bank_fault_current,
        block_current=battery.need("block_short_circuit_current"),
        strings=battery.need("parallel"),
    )
    return Outcome(Q.CURRENT, rated, lower=fault, basis=f"short circuit at the posts of {battery.tag}")


def battery_cables(system: System, tag: str) -> tuple[str, ...]:
    """Return the cables at a battery's posts."""
    return tuple(run.tag for run in system.runs_at(tag, "cable"))


def battery_protected(ask: Ask) -> Outcome:
    """Return how many fuses or breakers sit on a cable at the battery's posts."""
    run = ask.system.runs[ask.against]
    many = len(devices_on(ask.system, run))
    return Outcome(Q.COUNT, float(many), lower=1.0, basis=f"a fuse or breaker on {run.tag}, near the posts: {COMMON}")


def string_fuses(ask: Ask) -> Outcome:
    """Return the current that the other strings push into a faulty one against what a module stands."""
    array = ask.node
    back = ask.w.call(
        "I_rev",
        reverse_current,
        short_circuit_current=array.need("module_short_circuit_current"),
        strings=array.need("parallel"),
    )
    fused = [d for d in ask.system.of(OvercurrentDevice) if is_string_device(ask.system, d) and _is_on(ask, d, array)]
    if fused:
        most = max(d.need("rated_current") for d in fused)
        basis = f"each string has a fuse, {', '.join(d.tag for d in fused)}: what it lets through"
        return Outcome(Q.CURRENT, most, upper=array.need("series_fuse_maximum"), basis=basis)
    basis = "no string has a fuse: the module's series fuse maximum"
    return Outcome(Q.CURRENT, back, upper=array.need("series_fuse_maximum"), basis=basis)


def _is_on(ask: Ask, device: Node, array: Node) -> bool:
    run = _cable_or_none(ask.system, device)
    return run is not None and array in arrays_on(ask.system, run)


RULES = (
    Rule(
        key="fuse_rating",
        title="Fuse or breaker, rated current",
        sort=Sort.SAFETY,
        subjects=(OvercurrentDevice,),
        purpose="Too small it opens at noon; too large the cable or the module burns before it opens.",
        limits=(
            ARRAY_LIMIT,
            HOURS_LIMIT,
            Limit("a string's fuse: 1.5 to 2.4 × I_sc in the IEC family", "IEC 62548:2016, 6.5.3 (from memory)"),
            Limit(
                "not above what the cable carries, nor the module's series fuse maximum",
                "NEC 240.4, 110.3(B) (from memory)",
            ),
        ),
        evaluate=fuse_rating,
    ),
    Rule(
        key="interrupting_rating",
        title="Interrupting rating",
        sort=Sort.SAFETY,
        subjects=(OvercurrentDevice,),
        purpose="A fuse that cannot interrupt the battery's fault current at its DC voltage explodes.",
        limits=(
            Limit("not below the short-circuit current at the posts", "NEC (NFPA 70, 2020) 110.9 (from memory)"),
            Limit("in an array's circuit not below its greatest current", "NEC (NFPA 70, 2020) 690.8(A)(1)"),
        ),
        evaluate=interrupting_rating,
    ),
    Rule(
        key="battery_protected",
        title="Fuse at the battery",
        sort=Sort.SAFETY,
        subjects=(BatteryBank,),
        purpose="A cable on a battery without a fuse carries kiloamperes into any fault, and burns.",
        limits=(Limit("a fuse or breaker on each cable at the posts", "NEC (NFPA 70, 2020) 706.31 (from memory)"),),
        evaluate=battery_protected,
        against=battery_cables,
    ),
    Rule(
        key="string_fuses",
        title="Current back into a faulty string",
        sort=Sort.SAFETY,
        subjects=(SolarArray,),
        purpose="Three strings and more can push enough current back into a faulty one to set it on fire.",
        limits=(Limit("not above the module's series fuse maximum", "IEC 62548:2016, 6.5.2 (from memory)"),),
        evaluate=string_fuses,
    ),
)
