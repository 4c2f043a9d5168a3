"""The uncertainty of a reading is the same on the phone: statement, last digit, and a bound over the range."""

from typing import Any

import pytest

from commissioning import units
from commissioning.accuracy import reading_uncertainty
from commissioning.demo.instruments import KIT
from commissioning.models import Instrument
from commissioning.sync.declared import input_data, unit_table
from sizing.checks.declare import Accuracy, Input
from sizing.quantities import Quantity
from tests.phone.node import run

TABLE = unit_table("metric")
STATED = ("of_reading_percent", "counts", "resolution", "of_full_scale_percent", "full_scale")
USUAL = Accuracy(of_reading=0.02, fixed=0.5)

UNCERTAINTY = "return m.readingUncertainty(it.entry, it.input, it.instrument, it.units);"
BOUND = "return m.valueAndBound(it.entry, it.instrument, it.units);"


def instruments() -> list[Instrument]:
    return [
        Instrument(tag=tag, name=name, quantity=quantity, unit=unit, **dict(zip(STATED, stated[:5], strict=False)))
        for tag, name, quantity, unit, *stated in (*KIT, ("X1", "says nothing of itself", "voltage", "V"))
    ]


def stated(one: Instrument | None) -> dict[str, str] | None:
    return one and {"unit": one.unit, **{name: getattr(one, name) for name in STATED}}


def case(typed: str, code: str, declared: Input, instrument: Instrument | None) -> tuple[dict[str, Any], float]:
    entry = units.parse(typed, code, declared.quantity)
    sent = {"typed": entry.typed, "unit": code, "value": entry.value_core, "bound": entry.bound}
    given = {
        "entry": sent, "input": input_data(declared), "instrument": stated(instrument),
        "units": TABLE[declared.quantity.value],
    }  # fmt: skip
    return given, reading_uncertainty(entry, declared, instrument)


def cases() -> list[tuple[dict[str, Any], float]]:
    found = []
    for one in instruments():
        quantity = Quantity(one.quantity)
        declared = Input("x", "X", quantity, hard=(-1e12, 1e12), usual=USUAL)
        for unit in units.offered(quantity):
            for typed in ("0", "0.0", "7", "36.5", "-4.20", "1234", ".5"):
                found += [case(typed, unit.code, declared, one), case(typed, unit.code, declared, None)]
    return found


def test_every_instrument_gives_the_same_uncertainty_in_every_unit() -> None:
    given, expected = zip(*cases(), strict=True)
    assert len(given) > 300
    assert run("accuracy.js", UNCERTAINTY, list(given)) == pytest.approx(list(expected), rel=1e-12, abs=1e-300)


def test_over_its_range_the_end_of_the_scale_stands_as_a_bound() -> None:
    tester = next(one for one in instruments() if one.tag == "IT1")
    over = {"typed": "OL", "unit": "Mohm", "value": None, "bound": "OL"}
    offered = TABLE["insulation"]
    with_scale, without = run(
        "accuracy.js",
        BOUND,
        [
            {"entry": over, "instrument": stated(tester), "units": offered},
            {"entry": over, "instrument": None, "units": offered},
        ],
    )
    assert with_scale == {"value": pytest.approx(999e6), "bound": ">"}
    assert without is None
