"""The battery under a load."""

from sizing.checks.battery_case import DC_CLAMP, KILOAMPERES, SAME_VOLTMETER, bank_inside, of_block, rest_of, users_of
from sizing.checks.case import Case, Expected
from sizing.checks.declare import (
    COMMON,
    Check,
    Input,
    Judged,
    Kind,
    Limit,
    Way,
)
from sizing.checks.pocket import along
from sizing.errors import MissingDataError
from sizing.formulas.battery import sagged_voltage
from sizing.formulas.circuits import bank_voltage
from sizing.parts import BatteryBank
from sizing.quantities import Quantity as Q
from sizing.stored_power import asked_by, battery_to_user

SAGS = 2.0  # polarisation in the first minute about doubles the sheet's resistance; common practice, no source


def sag_expected(case: Case) -> Expected:
    """Return the voltage at the posts under the load; as the limit that of twice the sheet's resistance."""
    if not case.readings:
        return sag_in_advance(case)
    rest, current, inside = case.reading("rest_voltage"), case.reading("current"), bank_inside(case)
    nominal = case.w.call("V", sagged_voltage, rest_voltage=rest, current=current, resistance=inside)
    lower = case.w.call("lower", sagged_voltage, rest_voltage=rest, current=SAGS * current, resistance=inside)
    basis = f"voltage at rest less current × twice the sheet's resistance: {COMMON}"
    return Expected(Q.VOLTAGE, nominal, lower, basis=basis)


def sag_in_advance(case: Case) -> Expected:
    """Return the voltage at the posts under the largest user on record, from a full battery at rest."""
    users = users_of(case.system, case.subject.tag)
    if not users:
        raise MissingDataError(case.subject.tag, "cable", f"{case.subject.tag}: nothing that it feeds is recorded")
    asked = max((asked_by(user) for user in users), key=lambda one: one.power)
    full = of_block(case, "V full", rest_of(case)[1])
    rest = case.w.call("V₀", bank_voltage, block_voltage=full, blocks=case.subject.need("series"))
    chain = battery_to_user(case.system, asked, rest, case.w, temperature=25.0)
    posts = next(point for point in chain.points if point.words == "at the posts")
    twice = SAGS * posts.current
    lower = case.w.call("lower", sagged_voltage, rest_voltage=rest, current=twice, resistance=bank_inside(case))
    basis = f"{asked.node.tag} at its rated power, battery full; limit at twice the sheet's resistance: {COMMON}"
    return Expected(Q.VOLTAGE, posts.voltage, lower, basis=basis)


BATTERY_SAG = Check(
    key="battery_sag",
    title="Battery under a load, one minute",
    kind=Kind.MEASURED,
    subject=BatteryBank,
    group="Battery and charging",
    purpose="The bank carries its largest load: a bad block or joint shows itself within a minute.",
    ways=(
        Way(
            "meter",
            "Multimeter at the posts, clamp on a lead",
            (
                Input(
                    "rest_voltage",
                    "Posts, before the load",
                    Q.VOLTAGE,
                    hard=(1, 1000),
                    soft=(10, 60),
                    hint="array off",
                    usual=SAME_VOLTMETER,
                ),
                Input(
                    "voltage", "Posts, after a minute", Q.VOLTAGE, hard=(0, 1000), soft=(9, 60), usual=SAME_VOLTMETER
                ),
                Input("current", "Current of the load", Q.CURRENT, hard=(0.1, 2000), soft=(1, 300), usual=DC_CLAMP),
            ),
            ("multimeter", "DC clamp meter"),
        ),
    ),
    judged=(Judged("voltage", "Voltage at the posts under load", Q.VOLTAGE, sag_expected),),
    pocket=along("rest_voltage", "current"),
    state="array off, one named load on for a minute, the largest there is",
    method=(
        "Array off, all loads off: read the posts.",
        "One load on, the largest; write down which one.",
        "After a minute read posts and current, then switch it off.",
    ),
    cautions=(KILOAMPERES,),
    limits=(Limit("not lower than current × twice the sheet's resistance takes away", COMMON),),
    after=("battery_rest_voltage", "battery_polarity"),
    at_service=True,
)

CHECKS = (BATTERY_SAG,)
