"""An invented boosted system for the tests: a tank, a filter, a booster, a pressure tank and two taps."""

from typing import Any

from tests.sizing.systems import L_PER_MIN, component, run

KPA = 1e3


def hollow_house() -> dict[str, Any]:
    """Return the as-built document of a house with a battery booster, in core units."""
    pipe = {"material": "pvc", "inside_diameter": 0.0262}
    return {
        "site": {"ground_temperature": 15.0, "altitude": 0.0, "code_family": "US"},
        "components": [
            component("T1", "storage_tank", floor_elevation=0.0, outlet_elevation=0.1),
            component("V1", "valve", function="isolation", body="ball", normal_position="open"),
            component(
                "F1", "filter", side="suction", clean_drop=2 * KPA, drop_flow=20 * L_PER_MIN, change_out_drop=10 * KPA
            ),
            component(
                "B1", "booster_pump", principle="positive_displacement", rated_voltage=24.0, elevation=0.2,
                performance=[
                    [100 * KPA, 17.0 * L_PER_MIN], [200 * KPA, 15.5 * L_PER_MIN], [300 * KPA, 13.5 * L_PER_MIN],
                    [400 * KPA, 11.0 * L_PER_MIN],
                ],
                shut_off_pressure=480 * KPA,
            ),
            component("V2", "valve", function="check", body="spring_check", normal_position="open"),
            component("PT1", "pressure_tank", volume=0.080, precharge=180 * KPA, elevation=0.5),
            component("PS1", "pressure_switch", "PT1", cut_in=200 * KPA, cut_out=350 * KPA),
            component("J1", "junction", elevation=0.5),
            component("O1", "outlet", elevation=1.0, flow_coefficient=0.5 / 3600),
            component("O2", "outlet", elevation=1.0, flow_coefficient=0.5 / 3600),
        ],
        "runs": [
            run("P1", "pipe", "T1.outlet", "V1", length=1.0, fittings={"entrance": 1}, **pipe),
            run("P2", "pipe", "V1", "F1", length=0.5, **pipe),
            run("P3", "pipe", "F1", "B1.suction", length=0.5, **pipe),
            run("P4", "pipe", "B1.discharge", "V2", length=0.5, **pipe),
            run("P5", "pipe", "V2", "PT1", length=1.0, **pipe),
            run("P6", "pipe", "PT1", "J1", length=8.0, **pipe),
            run("P7", "pipe", "J1", "O1", length=4.0, **pipe),
            run("P8", "pipe", "J1", "O2", length=4.0, **pipe),
        ],
    }  # fmt: skip
