"""Words on the runs: each beside its own line where nothing else is, or else in a list under the picture."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from commissioning.plots.schematic.route import Led
from commissioning.plots.schematic.shapes import LEADING, Block, Box, Label, Line, Point, Stroke, text_width
from commissioning.plots.schematic.words import run_words
from sizing.parts import RUN_KINDS

AIR = 2.5  # between words and anything else
BESIDE, OVER = 6.0, 5.0  # from an upright line, from a level line
SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88)


@dataclass
class Lettered:
    """The labels of the runs, and the words for which there was no room."""

    labels: list[Label] = field(default_factory=list)
    listed: list[str] = field(default_factory=list)


def lettered(led: list[Led], taken: list[Box], unit_system: str, size: float) -> Lettered:
    """Return a label for each run of the record. `taken` are the boxes to keep clear of, and grows."""
    taken += [box for one in led for box in one.boxes]
    made = Lettered()
    for one in sorted((one for one in led if one.run.kind in RUN_KINDS), key=_length):
        tag, words = run_words(one.run, unit_system)
        label = next((found for found in _tries(one, tag, words, size) if is_clear(found, taken)), None)
        if label is None:
            made.listed.append(f"{tag} {words}".strip())
            label = next((found for found in _tries(one, tag, "", size) if is_clear(found, taken)), None)
        elif words and len(label.lines) == 1 and words not in label.lines[0].text:
            made.listed.append(f"{tag} {words}")
        if label is not None:
            made.labels.append(label)
            taken.append(label.box)
    made.listed.sort()
    return made


def _length(one: Led) -> float:
    return round(sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in one.pieces), 1)


def room_of(blocks: list[Block]) -> list[Box]:
    """Return the room that blocks take, with every stroke of theirs."""
    boxes = [box for block in blocks for box in block.boxes]
    return boxes + [mark.box.grown(1.5) for block in blocks for mark in block.marks if isinstance(mark, Stroke)]


def is_clear(label: Label, taken: list[Box]) -> bool:
    box = label.box.grown(AIR)
    return not any(box.hits(other) for other in taken)


def _tries(one: Led, tag: str, words: str, size: float) -> Iterator[Label]:
    """Yield places in the order in which a reader would like them: long pieces first, whole words in a line."""
    pieces = sorted(one.pieces, key=lambda piece: -(abs(piece[0][0] - piece[1][0]) + abs(piece[0][1] - piece[1][1])))
    whole = f"{tag} {words}".strip()
    shapes = [(Line(whole),)] + ([(Line(tag), Line(words))] if words else [])
    for lines in shapes:
        for start, end in pieces:
            yield from _beside(start, end, lines, size)


def _beside(start: Point, end: Point, lines: tuple[Line, ...], size: float) -> Iterator[Label]:
    (x1, y1), (x2, y2) = start, end
    tall = len(lines) * LEADING * size
    width = max(text_width(one.text, size) for one in lines)
    for share in SHARES:
        x, y = x1 + (x2 - x1) * share, y1 + (y2 - y1) * share
        if y1 == y2 and abs(x1 - x2) >= width * 0.8:
            yield Label(x, y - OVER - tall, lines, size, "middle")
            yield Label(x, y + OVER, lines, size, "middle")
        if x1 == x2 and abs(y1 - y2) >= tall:
            yield Label(x + BESIDE, y - tall / 2, lines, size)
            yield Label(x - BESIDE, y - tall / 2, lines, size, "end")
