"""Two arrays on one battery, and a booster behind an inverter. Invented."""

from typing import Any

from tests.e2e.unseen.written import SUN, Line, Part, Plate, Table, Unseen, cable, pipe

MODULE: dict[str, Any] = {
    "module_power": "410 W", "module_open_circuit_voltage": "37.3 V", "module_short_circuit_current": "13.9 A",
    "module_maximum_power_voltage": "31.2 V", "module_maximum_power_current": "13.14 A",
    "current_coefficient": "0.045 %/K", "voltage_coefficient": "-0.25 %/K", "power_coefficient": "-0.34 %/K",
    "power_tolerance": "3 %", "cells_in_series": "54", "operating_cell_temperature": "44 degC",
    "series_fuse_maximum": "25 A",
}  # fmt: skip
CHARGER = {
    "principle": "tracking", "maximum_voltage": "150 V", "rated_current": "30 A", "efficiency": "97 %",
    "absorption": "3.50 V", "float_charge": "3.35 V", "compensation": "0 mV/K", "low_voltage_disconnect": "48.0 V",
    "low_voltage_reconnect": "51.2 V",
}  # fmt: skip
CHARGER_FUSE = {"form": "breaker", "rated_current": "40 A", "rated_voltage": "150 V", "interrupting_rating": "10000 A"}
ISOLATOR = {"rated_voltage": "600 V", "rated_current": "32 A"}
BOOSTER_TABLE = Table(
    {"pressure_rise": "psi", "flow": "gal/min", "current": "A"},
    "10\t11.5\t4.6\n20\t10.2\t5.1\n30\t8.7\t5.6\n40\t7.0\t6.0\n50\t4.9\t6.3\n60\t2.2\t6.4",
)
HOUSE, COPPER = "1 in Sch 40 PVC", "3/4 in type L copper"
SUCTION, SPRING_PIPE = "1-1/4 in Sch 40 PVC", "1-1/4 in SIDR 15 PE"


def house(nominal: str, length: str, **more: Any) -> Plate:
    """Return a pipe inside the house, where it never freezes."""
    return pipe(nominal, length, "solvent", "inside", **more)


TWO_ARRAYS = Unseen(
    "two_arrays_inverter_booster",
    "Larch Fold guest house",
    "us",
    "spring_roof_booster",
    {
        "latitude": "44.2 deg", "longitude": "-116.9 deg", "altitude": "2900 ft", "record_low": "-18 degF",
        "design_high": "104 degF", "ground_temperature": "52 degF", "frost_depth": "2.5 ft", "code_family": "US",
        "daily_demand": "180 gal", "autonomy": "2", "sun_hours": Table({"month": "1", "sun_hours": "h"}, SUN),
    },
    (
        Part("spring_or_roof", "SR1", plate={
            "source": "spring", "elevation": "26 ft", "dry_season_yield": "1.2 gal/min"}, is_there=True),
        Part("storage_tank", "T1", plate={
            "shape": "vertical_cylinder", "diameter": "6 ft", "floor_elevation": "1 ft", "outlet_elevation": "1.3 ft",
            "inlet_elevation": "7.6 ft", "overflow_elevation": "7.2 ft"}, is_there=True),
        Part("level_switch", "LS3", plate={"set_elevation": "2.2 ft", "differential": "0.5 ft"}, is_there=True),
        Part("valve", "V1", plate={"body": "gate", "normal_position": "open", "elevation": "7.6 ft"}, is_there=True),
        Part("valve", "V2", plate={"body": "ball", "normal_position": "open", "elevation": "1.3 ft"}, is_there=True),
        Part("filter", "F1", plate={
            "rating": "0.1 mm", "clean_drop": "0.5 psi", "drop_flow": "8 gal/min", "change_out_drop": "2 psi",
            "pressure_rating": "125 psi", "elevation": "1.3 ft"}, is_there=True),
        Part("booster_pump", "B1", plate={
            "principle": "centrifugal", "motor": "ac_single_phase", "rated_voltage": "120 V", "rated_power": "750 W",
            "rated_current": "6.6 A", "performance": BOOSTER_TABLE, "shut_off_pressure": "66 psi",
            "npsh_required": "8 ft", "maximum_suction_lift": "15 ft", "pressure_rating": "125 psi",
            "elevation": "1.5 ft"}, is_there=True),
        Part("valve", "CV1", plate={
            "body": "spring_check", "normal_position": "open", "elevation": "1.8 ft"}, is_there=True),
        Part("junction", "J2", plate={"elevation": "1.8 ft"}, is_there=True),
        Part("relief_valve", "RV1", plate={
            "set_pressure": "75 psi", "capacity": "20 gal/min", "elevation": "2 ft"}, is_there=True),
        Part("pressure_tank", "PT1", plate={
            "volume": "32 gal", "maximum_pressure": "125 psi", "precharge": "28 psi",
            "precharge_temperature": "60 degF", "elevation": "1.8 ft"}, is_there=True),
        Part("pressure_switch", "PS1", plate={
            "cut_in": "30 psi", "cut_out": "50 psi", "rated_voltage": "240 V", "rated_current": "15 A",
            "elevation": "2 ft"}, is_there=True),
        Part("valve", "V3", plate={"body": "ball", "normal_position": "open", "elevation": "2 ft"}, is_there=True),
        Part("junction", "J1", plate={"elevation": "3 ft"}, is_there=True),
        Part("outlet", "O1", "kitchen", plate={
            "elevation": "4 ft", "required_flow": "2.5 gal/min", "required_pressure": "15 psi",
            "flow_coefficient": "0.6 Kv", "drinking": "drinking"}, is_there=True),
        Part("outlet", "O2", "bath, upper floor", plate={
            "elevation": "12 ft", "required_flow": "3 gal/min", "required_pressure": "12 psi",
            "flow_coefficient": "0.8 Kv", "drinking": "other"}, is_there=True),
        Part("solar_array", "A1", "roof, east", plate={
            **MODULE, "series": "3", "parallel": "1", "tilt": "30 deg", "azimuth": "95 deg",
            "mounting": "close_roof"}, is_there=True),
        Part("solar_array", "A2", "roof, west", like="A1", plate={
            **MODULE, "series": "3", "parallel": "1", "tilt": "30 deg", "azimuth": "275 deg",
            "mounting": "close_roof"}),
        Part("isolator", "S1", plate=ISOLATOR, is_there=True),
        Part("isolator", "S2", "of the west array", plate=ISOLATOR, like="S1"),
        Part("charge_controller", "CC1", "of the east array", plate=CHARGER, is_there=True),
        Part("charge_controller", "CC2", "of the west array", plate=CHARGER, like="CC1"),
        Part("overcurrent_device", "FU1", plate=CHARGER_FUSE, is_there=True),
        Part("overcurrent_device", "FU3", "between west charger and battery", plate=CHARGER_FUSE, like="FU1"),
        Part("battery_bank", "BA1", plate={
            "chemistry": "lithium iron phosphate", "block_voltage": "51.2 V", "cells_per_block": "16",
            "block_capacity": "100 Ah", "capacity_time": "5 h", "internal_resistance": "25 milliohm",
            "block_short_circuit_current": "2000 A", "maximum_charge_current": "80 A",
            "lowest_charge_temperature": "32 degF", "highest_charge_temperature": "122 degF",
            "discharge_share": "80 %", "series": "1", "parallel": "1", "enclosure": "room", "vent_area": "0.1 ft2",
            "coldest_place": "45 degF", "hottest_place": "90 degF"}, is_there=True),
        Part("overcurrent_device", "FU2", plate={
            "form": "fuse", "rated_current": "70 A", "rated_voltage": "170 V", "interrupting_rating": "20000 A"},
             is_there=True),
        Part("inverter", "IN1", plate={
            "rated_power": "2000 W", "surge_power": "4000 W", "output_voltage": "120 V",
            "minimum_input_voltage": "42 V", "maximum_input_voltage": "62 V", "efficiency": "91 %",
            "idle_power": "15 W"}),
        Part("earth_electrode", "EE1", plate={
            "form": "rod", "length": "8 ft", "diameter": "0.625 in", "soil": "mixed"}, is_there=True),
    ),
    (
        Line("pipe", "P1", plate=pipe(SPRING_PIPE, "140 ft", "threaded", "3 ft", elbow_90=2, rating="100 psi"),
             is_there=True),
        Line("pipe", "P2", plate=pipe(SPRING_PIPE, "6 ft", "threaded", "inside", elbow_90=1, exit=1, rating="100 psi"),
             is_there=True, like="P1"),
        Line("pipe", "P3", plate=house(SUCTION, "2 ft", entrance=1), is_there=True),
        Line("pipe", "P4", plate=house(SUCTION, "5 ft", elbow_90=2), is_there=True, like="P3"),
        Line("pipe", "P7", plate=house(SUCTION, "2 ft"), is_there=True, like="P3"),
        Line("pipe", "P8", plate=house(HOUSE, "1 ft"), is_there=True),
        Line("pipe", "P9", plate=house(HOUSE, "1 ft"), is_there=True, like="P8"),
        Line("pipe", "P10", plate=house(HOUSE, "0.5 ft", tee_branch=1), is_there=True, like="P8"),
        Line("pipe", "P11", plate=house(HOUSE, "2 ft", tee_run=1, elbow_90=1), is_there=True, like="P8"),
        Line("pipe", "P12", plate=house(HOUSE, "2 ft", elbow_90=1), is_there=True, like="P8"),
        Line("pipe", "P13", plate=pipe(HOUSE, "40 ft", "solvent", "3 ft", elbow_90=3), is_there=True, like="P8"),
        Line("pipe", "P5", plate=house(COPPER, "20 ft", tee_branch=1, elbow_90=4, rating="400 psi"), is_there=True),
        Line("pipe", "P6", plate=house(COPPER, "35 ft", tee_run=1, elbow_90=5, rating="400 psi"), is_there=True,
             like="P5"),
        Line("cable", "K1", plate=cable("10 AWG", "40 ft"), is_there=True),
        Line("cable", "K2", plate=cable("10 AWG", "8 ft"), is_there=True, like="K1"),
        Line("cable", "K3", plate=cable("8 AWG", "5 ft"), is_there=True),
        Line("cable", "K4", plate=cable("8 AWG", "3 ft"), is_there=True, like="K3"),
        Line("cable", "K5", plate=cable("4 AWG", "2 ft"), is_there=True),
        Line("cable", "K6", end="IN1.input", name="fuse to inverter", plate=cable("4 AWG", "4 ft"), is_there=True,
             like="K5"),
        Line("cable", "K7", plate=cable("12 AWG", "6 ft"), is_there=True),
        Line("cable", "K8", "IN1.output", "PS1.line", "inverter to pressure switch", cable("12 AWG", "20 ft"),
             like="K7"),
        Line("cable", "K9", "A2.output", "S2.line", "west array to isolator", cable("10 AWG", "55 ft"), like="K1"),
        Line("cable", "K10", "S2.load", "CC2.array", "isolator to west charger", cable("10 AWG", "8 ft"), like="K1"),
        Line("cable", "K11", "CC2.battery", "FU3.line", "west charger to fuse", cable("8 AWG", "5 ft"), like="K3"),
        Line("cable", "K12", "FU3.load", "BA1.posts", "fuse to battery", cable("8 AWG", "3 ft"), like="K3"),
        Line("control", "N3", plate={"length": "15 ft", "carries": "float contact, opens when low"}, is_there=True),
    ),
)  # fmt: skip
