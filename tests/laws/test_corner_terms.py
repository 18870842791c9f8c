"""The corner terms: against a numerical derivative of n G, and Gibbs-Duhem."""

import numpy as np
import pytest

from tests.made_up import random_fractions
from thermo.laws.corner_terms import CornerTerms, corner_potentials

X = np.array([[0.2, 0.3, 0.1, 0.4]])


def energy(n: np.ndarray, triple: tuple[int, ...], corner: int) -> float:
    x = n / n.sum()
    return float(n.sum() * np.prod(x[list(triple)]) * x[corner])


@pytest.mark.parametrize("corner", [0, 1, 3])
def test_potentials_are_the_derivatives_of_the_energy(corner):
    triple, n = (0, 1, 3), X[0] * 1.7
    found = corner_potentials(X, triple, corner)[0]
    for i in range(4):
        step = np.zeros(4)
        step[i] = 1e-6
        slope = (energy(n + step, triple, corner) - energy(n - step, triple, corner)) / 2e-6
        assert found[i] == pytest.approx(slope, abs=1e-8)
    assert X[0] @ found == pytest.approx(np.prod(X[0][list(triple)]) * X[0][corner])


def test_worked_value():
    third = np.full((1, 3), 1 / 3)
    total = sum(27000.0 * corner_potentials(third, (0, 1, 2), m) for m in range(3))
    assert third[0] @ total[0] == pytest.approx(1000.0)


def test_all_terms_together_are_their_sum():
    x = random_fractions(10, 5)
    terms = [((0, 1, 3), 0, 2000.0), ((0, 1, 3), 3, -700.0), ((1, 2, 4), 2, 5000.0), ((0, 2, 3), 2, 30.0)]
    apart = sum(size * corner_potentials(x, triple, corner) for triple, corner, size in terms)
    assert CornerTerms(5, terms).potentials(x) == pytest.approx(apart, rel=1e-12, abs=1e-9)
    assert not CornerTerms(5, []).potentials(x).any()


def test_one_melt_in_plain_numbers_is_the_array_of_it():
    terms = CornerTerms(5, [((0, 1, 3), 0, 2000.0), ((0, 1, 3), 3, -700.0), ((1, 2, 4), 2, 5000.0)])
    for row in random_fractions(10, 5):
        found = [0.0] * 5
        rest = terms.add_to(found, row.tolist())
        assert np.array(found) + rest == pytest.approx(terms.potentials(row[None, :])[0], rel=1e-12, abs=1e-9)


def test_second_derivatives_by_differences_of_the_energy():
    """sum of c P x_corner at fractions that need not sum to 1: central differences of a quartic, good to 1e-6."""
    terms = [((0, 1, 3), 0, 2000.0), ((0, 1, 3), 3, -700.0), ((1, 2, 4), 2, 5000.0), ((0, 2, 3), 2, 30.0)]
    x, step = np.array([0.2, 0.3, 0.1, 0.25, 0.15]), 1e-4

    def total(v: np.ndarray) -> float:
        return sum(size * float(np.prod(v[list(triple)])) * v[corner] for triple, corner, size in terms)

    unit = step * np.eye(5)
    expected = [
        [(total(x + a + b) - total(x + a - b) - total(x - a + b) + total(x - a - b)) / (4 * step**2) for a in unit]
        for b in unit
    ]
    assert CornerTerms(5, terms).bends(x) == pytest.approx(np.array(expected), rel=1e-5, abs=0.01)
