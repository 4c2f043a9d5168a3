"""Safety of the electrical side: each rule by hand, by the codes' worked examples, and as its inputs move."""

from typing import Any

import pytest

from sizing.design.declare import Met
from tests.sizing.design.systems import birch_hollow, changed, met, result, value, without
from tests.sizing.systems import component, plate, quince_ridge


def hollow(**fields: Any) -> dict[str, Any]:
    return changed(birch_hollow(), **fields)


def ridge(**fields: Any) -> dict[str, Any]:
    return changed(quince_ridge(), **fields)


# Array voltage at record low


def test_voltage_of_the_codes_worked_example() -> None:
    # NEC 690.7(A) by coefficient, public worked example: 42.0 V, −0.344 %/K, −20 °C, 14 in series: 679 V
    document = hollow(
        A1__module_open_circuit_voltage=42.0, A1__voltage_coefficient=-0.00344, A1__series=14, site__record_low=-20.0
    )
    assert value(document, "array_voltage", "A1", "CC1") == pytest.approx(679, abs=1)


def test_every_maximum_between_array_and_controller_is_held_against() -> None:
    for tag, field in (("CB1", "rated_voltage"), ("FU1", "rated_voltage"), ("S1", "rated_voltage"),
                       ("CC1", "maximum_voltage"), ("SP1", "continuous_voltage")):  # fmt: skip
        # 2 × 24.0 V × [1 − 0.003 × (−15 − 25)] = 53.76 V
        assert value(hollow(), "array_voltage", "A1", tag) == pytest.approx(53.76)
        assert met(hollow(**{f"{tag}__{field}": 53.8}), "array_voltage", "A1", tag) is Met.MET
        assert met(hollow(**{f"{tag}__{field}": 53.7}), "array_voltage", "A1", tag) is Met.NOT_MET


def test_one_part_without_a_rating_does_not_hide_another() -> None:
    document = hollow(S1__rated_voltage=None, CC1__maximum_voltage=50.0)
    assert met(document, "array_voltage", "A1", "CC1") is Met.NOT_MET
    said = result(document, "array_voltage", "A1", "S1")
    assert said.met is Met.CANNOT_BE_SAID
    assert said.lacking is not None
    assert (said.lacking.owner, said.lacking.field) == ("S1", "rated_voltage")


def test_an_arrester_on_alternating_current_is_not_held_against_the_array() -> None:
    document = hollow(SP1__protects="ac")
    with pytest.raises(AssertionError, match="0 results"):
        result(document, "array_voltage", "A1", "SP1")


@pytest.mark.parametrize(
    ("field", "moved"),
    [
        ("A1__module_open_circuit_voltage", 25.0),
        ("A1__voltage_coefficient", -0.0035),
        ("A1__series", 3),
        ("site__record_low", -25.0),
    ],
)
def test_array_voltage_moves_with_each_input(field: str, moved: float) -> None:
    assert value(hollow(**{field: moved}), "array_voltage", "A1", "CC1") > 53.77


# Battery


def test_battery_voltage_by_hand() -> None:
    # 12 cells × [2.40 + (−0.004) × (0 − 25)] = 30.0 V: no colder than 0 °C, where controllers stop compensating
    assert value(hollow(), "battery_voltage", "BA1", "IN1") == pytest.approx(30.0)
    # in a room at 10 °C: 12 × [2.40 + 0.06] = 29.52 V
    assert value(hollow(BA1__coldest_place=10.0), "battery_voltage", "BA1", "IN1") == pytest.approx(29.52)
    # equalising at 2.55: 12 × [2.55 + 0.1] = 31.8 V
    assert value(hollow(CC1__equalise=2.55), "battery_voltage", "BA1", "IN1") == pytest.approx(31.8)
    assert met(hollow(IN1__maximum_input_voltage=29.9), "battery_voltage", "BA1", "IN1") is Met.NOT_MET


def test_set_point_outside_its_chemistry() -> None:
    # makers' range for AGM: 2.35 to 2.45 V each cell
    assert met(hollow(CC1__absorption=2.45), "charge_set_point", "CC1") is Met.MET
    assert met(hollow(CC1__absorption=2.46), "charge_set_point", "CC1") is Met.NOT_MET
    assert met(hollow(BA1__chemistry="flooded", CC1__absorption=2.46), "charge_set_point", "CC1") is Met.MET


def test_voltage_in_heat_against_the_single_diode_rule_of_thumb() -> None:
    # T_c = 34 + (45 − 20)/800 × 1000 = 65.25 °C; V_mp = 2 × 20.0 × [1 − 0.003 × 40.25] = 35.17 V at 1000 W/m²
    assert value(hollow(), "array_voltage_in_heat", "A1", "CC1") == pytest.approx(35.17, abs=0.005)
    # absorption at 25 °C: 12 × 2.40 = 28.8 V
    said = result(hollow(), "array_voltage_in_heat", "A1", "CC1").outcome
    assert said is not None
    assert said.lower == pytest.approx(28.8)
    assert met(hollow(A1__series=1), "array_voltage_in_heat", "A1", "CC1") is Met.NOT_MET
    assert met(ridge(C1__start_voltage=60.0), "array_voltage_in_heat", "A1", "C1") is Met.NOT_MET


# Fuses


def limits_of(document: dict[str, Any], rule: str, tag: str) -> tuple[float | None, float | None]:
    outcome = result(document, rule, tag).outcome
    assert outcome is not None
    return outcome.lower, outcome.upper


def test_string_fuse_of_the_us_worked_example() -> None:
    # NEC 690.8/690.9 worked on a public page: 9.5 A → 14.84 A → 15 A fuse, not above the module's 20 A
    low, high = limits_of(hollow(site__code_family="US"), "fuse_rating", "FU1")
    assert low == pytest.approx(14.84, abs=0.05)
    assert high == 20.0
    steps = result(hollow(site__code_family="US"), "fuse_rating", "FU1").steps
    assert next(s.result for s in steps if s.symbol == "I_std") == 15


def test_string_fuse_in_the_iec_family() -> None:
    # IEC 62548 (from memory): 1.5 × 9.5 = 14.25 A … min(2.4 × 9.5 = 22.8, module 20) A; next made: 16 A
    assert limits_of(hollow(), "fuse_rating", "FU1") == (pytest.approx(14.25), 20.0)
    assert limits_of(hollow(A1__series_fuse_maximum=30.0), "fuse_rating", "FU1")[1] == pytest.approx(22.8)
    steps = result(hollow(), "fuse_rating", "FU1").steps
    assert next(s.result for s in steps if s.symbol == "I_std") == 16
    assert met(hollow(FU1__rated_current=12.0), "fuse_rating", "FU1") is Met.NOT_MET
    assert met(hollow(FU1__rated_current=25.0), "fuse_rating", "FU1") is Met.NOT_MET


def test_fuse_of_parallel_strings_of_the_us_worked_example() -> None:
    # worked in a public forum by NEC: 5 strings of 3 A → 15 × 156 % = 23.4 A
    document = hollow(A1__module_short_circuit_current=3.0, A1__parallel=5, site__code_family="US")
    document["components"].append(component("FU9", "overcurrent_device", "K2", rated_current=25.0, rated_voltage=250.0))
    low, _ = limits_of(document, "fuse_rating", "FU9")
    assert low == pytest.approx(23.4, abs=0.05)


def test_fuse_of_an_inverter_counts_its_lowest_input() -> None:
    # 500 W / (0.90 × 21 V) = 26.46 A; K5 carries 107 A × √((90−34)/(90−30)) = 103.4 A, column C of B.52.3
    low, high = limits_of(hollow(), "fuse_rating", "FU3")
    assert low == pytest.approx(500 / (0.9 * 21))
    assert high == pytest.approx(107 * (56 / 60) ** 0.5)
    assert met(hollow(FU3__rated_current=25.0), "fuse_rating", "FU3") is Met.NOT_MET


def test_fault_current_of_the_bank() -> None:
    # two strings of blocks that give 2 200 A each into a short: 4 400 A at the posts; blocks in series add none
    assert limits_of(hollow(), "interrupting_rating", "FU2")[0] == 4_400
    assert met(hollow(FU2__interrupting_rating=4_000.0), "interrupting_rating", "FU2") is Met.NOT_MET
    assert limits_of(hollow(BA1__series=4), "interrupting_rating", "FU2")[0] == 4_400
    # a string fuse needs to interrupt no more than the array's own current: 1.25 × 9.5 A
    assert limits_of(hollow(), "interrupting_rating", "FU1")[0] == pytest.approx(11.875)


def test_each_cable_at_the_posts_wants_a_fuse() -> None:
    assert met(hollow(), "battery_protected", "BA1", "K5") is Met.MET
    bare = without(birch_hollow(), "FU3")
    assert met(bare, "battery_protected", "BA1", "K5") is Met.NOT_MET
    assert met(bare, "battery_protected", "BA1", "K4") is Met.MET


def test_current_back_into_a_string() -> None:
    # without fuses: 1.25 × (3 − 1) × 9.5 = 23.75 A, above the module's 20 A
    bare = without(birch_hollow(), "FU1")
    assert value(bare, "string_fuses", "A1") == pytest.approx(23.75)
    assert met(bare, "string_fuses", "A1") is Met.NOT_MET
    assert met(changed(bare, A1__parallel=2), "string_fuses", "A1") is Met.MET
    assert value(hollow(), "string_fuses", "A1") == 16.0


# Conductors


def test_conductor_of_the_us_worked_example() -> None:
    # NEC 310.16 and 310.15(B)(1): 10 AWG, 90 °C, in 61–65 °C: 40 × 0.65 = 26.0 A (factor to two places)
    document = ridge(K1__size="10 AWG", K1__ambient=65.0)
    assert value(document, "conductor_ampacity", "K1") == pytest.approx(26.0, rel=0.01)
    # terminals of 75 °C: 35 A, before any correction, against 1.5625 × 2 × 5.85 A
    assert value(document, "conductor_continuous", "K1") == 35
    assert limits_of(document, "conductor_continuous", "K1")[0] == pytest.approx(18.28, abs=0.01)


def test_bundled_conductors_carry_less() -> None:
    # NEC 310.15(C)(1): four to six together, 0.80. IEC B.52.17: two circuits, 0.80
    alone, six = ridge(K1__size="10 AWG"), ridge(K1__size="10 AWG", K1__conductors_together=6)
    assert value(six, "conductor_ampacity", "K1") == pytest.approx(0.8 * value(alone, "conductor_ampacity", "K1"))
    by_hand = 75 * (56 / 60) ** 0.5 * 0.8  # 10 mm² XLPE in a raceway at 34 °C, two circuits
    assert value(hollow(), "conductor_ampacity", "K6") == pytest.approx(by_hand)
    three = hollow(K6__conductors_together=6)  # three circuits: 0.70
    assert value(three, "conductor_ampacity", "K6") == pytest.approx(by_hand * 0.7 / 0.8)


def test_a_buried_cable_lies_at_the_grounds_temperature() -> None:
    # 16 mm² XLPE, D1: 91 A × √((90 − 11)/(90 − 20))
    assert value(hollow(K4__method="buried"), "conductor_ampacity", "K4") == pytest.approx(91 * (79 / 70) ** 0.5)


def test_the_lasting_current_is_a_rule_of_the_us_family_alone() -> None:
    with pytest.raises(AssertionError, match="0 results"):
        result(hollow(), "conductor_continuous", "K1")
    assert met(ridge(K1__size="14 AWG"), "conductor_continuous", "K1") is Met.MET
    # 1.5625 × 3 × 5.85 A = 27.4 A, above the 20 A of 14 AWG at 75 °C
    assert met(ridge(K1__size="14 AWG", A1__parallel=3), "conductor_continuous", "K1") is Met.NOT_MET


def test_a_thin_cable_is_found() -> None:
    # 2.5 mm² XLPE on a wall at 34 °C: 33 A × 0.966 = 31.9 A against 1.25 × 3 × 9.5 = 35.6 A
    thin = hollow(K2__size="2.5 mm²", K2__section=2.5e-6)
    assert met(thin, "conductor_ampacity", "K2") is Met.NOT_MET
    assert value(thin, "conductor_ampacity", "K2") == pytest.approx(33 * (56 / 60) ** 0.5)


def test_aluminium_has_its_own_table() -> None:
    # 25 mm² XLPE aluminium on a wall at 34 °C: 101 A × 0.966, column C of IEC 60364-5-52 (from memory)
    thick = hollow(K2__material="aluminium", K2__size="25 mm²", K2__section=25e-6)
    assert value(thick, "conductor_ampacity", "K2") == pytest.approx(101 * (56 / 60) ** 0.5)


def test_thin_aluminium_cannot_be_said() -> None:
    said = result(hollow(K2__material="aluminium", K2__size="6 mm²"), "conductor_ampacity", "K2")
    assert said.met is Met.CANNOT_BE_SAID
    assert said.lacking is not None
    assert "16" in said.lacking.words


# Switches and controllers


@pytest.mark.parametrize(("family", "current"), [("IEC", 35.625), ("US", 44.53)])
def test_isolator_by_code_family(family: str, current: float) -> None:
    # 1.25 × 3 × 9.5 A; in the US code family 1.25 again
    assert value(hollow(site__code_family=family), "switch_current", "S1") == pytest.approx(current, abs=0.01)


def test_code_family_not_recorded_cannot_be_said() -> None:
    said = result(hollow(site__code_family=None), "switch_current", "S1")
    assert said.lacking is not None
    assert (said.lacking.owner, said.lacking.field) == ("site", "code_family")


def test_combiner_and_controller() -> None:
    assert value(hollow(), "string_place", "CB1") == pytest.approx(11.875)
    assert met(hollow(CB1__string_current=11.0), "string_place", "CB1") is Met.NOT_MET
    assert met(hollow(CB1__rated_current=35.0), "switch_current", "CB1") is Met.NOT_MET
    assert value(ridge(), "controller_current", "C1") == pytest.approx(1.25 * 2 * 5.85)
    assert met(ridge(C1__maximum_current=14.0), "controller_current", "C1") is Met.NOT_MET


# Charging


def test_charge_current_by_energy() -> None:
    # 6 × 180 W × 0.96 / 24 V = 43.2 A, cut off by the controller at 40 A
    assert value(hollow(), "charge_current", "BA1") == 40
    assert value(hollow(CC1__rated_current=60.0), "charge_current", "BA1") == pytest.approx(43.2)
    assert met(hollow(BA1__maximum_charge_current=39.0), "charge_current", "BA1") is Met.NOT_MET


def test_a_switching_controller_passes_the_arrays_current() -> None:
    document = hollow(CC1__principle="switching")
    assert value(document, "charge_current", "BA1") == pytest.approx(1.25 * 3 * 9.5)
    assert value(document, "charger_current", "CC1") == pytest.approx(35.625)
    assert met(changed(document, CC1__rated_current=35.0), "charger_current", "CC1") is Met.NOT_MET


def test_charging_in_cold_and_heat() -> None:
    assert met(hollow(), "charge_cold", "BA1") is Met.MET
    lithium = hollow(BA1__chemistry="lithium iron phosphate", BA1__lowest_charge_temperature=0.0)
    assert met(lithium, "charge_cold", "BA1") is Met.NOT_MET
    assert met(changed(lithium, BA1__coldest_place=5.0), "charge_cold", "BA1") is Met.MET
    assert met(hollow(BA1__hottest_place=48.0), "charge_heat", "BA1") is Met.NOT_MET


def test_vent_opening_of_the_standards_example() -> None:
    # IEC 62485-2 example: 24 vented cells, 420 A·h, boost 20 mA/A·h: 10.08 m³/h, 282 cm² each
    document = hollow(
        BA1__chemistry="flooded", BA1__cells_per_block=6, BA1__series=4, BA1__parallel=1, BA1__block_capacity=420.0
    )
    low, _ = limits_of(document, "vent_opening", "BA1")
    assert low == pytest.approx(282.2e-4, rel=2e-3)
    assert met(changed(document, BA1__vent_area=0.028), "vent_opening", "BA1") is Met.NOT_MET


def test_a_sealed_box_is_never_ventilated_and_lithium_needs_none() -> None:
    assert met(hollow(BA1__enclosure="sealed_box"), "vent_opening", "BA1") is Met.NOT_MET
    with pytest.raises(AssertionError, match="0 results"):
        result(hollow(BA1__chemistry="lithium iron phosphate"), "vent_opening", "BA1")


def test_two_arrays_in_parallel_add_their_current() -> None:
    document = birch_hollow()
    second = component("A2", "solar_array", **{**plate(document, "A1"), "parallel": 1})
    document["components"].append(second)
    document["runs"].append({**document["runs"][9], "tag": "K9", "start": "A2"})
    assert value(document, "switch_current", "S1") == pytest.approx(1.25 * 4 * 9.5)
