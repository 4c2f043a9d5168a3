"""What a conductor carries, and what it loses, by its size, insulation and where it lies."""

import math

from sizing.cables import cable_loop
from sizing.design.declare import Ask
from sizing.errors import MissingDataError, OutOfRangeError
from sizing.formulas.ampacity import (
    aluminium_table_ampacity,
    ambient_factor,
    bundling_factor,
    corrected_ampacity,
    table_ampacity,
)
from sizing.formulas.iec_ampacity import (
    AIR,
    GROUND,
    PVC,
    XLPE,
    circuits_factor,
    iec_aluminium_ampacity,
    iec_table_ampacity,
    surroundings_factor,
)
from sizing.lookups.conductors import size_of_section
from sizing.system import Run

TERMINALS = 75.0  # °C, most that ordinary terminals are rated for; NEC (NFPA 70, 2020) 110.14(C)
COLUMNS = (60.0, 75.0, 90.0)  # °C, of NEC table 310.16
PAIR = 2  # loaded conductors of one circuit


def size_of(run: Run) -> str:
    """Return a cable's size as printed, or that of its section; raises MissingDataError where neither is known."""
    printed: str | None = getattr(run.part, "size", None)
    if printed:
        return printed.strip()
    found = size_of_section(run.need("section"))
    if found is None:
        raise MissingDataError(run.tag, "size", f"{run.tag}: its section is no standard size; type the size as printed")
    return found.designation


def surroundings(ask: Ask, run: Run) -> float:
    """Return the hottest surroundings of a cable: recorded, of the ground or the well's water, or of the air."""
    recorded: float | None = getattr(run.part, "ambient", None)
    if recorded is not None:
        return recorded
    is_cool = getattr(run.part, "method", None) in ("buried", "water")
    return ask.site.need("ground_temperature" if is_cool else "design_high")


def ampacity_where_it_lies(ask: Ask, run: Run) -> float:
    """Return what a cable carries, corrected for heat and for conductors laid together, as steps.

    The table is that of the size printed: NEC for AWG, IEC for mm².
    """
    size = size_of(run)
    return _nec(ask, run, size) if size.endswith("AWG") else _iec(ask, run, size)


def continuous_ampacity(ask: Ask, run: Run) -> float:
    """Return what a cable carries by the table alone, no warmer than terminals stand, as a step."""
    size, rating = size_of(run), min(run.need("insulation_rating"), TERMINALS)
    if size.endswith("AWG"):
        return _nec_table(ask, run, size, _column(rating))
    return _iec_table(ask, run, size, rating)


def _nec_table(ask: Ask, run: Run, size: str, column: float) -> float:
    table = table_ampacity if run.need_text("material") == "copper" else aluminium_table_ampacity
    return ask.w.call("I_table", table, size=size, insulation_rating=column)


def _iec_table(ask: Ask, run: Run, size: str, rating: float) -> float:
    table = iec_table_ampacity if run.need_text("material") == "copper" else iec_aluminium_ampacity
    return ask.w.call("I_table", table, size=size, insulation_rating=rating, method=_method(run))


def _nec(ask: Ask, run: Run, size: str) -> float:
    column = _column(run.need("insulation_rating"))
    table = _nec_table(ask, run, size, column)
    heat = ask.w.call("f_ambient", ambient_factor, insulation_rating=column, ambient_temperature=surroundings(ask, run))
    together = ask.w.call("f_bundling", bundling_factor, conductors=int(_together(run)))
    return ask.w.call("I_z", corrected_ampacity, table_ampacity=table, ambient_factor=heat, bundling_factor=together)


def _iec(ask: Ask, run: Run, size: str) -> float:
    method, rating = _method(run), run.need("insulation_rating")
    table = _iec_table(ask, run, size, rating)
    heat = ask.w.call(
        "f_ambient",
        surroundings_factor,
        conductor_temperature=XLPE if rating >= XLPE else PVC,
        surroundings=surroundings(ask, run),
        reference=GROUND if method == "buried" else AIR,
    )
    together = ask.w.call("f_bundling", circuits_factor, circuits=math.ceil(_together(run) / PAIR))
    return ask.w.call("I_z", corrected_ampacity, table_ampacity=table, ambient_factor=heat, bundling_factor=together)


def _column(rating: float) -> float:
    """Return the column of the table for an insulation: the warmest that it reaches."""
    reached = [column for column in COLUMNS if column <= rating]
    if not reached:
        raise OutOfRangeError("insulation_rating", rating, "60 °C or more")
    return reached[-1]


def _together(run: Run) -> float:
    """Return the loaded conductors that lie together; a cable by itself has its own two."""
    return getattr(run.part, "conductors_together", None) or PAIR


def _method(run: Run) -> str:
    """Return the column of the tables: in a raceway where nothing is recorded, as in free air under water."""
    recorded = getattr(run.part, "method", None)
    return {"free_air": "free_air", "buried": "buried", "water": "free_air"}.get(recorded or "", "raceway")


def loop_where_it_lies(ask: Ask, run: Run) -> float:
    """Return the resistance there and back of a cable in its hottest surroundings, as steps."""
    return cable_loop(run, surroundings(ask, run), ask.w)
