"""Every kind of component and run: its nameplate is whole, its bounds make sense, its words can be printed."""

from typing import Any

import pytest

from sizing.errors import MissingDataError
from sizing.parts import COMPONENT_KINDS, RUN_KINDS, BatteryBank, Field, FieldKind, OvercurrentDevice, Part, SiteData
from sizing.quantities import CORE_UNIT
from sizing.system import build
from tests.sizing.systems import component

EVERY: list[type[Part]] = [*COMPONENT_KINDS.values(), *RUN_KINDS.values(), SiteData]
FIELDS = [(part, name, field) for part in EVERY for name, field in part.declarations().items()]
NAMED = [f"{part.kind}.{name}" for part, name, _ in FIELDS]

# What the catalogue of checks needs of each kind: common practice, no source.
NEEDED = {
    "well": "depth casing_diameter measuring_point_height static_level static_level_date tested_yield "
    "drawdown_at_yield pump_setting screen_top",
    "spring_or_roof": "dry_season_yield catchment_area elevation",
    "submersible_pump": "motor rated_voltage rated_power rated_current performance performance_by_voltage duty_flow "
    "duty_head principle minimum_submergence winding_resistance",
    "storage_tank": "shape diameter length width floor_elevation outlet_elevation inlet_elevation overflow_elevation",
    "level_switch": "purpose set_elevation differential",
    "filter": "side rating clean_drop drop_flow change_out_drop",
    "booster_pump": "motor rated_voltage performance shut_off_pressure npsh_required maximum_suction_lift principle",
    "pressure_tank": "volume maximum_pressure precharge elevation",
    "pressure_switch": "cut_in cut_out",
    "relief_valve": "set_pressure capacity",
    "solar_array": "module_power module_open_circuit_voltage module_short_circuit_current "
    "module_maximum_power_voltage module_maximum_power_current current_coefficient voltage_coefficient "
    "power_coefficient cells_in_series operating_cell_temperature series_fuse_maximum series parallel tilt azimuth "
    "mounting horizon",
    "combiner": "strings rated_voltage rated_current",
    "isolator": "rated_voltage rated_current",
    "pump_controller": "principle maximum_voltage maximum_current start_voltage efficiency restart_delay",
    "battery_bank": "chemistry block_voltage cells_per_block block_capacity capacity_time series parallel "
    "maximum_charge_current lowest_charge_temperature highest_charge_temperature block_short_circuit_current "
    "internal_resistance",
    "charge_controller": "principle absorption float_charge equalise compensation rated_current maximum_voltage "
    "efficiency low_voltage_disconnect",
    "inverter": "rated_power minimum_input_voltage maximum_input_voltage efficiency idle_power",
    "load": "power daily_use",
    "overcurrent_device": "form rated_current rated_voltage interrupting_rating",
    "surge_protector": "continuous_voltage indicator",
    "earth_electrode": "form length diameter soil soil_resistivity",
    "hand_pump": "bore stroke handle_ratio setting outlet_elevation",
    "junction": "elevation",
    "valve": "function body normal_position elevation",
    "outlet": "elevation required_flow required_pressure open_together",
    "meter": "reads accuracy",
    "pipe": "material nominal inside_diameter length fittings pressure_rating joints",
    "cable": "length section size material insulation_rating method conductors_together ambient",
    "control": "length carries",
    "site": "latitude longitude altitude record_low design_high code_family daily_demand autonomy sun_hours "
    "driller_log permit licence",
}


def test_every_kind_of_the_trade_is_there_with_what_its_checks_need() -> None:
    assert {part.kind for part in EVERY} == set(NEEDED)
    for part in EVERY:
        assert set(NEEDED[part.kind].split()) <= set(part.declarations()), part.kind


def test_kinds_and_tags_are_told_apart() -> None:
    prefixes = [part.tag_prefix for part in EVERY]
    assert len(set(prefixes)) == len(prefixes)
    assert all(prefix.isupper() and len(prefix) <= 2 for prefix in prefixes if prefix != "site")
    assert not {"I", "O1", "SITE"} & set(prefixes), "I reads as 1"
    assert all(kind == part.kind for kind, part in {**COMPONENT_KINDS, **RUN_KINDS}.items())


@pytest.mark.parametrize("part", EVERY, ids=lambda p: p.kind)
def test_a_host_is_a_kind_of_component_or_of_run(part: type[Part]) -> None:
    assert set(part.hosts) <= {*COMPONENT_KINDS, *RUN_KINDS}
    assert part.kind not in part.hosts
    assert len(set(part.ports)) == len(part.ports)


@pytest.mark.parametrize(("part", "name", "field"), FIELDS, ids=NAMED)
def test_a_field_has_what_a_form_needs(part: type[Part], name: str, field: Field) -> None:
    assert field.label[0].isupper() or field.label[0].isdigit()
    assert not field.label.endswith((".", ":"))
    assert field.help == "" or not field.help.endswith(".")
    assert field.group
    measured = field.kind in (FieldKind.MEASURE, FieldKind.NUMBER)
    assert measured == (field.quantity is not None) == (field.hard is not None)
    assert (field.kind in (FieldKind.CHOICE, FieldKind.COUNTS)) == bool(field.choices)
    assert (field.kind is FieldKind.TABLE) == bool(field.columns)
    if measured:
        assert field.quantity in CORE_UNIT
        assert_ordered(field)


def assert_ordered(field: Field) -> None:
    """Refuse bounds that are crossed, or usual values that are impossible."""
    assert field.hard is not None
    low, high = field.hard
    assert low < high
    if field.soft:
        assert low <= field.soft[0] < field.soft[1] <= high


@pytest.mark.parametrize("part", EVERY, ids=lambda p: p.kind)
def test_fields_of_a_group_and_choices_are_told_apart(part: type[Part]) -> None:
    declared = part.declarations().values()
    labels = [(field.group, field.label) for field in declared]
    assert len(set(labels)) == len(labels)
    for field in declared:
        values, words = [c.value for c in field.choices], [c.label for c in field.choices]
        assert len(set(values)) == len(values)
        assert len(set(words)) == len(words)
        required = [not column.optional for column in field.columns]
        assert required == sorted(required, reverse=True), "a column that may stay empty comes last"
        assert all(column.hard[0] < column.hard[1] for column in field.columns)


def filled(field: Field) -> Any:
    """Return a usual value of a field, as a document in core units holds it."""
    if field.kind in (FieldKind.MEASURE, FieldKind.NUMBER):
        low, high = field.soft or field.hard or (0.0, 0.0)
        return (low + high) / 2
    if field.kind is FieldKind.CHOICE:
        return field.choices[0].value
    if field.kind is FieldKind.TABLE:
        return [[sum(column.hard) / 2 for column in field.columns]] * 2
    if field.kind is FieldKind.COUNTS:
        return {choice.value: 1 for choice in field.choices}
    return "2027-04-14" if field.kind is FieldKind.DAY else "as printed"


@pytest.mark.parametrize("kind", COMPONENT_KINDS)
def test_a_full_nameplate_is_read_and_every_number_of_it_can_be_had(kind: str) -> None:
    part = COMPONENT_KINDS[kind]
    plate = {name: filled(field) for name, field in part.declarations().items()}
    node = build({"components": [component("X1", kind, **plate)], "runs": []}).node("X1")
    for name, field in part.declarations().items():
        if field.kind in (FieldKind.MEASURE, FieldKind.NUMBER):
            assert node.need(name) == plate[name]


@pytest.mark.parametrize(("part", "name", "field"), FIELDS, ids=NAMED)
def test_what_is_not_recorded_is_named_in_plain_words(part: type[Part], name: str, field: Field) -> None:
    need = {FieldKind.TABLE: part.need_table, FieldKind.TEXT: part.need_text, FieldKind.CHOICE: part.need_text}
    if field.kind in (FieldKind.COUNTS, FieldKind.DAY):
        return
    with pytest.raises(MissingDataError) as missing:
        need.get(field.kind, part.need)(part(), "X1", name)
    assert (missing.value.owner, missing.value.field) == ("X1", name)
    assert field.label.lower() in missing.value.words


def test_a_fuse_may_sit_on_a_cable() -> None:
    assert "cable" in OvercurrentDevice.hosts


def test_chemistries_are_those_whose_set_points_are_known() -> None:
    from sizing.formulas.charging import SET_POINTS

    known = {choice.value for choice in BatteryBank.declarations()["chemistry"].choices}
    assert known == set(SET_POINTS)
