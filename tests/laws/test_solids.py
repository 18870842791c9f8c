"""Solids of one composition: driving forces against the closed forms."""

import numpy as np
import pytest

from thermo.laws.solids import DoubleSolid, PureSolid, TripleSolid

T = np.array([900.0])
FORCES, SLOPES = np.array([[1200.0, -300.0]]), np.array([[-24.0, -18.0]])
K2MgCl4 = DoubleSolid("K2MgCl4", (1, 0), (2, 1), -21000.0, 3.0)


def test_a_double_salt_counts_per_mole_of_salts():
    assert K2MgCl4.weights == pytest.approx([2 / 3, 1 / 3], rel=1e-12)
    energy, slope = K2MgCl4.energy_and_slope(T)
    assert energy[0] == pytest.approx((-21000.0 - 900 * 3.0) / 3, rel=1e-12)
    assert slope == pytest.approx(-1.0, rel=1e-12)


def test_the_driving_force_of_a_double_salt():
    """D = (sum nu_i d_i - (dH - T dS)) / sum nu_i, and its derivative with T."""
    D, slope, y = K2MgCl4.best(FORCES, SLOPES, T)
    assert y is None
    assert D[0] == pytest.approx((2 * 1200.0 - 300.0 + 21000.0 + 900 * 3.0) / 3, rel=1e-12)
    assert slope[0] == pytest.approx((2 * -24.0 - 18.0 + 3.0) / 3, rel=1e-12)
    assert K2MgCl4.slope(SLOPES[0]) == pytest.approx(slope[0], rel=1e-12)


def test_the_driving_force_of_a_pure_salt_is_its_own():
    pure = PureSolid("KCl", 1)
    D, slope, _ = pure.best(FORCES[:, :1], SLOPES[:, :1], T)
    assert (D[0], slope[0]) == (1200.0, -24.0)
    assert pure.slope(SLOPES[0, :1]) == -24.0
    assert pure.energy_and_slope(900.0) == (0.0, 0.0)


def test_a_solid_moved_in_the_list_of_salts_stays_itself():
    assert PureSolid("KCl", 1).moved(3) == PureSolid("KCl", 4)
    assert K2MgCl4.moved(2).indices == (3, 2)
    assert K2MgCl4.moved(2).weights.tolist() == K2MgCl4.weights.tolist()


def test_doubt_of_a_compound_grows_away_from_where_it_was_computed():
    """2 J/(mol K) a salt (a judgement): at its own temperature its own, 100 K off in quadrature with 2 * 100 a salt."""
    solid = TripleSolid("K2NaAlF6", (0, 1, 2), (2, 1, 1), -5e4, 0.0, 1200.0, 3000.0, {}, (), {})
    assert solid.sigma(1200.0) == pytest.approx(3000 / 4)
    for T_K in (1100.0, 1300.0):
        assert solid.sigma(T_K) == pytest.approx(np.hypot(3000 / 4, 200))
