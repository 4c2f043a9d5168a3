"""Risks over all items against the examples of JCGM 106 and a double integral by scipy."""

from math import inf

import pytest
from scipy import integrate, stats

from sizing.formulas.conformity import global_consumer_risk, global_producer_risk, reading_that_proves_excess
from tests.sizing.formulas.refusal import assert_refused, refusals


def test_resistors_of_jcgm_106():
    # JCGM 106:2012, 9.5.4: u₀ 0.12 Ω, u 0.04 Ω, tolerance ±0.20 Ω, acceptance ±0.18 Ω: consumer about 1 %,
    # producer about 7 %. Risks from memory.
    assert global_consumer_risk(0.12, 0.04, 0.20, 0.18) == pytest.approx(0.01, abs=0.0005)
    assert global_producer_risk(0.12, 0.04, 0.20, 0.18) == pytest.approx(0.07, abs=0.0015)


@pytest.mark.parametrize(
    ("process", "u", "tolerance", "acceptance"), [(0.12, 0.04, 0.2, 0.18), (1, 0.5, 2, 2.2), (1, 0.05, 1, 0.9)]
)
def test_risks_agree_with_scipy(process, u, tolerance, acceptance):
    def accepted(true):
        return stats.norm.cdf(acceptance, true, u) - stats.norm.cdf(-acceptance, true, u)

    consumer, _ = integrate.quad(
        lambda t: 2 * stats.norm.pdf(t, 0, process) * accepted(t), tolerance, tolerance + 9 * process
    )
    producer, _ = integrate.quad(
        lambda t: 2 * stats.norm.pdf(t, 0, process) * (1 - accepted(t)), 0, tolerance, points=[acceptance * 0.9]
    )
    assert global_consumer_risk(process, u, tolerance, acceptance) == pytest.approx(consumer, abs=1e-7)
    assert global_producer_risk(process, u, tolerance, acceptance) == pytest.approx(producer, abs=1e-7)


def test_a_tighter_acceptance_shifts_the_risk_to_the_producer():
    assert global_consumer_risk(1, 0.3, 2, 1.7) < global_consumer_risk(1, 0.3, 2, 2)
    assert global_producer_risk(1, 0.3, 2, 1.7) > global_producer_risk(1, 0.3, 2, 2)


def test_speed_of_a_vehicle():
    # JCGM 106:2012, 8.3.3.3: limit 100 km/h, 2 %, 99.9 %: printed 107 km/h, rounded up. From memory.
    assert reading_that_proves_excess(100, 0.02, 0.999) == pytest.approx(106.6, abs=0.1)
    assert reading_that_proves_excess(100, 0.02, 0.5) == 100


RISK = {"process_deviation": 0.12, "standard_uncertainty": 0.04, "tolerance": 0.2, "acceptance": 0.18}
BAD_RISK = {
    "process_deviation": [0, -1, inf],
    "standard_uncertainty": [0, 0.001, inf],
    "tolerance": [0, 1.3, inf],
    "acceptance": [0, inf],
}
BOUNDS = [
    (global_consumer_risk, RISK, BAD_RISK),
    (global_producer_risk, RISK, BAD_RISK),
    (
        reading_that_proves_excess,
        {"limit": 100, "relative_uncertainty": 0.02, "confidence": 0.99},
        {"limit": [0, inf], "relative_uncertainty": [-0.1, 0.5, inf], "confidence": [0.4, 1]},
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
