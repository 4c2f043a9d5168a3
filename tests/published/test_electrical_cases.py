"""Published cases of the electrical side; the rules of `electrical.json` stand in `cases.py`.

Two cases need a year of hourly weather, which pvlib carries, and are computed here. Verdicts in words belong to the
checks and are not asked of a formula; GUM H.2, whose result needs a cosine, stands in the tests of `uncertainty`.
"""

from pathlib import Path

import pvlib
import pytest

from sizing.formulas.irradiance import full_sun_time, incidence_cosine, irradiation, plane_of_array_isotropic
from sizing.formulas.sun import sun_azimuth, sun_elevation
from tests.published.cases import comes_out, evaluate, load, named

CASES = load("electrical.json")


@pytest.mark.parametrize("case", named([case for case in CASES if "misprint" not in case]))
def test_published_value_comes_out(case):
    computed = evaluate(case["compute"])
    assert comes_out(case), f"{computed} for {case['expected']} {case['unit']}: {case['source']}"


@pytest.mark.parametrize("case", named([case for case in CASES if "misprint" in case]))
def test_misprint_does_not_come_out(case):
    assert not comes_out(case), case["misprint"]


def test_every_case_names_its_source_and_how_it_was_had():
    assert len({case["id"] for case in CASES}) == len(CASES)
    for case in CASES:
        assert case["source"], case["id"]
        assert case["seen"] in ("seen", "from memory") or case["seen"].startswith("computed"), case["id"]


# Typical year of the US National Solar Radiation Data Base, 36.10° N 79.95° W, in the data of pvlib. Sun hours a
# day by month, January first: on the horizontal, and at 36° facing south under an isotropic sky of albedo 0.2,
# computed with pvlib 0.16.1 and its sun in the middle of each hour.
LATITUDE, LONGITUDE = 36.10, -79.95
HORIZONTAL = [2.414, 3.063, 4.251, 5.41, 5.636, 6.251, 6.083, 5.615, 4.427, 3.589, 2.435, 2.243]
TILTED = [3.428, 4.086, 4.854, 5.478, 5.258, 5.603, 5.531, 5.458, 4.797, 4.41, 3.398, 3.451]


@pytest.fixture(scope="module")
def typical_year():
    """Rows of a month's hours: end of the hour, global, direct normal and diffuse irradiance."""
    file = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    table, _ = pvlib.iotools.read_tmy3(file, coerce_year=1990, map_variables=True)
    months = [[] for _ in range(12)]
    for number, (stamp, row) in enumerate(table.iterrows()):
        month = (stamp - (table.index[1] - table.index[0])).month if number else 1
        months[month - 1].append((stamp.timestamp(), row["ghi"], row["dni"], row["dhi"]))
    return months


def _sun_hours(readings: list[float]) -> float:
    return full_sun_time(irradiation(readings, 3600)) / 3600 / (len(readings) / 24)


@pytest.mark.parametrize("month", range(12))
def test_monthly_sun_hours_on_the_horizontal(typical_year, month):
    readings = [whole for _, whole, _, _ in typical_year[month]]
    assert _sun_hours(readings) == pytest.approx(HORIZONTAL[month], rel=0.005)


@pytest.mark.parametrize("month", range(12))
def test_monthly_sun_hours_on_a_tilted_array(typical_year, month):
    readings = []
    for end, whole, direct, diffuse in typical_year[month]:
        sun = (end - 1800, LATITUDE, LONGITUDE)
        cosine = incidence_cosine(36, 180, sun_elevation(*sun), sun_azimuth(*sun))
        readings.append(plane_of_array_isotropic(direct, diffuse, whole, cosine, 36, 0.2))
    assert _sun_hours(readings) == pytest.approx(TILTED[month], rel=0.01)
