"""The edge: what people type, in units of their trade, to core units and back.

`offer` lists the units, `convert` holds the one pint registry, `typed` reads what was
typed and `figures` writes numbers out. A record stores the text as typed and a unit code.
"""

from commissioning.units.convert import from_core, linear, scale, to_core
from commissioning.units.figures import difference, figure, figure_parts, number, plus_minus, span, typed_figure
from commissioning.units.offer import (
    OFFER,
    Unit,
    UnitSystem,
    UnknownUnitError,
    default_unit,
    hint,
    offered,
    unit,
    usual_unit,
)
from commissioning.units.slips import Cure
from commissioning.units.typed import Entry, InputError, Typed, parse, parse_number

__all__ = [
    "OFFER",
    "Cure",
    "Entry",
    "InputError",
    "Typed",
    "Unit",
    "UnitSystem",
    "UnknownUnitError",
    "default_unit",
    "difference",
    "figure",
    "figure_parts",
    "from_core",
    "hint",
    "linear",
    "number",
    "offered",
    "parse",
    "parse_number",
    "plus_minus",
    "scale",
    "span",
    "to_core",
    "typed_figure",
    "unit",
    "usual_unit",
]
