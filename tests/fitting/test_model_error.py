"""The error of several salts: which published melts size it, and that it covers what it claims to cover."""

import numpy as np
import pytest

from thermo.fitting.model_error import COVERED, MeltComparison, comparable, compare, scale_J_mol
from thermo.records.fitted import model_constant
from thermo.records.published import ternary_points
from thermo.records.units import NINETY

POINTS = [point for point in ternary_points() if comparable(point)]


def made_up(difference_K: float, pairs_sigma_K: float = 0.0, kelvin: float = 0.025) -> MeltComparison:
    return MeltComparison(POINTS[0], difference_K, pairs_sigma_K, kelvin)


def test_fitted_and_doubtful_melts_size_nothing():
    assert POINTS
    for point in POINTS:
        assert point.use == "no"
        assert not point.unsure
        assert "AlF3" not in point.salts


def test_worked_value():
    """dD/dT = -40 J/(mol K): 1 kJ/mol is 25 K; the melts of a normal spread of 25 K ask for 1 kJ/mol."""
    size = np.random.default_rng(3).normal(0, 25.0, 4000)
    own = POINTS[0].T_sigma_K
    expected = np.sqrt(25.0**2 - own**2) / 0.025
    assert scale_J_mol([made_up(float(d)) for d in size]) == pytest.approx(
        expected, rel=0.05
    )  # 4000 draws, 90th centile


def test_differences_that_the_pairs_explain_ask_for_nothing():
    assert scale_J_mol([made_up(5.0, pairs_sigma_K=10.0) for _ in range(20)]) == 0.0


def test_the_stored_error_covers_nine_of_ten():
    found = [compare(point) for point in POINTS]
    s = model_constant("several_salts_J_mol")
    sigma = [np.hypot(np.hypot(c.pairs_sigma_K, c.point.T_sigma_K), s * c.kelvin_per_J_mol) for c in found]
    inside = np.mean([abs(c.difference_K) <= NINETY * own for c, own in zip(found, sigma, strict=True)])
    assert inside == pytest.approx(COVERED, abs=1.5 / len(found))  # one melt either way
