"""Faults of the table of causes, each at a stated size, and the check that must then be outside.

The sizes are those at which somebody in the field would act (common practice, no source), not the smallest that a check
could ever tell: what is asked is that no such fault passes for sound. `cause` is a key of `sizing/causes`.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

Document = dict[str, Any]
Spoil = Callable[[float, str], float]


@dataclass(frozen=True)
class Fault:
    """One fault on one of the systems: what is changed there, and where it must show."""

    cause: str
    size: str
    system: str
    check: str
    there: Callable[[Document], None] = lambda document: None
    spoil: Mapping[tuple[str, str], Spoil] = field(default_factory=dict)
    """Check and reading or judged value → what it is instead, by its sound value and its repeat."""

    @property
    def id(self) -> str:
        return f"{self.cause}-{self.check}"


def plate(kind: str, name: str, change: Callable[[Any], Any], tag: str = "") -> Callable[[Document], None]:
    """Return what changes a nameplate of every part of a kind, or of one."""

    def there(document: Document) -> None:
        found = [one for one in [*document["components"], *document["runs"]] if one["kind"] == kind]
        for one in (one for one in found if not tag or one["tag"] == tag):
            one["nameplate"][name] = change(one["nameplate"][name])

    return there


def times(factor: float) -> Callable[[float], float]:
    return lambda value: value * factor


def plus(amount: float) -> Callable[[float], float]:
    return lambda value: value + amount


def flows_times(factor: float, column: int) -> Callable[[Any], Any]:
    """Return what makes a pump's table give so much of its flow."""
    return lambda rows: [[*row[:column], row[column] * factor, *row[column + 1 :]] for row in rows]


def all_times(factor: float) -> Spoil:
    return lambda value, label: value * factor


def all_plus(amount: float) -> Spoil:
    return lambda value, label: value + amount


def becomes(value: float) -> Spoil:
    return lambda sound, label: value


def one_times(which: str, factor: float) -> Spoil:
    """Return what spoils one string, block or cell alone."""
    return lambda value, label: value * factor if label == which else value


def at_the_end(amount: float) -> Spoil:
    return lambda value, label: value + amount if label == "end" else value


RIDGE, CLINIC, BOOSTED = "quince_ridge", "sallow_clinic", "solar_well_booster"
FAULTS = (
    # well and well pump
    Fault("well_regional_or_seasonal_water_table", "6 m deeper", RIDGE, "static_level",
          spoil={("static_level", "level"): all_plus(6.0)}),
    Fault("well_well_screen_or_fracture_clogging", "twice the drawdown", RIDGE, "specific_capacity",
          there=plate("well", "drawdown_at_yield", times(2.0))),
    Fault("well_pump_worn_rotor_or_stator", "a third of the flow gone", RIDGE, "well_pump_flow",
          there=plate("submersible_pump", "performance", flows_times(0.67, 2))),
    Fault("well_pump_corroded_joint_undersized_or_lengthened", "half as much again", RIDGE,
          "pump_cable_loop_resistance", there=plate("cable", "length", times(2.2), "K3")),
    Fault("well_pump_splice_or_cable_insulation_failing", "0.2 MΩ", RIDGE, "pump_cable_insulation",
          spoil={("pump_cable_insulation", "insulation"): becomes(2e5)}),
    Fault("well_screen_or_casing_damage", "half a millilitre a litre", RIDGE, "sand",
          spoil={("sand", "sand"): becomes(0.5)}),
    Fault("well_surface_water_getting_in", "15 NTU", RIDGE, "turbidity",
          spoil={("turbidity", "turbidity"): becomes(15.0)}),
    Fault("well_pump_motor_winding_partly_shorted", "a tenth between leads", RIDGE, "phase_unbalance",
          spoil={("phase_unbalance", "lead_1"): all_times(1.2)}),
    Fault("leak_buried_leak_between_well_and", "an eighth lost", RIDGE, "rising_main_loss",
          spoil={("rising_main_loss", "arrived"): all_times(0.88)}),
    Fault("well_pump_surface_valve_part_closed_or", "60 kPa more at the wellhead", RIDGE, "wellhead_pressure",
          spoil={("wellhead_pressure", "pressure"): all_plus(60e3)}),
    # array
    Fault("pv_array_partial_shading", "two fifths of one string", RIDGE, "string_spread",
          spoil={("short_circuit_current", "current"): one_times("string 1", 0.6)}),
    Fault("pv_array_mismatch", "a sixth of one string", RIDGE, "string_spread",
          spoil={("short_circuit_current", "current"): one_times("string 2", 0.8)}),
    Fault("pv_array_module_left_out_or_bridged", "one of three modules", RIDGE, "open_circuit_voltage",
          spoil={("open_circuit_voltage", "voltage"): one_times("string 1", 2 / 3)}),
    Fault("pv_array_bypass_diode_shorted", "a third of a module of three", RIDGE, "open_circuit_voltage",
          spoil={("open_circuit_voltage", "voltage"): one_times("string 1", 8 / 9)}),
    Fault("pv_array_reversed_polarity_in_one_string", "one module of three turned", RIDGE, "open_circuit_voltage",
          spoil={("open_circuit_voltage", "voltage"): one_times("string 2", 1 / 3)}),
    Fault("pv_array_even_soiling", "a third of the light", RIDGE, "short_circuit_current",
          spoil={("short_circuit_current", "current"): all_times(0.67)}),
    Fault("pv_array_parallel_string_lost", "one string of two", RIDGE, "array_power",
          spoil={("array_power", "power"): all_times(0.5)}),
    Fault("pump_controller_power_tracking_fault", "two fifths of the power", RIDGE, "well_pump_power",
          spoil={("well_pump_power", "power"): all_times(0.6)}),
    Fault("pv_array_leak_to_earth", "0.1 MΩ", RIDGE, "array_insulation",
          spoil={("array_insulation", "insulation"): becomes(1e5)}),
    Fault("pv_array_hot_or_high_resistance_connector", "twice what is allowed", RIDGE, "joint_temperature_rise",
          spoil={("joint_temperature_rise", "rise"): becomes(40.0)}),
    Fault("earthing_earth_electrode_dried_or_corroded", "60 Ω", RIDGE, "electrode_resistance",
          spoil={("electrode_resistance", "resistance"): becomes(60.0)}),
    Fault("earthing_bond_broken", "3 Ω", RIDGE, "bond_resistance",
          spoil={("bond_resistance", "resistance"): becomes(3.0)}),
    # storage and gravity
    Fault("storage_float_tether_shifted", "15 cm", RIDGE, "fill_stop_level",
          spoil={("fill_stop_level", "level"): all_plus(-0.15)}),
    Fault("storage_tank_or_outlet_fitting_leak", "4 cm in a night", RIDGE, "tank_overnight_loss",
          spoil={("tank_overnight_loss", "end_level"): all_plus(-0.04)}),
    Fault("leak_house_side_leak", "25 kPa in half an hour", RIDGE, "tightness_whole",
          spoil={("tightness_whole", "pressure"): at_the_end(-25e3)}),
    Fault("delivery_pipe_or_valve_restriction_after", "main throttled to half its bore", RIDGE, "delivery_flow",
          there=plate("pipe", "inside_diameter", times(0.5), "P6")),
    # battery and charging
    Fault("battery_sulphation", "three times the resistance", CLINIC, "battery_sag",
          there=plate("battery_bank", "internal_resistance", times(4.0))),
    Fault("battery_chronic_undercharge", "1.17", CLINIC, "specific_gravity",
          spoil={("specific_gravity", "gravity"): becomes(1.17)}),
    Fault("battery_shorted_cell", "2 V in one block", CLINIC, "battery_rest_voltage",
          spoil={("battery_rest_voltage", "voltage"): one_times("block 1", 10.4 / 12.5)}),
    Fault("battery_cell_or_block_imbalance", "half a volt", CLINIC, "block_spread",
          spoil={("battery_rest_voltage", "voltage"): one_times("block 1", 0.96)}),
    Fault("battery_loose_or_corroded_post", "2 mΩ", CLINIC, "joint_drop",
          spoil={("joint_drop", "resistance"): becomes(2e-3)}),
    Fault("charge_controller_set_point_too_high", "0.1 V a cell", CLINIC, "charge_voltage",
          spoil={("charge_voltage", "voltage"): all_plus(1.2)}),
    Fault("charge_controller_regulation_set_point_too_low", "0.1 V a cell", CLINIC, "charge_voltage",
          spoil={("charge_voltage", "voltage"): all_plus(-1.2)}),
    Fault("charge_controller_sense_lead_or_battery_cable", "half a volt", CLINIC, "display_difference",
          spoil={("display_difference", "difference"): all_plus(0.6)}),
    Fault("battery_standing_drain_overnight", "half an ampere", CLINIC, "night_draw",
          spoil={("night_draw", "current"): all_plus(0.5)}),
    # booster and pressure
    Fault("booster_worn_diaphragm_valves_or_vanes", "two fifths of the flow", CLINIC, "booster_flow",
          spoil={("booster_flow", "flow"): all_times(0.6)}),
    Fault("booster_low_voltage_from_wiring", "a tenth of the volts", CLINIC, "booster_voltage",
          spoil={("booster_voltage", "voltage"): all_times(0.9)}),
    Fault("inlet_filter_inlet_filter_clogged_positive_displacement", "thrice its change-out", CLINIC, "filter_drop",
          spoil={("filter_drop", "drop"): all_times(20.0)}),
    Fault("booster_pump_check_valve_leaking_back", "three starts", CLINIC, "starts_with_taps_shut",
          spoil={("starts_with_taps_shut", "starts"): becomes(3.0)}),
    Fault("leak_drain_bypass_or_yard_valve", "25 kPa in half an hour", CLINIC, "tightness_house_side",
          spoil={("tightness_house_side", "pressure"): at_the_end(-25e3)}),
    Fault("pressure_tank_air_charge_lost_slowly", "a third of the gas", CLINIC, "precharge",
          spoil={("precharge", "pressure"): all_times(0.67)}),
    Fault("pressure_tank_bladder_failed", "half the drawdown", CLINIC, "tank_drawdown",
          spoil={("tank_drawdown", "volume"): all_times(0.5)}),
    Fault("pressure_switch_setting_drifted_high", "50 kPa", CLINIC, "cut_out",
          spoil={("cut_out", "pressure"): all_plus(50e3)}),
    Fault("pressure_switch_setting_drifted_low", "50 kPa", CLINIC, "cut_in",
          spoil={("cut_in", "pressure"): all_plus(-50e3)}),
    Fault("pressure_switch_contacts_pitted_or_loose", "30 mΩ", CLINIC, "switch_contact_drop",
          spoil={("switch_contact_drop", "resistance"): becomes(30e-3)}),
    # hand pump and water
    Fault("hand_pump_leathers_or_piston_seals_worn", "two fifths of the stroke", RIDGE, "volume_per_stroke",
          spoil={("volume_per_stroke", "volume_per_stroke"): all_times(0.65)}),
    Fault("hand_pump_foot_valve_leaking", "twelve strokes", RIDGE, "strokes_to_water",
          spoil={("strokes_to_water", "strokes"): becomes(12.0)}),
    Fault("storage_tank_dirty_lid_or_screen", "three colonies", RIDGE, "coliform",
          spoil={("coliform", "colonies"): becomes(3.0)}),
)  # fmt: skip
