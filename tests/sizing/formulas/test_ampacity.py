"""Ampacity tables against printed rows, and the printed factors against their equation."""

from math import inf

import pytest

from sizing.formulas.ampacity import (
    ALUMINIUM_AMPACITY,
    AMBIENT_FACTORS,
    COPPER_AMPACITY,
    aluminium_table_ampacity,
    ambient_factor,
    bundling_factor,
    corrected_ampacity,
    table_ambient_factor,
    table_ampacity,
)
from tests.sizing.formulas.refusal import assert_refused, refusals


def test_rows_of_the_code():
    # NEC (NFPA 70, 2020) Table 310.16: 6 AWG copper 55, 65, 75 A (seen); 10 AWG 30, 35, 40 A.
    assert [table_ampacity("6 AWG", rating) for rating in (60, 75, 90)] == [55, 65, 75]
    assert [table_ampacity("10 AWG", rating) for rating in (60, 75, 90)] == [30, 35, 40]


def test_aluminium_rows_of_the_code():
    # NEC (NFPA 70, 2020) Table 310.16, aluminium (from memory): 4 AWG 55, 65, 75 A; 2/0 AWG 115, 135, 150 A.
    assert [aluminium_table_ampacity("4 AWG", rating) for rating in (60, 75, 90)] == [55, 65, 75]
    assert [aluminium_table_ampacity("2/0 AWG", rating) for rating in (60, 75, 90)] == [115, 135, 150]


def test_aluminium_carries_what_its_resistance_allows():
    # The same heat at the same size: I² · ρ, with 1.7241 and 2.8264e-8 Ω·m, so 0.781 of copper. From 8 AWG on;
    # the code's smallest rows are rounded to 5 A.
    for size, row in ALUMINIUM_AMPACITY.items():
        if size not in ("12 AWG", "10 AWG", "8 AWG"):
            assert [a / c for a, c in zip(row, COPPER_AMPACITY[size], strict=True)] == pytest.approx(
                [0.781] * 3, abs=0.055
            )


@pytest.mark.parametrize("rating", [75.0, 90.0])
def test_printed_ambient_factors_are_the_equation_at_the_top_of_their_band(rating):
    # NEC (NFPA 70, 2020) Table 310.15(B)(1), rounded to two figures.
    for top, factor in AMBIENT_FACTORS[rating]:
        assert ambient_factor(rating, top) == pytest.approx(factor, abs=0.006)
        assert table_ambient_factor(rating, top) == table_ambient_factor(rating, top - 4.9) == factor


def test_hot_roof_example():
    # Same tables: 10 AWG at 90 °C, 61 … 65 °C: 40 · 0.65 = 26 A.
    assert corrected_ampacity(table_ampacity("10 AWG", 90), table_ambient_factor(90, 63), 1.0) == pytest.approx(26.0)


@pytest.mark.parametrize(("conductors", "factor"), [(1, 1.0), (3, 1.0), (4, 0.8), (6, 0.8), (7, 0.7), (20, 0.5)])
def test_bundles_of_the_code(conductors, factor):
    # NEC (NFPA 70, 2020) Table 310.15(C)(1).
    assert bundling_factor(conductors) == factor


def test_thicker_and_hotter_rated_wires_carry_more():
    assert table_ampacity("4 AWG", 75) > table_ampacity("6 AWG", 75) > table_ampacity("6 AWG", 60)


BOUNDS = [
    (
        table_ampacity,
        {"size": "10 AWG", "insulation_rating": 75},
        {"size": ["", "16 AWG", "10"], "insulation_rating": [70, inf]},
    ),
    (
        aluminium_table_ampacity,
        {"size": "10 AWG", "insulation_rating": 75},
        {"size": ["", "14 AWG", "10"], "insulation_rating": [70, inf]},
    ),
    (
        ambient_factor,
        {"insulation_rating": 75, "ambient_temperature": 40},
        {"insulation_rating": [59, 91], "ambient_temperature": [-41, 75]},
    ),
    (
        table_ambient_factor,
        {"insulation_rating": 75, "ambient_temperature": 40},
        {"insulation_rating": [60], "ambient_temperature": [20, 70.1]},
    ),
    (table_ambient_factor, {"insulation_rating": 90, "ambient_temperature": 40}, {"ambient_temperature": [80.1]}),
    (bundling_factor, {"conductors": 3}, {"conductors": [0, 21]}),
    (
        corrected_ampacity,
        {"table_ampacity": 40, "ambient_factor": 0.9, "bundling_factor": 0.8},
        {"table_ampacity": [0, inf], "ambient_factor": [0, 1.6], "bundling_factor": [0, 1.1]},
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
