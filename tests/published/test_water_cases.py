"""Published cases of the water side; the rules of `water.json` stand in `cases.py`."""

import pytest

from tests.published.cases import comes_out, evaluate, load, named

CASES = load("water.json")


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


# How each tolerance judges a value that it must accept and one that it must refuse: the runner's own check.
@pytest.mark.parametrize(
    ("value", "kept"),
    [
        ({"expected": 1.52, "unit": "1", "compute": {"value": 1.5249, "unit": "1"}}, True),
        ({"expected": 1.52, "unit": "1", "compute": {"value": 1.5251, "unit": "1"}}, False),
        ({"expected": 10, "unit": "ft", "tolerance_rel": 0.01, "compute": {"value": 3.07, "unit": "m"}}, True),
        ({"expected": 10, "unit": "ft", "tolerance_rel": 0.01, "compute": {"value": 3.08, "unit": "m"}}, False),
        ({"expected": 10, "unit": "ft", "tolerance_abs": 0.1, "compute": {"value": 3.08, "unit": "m"}}, False),
    ],
)
def test_the_runner_tells_near_from_far(value, kept):
    assert comes_out(value) is kept
