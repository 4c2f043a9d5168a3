"""The as-built graph drawn as a section: heights to scale on a levelling staff, lengths not.

`schematic` takes any system and returns one static SVG. Each stage has a module: `graph` sorts the
components, `heights` and `scale` say how high they are drawn, `blocks`, `wells` and `power` draw
them, `place` sets them side by side, `route` leads the runs on the lattice of `grid`, `lettering`
and `riders` name those and set what sits on them, `layout` chooses among spacings, `staff`, `draw`
and `picture` turn it all into ink. Symbols after ISO 14617 and IEC 60617.
"""

from commissioning.plots.schematic.picture import schematic

__all__ = ["schematic"]
