"""Wire sizes and resistances against printed tables."""

from math import inf, nan

import pytest

from sizing.formulas.conductors import (
    FLEXIBLE_COPPER_OHM_PER_KM,
    STRANDED_ALUMINIUM_OHM_PER_KM,
    STRANDED_COPPER_OHM_PER_KM,
    aluminium_resistance_per_length,
    awg_diameter,
    awg_section,
    conductor_resistance_per_length,
    gauge_number,
    metric_resistance_per_length,
    resistance_at_temperature,
    resistance_between_temperatures,
    resistance_per_length,
    series_resistance,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

KILOFOOT = 304.8  # m

# NEC Chapter 9 Table 8, stranded uncoated copper at 75 °C [Ω/kft].
TABLE_8 = {
    "16": 4.99, "14": 3.14, "12": 1.98, "10": 1.24, "8": 0.778, "6": 0.491, "4": 0.308, "3": 0.245, "2": 0.194,
    "1": 0.154, "1/0": 0.122, "2/0": 0.0967, "3/0": 0.0766, "4/0": 0.0608,
}  # fmt: skip


@pytest.mark.parametrize(
    ("gauge", "millimetre", "section"),
    [(10, 2.588, 5.261), (4, 5.189, 21.15), (14, 1.628, 2.081), (0, 8.251, 53.49), (-3, 11.684, 107.2)],
)
def test_diameters_and_sections_of_the_gauge(gauge, millimetre, section):
    # ASTM B258 table, from memory; 4/0 is 0.4600 in by definition.
    assert awg_diameter(gauge) * 1e3 == pytest.approx(millimetre, abs=6e-4)
    assert awg_section(gauge) * 1e6 == pytest.approx(section, rel=5e-4)


@pytest.mark.parametrize(("gauge", "per_kilofoot"), [(14, 2.525), (10, 0.9989), (8, 0.6282)])
def test_solid_copper_of_nbs_handbook_100(gauge, per_kilofoot):
    # NBS Handbook 100 (1966), solid annealed copper at 20 °C [Ω/kft]. From memory.
    mine = resistance_per_length(awg_section(gauge), "copper", 1.0) * KILOFOOT
    assert mine == pytest.approx(per_kilofoot, rel=1e-3)


@pytest.mark.parametrize(("size", "printed"), TABLE_8.items())
def test_stranded_copper_of_the_code(size, printed):
    cold = conductor_resistance_per_length(f"{size} AWG", "copper")
    assert resistance_at_temperature(cold, "copper", 75) * KILOFOOT == pytest.approx(printed, rel=0.006)


def test_aluminium_of_the_code():
    # NEC Chapter 9 Table 8, aluminium at 75 °C: 8 AWG 1.28, 2/0 0.159 Ω/kft. From memory.
    for size, printed in (("8 AWG", 1.28), ("2/0 AWG", 0.159)):
        cold = conductor_resistance_per_length(size, "aluminium")
        assert resistance_at_temperature(cold, "aluminium", 75) * KILOFOOT == pytest.approx(printed, rel=0.01)


def test_metric_sizes_of_iec_60228():
    # IEC 60228:2004: 6 mm² class 2 3.08, class 5 3.30 Ω/km; at 70 °C 3.69 by its coefficient.
    assert metric_resistance_per_length(6e-6, conductor_class=2) == pytest.approx(3.08e-3)
    assert metric_resistance_per_length(6e-6, conductor_class=5) == pytest.approx(3.30e-3)
    assert conductor_resistance_per_length("6 mm²", "copper") == pytest.approx(3.08e-3)
    assert resistance_at_temperature(3.08e-3, "copper", 70) == pytest.approx(3.69e-3, rel=0.002)


def test_flexible_and_nominal_sizes_hold_less_metal_than_their_name():
    for size, per_km in STRANDED_COPPER_OHM_PER_KM.items():
        by_name = resistance_per_length(size * 1e-6, "copper", 1.0) * 1000
        assert 1.04 < per_km / by_name < 1.13
        assert FLEXIBLE_COPPER_OHM_PER_KM[size] >= per_km * 0.99


def test_code_correction_from_75_degrees():
    # NEC Chapter 9 Table 8, note 2: R₂ = R₁·[1 + 0.00323·(T₂ − 75)]: 1.24 at 30 °C: 1.0598 Ω/kft. From memory.
    assert resistance_between_temperatures(1.24, 75, 30, "copper") == pytest.approx(1.0598, rel=2e-3)


def test_winding_temperature_constant_of_copper():
    # IEC 60034-1: (235 + T₂)/(235 + T₁) for copper.
    mine = resistance_between_temperatures(2.0, 20, 95, "copper")
    assert mine == pytest.approx(2.0 * (235 + 95) / (235 + 20), rel=2e-3)
    assert resistance_between_temperatures(mine, 95, 20, "copper") == pytest.approx(2.0)


@pytest.mark.parametrize(("size", "gauge"), [("10 AWG", 10), ("1/0 AWG", 0), ("4/0 AWG", -3), ("1 AWG", 1)])
def test_names_of_sizes(size, gauge):
    assert gauge_number(size) == gauge


def test_parts_in_series_add_by_hand():
    # A winding of 4.2 Ω behind a cable of 1.0 Ω and a joint of 5 mΩ.
    assert series_resistance([4.2, 1.0, 0.005]) == pytest.approx(5.205)


def test_metric_aluminium_follows_its_metal():
    # IEC 60228:2004 Table 2 (from memory): 16 mm² 1.91, 25 mm² 1.20 Ω/km. 2.8264e-8 Ω·m over the nominal
    # section (61 % IACS, ASTM B230) is 1.767 and 1.131: the greatest resistance lies up to 10 % above it.
    # 50 mm² is the exception, in copper as well (0.387 · 50 / 17.241 = 1.122): 0.641 · 50 / 28.264 = 1.134.
    assert aluminium_resistance_per_length(16e-6) == pytest.approx(1.91e-3)
    assert conductor_resistance_per_length("25 mm²", "aluminium") == pytest.approx(1.20e-3)
    for size, per_km in STRANDED_ALUMINIUM_OHM_PER_KM.items():
        assert 1.0 < per_km * size / 28.264 < (1.14 if size == 50 else 1.10)


SIZES = ["", "10", "AWG", "0 AWG", "5/0 AWG", "25 AWG", "ten AWG", "7 mm²", "6 mm2"]
BOUNDS = [
    (awg_diameter, {"gauge": 10}, {"gauge": [-3.1, 40.1]}),
    (awg_section, {"gauge": 10}, {"gauge": [-3.1, 40.1]}),
    (gauge_number, {"size": "10 AWG"}, {"size": SIZES}),
    (
        resistance_per_length,
        {"section": 6e-6, "material": "copper", "stranding_factor": 1.02},
        {"section": [0, inf], "material": ["", "tin"], "stranding_factor": [0.99, 1.11]},
    ),
    (
        metric_resistance_per_length,
        {"nominal_section": 6e-6, "conductor_class": 2},
        {"nominal_section": [0, 7e-6, 6, inf], "conductor_class": [0, 3, 6]},
    ),
    (
        conductor_resistance_per_length,
        {"size": "6 mm²", "material": "copper"},
        {"size": SIZES, "material": ["tin", ""]},
    ),
    (conductor_resistance_per_length, {"size": "16 mm²", "material": "aluminium"}, {"size": ["6 mm²", "7 mm²"]}),
    (aluminium_resistance_per_length, {"nominal_section": 16e-6}, {"nominal_section": [0, 6e-6, 16, inf]}),
    (series_resistance, {"resistances": [4.2, 1.0]}, {"resistances": [[], [-1.0], [1.0, inf], [nan]]}),
    (
        resistance_at_temperature,
        {"resistance": 1, "material": "copper", "temperature": 40},
        {"resistance": [-1, inf], "material": [""], "temperature": [-61, 251]},
    ),
    (
        resistance_between_temperatures,
        {"resistance": 1, "temperature": 20, "target_temperature": 40, "material": "copper"},
        {
            "resistance": [-1, inf],
            "temperature": [-61, 251],
            "target_temperature": [-61, 251],
            "material": [""],
        },
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
