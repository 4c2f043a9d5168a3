"""Filters: the pressure that an element takes, and when it is due for changing."""

from sizing.checks.booster import FLOW, gauge
from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Judged, Kind, Limit, Way
from sizing.checks.pocket import Figure, along
from sizing.formulas.filters import filter_pressure_drop
from sizing.formulas.leaks import pressure_fall
from sizing.parts import Filter
from sizing.quantities import Quantity as Q

SAME_GAUGE = Accuracy(fixed=1_000.0, words="one gauge on both sides, its zero checked")

SHUT_DOWN = Caution("Housing to zero pressure before it is opened; wipe up, no water near terminals.", COMMON)


def lost_in_filter(case: Case) -> float:
    """Return the pressure before the filter above that behind it, whatever its sign."""
    return case.reading("before") - case.reading("behind")


def drop_measured(case: Case) -> float:
    """Return the pressure that the filter takes, from one gauge on both its sides."""
    return case.w.call("Δp", pressure_fall, start_pressure=case.reading("before"), end_pressure=case.reading("behind"))


def drop_expected(case: Case) -> Expected:
    """Return what a clean filter takes at the flow, and as the limit what one due for changing takes."""
    flow = case.reading("flow") if case.readings else case.subject.need("drop_flow")
    nominal, upper = (_filter_drop(case, symbol, flow, dirt) for symbol, dirt in (("Δp clean", 0.0), ("Δp most", 1.0)))
    basis = "change-out drop of the nameplate, carried to the flow; clean is no fault"
    return Expected(Q.PRESSURE_DIFFERENCE, nominal, None, upper, basis)


def _filter_drop(case: Case, symbol: str, flow: float, dirt: float) -> float:
    return case.w.call(
        symbol,
        filter_pressure_drop,
        flow=flow,
        reference_flow=case.subject.need("drop_flow"),
        clean_drop=case.subject.need("clean_drop"),
        change_out_drop=case.subject.need("change_out_drop"),
        dirt=dirt,
    )


FILTER_DROP = Check(
    key="filter_drop",
    title="Filter: pressure lost",
    kind=Kind.MEASURED,
    subject=Filter,
    group="Booster and pressure",
    purpose="A dirty element starves taps and pump; before a pump it also counts against its suction head.",
    ways=(
        Way(
            "gauge",
            "One gauge on both sides",
            (
                gauge("before", "Pressure before the filter", "at the flow", SAME_GAUGE),
                gauge("behind", "Pressure behind the filter", "the same gauge, its zero checked", SAME_GAUGE),
                FLOW,
            ),
            ("pressure gauge, vacuum too on a suction side", "flow meter, or bucket and watch"),
        ),
    ),
    judged=(Judged("drop", "Pressure lost", Q.PRESSURE_DIFFERENCE, drop_expected, drop_measured),),
    pocket=along("lost", "flow", figures=(Figure("lost", ("before", "behind"), lost_in_filter, kinks=(0.0,)),)),
    state="steady flow",
    method=(
        "Set a steady flow and measure it.",
        "Read the same gauge before and behind the filter.",
        "Without the flow the drop says nothing.",
    ),
    normal="Clean, hardly more than the gauge can tell; it grows slowly over months.",
    cautions=(SHUT_DOWN,),
    limits=(Limit("not above the change-out drop, carried to the flow by its square", "nameplate of the filter"),),
    at_service=True,
)

CHECKS = (FILTER_DROP,)
