"""An invented clinic for the design check: spring, tank, booster on a battery, taps upstairs, all protected."""

from typing import Any

from sizing.design.declare import Met
from sizing.design.judge import Result, design_check
from sizing.system import System, build
from tests.sizing.systems import L_PER_MIN, component, plate, run

HOUR = 3600.0
MM2 = 1e-6


def birch_hollow() -> dict[str, Any]:
    """Return the as-built document of Birch Hollow clinic in core units; it meets every rule.

    3 strings of 2 modules through a combiner and a charge controller into 24 V of lead-acid, which feeds a booster
    directly and lamps through an inverter. A spring fills a tank by itself.
    """
    return {"site": _site(), "components": [*_water(), *_power()], "runs": [*_pipes(), *_cables()]}


def _site() -> dict[str, Any]:
    sun = (3.1, 3.8, 4.6, 5.2, 5.4, 5.5, 5.6, 5.4, 4.9, 4.2, 3.3, 2.8)
    return {
        "latitude": 46.2, "longitude": 8.9, "altitude": 620.0, "record_low": -15.0, "design_high": 34.0,
        "ground_temperature": 11.0, "frost_depth": 0.6, "code_family": "IEC", "daily_demand": 2.4, "autonomy": 2.0,
        "sun_hours": [[month, hours * HOUR] for month, hours in enumerate(sun, 1)],
    }  # fmt: skip


def _water() -> list[dict[str, Any]]:
    return [
        component("SR1", "spring_or_roof", source="spring", elevation=9.0, dry_season_yield=3 * L_PER_MIN),
        component(
            "T1", "storage_tank", shape="rectangular", length=2.0, width=2.0, floor_elevation=3.0,
            outlet_elevation=3.1, inlet_elevation=4.7, overflow_elevation=4.6,
        ),
        component("J2", "junction", elevation=0.5),
        component(
            "B1", "booster_pump", principle="centrifugal", motor="dc_brushed", rated_voltage=24.0, rated_power=240.0,
            rated_current=10.0, npsh_required=2.0, pressure_rating=8e5, elevation=0.5, shut_off_pressure=4.2e5,
            performance=[[1e5, 30 * L_PER_MIN, 10.0], [2e5, 24 * L_PER_MIN, 9.5], [3e5, 15 * L_PER_MIN, 8.5]],
        ),
        component("V1", "valve", function="check", body="spring_check", elevation=0.5),
        component("RV1", "relief_valve", set_pressure=4.5e5, capacity=40 * L_PER_MIN, elevation=0.6),
        component(
            "PT1", "pressure_tank", volume=0.1, maximum_pressure=8e5, precharge=1.36e5, elevation=0.6,
        ),
        component("PS1", "pressure_switch", "PT1", cut_in=1.5e5, cut_out=2.9e5),
        component("J1", "junction", elevation=0.6),
        component(
            "O1", "outlet", name="surgery", elevation=4.0, required_flow=6 * L_PER_MIN, required_pressure=60_000.0,
            open_together="O2", drinking="drinking", flow_coefficient=0.9 / 3600,
        ),
        component(
            "O2", "outlet", name="laundry", elevation=1.0, required_flow=8 * L_PER_MIN, required_pressure=60_000.0,
            drinking="other",
        ),
    ]  # fmt: skip


def _power() -> list[dict[str, Any]]:
    return [
        component(
            "A1", "solar_array", module_power=180.0, module_open_circuit_voltage=24.0,
            module_short_circuit_current=9.5, module_maximum_power_voltage=20.0, module_maximum_power_current=9.0,
            current_coefficient=0.0005, voltage_coefficient=-0.003, power_coefficient=-0.004, power_tolerance=0.03,
            cells_in_series=36, operating_cell_temperature=45.0, series_fuse_maximum=20.0, series=2, parallel=3,
            tilt=40.0, azimuth=180.0, mounting="open_rack",
        ),
        component("CB1", "combiner", strings=4, rated_voltage=250.0, rated_current=63.0, string_current=20.0),
        component("FU1", "overcurrent_device", "CB1", form="fuse", rated_current=16.0, rated_voltage=250.0,
                  interrupting_rating=10_000.0, number_of=3),
        component("S1", "isolator", rated_voltage=250.0, rated_current=40.0),
        component("SP1", "surge_protector", "CB1", protects="dc", continuous_voltage=150.0),
        component(
            "CC1", "charge_controller", principle="tracking", maximum_voltage=100.0, rated_current=40.0,
            efficiency=0.96, absorption=2.40, float_charge=2.25, compensation=-0.004, low_voltage_disconnect=23.0,
        ),
        component("FU2", "overcurrent_device", "K4", form="breaker", rated_current=50.0, rated_voltage=60.0,
                  interrupting_rating=6_000.0),
        component(
            "BA1", "battery_bank", chemistry="agm", block_voltage=12.0, cells_per_block=6, block_capacity=150.0,
            capacity_time=20 * HOUR, block_short_circuit_current=2_200.0, maximum_charge_current=60.0,
            lowest_charge_temperature=-15.0, highest_charge_temperature=45.0, discharge_share=0.5, series=2,
            parallel=2, enclosure="room", vent_area=0.03,
        ),
        component("FU3", "overcurrent_device", "K5", form="fuse", rated_current=40.0, rated_voltage=60.0,
                  interrupting_rating=10_000.0),
        component("IN1", "inverter", rated_power=500.0, output_voltage=230.0, minimum_input_voltage=21.0,
                  maximum_input_voltage=33.0, efficiency=0.90, idle_power=4.0),
        component("L1", "load", what="lamps", supply="ac", power=60.0, voltage=230.0, daily_use=5 * HOUR),
        component("FU4", "overcurrent_device", "K6", form="fuse", rated_current=16.0, rated_voltage=60.0,
                  interrupting_rating=10_000.0),
    ]  # fmt: skip


def _pipes() -> list[dict[str, Any]]:
    pe = {"material": "pe", "pressure_rating": 1.0e6, "joints": "fused", "cover": 0.8}
    wide = {"inside_diameter": 0.0326, "nominal": "40 mm SDR 11", **pe}
    slim = {"inside_diameter": 0.0204, "nominal": "25 mm", **pe}
    return [
        run("P1", "pipe", "SR1.outlet", "T1.inlet", "from the spring", length=80.0, **wide),
        run("P2", "pipe", "T1.outlet", "B1.suction", "to the booster", length=6.0, fittings={"elbow_90": 2}, **wide),
        run("P3", "pipe", "B1.discharge", "V1", length=0.5, **wide),
        run("P4", "pipe", "V1", "J1", length=0.5, **wide),
        run("P5", "pipe", "J1", "RV1.inlet", length=0.3, **wide),
        run("P6", "pipe", "J1", "PT1", length=0.5, **wide),
        run("P7", "pipe", "PT1", "J2", "house main", length=12.0, **wide),
        run("P8", "pipe", "J2", "O1", length=15.0, fittings={"tee_branch": 1, "elbow_90": 3}, **slim),
        run("P9", "pipe", "J2", "O2", length=9.0, fittings={"tee_run": 1, "elbow_90": 2}, **slim),
    ]


def _cables() -> list[dict[str, Any]]:
    def cable(tag: str, a: str, b: str, length: float, mm2: float, **more: Any) -> dict[str, Any]:
        sized = {"section": mm2 * MM2, "size": f"{mm2:g} mm²", "material": "copper", "insulation_rating": 90.0}
        return run(tag, "cable", a, b, length=length, **{**sized, **more})

    return [
        cable("K1", "A1.output", "CB1.strings", 4.0, 6, method="free_air", ambient=60.0),
        cable("K2", "CB1.output", "S1.line", 3.0, 16, method="free_air"),
        cable("K3", "S1.load", "CC1.array", 2.0, 16, method="free_air"),
        cable("K4", "CC1.battery", "BA1.posts", 1.0, 16, method="free_air"),
        cable("K5", "BA1.posts", "IN1.input", 1.5, 16, method="free_air"),
        cable("K6", "BA1.posts", "B1.motor", 4.0, 10, method="raceway", conductors_together=4),
        cable("K7", "IN1.output", "L1.line", 10.0, 2.5, method="raceway"),
    ]


def changed(document: dict[str, Any], **fields: Any) -> dict[str, Any]:
    """Return the document with fields of nameplates set: `A1__series=3`; None takes one out."""
    for name, value in fields.items():
        tag, _, field = name.partition("__")
        plate(document, tag)[field] = value
    return document


def without(document: dict[str, Any], *tags: str) -> dict[str, Any]:
    """Return the document without components or runs, nor the runs that end at them."""
    gone = set(tags)
    return {
        **document,
        "components": [one for one in document["components"] if one["tag"] not in gone],
        "runs": [r for r in document["runs"] if not {r["tag"], r["start"], r["end"]} & gone],
    }


def result(document: dict[str, Any] | System, rule: str, tag: str, against: str = "") -> Result:
    """Return one result of the design check of a document."""
    system = document if isinstance(document, System) else build(document)
    found = [one for one in design_check(system, [rule]) if (one.tag, one.against) == (tag, against)]
    assert len(found) == 1, f"{rule} on {tag} against {against!r}: {len(found)} results"
    return found[0]


def value(document: dict[str, Any], rule: str, tag: str, against: str = "") -> float:
    """Return the value of one result that can be said."""
    outcome = result(document, rule, tag, against).outcome
    assert outcome is not None
    return outcome.value


def met(document: dict[str, Any], rule: str, tag: str, against: str = "") -> Met:
    """Return how one result stands."""
    return result(document, rule, tag, against).met
