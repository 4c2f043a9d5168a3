"""Inside diameter and pressure rating of a pipe, from the size and class printed on it.

Sizes of house and village systems. Inch series are outside-controlled, with the average wall of plastic pipe 6 %
above the least one that the standard prints (its tolerance is + 12 %); in the metric series the bore is the outside
diameter less twice the least wall. Ratings hold at 23 °C (20 °C for metric pipe); warm water lowers them.
"""

import re
from collections.abc import Iterator

from sizing.records import record

INCH = 0.0254  # m, exact
PSI = 6894.757  # Pa
BAR = 1e5  # Pa
AVERAGE_WALL = 1.06  # average over least wall: half of the + 12 % of ASTM D1785, D3035 and F714
SDR_WALL_MARGIN = 0.010  # in, half of the wall tolerance of ASTM D2241 for these sizes


@record
class PipeSize:
    """One size of one class: what is printed, the material, the bore [m] and the rating [Pa gauge], if it has one."""

    designation: str
    material: str
    inside_diameter: float
    pressure_rating: float | None
    source: str


# Iron pipe sizes: outside diameter, least wall of Schedule 40 and of Schedule 80 [in]. ASME B36.10M (steel) and
# ASTM D1785 (PVC) print the same figures.
IRON_PIPE: dict[str, tuple[float, float, float]] = {
    "1/2": (0.840, 0.109, 0.147),
    "3/4": (1.050, 0.113, 0.154),
    "1": (1.315, 0.133, 0.179),
    "1-1/4": (1.660, 0.140, 0.191),
    "1-1/2": (1.900, 0.145, 0.200),
    "2": (2.375, 0.154, 0.218),
    "2-1/2": (2.875, 0.203, 0.276),
    "3": (3.500, 0.216, 0.300),
    "4": (4.500, 0.237, 0.337),
}
# ASTM D1785, PVC 1120, water at 23 °C [psi], from memory: Schedule 40, Schedule 80; in the order of IRON_PIPE.
PVC_RATINGS = (
    (600, 480, 450, 370, 330, 280, 300, 260, 220),
    (850, 690, 630, 520, 470, 400, 420, 370, 320),
)
# ASTM D2241, PVC 1120: standard dimension ratio → rating [psi], least wall [in] of each size that is made.
PVC_SDR: dict[float, tuple[float, dict[str, float]]] = {
    21: (200, {"3/4": 0.060, "1": 0.063, "1-1/4": 0.079, "1-1/2": 0.090, "2": 0.113, "2-1/2": 0.137, "3": 0.167,
               "4": 0.214}),
    26: (160, {"1": 0.060, "1-1/4": 0.064, "1-1/2": 0.073, "2": 0.091, "2-1/2": 0.110, "3": 0.135, "4": 0.173}),
}  # fmt: skip
# ASTM D3035, outside-controlled, PE 4710 (from memory): dimension ratio → rating [psi].
PE_DR = {9: 250, 11: 200, 13.5: 160, 17: 125}
# ASTM D2239, inside-controlled: the bore is that of Schedule 40 for every SIDR; the rating depends on the compound.
PE_SIDR = (7, 9, 11.5, 15)
PE_SIDR_SIZES = ("1/2", "3/4", "1", "1-1/4", "1-1/2", "2")
# ISO 4427-2:2019, PE 100: least wall [mm] for each outside diameter [mm] (from memory), nominal pressure [bar].
PE_100: dict[float, tuple[float, dict[int, float]]] = {
    11: (16, {20: 2.0, 25: 2.3, 32: 3.0, 40: 3.7, 50: 4.6, 63: 5.8, 75: 6.8, 90: 8.2, 110: 10.0}),
    13.6: (12.5, {25: 2.0, 32: 2.4, 40: 3.0, 50: 3.7, 63: 4.7, 75: 5.6, 90: 6.7, 110: 8.1}),
    17: (10, {32: 2.0, 40: 2.4, 50: 3.0, 63: 3.8, 75: 4.5, 90: 5.4, 110: 6.6}),
}
# ISO 1452-2:2009, PVC-U: nominal pressure [bar] → least wall [mm] for each outside diameter [mm] (from memory).
PVC_U: dict[int, dict[int, float]] = {
    16: {20: 1.5, 25: 1.9, 32: 2.4, 40: 3.0, 50: 3.7, 63: 4.7, 75: 5.6, 90: 6.7},
    10: {32: 1.6, 40: 1.9, 50: 2.4, 63: 3.0, 75: 3.6, 90: 4.3},
}
# ASTM B88, copper tube: wall [in] of type L and of type M; the outside is 1/8 in more than the nominal size.
COPPER_WALLS: dict[str, tuple[float, float, float]] = {
    "1/2": (0.625, 0.040, 0.028),
    "3/4": (0.875, 0.045, 0.032),
    "1": (1.125, 0.050, 0.035),
    "1-1/4": (1.375, 0.055, 0.042),
    "1-1/2": (1.625, 0.060, 0.049),
    "2": (2.125, 0.070, 0.058),
}
# EN 1057:2006, copper tube in ordinary use (from memory): outside diameter, wall [mm].
COPPER_METRIC = ((12, 1.0), (15, 1.0), (18, 1.0), (22, 1.0), (28, 1.0), (35, 1.2), (42, 1.2), (54, 1.5))
# EN 10255:2004 (formerly ISO 65), medium series, threaded: nominal size → outside diameter, wall [mm].
STEEL_MEDIUM: dict[int, tuple[float, float]] = {
    15: (21.3, 2.6),
    20: (26.9, 2.6),
    25: (33.7, 3.2),
    32: (42.4, 3.2),
    40: (48.3, 3.2),
    50: (60.3, 3.6),
    65: (76.1, 3.6),
    80: (88.9, 4.0),
    100: (114.3, 4.5),
}


def _schedules() -> Iterator[PipeSize]:
    for column, schedule in enumerate((40, 80)):
        for (size, (outside, *walls)), psi in zip(IRON_PIPE.items(), PVC_RATINGS[column], strict=True):
            wall = walls[column]
            plastic = (outside - 2 * AVERAGE_WALL * wall) * INCH
            yield PipeSize(f"{size} in Sch {schedule} PVC", "pvc", plastic, psi * PSI, "ASTM D1785")
            bore = (outside - 2 * wall) * INCH
            yield PipeSize(f"{size} in Sch {schedule} steel", "steel", bore, None, "ASME B36.10M")
            yield PipeSize(f"{size} in Sch {schedule} galvanized", "galvanized", bore, None, "ASME B36.10M")


def _inch_plastics() -> Iterator[PipeSize]:
    for ratio, (psi, walls) in PVC_SDR.items():
        for size, wall in walls.items():
            bore = (IRON_PIPE[size][0] - 2 * (wall + SDR_WALL_MARGIN)) * INCH
            yield PipeSize(f"{size} in SDR {ratio:g} PVC", "pvc", bore, psi * PSI, "ASTM D2241")
    for ratio, psi in PE_DR.items():
        for size, (outside, _, _) in IRON_PIPE.items():
            bore = outside * (1 - 2 * AVERAGE_WALL / ratio) * INCH
            yield PipeSize(f"{size} in DR {ratio:g} PE", "pe", bore, psi * PSI, "ASTM D3035")
    for ratio in PE_SIDR:
        for size in PE_SIDR_SIZES:
            outside, wall, _ = IRON_PIPE[size]
            yield PipeSize(f"{size} in SIDR {ratio:g} PE", "pe", (outside - 2 * wall) * INCH, None, "ASTM D2239")


def _metric_plastics() -> Iterator[PipeSize]:
    for ratio, (bar, walls) in PE_100.items():
        for outside, wall in walls.items():
            bore = (outside - 2 * wall) / 1000
            yield PipeSize(f"{outside} mm SDR {ratio:g} PE 100", "pe", bore, bar * BAR, "ISO 4427-2")
    for pressure, least in PVC_U.items():
        for outside, wall in least.items():
            bore = (outside - 2 * wall) / 1000
            yield PipeSize(f"{outside} mm PN {pressure} PVC-U", "pvc", bore, pressure * BAR, "ISO 1452-2")


def _metals() -> Iterator[PipeSize]:
    for size, (outside, *walls) in COPPER_WALLS.items():
        for kind, wall in zip("LM", walls, strict=True):
            yield PipeSize(f"{size} in type {kind} copper", "copper", (outside - 2 * wall) * INCH, None, "ASTM B88")
    for across, wall in COPPER_METRIC:
        yield PipeSize(f"{across} × {wall:g} mm copper", "copper", (across - 2 * wall) / 1000, None, "EN 1057")
    for nominal, (across_mm, wall) in STEEL_MEDIUM.items():
        bore = (across_mm - 2 * wall) / 1000
        yield PipeSize(f"DN {nominal} medium galvanized", "galvanized", bore, None, "EN 10255")


PIPE_SIZES: dict[str, PipeSize] = {
    one.designation: one for series in (_schedules(), _inch_plastics(), _metric_plastics(), _metals()) for one in series
}
"""Designation → size, inch series first."""


def _plain(typed: str) -> str:
    """Return a designation without what people leave out or write otherwise."""
    text = typed.lower().replace("×", "x").replace("schedule", "sch").replace("inch", "in").replace('"', " in")
    return re.sub(r"[\s.]+", "", text.replace(".", "_")).replace("_", ".")


_BY_PLAIN = {_plain(name): size for name, size in PIPE_SIZES.items()}


def pipe_size(typed: str) -> PipeSize | None:
    """Return the size of a designation, however its spaces and capitals are typed; None where there is no such size."""
    return _BY_PLAIN.get(_plain(typed))


def sizes_of(material: str) -> list[PipeSize]:
    """Return every size of a material, in the order of the tables."""
    return [one for one in PIPE_SIZES.values() if one.material == material]
