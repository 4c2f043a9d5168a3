"""Ampacity of metric cables: the tables' printed factors, and the square law between loading and heat."""

from itertools import pairwise

import pytest

from sizing.formulas.conductors import STRANDED_ALUMINIUM_OHM_PER_KM, STRANDED_COPPER_OHM_PER_KM
from sizing.formulas.iec_ampacity import (
    ALUMINIUM_CURRENTS,
    ALUMINIUM_SIZES,
    CURRENTS,
    SIZES,
    circuits_factor,
    iec_aluminium_ampacity,
    iec_table_ampacity,
    surroundings_factor,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

# IEC 60364-5-52:2009, Tables B.52.2 and B.52.3, two loaded conductors (from memory; widely reprinted figures).
PRINTED = [
    ("2.5 mm²", 70, "raceway", 24),
    ("6 mm²", 70, "free_air", 46),
    ("6 mm²", 90, "free_air", 58),
    ("16 mm²", 90, "raceway", 100),
    ("10 mm²", 90, "buried", 71),
]


@pytest.mark.parametrize(("size", "rating", "method", "current"), PRINTED)
def test_printed_currents(size, rating, method, current):
    assert iec_table_ampacity(size, rating, method) == current


@pytest.mark.parametrize(
    ("size", "rating", "method", "current"),
    [("16 mm²", 70, "raceway", 60), ("25 mm²", 70, "free_air", 83), ("35 mm²", 90, "raceway", 130)],
)
def test_printed_currents_of_aluminium(size, rating, method, current):
    # the same tables, aluminium (from memory; widely reprinted figures)
    assert iec_aluminium_ampacity(size, rating, method) == current


def test_aluminium_carries_what_its_resistance_allows():
    # The same heat at the same size: I² · r, with the resistances of IEC 60228 for both metals.
    for key, row in ALUMINIUM_CURRENTS.items():
        for size, current in zip(ALUMINIUM_SIZES, row, strict=True):
            ratio = (STRANDED_COPPER_OHM_PER_KM[size] / STRANDED_ALUMINIUM_OHM_PER_KM[size]) ** 0.5
            assert current / CURRENTS[key][SIZES.index(size)] == pytest.approx(ratio, rel=0.065)


def test_a_rating_between_takes_the_cooler_table():
    assert iec_table_ampacity("4 mm²", 75, "raceway") == iec_table_ampacity("4 mm²", 70, "raceway")


def test_currents_rise_with_size_and_with_insulation():
    for (method, rating), row in CURRENTS.items():
        assert len(row) == len(SIZES)
        assert all(a < b for a, b in pairwise(row))
        if rating == 90:
            assert all(x > p for x, p in zip(row, CURRENTS[method, 70.0], strict=True))


# Table B.52.14 (air) and B.52.15 (ground), printed to two places (from memory).
FACTORS = [(70, 40, 30, 0.87), (70, 25, 30, 1.06), (90, 50, 30, 0.82), (90, 60, 30, 0.71), (70, 30, 20, 0.89),
           (90, 30, 20, 0.93)]  # fmt: skip


@pytest.mark.parametrize(("conductor", "surroundings", "reference", "factor"), FACTORS)
def test_printed_factors_for_warm_surroundings(conductor, surroundings, reference, factor):
    assert surroundings_factor(conductor, surroundings, reference) == pytest.approx(factor, abs=0.0051)


@pytest.mark.parametrize(("circuits", "factor"), [(1, 1.0), (2, 0.8), (3, 0.7), (6, 0.57), (9, 0.5)])
def test_printed_factors_for_circuits(circuits, factor):
    assert circuits_factor(circuits) == factor


@pytest.mark.parametrize(
    ("formula", "arguments", "argument"),
    refusals(
        (
            iec_table_ampacity,
            {"size": "6 mm²", "insulation_rating": 90.0, "method": "buried"},
            {"size": ["10 AWG", "7 mm²"], "insulation_rating": [60, 160], "method": ["water"]},
        ),
        (
            iec_aluminium_ampacity,
            {"size": "16 mm²", "insulation_rating": 90.0, "method": "buried"},
            {"size": ["10 AWG", "10 mm²"], "insulation_rating": [60, 160], "method": ["water"]},
        ),
        (
            surroundings_factor,
            {"conductor_temperature": 90.0, "surroundings": 40.0, "reference": 30.0},
            {"conductor_temperature": [50], "surroundings": [90, -50], "reference": [10]},
        ),
        (circuits_factor, {"circuits": 2}, {"circuits": [0, 10, 1.5]}),
    ),
)
def test_refuses(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
