"""Every rule of the design check, by key: safety first, in the order of the water and the current."""

from sizing.design import (
    boosters,
    charging,
    currents,
    days,
    energy,
    fuses,
    lines,
    outlets,
    pressures,
    reliefs,
    voltages,
    wells,
)
from sizing.design.declare import Rule, Sort

MODULES = (voltages, fuses, currents, charging, pressures, reliefs, outlets, days, wells, boosters, energy, lines)

RULES: dict[str, Rule] = {
    rule.key: rule
    for sort in (Sort.SAFETY, Sort.FUNCTION)
    for module in MODULES
    for rule in module.RULES
    if rule.sort is sort
}
"""Key → rule."""
