"""A clinic: a solar pump and a hand pump in one well, both into the main of an overhead tank. Invented."""

from tests.e2e.unseen.written import SUN, Line, Part, Table, Unseen, cable, pipe

PUMP_TABLE = Table(
    {"power": "W", "head": "m", "flow": "L/min", "current": "A"},
    "150\t10\t23.0\t3.0\n150\t20\t16.4\t3.0\n150\t30\t10.8\t3.0\n150\t40\t6.9\t3.0\n"
    "300\t10\t45.0\t6.0\n300\t20\t34.0\t6.0\n300\t30\t24.5\t6.0\n300\t40\t17.6\t6.0\n"
    "450\t10\t62.0\t9.0\n450\t20\t49.5\t9.0\n450\t30\t37.4\t9.0\n450\t40\t28.2\t9.0",
)
MAIN, BRANCH = "40 mm SDR 11 PE 100", "25 mm SDR 11 PE 100"

CLINIC = Unseen(
    "clinic_hand_pump",
    "Hornbeam Ford clinic",
    "metric",
    "solar_well_gravity",
    {
        "latitude": "13.2 deg", "longitude": "2.4 deg", "altitude": "260 m", "record_low": "7 degC",
        "design_high": "45 degC", "ground_temperature": "27 degC", "code_family": "IEC", "daily_demand": "3.2 m3",
        "autonomy": "1", "sun_hours": Table({"month": "1", "sun_hours": "h"}, SUN),
    },
    (
        Part("well", "W1", "clinic well", plate={
            "depth": "38 m", "casing_diameter": "150 mm", "measuring_point_height": "0.4 m", "static_level": "11.2 m",
            "tested_yield": "4.5 m3/h", "drawdown_at_yield": "5.0 m", "pump_setting": "27 m", "screen_top": "31 m"},
             is_there=True),
        Part("submersible_pump", "PU1", plate={
            "principle": "centrifugal", "motor": "dc_brushless", "rated_power": "450 W",
            "rated_voltage": "48 V", "rated_current": "9.6 A", "performance": PUMP_TABLE,
            "minimum_submergence": "1 m", "winding_resistance": "0.5 ohm"}, is_there=True),
        Part("storage_tank", "T1", "overhead tank", plate={
            "shape": "vertical_cylinder", "diameter": "1.9 m", "floor_elevation": "6.0 m", "outlet_elevation": "6.1 m",
            "inlet_elevation": "8.2 m", "overflow_elevation": "8.0 m"}, is_there=True),
        Part("level_switch", "LS1", plate={"set_elevation": "7.8 m", "differential": "0.5 m"}, is_there=True),
        Part("level_switch", "LS2", plate={"set_elevation": "-24.5 m", "differential": "1.5 m"}, is_there=True),
        Part("valve", "V1", plate={"body": "ball", "normal_position": "open", "elevation": "0.6 m"}, is_there=True),
        Part("valve", "V2", plate={"body": "ball", "normal_position": "open", "elevation": "6.1 m"}, is_there=True),
        Part("valve", "CV1", "behind the hand pump", plate={
            "function": "check", "body": "swing_check", "normal_position": "open", "elevation": "0.6 m"}),
        Part("valve", "CV2", "behind the solar pump", plate={
            "function": "check", "body": "swing_check", "normal_position": "open", "elevation": "0.6 m"}, like="CV1"),
        Part("junction", "J2", "where the pumps meet", plate={"elevation": "0.6 m"}),
        Part("junction", "J1", plate={"elevation": "0.5 m"}, is_there=True),
        Part("outlet", "O1", "ward", plate={
            "elevation": "1.1 m", "required_flow": "6 L/min", "required_pressure": "30 kPa",
            "flow_coefficient": "0.7 Kv", "drinking": "drinking"}, is_there=True),
        Part("outlet", "O2", "delivery room", plate={
            "elevation": "1.1 m", "required_flow": "6 L/min", "required_pressure": "30 kPa",
            "flow_coefficient": "0.7 Kv", "drinking": "drinking"}, is_there=True),
        Part("outlet", "O3", "laundry", plate={
            "elevation": "0.9 m", "required_flow": "8 L/min", "required_pressure": "30 kPa",
            "flow_coefficient": "0.9 Kv", "drinking": "other"}),
        Part("hand_pump", "HP1", plate={
            "bore": "50 mm", "stroke": "150 mm", "handle_ratio": "8", "setting": "20 m", "outlet_elevation": "0.9 m",
            "riser_diameter": "32 mm"}, is_there=True),
        Part("solar_array", "A1", plate={
            "module_power": "200 W", "module_open_circuit_voltage": "24.3 V", "module_short_circuit_current": "10.5 A",
            "module_maximum_power_voltage": "20.4 V", "module_maximum_power_current": "9.81 A",
            "current_coefficient": "0.05 %/K", "voltage_coefficient": "-0.28 %/K", "power_coefficient": "-0.36 %/K",
            "power_tolerance": "3 %", "cells_in_series": "36", "operating_cell_temperature": "45 degC",
            "series_fuse_maximum": "20 A", "series": "3", "parallel": "1", "tilt": "15 deg", "azimuth": "180 deg",
            "mounting": "open_rack"}, is_there=True),
        Part("isolator", "S1", plate={"rated_voltage": "250 V", "rated_current": "25 A"}, is_there=True),
        Part("pump_controller", "C1", plate={
            "principle": "tracking", "maximum_voltage": "100 V", "maximum_current": "15 A", "start_voltage": "40 V",
            "efficiency": "95 %", "restart_delay": "20 min"}, is_there=True),
        Part("earth_electrode", "EE1", plate={
            "form": "rod", "length": "2.0 m", "diameter": "16 mm", "soil": "clay"}, is_there=True),
    ),
    (
        Line("pipe", "P1", plate=pipe(MAIN, "28 m", "threaded", elbow_90=1, check_valve=1), is_there=True),
        Line("pipe", "P2", end="CV2", name="to the check valve", plate=pipe(MAIN, "0.5 m", "threaded"), is_there=True,
             like="P1"),
        Line("pipe", "P7", "CV2", "J2", "to where the pumps meet", pipe(MAIN, "0.5 m", "threaded"), like="P1"),
        Line("pipe", "P8", "HP1.discharge", "CV1", "behind the hand pump", pipe(MAIN, "1 m", "threaded", elbow_90=1),
             like="P1"),
        Line("pipe", "P9", "CV1", "J2", "to where the pumps meet", pipe(MAIN, "1 m", "threaded", tee_branch=1),
             like="P1"),
        Line("pipe", "P10", "J2", "T1.inlet", "rising main",
             pipe(MAIN, "32 m", "threaded", "0.5 m", tee_run=1, elbow_90=3, exit=1), like="P1"),
        Line("pipe", "P3", plate=pipe(MAIN, "1 m", "threaded", entrance=1), is_there=True, like="P1"),
        Line("pipe", "P4", plate=pipe(MAIN, "24 m", "threaded", "0.5 m", elbow_90=3), is_there=True, like="P1"),
        Line("pipe", "P5", plate=pipe(BRANCH, "9 m", "threaded", tee_branch=1, elbow_90=3), is_there=True),
        Line("pipe", "P6", plate=pipe(BRANCH, "14 m", "threaded", tee_branch=1, elbow_90=3), is_there=True, like="P5"),
        Line("pipe", "P11", "J1", "O3.inlet", "to the laundry",
             pipe(BRANCH, "20 m", "threaded", tee_run=1, elbow_90=4), like="P5"),
        Line("cable", "K1", plate=cable("6 mm²", "8 m", method="free_air", ambient="65 degC"), is_there=True),
        Line("cable", "K2", plate=cable("6 mm²", "2 m"), is_there=True, like="K1"),
        Line("cable", "K3", plate=cable("4 mm²", "31 m", "70 degC", method="water"), is_there=True),
        Line("control", "N1", plate={"length": "36 m", "carries": "float contact, opens when full"}, is_there=True),
        Line("control", "N2", plate={"length": "29 m", "carries": "probe, opens when dry"}, is_there=True),
    ),
    with_hand_pump=True,
)  # fmt: skip
