"""Where runs join a symbol: one at its side, or several on a header drawn beside it."""

from commissioning.plots.schematic.shapes import Block, Box, Spot, Stroke
from sizing.system import Run

PITCH = 18.0  # between pipes on a header
FINE = 12.0  # between cables
OUT = 9.0  # from the symbol to its header


def join_side(block: Block, runs: list[Run], x: float, y: float, dx: int, width: float) -> None:
    """Join runs at the left (dx = −1) or right of a block; more than one on a header that hangs down."""
    if not runs:
        return
    if len(runs) == 1:
        block.spots[runs[0].tag] = [Spot(x, y, dx, 0)]
        return
    at, pitch = x + dx * OUT, PITCH if width > 2 else FINE
    foot = y + pitch * (len(runs) - 1)
    block.marks.append(Stroke(((x, y), (at, y), (at, foot)), width, "header"))
    block.solids.append(Box(min(x, at) - 2, y - 2, max(x, at) + 2, foot + 2))
    spots = [Spot(at, y + pitch * k, dx, 0) for k in range(len(runs))]
    for run in runs:
        block.spots[run.tag] = spots


def join_end(block: Block, runs: list[Run], x: float, y: float, dy: int, width: float) -> None:
    """Join runs at the top (dy = −1) or bottom of a block; more than one on a header beside it."""
    if not runs:
        return
    if len(runs) == 1:
        block.spots[runs[0].tag] = [Spot(x, y, 0, dy)]
        return
    at, pitch = y + dy * OUT, PITCH if width > 2 else FINE
    left = x - pitch * (len(runs) - 1) / 2
    right = left + pitch * (len(runs) - 1)
    block.marks += [Stroke(((x, y), (x, at)), width, "header"), Stroke(((left, at), (right, at)), width, "header")]
    block.solids.append(Box(left - 2, min(y, at) - 2, right + 2, max(y, at) + 2))
    spots = [Spot(left + pitch * k, at, 0, dy) for k in range(len(runs))]
    for run in runs:
        block.spots[run.tag] = spots
