"""The hand pump: strokes and water per stroke."""

from math import pi

import pytest

from sizing.verdict import Verdict
from tests.sizing.checks.measured import changed, expected, finding, good, judged

SWEPT = pi / 4 * 0.0635**2 * 0.125  # 0.39587 L


def fills(litres: float, strokes: float = 40.0):
    """Return three equal fills."""
    return changed(
        good("volume_per_stroke"),
        **{f"volume__{i}": (litres * 1e-3, 0.006 * litres * 1e-3) for i in (1, 2, 3)},
        **{f"strokes__{i}": (strokes, 0.3) for i in (1, 2, 3)},
    )


def test_swept_volume_is_the_expected_one() -> None:
    e = expected(good("volume_per_stroke"))
    assert e.nominal == pytest.approx(SWEPT)
    assert e.lower == pytest.approx(0.8 * SWEPT)
    assert e.upper == pytest.approx(1.02 * SWEPT)


@pytest.mark.parametrize(
    ("litres", "verdict"),
    [(14.9, Verdict.WITHIN), (15.6, Verdict.WITHIN), (11.0, Verdict.OUTSIDE), (12.7, Verdict.BORDERLINE)],
)
def test_water_per_stroke_verdicts(litres: float, verdict: Verdict) -> None:
    assert judged(fills(litres)).verdict is verdict


def test_more_than_swept_is_refused_as_a_slip() -> None:
    # 14.9 L counted as 30 strokes: a quarter more than the cylinder holds
    slip = finding(fills(14.9, 30.0))
    assert slip.verdict is Verdict.UNJUDGED
    assert slip.expected is None
    assert "swept volume" in slip.reason


def test_fills_that_do_not_agree_are_taken_again() -> None:
    apart = finding(changed(good("volume_per_stroke"), volume__2=(0.0139, 9e-5)))
    assert apart.verdict is Verdict.UNJUDGED
    assert "take them again" in apart.reason


@pytest.mark.parametrize(
    ("strokes", "verdict"), [(2.0, Verdict.WITHIN), (9.0, Verdict.OUTSIDE), (5.2, Verdict.BORDERLINE)]
)
def test_strokes_to_water(strokes: float, verdict: Verdict) -> None:
    assert judged(changed(good("strokes_to_water"), strokes=(strokes, 0.3))).verdict is verdict
