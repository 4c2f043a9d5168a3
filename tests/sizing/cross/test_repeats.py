"""Repeats of one reading, and the shape of a doubt."""

import pytest

from sizing.cross.measured import Measured, taken
from sizing.quantities import Quantity as Q
from tests.sizing.cross.readings import FOOT, found, read


def buckets(*times):
    return [
        read("delivery_flow:O1", "time", t, Q.DURATION, 0.3, repeat=str(i), label="Time to catch it")
        for i, t in enumerate(times, 1)
    ]


def test_repeats_that_agree_leave_no_doubt():
    assert not found(*buckets(41.2, 41.6, 41.4))


def test_a_repeat_with_a_lost_point_is_named():
    one = found(*buckets(41.2, 4.16, 41.4))["repeats_agree"]
    assert one.doubt.readings == ("delivery_flow:O1",)
    assert one.doubt.slip.startswith("time to catch it 2: the point misplaced, ten times too small")


def test_repeats_apart_without_a_simple_slip_are_taken_again():
    assert "take five" in found(*buckets(41.2, 60.0, 41.4))["repeats_agree"].doubt.slip


def test_a_level_read_once_in_feet_and_once_in_metres():
    levels = [
        read("static_level:W1", "level", v, Q.DEPTH, 0.01, repeat=str(i), label="Depth to water")
        for i, v in enumerate((24.3, 24.3 / FOOT), 1)
    ]
    doubt = found(*levels)["repeats_agree"].doubt
    assert doubt.found == pytest.approx(24.3 / FOOT - 24.3)
    assert "depth to water 2: read in ft, typed as m" in doubt.slip


def test_the_condition_nearest_in_time_is_taken():
    suns = [
        Measured("irradiance", "A1", "irradiance", value, Q.IRRADIANCE, at=at, is_reading=False)
        for value, at in ((700.0, 0.0), (900.0, 500.0))
    ]
    there = taken(suns)
    assert there.near("irradiance", "A1", 480.0).value == 900
    assert there.near("irradiance", "A1", 100.0).value == 700
    assert there.near("irradiance", "A1", 5000.0) is None
    assert there.near("irradiance", "A1", None).value == 900


def test_a_slip_to_what_cannot_be_explains_nothing():
    # 80 m could as well be 800 m with the point misplaced, but no well here is that deep.
    near = read("static_level:W1", "level", 80.0, Q.DEPTH, 0.01, repeat="1", usual=(0.0, 100.0))
    far = read("static_level:W1", "level", 800.0, Q.DEPTH, 0.01, repeat="2", usual=(0.0, 100.0))
    slip = found(near, far)["repeats_agree"].doubt.slip
    assert slip == "level 2: the point misplaced, ten times too large"  # and not the first ten times too small


def test_two_static_levels_agree_within_three_centimetres():
    def two(second):
        return [
            read("static_level:W1", "level", v, Q.DEPTH, 0.005, repeat=str(i)) for i, v in enumerate((24.3, second))
        ]

    assert not found(*two(24.32))
    assert "repeats_agree" in found(*two(24.40))  # 10 cm, of which ± 1.4 cm (k = 2) by the tape
