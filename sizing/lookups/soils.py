"""What a soil's name says of its resistivity, where nobody has measured it."""

from sizing.records import record


@record
class Soil:
    """Average, lowest and highest resistivity found in soils of one kind [Ω·m]."""

    average: float
    lowest: float
    highest: float


# McCollum and Logan, Bureau of Standards Technologic Paper 108 (1918), as reprinted in MIL-HDBK-419A volume I
# (1987), resistivity of soils (from memory); printed there in Ω·cm.
SOILS: dict[str, Soil] = {
    "fill": Soil(23.7, 5.9, 70.0),
    "clay": Soil(40.6, 3.4, 163.0),
    "mixed": Soil(158.0, 10.2, 1350.0),
    "gravel": Soil(940.0, 590.0, 4580.0),
}
"""Choice of an earth electrode's nameplate → soil. Moisture, frost and layers change it severalfold: measure."""
