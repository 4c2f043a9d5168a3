"""Two invented systems for the tests: a clinic with a battery booster, and a farm whose battery drives the well pump.

The clinic's tank stands beside the booster, above its inlet. The farm has no tank: the well pump, fed by a battery
through its controller, fills a pressure tank.
"""

from typing import Any

from tests.sizing.systems import L_PER_MIN, component, pump_rows, run

KPA = 1e3
COPPER = {"material": "copper", "insulation_rating": 90.0, "ambient": 30.0}


def sallow_clinic() -> dict[str, Any]:
    """Return the as-built document of a clinic with a 24 V lead-acid bank and a booster, in core units."""
    return {
        "site": {
            "latitude": 35.5, "longitude": -106.5, "altitude": 1000.0, "record_low": -12.0, "design_high": 36.0,
            "ground_temperature": 15.0, "code_family": "US",
        },
        "components": [*_boosted_water(), *_stored_power(), component("L1", "load", what="lamps", supply="dc",
                       power=60.0, voltage=24.0, daily_use=14_400.0)],
        "runs": [
            *_boosted_pipes(), *_charging_cables(),
            run("K4", "cable", "BA1.posts", "B1.motor", length=4.0, section=10e-6, size="10 mm²", **COPPER),
            run("K5", "cable", "CC1.load", "L1.line", length=6.0, section=4e-6, size="4 mm²", **COPPER),
        ],
    }  # fmt: skip


def heron_farm() -> dict[str, Any]:
    """Return the as-built document of a farm whose battery drives a well pump straight to a pressure tank."""
    pipe = {"material": "pe", "inside_diameter": 0.0326, "pressure_rating": 1e6, "joints": "threaded"}
    return {
        "site": {
            "latitude": 35.5, "longitude": -106.5, "altitude": 200.0, "record_low": -8.0, "design_high": 38.0,
            "ground_temperature": 16.0, "code_family": "US",
        },
        "components": [
            component(
                "W1", "well", depth=30.0, casing_diameter=0.152, measuring_point_height=0.3, static_level=8.0,
                tested_yield=60 * L_PER_MIN, drawdown_at_yield=2.0, pump_setting=22.0, screen_top=25.0,
            ),
            component(
                "PU1", "submersible_pump", "W1", principle="positive_displacement", motor="dc_brushless",
                rated_power=600.0, rated_voltage=24.0, rated_current=25.0, performance=pump_rows(),
                minimum_submergence=1.0, winding_resistance=0.2,
            ),
            component("C1", "pump_controller", principle="tracking", maximum_voltage=60.0, maximum_current=40.0,
                      start_voltage=22.0, efficiency=0.95, restart_delay=600.0),
            component("V1", "valve", function="check", body="spring_check", normal_position="open", elevation=0.4),
            component("RV1", "relief_valve", set_pressure=420 * KPA, capacity=60 * L_PER_MIN, elevation=0.4),
            *_pressure_parts("PT1", volume=0.200),
            *_stored_power(),
            component("O1", "outlet", elevation=1.0, required_flow=10 * L_PER_MIN, required_pressure=100 * KPA,
                      flow_coefficient=0.6 / 3600, drinking="drinking"),
        ],
        "runs": [
            run("P1", "pipe", "PU1.discharge", "V1", length=22.0, **pipe),
            run("P2", "pipe", "V1", "PT1", length=2.0, **pipe),
            run("P3", "pipe", "PT1", "RV1.inlet", length=0.5, **pipe),
            run("P4", "pipe", "PT1", "O1", length=20.0, fittings={"elbow_90": 3}, **pipe),
            *_charging_cables(),
            run("K4", "cable", "BA1.posts", "C1.array", length=3.0, section=16e-6, size="16 mm²", **COPPER),
            run("K5", "cable", "C1.motor", "PU1.motor", length=24.0, section=16e-6, size="16 mm²", **COPPER),
        ],
    }  # fmt: skip


def _pressure_parts(tank: str, **plate: float) -> list[dict[str, Any]]:
    return [
        component(tank, "pressure_tank", precharge=186.2 * KPA, precharge_temperature=20.0, elevation=0.5,
                  maximum_pressure=700 * KPA, **plate),
        component("PS1", "pressure_switch", tank, cut_in=200 * KPA, cut_out=350 * KPA, rated_voltage=60.0,
                  rated_current=25.0, elevation=0.5),
    ]  # fmt: skip


def _boosted_water() -> list[dict[str, Any]]:
    rows = [[100 * KPA, 17.0, 5.0], [200 * KPA, 15.5, 7.5], [300 * KPA, 13.5, 10.0], [400 * KPA, 11.0, 12.5]]
    return [
        component("T1", "storage_tank", name="roof tank", shape="vertical_cylinder", diameter=1.6, floor_elevation=0.6,
                  outlet_elevation=0.7, inlet_elevation=2.5, overflow_elevation=2.4),
        component("LS1", "level_switch", "T1", purpose="stops_booster", set_elevation=0.9, differential=0.2),
        component("LS2", "level_switch", "T1", purpose="guards_low_water", set_elevation=0.9, differential=0.2),
        component("V1", "valve", function="isolation", body="ball", normal_position="open", elevation=0.3),
        component("F1", "filter", side="suction", clean_drop=2 * KPA, drop_flow=20 * L_PER_MIN,
                  change_out_drop=10 * KPA, pressure_rating=600 * KPA, elevation=0.3),
        component("B1", "booster_pump", principle="positive_displacement", motor="dc_brushed", rated_voltage=24.0,
                  rated_power=300.0, rated_current=13.0, elevation=0.3, npsh_required=2.5, shut_off_pressure=480 * KPA,
                  performance=[[p, q * L_PER_MIN, i] for p, q, i in rows], pressure_rating=700 * KPA),
        component("V2", "valve", function="check", body="spring_check", normal_position="open", elevation=0.3),
        component("RV1", "relief_valve", set_pressure=420 * KPA, capacity=30 * L_PER_MIN, elevation=0.5),
        *_pressure_parts("PT1", volume=0.080),
        component("J1", "junction", elevation=0.5),
        component("O1", "outlet", elevation=1.0, required_flow=8 * L_PER_MIN, required_pressure=80 * KPA,
                  flow_coefficient=0.5 / 3600, open_together="O2", drinking="drinking"),
        component("O2", "outlet", elevation=1.2, required_flow=4 * L_PER_MIN, required_pressure=80 * KPA,
                  flow_coefficient=0.3 / 3600, drinking="other"),
    ]  # fmt: skip


def _boosted_pipes() -> list[dict[str, Any]]:
    pvc = {"material": "pvc", "inside_diameter": 0.0262, "pressure_rating": 1e6, "joints": "solvent"}
    return [
        run("P1", "pipe", "T1.outlet", "V1", length=1.0, fittings={"entrance": 1}, **pvc),
        run("P2", "pipe", "V1", "F1", length=0.5, **pvc),
        run("P3", "pipe", "F1", "B1.suction", length=0.5, **pvc),
        run("P4", "pipe", "B1.discharge", "V2", length=0.5, **pvc),
        run("P5", "pipe", "V2", "PT1", length=1.0, **pvc),
        run("P9", "pipe", "PT1", "RV1.inlet", length=0.3, **pvc),
        run("P6", "pipe", "PT1", "J1", length=8.0, **pvc),
        run("P7", "pipe", "J1", "O1", length=4.0, fittings={"elbow_90": 2}, **pvc),
        run("P8", "pipe", "J1", "O2", length=4.0, fittings={"elbow_90": 2}, **pvc),
    ]


def _stored_power() -> list[dict[str, Any]]:
    """Return an array, its charge controller, and two 12 V flooded blocks in series: 24 V, capacity of one block."""
    return [
        component(
            "A1", "solar_array", module_power=100.0, module_open_circuit_voltage=22.6,
            module_short_circuit_current=5.85, module_maximum_power_voltage=18.6, module_maximum_power_current=5.38,
            current_coefficient=0.0005, voltage_coefficient=-0.0029, power_coefficient=-0.0037, power_tolerance=0.03,
            cells_in_series=36, operating_cell_temperature=45.0, series_fuse_maximum=15.0, series=3, parallel=1,
            tilt=35.0, azimuth=180.0, mounting="open_rack",
        ),
        component("CC1", "charge_controller", principle="tracking", maximum_voltage=100.0, rated_current=20.0,
                  efficiency=0.96, absorption=2.40, float_charge=2.25, equalise=2.55, compensation=-0.005,
                  low_voltage_disconnect=22.8, low_voltage_reconnect=25.2, load_current=15.0),
        component("BA1", "battery_bank", chemistry="flooded", block_voltage=12.0, cells_per_block=6,
                  block_capacity=200.0, capacity_time=72_000.0, internal_resistance=0.005,
                  block_short_circuit_current=2_000.0, maximum_charge_current=30.0, lowest_charge_temperature=-10.0,
                  highest_charge_temperature=45.0, discharge_share=0.5, series=2, parallel=1,
                  enclosure="ventilated_box", vent_area=0.012, coldest_place=0.0, hottest_place=38.0),
        component("FU1", "overcurrent_device", "K3", form="fuse", rated_current=32.0, rated_voltage=80.0,
                  interrupting_rating=20_000.0),
    ]  # fmt: skip


def _charging_cables() -> list[dict[str, Any]]:
    return [
        run("K1", "cable", "A1.output", "CC1.array", length=10.0, section=6e-6, size="6 mm²", **COPPER),
        run("K3", "cable", "CC1.battery", "BA1.posts", length=1.5, section=10e-6, size="10 mm²", **COPPER),
    ]
