"""A drawn name, such as a finger leaves on a phone: points in CSS pixels with the milliseconds at which they came."""

import json
from math import cos, pi, sin

STEPS = 14  # points a letter
TALL, SMALL = 34.0, 13.0  # px
MIDDLE = 60.0  # px, the line on which the letters stand
ADVANCE = 17.0  # px a letter
PACE = 16  # ms between two points


def drawn(name: str) -> str:
    """Return the strokes of a name: one stroke a word, a loop a letter, tall at its first."""
    strokes, left, ticks = [], 20.0, 0
    for word in name.split():
        stroke = [_point(word, i, left, ticks + i) for i in range(len(word) * STEPS)]
        strokes.append(stroke)
        left, ticks = left + len(word) * ADVANCE + 12, ticks + len(stroke) + 12
    return json.dumps(strokes, separators=(",", ":"))


def _point(word: str, step: int, left: float, tick: int) -> list[float]:
    """Return one point of a running loop whose height and lean follow from the letter."""
    place, turn = divmod(step, STEPS)
    letter, angle = ord(word[place]), 2 * pi * turn / STEPS
    height = TALL if place == 0 else SMALL * (0.6 + (letter * 7 % 10) / 10)
    x = left + place * ADVANCE + ADVANCE * turn / STEPS + (4 + letter % 5) * sin(angle)
    y = MIDDLE - height * (1 - cos(angle)) / 2 + (letter % 3) * sin(angle / 2)
    return [round(x, 1), round(y, 1), tick * PACE]
