"""Conductor sizes against ASTM B258 and IEC 60228, and soils against print."""

import pytest

from sizing.lookups.conductors import CONDUCTOR_SIZES, size_of_section
from sizing.lookups.soils import SOILS
from sizing.parts import EarthElectrode


@pytest.mark.parametrize(
    ("size", "section", "source"),
    [
        ("14 AWG", 2.081, "ASTM B258-18, Table 1"),
        ("10 AWG", 5.261, "ASTM B258-18, Table 1"),
        ("6 AWG", 13.30, "ASTM B258-18, Table 1"),
        ("4/0 AWG", 107.2, "ASTM B258-18, Table 1"),
    ],
)
def test_sections_of_gauges_match_print(size: str, section: float, source: str) -> None:
    assert CONDUCTOR_SIZES[size].section * 1e6 == pytest.approx(section, rel=5e-4), source


@pytest.mark.parametrize(
    ("size", "ohm_per_km", "tolerance", "source"),
    [
        ("4 mm²", 4.61, 1e-9, "IEC 60228:2004, Table 2"),
        ("35 mm²", 0.524, 1e-9, "IEC 60228:2004, Table 2"),
        # 1.24 Ω/kft at 75 °C is 1.24/0.3048/1.2162 = 3.345 Ω/km at 20 °C
        ("10 AWG", 3.345, 5e-3, "NEC chapter 9, Table 8, stranded uncoated copper"),
        ("2/0 AWG", 0.2609, 5e-3, "NEC chapter 9, Table 8, stranded uncoated copper: 0.0967 Ω/kft at 75 °C"),
    ],
)
def test_resistances_match_print(size: str, ohm_per_km: float, tolerance: float, source: str) -> None:
    assert CONDUCTOR_SIZES[size].resistance * 1000 == pytest.approx(ohm_per_km, rel=tolerance), source


@pytest.mark.parametrize(
    ("section", "size"),
    [(5.26e-6, "10 AWG"), (6e-6, "6 mm²"), (33.6e-6, "2 AWG"), (2.08e-6, "14 AWG"), (50e-6, "50 mm²")],
)
def test_a_printed_section_is_known_again(section: float, size: str) -> None:
    found = size_of_section(section)
    assert found is not None
    assert found.designation == size


def test_an_odd_section_has_no_size() -> None:
    assert size_of_section(7.5e-6) is None


def test_a_thicker_conductor_resists_less() -> None:
    ordered = sorted(CONDUCTOR_SIZES.values(), key=lambda one: one.section)
    gauges = [one.resistance for one in ordered if one.designation.endswith("AWG")]
    metric = [one.resistance for one in ordered if one.designation.endswith("mm²")]
    assert gauges == sorted(gauges, reverse=True)
    assert metric == sorted(metric, reverse=True)


def test_soils_are_the_choices_of_an_electrode() -> None:
    assert set(SOILS) == {choice.value for choice in EarthElectrode.declarations()["soil"].choices}
    assert all(soil.lowest < soil.average < soil.highest for soil in SOILS.values())


def test_clay_by_hand() -> None:
    # 4060 Ω·cm, 340 to 16 300, as MIL-HDBK-419A reprints it (from memory)
    clay = SOILS["clay"]
    assert (clay.average, clay.lowest, clay.highest) == pytest.approx((40.6, 3.4, 163.0))
