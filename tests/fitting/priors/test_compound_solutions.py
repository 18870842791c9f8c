"""Expected interaction of double salts in one solid solution."""

import numpy as np
import pytest

from thermo.fitting.priors.compound_solutions import between, by_limit, by_size, expected_mixing
from thermo.records.compound_solutions import compound_pairs
from thermo.records.units import R


def test_worked_value():
    """Cubes of 2.05, 2.35 and 2.71 angstrom: 21.6 and 28.5 cubic angstrom, r = 0.32; the ends cut by sampling."""
    (pair,) = (p for p in compound_pairs() if p.name == "(Na,K)MgF3")
    small, large = 2.05**3 + 2.35**3, 2.05**3 + 2.71**3
    r = large / small - 1
    W = by_size(pair)
    assert pytest.approx(11530 * r + 89400 * r**2, rel=1e-9) == W
    drawn = np.random.default_rng(1).normal(W, 0.3 * W + 4000, 400_000)
    drawn = drawn[(drawn > 0) & (drawn < 2 * R * 1279.15)]
    mean, sigma = expected_mixing(pair)
    assert mean == pytest.approx(drawn.mean(), abs=50)  # some five times the error of the mean of 300,000
    assert sigma == pytest.approx(drawn.std(), abs=50)
    assert (pytest.approx(11700, abs=60), pytest.approx(5370, abs=60)) == (mean, sigma)


def test_far_from_both_ends_nothing_changes():
    assert between(10.0, 0.1, 0.0, 20.0) == (pytest.approx(10.0), pytest.approx(0.1))


def test_ions_of_like_size_are_expected_to_mix_almost_ideally():
    found = {pair.name: by_size(pair) for pair in compound_pairs()}
    assert found["(K,Rb)MgF3"] < found["(Na,K)MgF3"] / 4


@pytest.mark.parametrize("y", [0.02, 0.1, 0.3, 0.45])
def test_a_limit_says_what_puts_both_sides_of_the_gap_in_balance(y):
    """RT ln a of the first member is alike at y and 1 - y of the second: a regular solution by its own potentials."""
    W, T_K = by_limit(y, 1000.0), 1000.0
    poor, rich = (R * T_K * np.log(1 - x) + W * x**2 for x in (y, 1 - y))
    assert poor == pytest.approx(rich)


def test_limits_expect_a_gap_near_its_top():
    """Sodium and lithium cryolite, a third and 0.3 at 713 deg C: 17.2 kJ, where 2 R T = 16.4 is the top of a gap."""
    (pair,) = (p for p in compound_pairs() if p.name == "(Na,Li)3AlF6")
    W, sigma = expected_mixing(pair)
    assert pytest.approx(17200, abs=100) == W
    assert 4000 < sigma < 4100
