"""Mixing on two ion lattices: Gibbs-Duhem, limits of one anion, exchange that cancels where it must."""

import numpy as np
import pytest

from thermo.laws import two_anions

Z = np.array([1.0, 2.0, 1.0])  # made-up cations of charge 1, 2, 1
SALT_CATION = np.array([0, 1, 2, 0, 1, 2])  # fluorides, then chlorides
IS_FLUORIDE = np.array([True] * 3 + [False] * 3)
RNG = np.random.default_rng(3)
MELTS = RNG.dirichlet(np.ones(6), 40)
E = np.array([-100e3, -230e3, -60e3])


def ions(fractions: np.ndarray) -> two_anions.Ions:
    return two_anions.ions_of(fractions, SALT_CATION, IS_FLUORIDE, Z)


def total(moles: np.ndarray, potentials) -> np.ndarray:
    """G of an amount of salts from the potentials of those salts, which have to be consistent with it."""
    fractions = moles / moles.sum(axis=1, keepdims=True)
    return (moles * potentials(ions(fractions))).sum(axis=1)


TERMS = {
    "ideal": two_anions.ideal_logs,
    "exchange": lambda i: two_anions.exchange(i, E / 1e4),
    "anions": lambda i: two_anions.anion_term(i, 1, 0),
    "anions, order 1": lambda i: two_anions.anion_term(i, 0, 1),
    "pairing": lambda i: two_anions.pairing_term(i, 0, 1),
    "cations beside fluoride": lambda i: two_anions.cation_term(i, regular(i.X), True),
    "cations beside chloride": lambda i: two_anions.cation_term(i, regular(i.X), False),
}


def regular(X: np.ndarray) -> np.ndarray:
    """Potentials of x_0 x_1, a regular interaction of the first two cations."""
    raw = np.repeat(-(X[:, 0] * X[:, 1])[:, None], X.shape[1], axis=1)
    raw[:, 0] += X[:, 1]
    raw[:, 1] += X[:, 0]
    return raw


@pytest.mark.parametrize("name", TERMS)
def test_potentials_are_derivatives_of_one_energy(name):
    """Central differences of G by each salt's moles; 1e-5 is their truncation error at steps of 1e-5."""
    potentials, step = TERMS[name], 1e-5
    expected = potentials(ions(MELTS))
    for k in range(6):
        more, less = MELTS.copy(), MELTS.copy()
        more[:, k] += step
        less[:, k] -= step
        slope = (total(more, potentials) - total(less, potentials)) / (2 * step)
        assert slope == pytest.approx(expected[:, k], rel=2e-4, abs=2e-4)


def test_one_anion_is_the_plain_mole_fraction():
    fluorides = np.hstack([RNG.dirichlet(np.ones(3), 10), np.zeros((10, 3))])
    assert two_anions.ideal_logs(ions(fluorides))[:, :3] == pytest.approx(np.log(fluorides[:, :3]), rel=1e-9)
    assert two_anions.exchange(ions(fluorides), E)[:, :3] == pytest.approx(np.zeros((10, 3)), abs=1e-6)


def test_worked_value_of_the_docstring():
    """MgF2-MgCl2 half and half: a(MgF2) = 0.25, not 0.5."""
    half = two_anions.ions_of(np.array([[0.5, 0.5]]), np.array([0, 0]), np.array([True, False]), np.array([2.0]))
    assert np.exp(two_anions.ideal_logs(half))[0] == pytest.approx([0.25, 0.25])


def test_exchange_costs_nothing_where_the_salts_agree():
    """Exchange energies in proportion to the charges do not drive any exchange."""
    assert two_anions.exchange(ions(MELTS), 5e4 * Z) == pytest.approx(np.zeros((40, 6)), abs=1e-6)


def test_strong_pairs_gain_no_more_than_their_difference():
    assert -80e3 < two_anions.pairing_strength(80e3) < 0
    assert two_anions.pairing_strength(-80e3) == two_anions.pairing_strength(80e3)
    assert two_anions.pairing_strength(0.0) == 0
