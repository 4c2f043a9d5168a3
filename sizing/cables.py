"""Resistance of cables: there and back, at the temperature of a test or as warm as they get where they lie."""

from sizing.formulas.conductors import (
    STRANDING_FACTOR,
    conductor_resistance_per_length,
    resistance_at_temperature,
    resistance_per_length,
    series_resistance,
)
from sizing.formulas.voltage_drop import two_wire_loop_resistance
from sizing.lookups.conductors import size_of_section
from sizing.parts import PowerCable
from sizing.system import Run
from sizing.working import Working


def loop_at(run: Run, temperature: float, w: Working) -> float:
    """Return the resistance there and back of a cable at a temperature of its conductors.

    Of a size that the tables have, their resistance; else stranded wire of the recorded section.
    """
    material = run.need_text("material")
    size = size_by_table(run, material)
    if size:
        cold = w.call(f"r₂₀ {run.tag}", conductor_resistance_per_length, size=size, material=material)
    else:
        cold = w.call(
            f"r₂₀ {run.tag}",
            resistance_per_length,
            section=run.need("section"),
            material=material,
            stranding_factor=STRANDING_FACTOR,
        )
    warm = w.call(
        f"r {run.tag}", resistance_at_temperature, resistance=cold, material=material, temperature=temperature
    )
    return w.call(f"R {run.tag}", two_wire_loop_resistance, resistance_per_length=warm, length=run.need("length"))


def cable_loop(run: Run, temperature: float, w: Working) -> float:
    """Return the resistance there and back of a cable, at its own surroundings or else at `temperature`."""
    around: float | None = getattr(run.part, "ambient", None)
    return loop_at(run, temperature if around is None else around, w)


def size_by_table(run: Run, material: str) -> str:
    """Return a cable's size as printed, or that of its section; empty where the section is no standard size."""
    assert isinstance(run.part, PowerCable)
    if run.part.size:
        return run.part.size.strip()
    found = size_of_section(run.part.section) if run.part.section else None
    return found.designation if found is not None and found.holds(material) else ""


def loops(runs: list[Run], temperature: float, w: Working, symbol: str) -> float:
    """Return the resistance there and back of cables behind one another."""
    parts = tuple(cable_loop(run, temperature, w) for run in runs)
    return parts[0] if len(parts) == 1 else w.call(symbol, series_resistance, resistances=parts)


def loops_at(runs: list[Run], temperature: float, w: Working, symbol: str) -> float:
    """Return the same with every conductor at one temperature."""
    parts = tuple(loop_at(run, temperature, w) for run in runs)
    return parts[0] if len(parts) == 1 else w.call(symbol, series_resistance, resistances=parts)
