"""How clear the days of a month are, against the identity that defines the distribution and tabulated shapes."""

import pytest

from sizing.errors import OutOfRangeError
from sizing.formulas.day_sequence import LEAST_CLEARNESS, clearness_at_share, greatest_clearness


@pytest.mark.parametrize("mean", [0.3, 0.4, 0.5, 0.6, 0.7])
def test_the_mean_over_all_days_gives_the_months_mean_back(mean: float) -> None:
    """What Hollands and Huget (1983) fitted γ for: the area over the distribution is the monthly mean."""
    many = 2000
    back = sum(clearness_at_share(mean, (one + 0.5) / many) for one in range(many)) / many
    assert back == pytest.approx(mean, abs=0.002)


@pytest.mark.parametrize(
    ("mean", "share", "printed"),
    [  # Liu and Jordan's generalised curves (Solar Energy 4: 1, 1960), K̄ 0.3 and 0.5, read to ± 0.05; from memory
        (0.3, 0.5, 0.27),
        (0.5, 0.2, 0.32),
        (0.5, 0.8, 0.67),
        (0.7, 0.5, 0.73),
    ],
)
def test_shape_of_the_generalised_curves(mean: float, share: float, printed: float) -> None:
    assert clearness_at_share(mean, share) == pytest.approx(printed, abs=0.05)


def test_the_ends_are_the_greyest_and_the_clearest_day() -> None:
    # K_max at 0.5: 0.6313 + 0.1335 − 11.9 · 0.25⁸ = 0.76462
    assert greatest_clearness(0.5) == pytest.approx(0.76462, abs=5e-6)
    assert clearness_at_share(0.5, 0.0) == pytest.approx(LEAST_CLEARNESS)
    assert clearness_at_share(0.5, 1.0) == pytest.approx(greatest_clearness(0.5))


def test_a_greater_share_is_never_greyer() -> None:
    found = [clearness_at_share(0.45, share / 50) for share in range(51)]
    assert found == sorted(found)


@pytest.mark.parametrize(
    ("arguments", "named"),
    [((0.19, 0.5), "mean_clearness"), ((0.81, 0.5), "mean_clearness"), ((0.5, -0.01), "share"), ((0.5, 1.01), "share")],
)
def test_out_of_range_is_refused_by_name(arguments: tuple[float, float], named: str) -> None:
    with pytest.raises(OutOfRangeError) as refused:
        clearness_at_share(*arguments)
    assert refused.value.argument == named
