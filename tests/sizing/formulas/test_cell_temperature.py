"""Cell temperature against pvlib and a textbook example."""

from math import inf

import pytest
from pvlib import temperature

from sizing.formulas.cell_temperature import (
    FAIMAN_U0,
    FAIMAN_U1,
    SANDIA_MOUNTS,
    cell_temperature_from_module,
    faiman_module_temperature,
    noct_cell_temperature,
    sandia_module_temperature,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

WEATHER = [(900, 30, 2), (400, -5, 0), (1100, 42, 8), (0, 15, 3)]


def test_textbook_module_at_47_noct():
    # Masters, Renewable and Efficient Electric Power Systems (2004), chapter 8: 30 °C, 1000 W/m²: 64 °C. From memory.
    assert noct_cell_temperature(30, 47, 1000) == pytest.approx(64, abs=0.5)


def test_noct_is_met_at_its_own_conditions():
    assert noct_cell_temperature(20, 45.5, 800) == pytest.approx(45.5)


@pytest.mark.parametrize(("light", "ambient", "wind"), WEATHER)
@pytest.mark.parametrize(
    ("mount", "name"),
    [
        ("glass/glass, open rack", "open_rack_glass_glass"),
        ("glass/glass, close to the roof", "close_mount_glass_glass"),
        ("glass/polymer, open rack", "open_rack_glass_polymer"),
        ("glass/polymer, insulated back", "insulated_back_glass_polymer"),
    ],
)
def test_sandia_agrees_with_pvlib(light, ambient, wind, mount, name):
    fit = SANDIA_MOUNTS[mount]
    back = sandia_module_temperature(ambient, light, wind, fit.a, fit.b)
    mine = cell_temperature_from_module(back, light, fit.cell_above_module)
    theirs = temperature.sapm_cell(light, ambient, wind, **temperature.TEMPERATURE_MODEL_PARAMETERS["sapm"][name])
    assert mine == pytest.approx(theirs, abs=1e-9)


@pytest.mark.parametrize(("light", "ambient", "wind"), WEATHER)
def test_faiman_agrees_with_pvlib(light, ambient, wind):
    mine = faiman_module_temperature(ambient, light, wind, FAIMAN_U0, FAIMAN_U1)
    assert mine == pytest.approx(temperature.faiman(light, ambient, wind), abs=1e-9)


def test_wind_cools_and_night_is_ambient():
    assert faiman_module_temperature(20, 800, 5, 25, 6.84) < faiman_module_temperature(20, 800, 1, 25, 6.84)
    assert noct_cell_temperature(12, 45, 0) == 12


COLD = [-273.15, inf]
BOUNDS = [
    (
        noct_cell_temperature,
        {"ambient_temperature": 20, "noct": 45, "irradiance": 800},
        {"ambient_temperature": COLD, "noct": [20, inf], "irradiance": [-1, inf]},
    ),
    (
        sandia_module_temperature,
        {"ambient_temperature": 20, "irradiance": 800, "wind_speed": 1, "a": -3.5, "b": -0.06},
        {
            "ambient_temperature": COLD,
            "irradiance": [-1, inf],
            "wind_speed": [-1, inf],
            "a": [0, 1, -inf],
            "b": [0.1, -inf],
        },
    ),
    (
        cell_temperature_from_module,
        {"module_temperature": 40, "irradiance": 800, "cell_above_module": 3},
        {"module_temperature": COLD, "irradiance": [-1, inf], "cell_above_module": [-1, inf]},
    ),
    (
        faiman_module_temperature,
        {"ambient_temperature": 20, "irradiance": 800, "wind_speed": 1, "u0": 25, "u1": 6.84},
        {
            "ambient_temperature": COLD,
            "irradiance": [-1, inf],
            "wind_speed": [-1, inf],
            "u0": [0, inf],
            "u1": [-1, inf],
        },
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
