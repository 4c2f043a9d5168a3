"""Conductivity against the potassium chloride standard, nitrate against the guideline printed in both forms."""

from math import inf

import pytest

from sizing.formulas.water_chemistry import conductivity_at_25, nitrate_of_nitrogen
from tests.sizing.formulas.refusal import assert_refused, refusals

# Jones and Bradshaw 1933, potassium chloride 0.01 demal, the primary standard of conductivity [S/m] (from memory)
STANDARD = {18.0: 0.122052, 25.0: 0.140877}
# ISO 7888:1985, potassium chloride 0.01 mol/L [S/m] (from memory)
CALIBRATING = {20.0: 0.1278, 25.0: 0.1413}


@pytest.mark.parametrize(("table", "temperature"), [(STANDARD, 18.0), (CALIBRATING, 20.0)])
def test_the_standard_solution_reads_at_another_temperature_what_it_reads_at_25(table, temperature):
    assert conductivity_at_25(table[temperature], temperature) == pytest.approx(table[25.0], rel=0.001)


def test_at_25_nothing_is_changed():
    assert conductivity_at_25(0.05, 25.0) == 0.05


def test_colder_water_conducts_less_for_the_same_salt():
    assert conductivity_at_25(0.05, 10.0) > conductivity_at_25(0.05, 20.0) > 0.05


def test_the_guideline_for_nitrate_in_both_its_forms():
    # WHO Guidelines for drinking-water quality: 50 mg/L as nitrate, "equivalent to 11 mg/L as nitrate-nitrogen"
    assert nitrate_of_nitrogen(11.3) == pytest.approx(50, abs=0.1)
    # 62.004 g of nitrate hold 14.007 g of nitrogen
    assert nitrate_of_nitrogen(14.007) == pytest.approx(62.004)


BOUNDS = (
    (conductivity_at_25, {"conductivity": 0.05, "temperature": 15.0}, {
        "conductivity": [0.0, -0.1, inf], "temperature": [-0.1, 45.1]}),
    (nitrate_of_nitrogen, {"nitrogen": 2.0}, {"nitrogen": [-0.1, inf]}),
)  # fmt: skip


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_refuses_what_is_out_of_range(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
