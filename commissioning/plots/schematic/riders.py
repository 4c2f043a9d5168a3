"""What sits on a run (a fuse on a cable, a meter on a pipe): drawn on its line where there is room, or else listed."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from commissioning.plots.schematic.lettering import SHARES, is_clear
from commissioning.plots.schematic.route import Led
from commissioning.plots.schematic.setting import Setting, sign_at, symbol_name
from commissioning.plots.schematic.shapes import LEADING, Box, Label, Line, Sign
from commissioning.plots.schematic.words import short
from sizing.system import Node

SCALE = 0.7
UPRIGHT = {"fuse", "surge_protector"}  # symbols that only an upright line runs through
AIR = 7.0


@dataclass
class Riders:
    """Symbols on runs with their tags, and the words for what found no room."""

    signs: list[Sign] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    listed: list[str] = field(default_factory=list)


def riders(setting: Setting, led: list[Led], taken: list[Box]) -> Riders:
    """Return what sits on runs; `taken` are the boxes to keep clear of, and grows."""
    made = Riders()
    lines = {one.run.tag: one for one in led}
    for tag, host in setting.plan.riders.items():
        node = setting.node(tag)
        places = _places(lines[host], node, setting.size) if host in lines else iter(())
        others = [*taken, *(box for one in led if one.run.tag != host for box in one.boxes)]
        found = next((pair for pair in places if _has_room(pair, others, lines[host])), None)
        if found is None:
            made.listed.append(f"{short(tag)} on {short(host)}")
            continue
        made.signs.append(found[0])
        made.labels.append(found[1])
        taken += [found[0].box, found[1].box]
    return made


def _has_room(pair: tuple[Sign, Label], taken: list[Box], line: Led) -> bool:
    sign, label = pair
    ends = [Box(x, y, x, y).grown(4) for x, y in line.points]
    is_free = not any(sign.box.grown(AIR, 3).hits(box) for box in [*taken, *ends])
    return is_free and is_clear(label, [*taken, *line.boxes])


def _places(line: Led, node: Node, size: float) -> Iterator[tuple[Sign, Label]]:
    name = symbol_name(node)
    if not name:
        return
    words = (Line(short(node.tag), True),)
    for (x1, y1), (x2, y2) in line.pieces:
        if y1 == y2 and name in UPRIGHT:
            continue
        for share in SHARES:
            sign = replace(sign_at(name, x1 + (x2 - x1) * share, y1 + (y2 - y1) * share, SCALE), is_rider=True)
            if y1 == y2:
                yield sign, Label(sign.x, sign.box.top - 3 - LEADING * size, words, size, "middle")
            else:
                yield sign, Label(sign.box.right + 4, sign.y - LEADING * size / 2, words, size)
                yield sign, Label(sign.box.left - 4, sign.y - LEADING * size / 2, words, size, "end")
