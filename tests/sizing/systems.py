"""An invented system for the tests: a school with a solar well pump, a tank on a rise and a hand pump."""

from typing import Any

L_PER_MIN = 1e-3 / 60  # m³/s

# Power into the pump [W] × head [m] → flow [L/min], current [A]. Invented, and consistent:
# ρ·g·Q·H over power lies between 0.24 and 0.45 everywhere, the range of small solar submersibles.
PUMP_SHEET = (
    (200, ((20, 17.0), (30, 13.6), (40, 10.4), (50, 7.6), (60, 5.0)), 4.2),
    (300, ((20, 27.5), (30, 22.4), (40, 17.6), (50, 13.6), (60, 10.4)), 6.1),
    (450, ((20, 44.0), (30, 36.3), (40, 29.0), (50, 23.2), (60, 18.8)), 8.9),
    (600, ((20, 60.0), (30, 50.0), (40, 40.4), (50, 32.8), (60, 27.0)), 11.6),
)


def pump_rows() -> list[list[float]]:
    """Return the performance table in core units, as a document holds it."""
    return [[power, head, flow * L_PER_MIN, current] for power, points, current in PUMP_SHEET for head, flow in points]


def component(tag: str, kind: str, host: str | None = None, name: str = "", **nameplate: Any) -> dict[str, Any]:
    """Return one component of a document."""
    return {"tag": tag, "kind": kind, "name": name, "host": host, "nameplate": nameplate}


def run(tag: str, kind: str, start: str, end: str, name: str = "", **nameplate: Any) -> dict[str, Any]:
    """Return one run of a document; an end is `tag` or `tag.port`."""
    (a, _, a_port), (b, _, b_port) = start.partition("."), end.partition(".")
    return {
        "tag": tag, "kind": kind, "name": name,
        "start": a, "start_port": a_port, "end": b, "end_port": b_port, "nameplate": nameplate,
    }  # fmt: skip


def quince_ridge() -> dict[str, Any]:
    """Return the as-built document of Quince Ridge school in core units, every field filled.

    At 900 W/m² and cells at 50 °C the array gives 490 W, the pump some 27 L/min against about 45 m.
    """
    return {"site": _site(), "components": [*_water(), *_power()], "runs": [*_pipes(), *_cables()]}


def bare(document: dict[str, Any]) -> dict[str, Any]:
    """Return the document with the same graph and every nameplate empty."""
    return {
        "site": {},
        "components": [{**one, "nameplate": {}} for one in document["components"]],
        "runs": [{**one, "nameplate": {}} for one in document["runs"]],
    }


def plate(document: dict[str, Any], tag: str) -> dict[str, Any]:
    """Return the nameplate of a component or run, to change in place; `site` is the site itself."""
    if tag == "site":
        return document["site"]
    for one in [*document["components"], *document["runs"]]:
        if one["tag"] == tag:
            return one["nameplate"]
    raise KeyError(tag)


def _site() -> dict[str, Any]:
    return {
        "latitude": 35.5, "longitude": -106.5, "altitude": 1850.0, "record_low": -20.0,
        "design_high": 36.0, "ground_temperature": 13.0, "code_family": "US",
    }  # fmt: skip


def _water() -> list[dict[str, Any]]:
    return [
        component(
            "W1", "well", name="school well", depth=60.0, casing_diameter=0.152, measuring_point_height=0.40,
            static_level=24.0, tested_yield=45 * L_PER_MIN, drawdown_at_yield=3.0, pump_setting=45.0, screen_top=50.0,
        ),
        component(
            "PU1", "submersible_pump", "W1", principle="positive_displacement", motor="dc_brushless", rated_power=600.0,
            rated_voltage=48.0, rated_current=12.5, performance=pump_rows(), minimum_submergence=1.0,
            winding_resistance=0.30,
        ),
        component(
            "HP1", "hand_pump", "W1", bore=0.0635, stroke=0.125, handle_ratio=8.0, setting=32.0, outlet_elevation=0.9,
            riser_diameter=0.035,
        ),
        component(
            "T1", "storage_tank", name="tank on the rise", shape="vertical_cylinder", diameter=2.40,
            floor_elevation=16.0, outlet_elevation=16.1, inlet_elevation=18.35, overflow_elevation=18.20,
        ),
        component("LS1", "level_switch", "T1", purpose="stops_fill", set_elevation=18.05, differential=0.40),
        component("LS2", "level_switch", "W1", purpose="guards_low_water", set_elevation=-41.6, differential=1.0),
        component("V1", "valve", function="isolation", body="ball", normal_position="open", elevation=0.6),
        component("V2", "valve", function="isolation", body="gate", normal_position="open", elevation=16.1),
        component("J1", "junction", elevation=1.2),
        component(
            "O1", "outlet", name="drinking tap", elevation=1.0, required_flow=10 * L_PER_MIN,
            required_pressure=50_000.0, flow_coefficient=0.8 / 3600, open_together="O2", drinking="drinking",
        ),
        component(
            "O2", "outlet", name="wash trough", elevation=0.8, required_flow=12 * L_PER_MIN,
            required_pressure=40_000.0, flow_coefficient=1.0 / 3600, open_together="O1", drinking="other",
        ),
    ]  # fmt: skip


def _power() -> list[dict[str, Any]]:
    return [
        component(
            "A1", "solar_array", module_power=100.0, module_open_circuit_voltage=22.6,
            module_short_circuit_current=5.85, module_maximum_power_voltage=18.6, module_maximum_power_current=5.38,
            current_coefficient=0.0005, voltage_coefficient=-0.0029, power_coefficient=-0.0037, power_tolerance=0.03,
            cells_in_series=36, operating_cell_temperature=45.0, series_fuse_maximum=15.0, series=3, parallel=2,
            tilt=35.0, azimuth=180.0, mounting="open_rack",
        ),
        component("S1", "isolator", rated_voltage=250.0, rated_current=32.0),
        component(
            "C1", "pump_controller", principle="tracking", maximum_voltage=100.0, maximum_current=15.0,
            start_voltage=30.0, efficiency=0.96, restart_delay=1200.0,
        ),
        component("EE1", "earth_electrode", form="rod", length=2.4, diameter=0.016),
    ]  # fmt: skip


def _pipes() -> list[dict[str, Any]]:
    pe = {"material": "pe", "pressure_rating": 1.0e6, "joints": "threaded"}
    fine = {"inside_diameter": 0.0326, "nominal": "40 mm SDR 11", **pe}
    slim = {"inside_diameter": 0.0204, "nominal": "25 mm SDR 11", **pe}
    drop, rise = {"check_valve": 1, "elbow_90": 1}, {"elbow_90": 3, "exit": 1}
    to_o1, to_o2 = {"tee_branch": 1, "elbow_90": 4}, {"tee_run": 1, "elbow_90": 3}
    return [
        run("P1", "pipe", "PU1.discharge", "V1", "drop pipe", length=46.0, fittings=drop, **fine),
        run("P5", "pipe", "V1", "T1.inlet", "rising main", length=120.0, fittings=rise, **fine),
        run("P2", "pipe", "T1.outlet", "V2", "tank outlet", length=1.5, fittings={"entrance": 1}, **fine),
        run("P6", "pipe", "V2", "J1", "gravity main", length=140.0, fittings={"elbow_90": 3}, **fine),
        run("P3", "pipe", "J1", "O1", "to the drinking tap", length=25.0, fittings=to_o1, **slim),
        run("P4", "pipe", "J1", "O2", "to the wash trough", length=18.0, fittings=to_o2, **slim),
    ]


def _cables() -> list[dict[str, Any]]:
    copper = {"material": "copper", "insulation_rating": 90.0}
    return [
        run("K1", "cable", "A1.output", "S1.line", length=8.0, section=6e-6, size="6 mm²", **copper),
        run("K2", "cable", "S1.load", "C1.array", length=2.0, section=6e-6, size="6 mm²", **copper),
        run("K3", "cable", "C1.motor", "PU1.motor", "drop cable", length=48.0, section=10e-6, size="10 mm²", **copper),
        run("N1", "control", "LS1.control", "C1.control", length=130.0, carries="float contact, opens when full"),
        run("N2", "control", "LS2.control", "C1.control", length=47.0, carries="probe, opens when dry"),
    ]
