"""The most stable set of given phases: by hand, and against a library's linear programme."""

import numpy as np
import pytest
from scipy.optimize import linprog

from thermo.equilibrium.phases.simplex import exchange


def test_a_compound_cheaper_than_its_salts_takes_everything():
    columns = np.array([[1.0, 0.0], [0.0, 1.0], [0.5, 0.5]])
    basis, amounts, potentials = exchange(columns, np.array([0.0, 0.0, -1.0]), np.array([0.5, 0.5]), np.array([0, 1]))
    held = dict(zip(basis.tolist(), amounts.tolist(), strict=True))
    assert held[2] == pytest.approx(1.0)
    assert potentials.sum() == pytest.approx(-2.0)


def test_nothing_cheaper_leaves_the_start_alone():
    basis, amounts, potentials = exchange(
        np.eye(3), np.array([1.0, -2.0, 3.0]), np.array([0.2, 0.3, 0.5]), np.arange(3)
    )
    assert basis.tolist() == [0, 1, 2]
    assert amounts == pytest.approx([0.2, 0.3, 0.5])
    assert potentials == pytest.approx([1.0, -2.0, 3.0])


@pytest.mark.parametrize("size", [2, 3, 6])
@pytest.mark.parametrize("seed", range(8))
def test_same_cost_and_prices_as_the_library(size, seed):
    draw = np.random.default_rng(seed)
    columns = np.vstack([np.eye(size), draw.dirichlet(np.ones(size), 300)])
    energies = np.concatenate([np.zeros(size), draw.normal(0, 3000, 300)])
    mix = draw.dirichlet(np.ones(size))
    basis, amounts, potentials = exchange(columns, energies, mix, np.arange(size))
    known = linprog(energies, A_eq=columns.T, b_eq=mix, method="highs")
    assert energies[basis] @ amounts == pytest.approx(known.fun, rel=1e-9)
    assert amounts @ columns[basis] == pytest.approx(mix, abs=1e-12)
    assert amounts.min() >= 0
    assert (energies - columns @ potentials).min() > -1e-6
    assert potentials @ mix == pytest.approx(known.fun, rel=1e-9)


def test_equal_costs_on_a_lattice_do_not_go_round_in_circles():
    """A lattice with equal costs all over it and the mix one of its points: every exchange is a tie."""
    steps = np.arange(7)
    columns = np.array([(i, j, 6 - i - j) for i in steps for j in steps if i + j <= 6]) / 6
    columns = np.vstack([np.eye(3), columns])
    energies = -np.round((columns**2).sum(axis=1), 12)
    mix = np.array([2, 2, 2]) / 6
    basis, amounts, potentials = exchange(columns, np.concatenate([np.zeros(3), energies[3:]]), mix, np.arange(3))
    assert (energies[3:] - columns[3:] @ potentials).min() > -1e-6
    assert energies[3:].min() * amounts.sum() == pytest.approx(-1.0)  # the corners, at -1 each, make up any mix
    assert amounts @ columns[basis] == pytest.approx(mix, abs=1e-12)
