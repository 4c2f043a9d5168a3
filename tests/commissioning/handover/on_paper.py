"""Five workings of a printed sheet followed with a calculator: every number is read from the page, none from the code.

The equations below are those printed in the list of formulas, with the constants printed there.
"""

import math
import re
from collections.abc import Callable
from itertools import pairwise
from typing import Any

from commissioning.handover.paper import LONGEST_VALUE

SUPERSCRIPT = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")
G, K_OVER_Q = 9.80665, 8.617333e-5
KELL = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
KELL_B = 16.879850e-3
ALPHA = {"copper": 0.00393, "aluminium": 0.00403}
Numbers = dict[str, Any]


def read(text: str) -> float:
    """Return the number that stands on paper: 8.73656 × 10⁻⁵ m²/s, −3.00000 m, 40."""
    found = re.match(r"([−-]?[\d.]+)(?:\s×\s10([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+))?", text.replace("\u00a0", " "))
    assert found, text
    return float(found[1].replace("−", "-")) * 10.0 ** int((found[2] or "0").translate(SUPERSCRIPT))


def colebrook(re_number: float, share: float) -> float:
    """Return the friction factor by trying until it stands still."""
    if re_number < 2000:
        return 64 / re_number
    x = 8.0
    for _ in range(60):
        x = -2 * math.log10(share / 3.7 + 2.51 * x / re_number)
    return x**-2


def head_loss(a: Numbers) -> float:
    v = 4 * a["Q"] / (math.pi * a["d"] ** 2)
    return float(colebrook(v * a["d"] / a["ν"], a["ε"] / a["d"]) * a["L"] / a["d"] * v**2 / (2 * G))


def open_circuit(a: Numbers) -> float:
    heat = K_OVER_Q * (a["T_c"] + 273.15)
    cold = a["V_oc0"] * (1 + a["β"] * (a["T_c"] - 25))
    return float(cold + a["N"] * a["n"] * heat * math.log(a["G"] / 1000))


def density(a: Numbers) -> float:
    t = a["t"]
    return float(sum(c * t**i for i, c in enumerate(KELL)) / (1 + KELL_B * t))


def from_table(a: Numbers) -> float:
    """Return the flow of the nameplate's table at a power and a head: straight lines, first along, then between."""
    table = a["table"]
    powers = sorted({row[0] for row in table})
    low = max(p for p in powers if p <= a["P"])
    high = min((p for p in powers if p > a["P"]), default=low)
    at_low, at_high = (along([(h, q) for p, h, q in table if p == power], a["H"]) for power in (low, high))
    return at_low if high == low else at_low + (at_high - at_low) * (a["P"] - low) / (high - low)


def along(curve: list[tuple[float, float]], head: float) -> float:
    curve = sorted(curve)
    (h0, q0), (h1, q1) = next(pair for pair in pairwise(curve) if pair[0][0] <= head <= pair[1][0])
    return q0 + (q1 - q0) * (head - h0) / (h1 - h0)


def cylinder(a: Numbers) -> float:
    return float(math.pi * a.get("D", a.get("d")) ** 2 / 4 * a["h"])


CALCULATOR: dict[str, Callable[[Numbers], float]] = {
    "conductors.resistance_at_temperature": lambda a: a["R₂₀"] * (1 + ALPHA[a["α₂₀"]] * (a["T"] - 20)),
    "conductors.series_resistance": lambda a: sum(a["Rᵢ"]),
    "voltage_drop.two_wire_loop_resistance": lambda a: 2 * a["L"] * a["r"],
    "limits.lower_limit": lambda a: a["y"] * (1 - a["t"]),
    "limits.upper_limit": lambda a: a["y"] * (1 + a["t"]),
    "photovoltaic.open_circuit_voltage": open_circuit,
    "photovoltaic.string_voltage": lambda a: a["n_s"] * a["V_module"],
    "solar_pumping.controller_output_power": lambda a: a["η"] * a["P_i"],
    "solar_pumping.motor_cable_loss": lambda a: (0.5 if a["n"] == 3 else 1) * a["R_loop"] * (a["P"] / a["U"]) ** 2,
    "solar_pumping.power_after_loss": lambda a: a["P₁"] - a["ΔP"],
    "wells.drawdown_at_flow": lambda a: a["Q"] / a["C_s"],
    "levels.pumping_level": lambda a: a["D_s"] + a["s"],
    "levels.lift_from_well": lambda a: a["z_o"] - (a["z_m"] - a["D_p"]),
    "levels.summed_head": lambda a: sum(a["hᵢ"]),
    "pipes.pipe_head_loss": head_loss,
    "pipes.flow_velocity": lambda a: 4 * a["Q"] / (math.pi * a["d"] ** 2),
    "fittings.minor_loss_head": lambda a: a["ΣK"] * a["v"] ** 2 / (2 * G),
    "pumps.total_dynamic_head": lambda a: a["z"] + a["h_f"] + a["h_m"] + a["h_o"],
    "pump_curves.pump_table_flow": from_table,
    "pump_acceptance.small_pump_efficiency_tolerance": lambda a: -(10 * (1 - a["P"] / 10_000) + 7) / 100,
    "water.water_density": density,
    "levels.pressure_from_surface": lambda a: a["ρ"] * G * (a["z_s"] - a["z"] - a["h"]),
    "wetted.water_column": lambda a: a["D_w"] - a["D"],
    "wells.casing_volume": cylinder,
    "tanks.upright_cylinder_volume": cylinder,
    "wetted.summed_volume": lambda a: sum(a["Vᵢ"]),
    "disinfection.bleach_volume": lambda a: a["V_w"] * a["C"] / (a["c"] * 1e6),
}
TABLE_OF_A_STANDARD = "conductors.conductor_resistance_per_length"  # IEC 60228, Table 2; named, not reprinted


def arguments(step: dict[str, Any]) -> Numbers:
    """Return the printed arguments of a step: a number or several where they stand, else the words."""
    return {one["symbol"]: _argument(one["value"]) for one in step["arguments"]}


def _argument(text: str) -> Any:
    if not re.match(r"[−-]?\d", text) or len(text) > LONGEST_VALUE:  # then paper says: the table in the record
        return text
    return [read(part) for part in text.split(", ")] if ", " in text else read(text)


def printed_table(as_built: dict[str, Any], tag: str) -> list[tuple[float, ...]]:
    """Return power [W], head [m] and flow [m³/s] of a pump's table in the appendix, where flows stand in L/min."""
    pump = next(one for one in as_built["components"] if one["tag"] == tag)
    rows = pump["tables"][0]["rows"]
    assert [head.split(" [")[1] for head in pump["tables"][0]["heads"][:3]] == ["W]", "m]", "L/min]"]
    return [(float(p), float(h), float(q) / 60_000) for p, h, q, *_ in rows]
