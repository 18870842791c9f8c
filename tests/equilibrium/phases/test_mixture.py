"""A phase of free composition: derivatives, the most stable composition by hand, one phase or two."""

import numpy as np
import pytest

from tests.made_up import made_up_system, pair_model, random_fractions
from thermo.equilibrium.phases.conserved import conserved
from thermo.equilibrium.phases.mixture import Mixture
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.records.units import R

PAIR = ("NaCl", "KCl")
TRIO = ("LiCl", "KCl", "MgCl2")
T = 950.0


def ideal_solution() -> Mixture:
    system = made_up_system(PAIR, pair_model(*PAIR, solid=((0.0, 0.0),)))
    return Mixture(conserved(system), system.solids[0])


def gap_solution(W: float) -> Mixture:
    system = made_up_system(PAIR, pair_model(*PAIR, solid=((W, 0.0),)))
    return Mixture(conserved(system), system.solids[0])


def test_the_melts_potentials_are_those_of_the_liquidus():
    x = random_fractions(5, 3)
    forces, _ = Melts(salt_system(TRIO), x).salt_forces(np.full(5, T), (0, 1, 2))
    assert Mixture(conserved(salt_system(TRIO)), None).potentials(x, T) == pytest.approx(forces, rel=1e-12)


def test_ideal_slopes_are_R_T_times_the_unit_matrix():
    _, slopes = ideal_solution().potentials_and_slopes(np.array([[0.3, 0.7], [1e-6, 1 - 1e-6]]), T)
    assert slopes == pytest.approx(np.broadcast_to(R * T * np.eye(2), (2, 2, 2)), abs=0.01 * R * T)


def test_slopes_obey_gibbs_and_duhem():
    """sum_i x_i dmu_i/dlnx_j = R T x_j, and x_i dmu_i/dlnx_j is symmetric, for a strongly interacting melt."""
    x = random_fractions(6, 3)
    _, slopes = Mixture(conserved(salt_system(TRIO)), None).potentials_and_slopes(x, T)
    assert np.einsum("ni,nij->nj", x, slopes) == pytest.approx(R * T * x, rel=1e-3)
    weighed = x[:, :, None] * slopes
    assert weighed == pytest.approx(weighed.transpose(0, 2, 1), rel=1e-3, abs=1.0)


def test_cheapest_ideal_composition_by_hand():
    """x_i proportional to exp(pi_i / R T), f = -R T ln sum exp(pi_i / R T)."""
    potentials = np.array([500.0, -3000.0])
    x, force = ideal_solution().most_stable(np.array([[0.5, 0.5], [0.99, 0.01]]), potentials, T)
    share = np.exp(potentials / (R * T))
    assert x == pytest.approx(np.broadcast_to(share / share.sum(), (2, 2)), abs=1e-5)
    assert force == pytest.approx([-R * T * np.log(share.sum())] * 2, rel=1e-9)


def test_at_the_cheapest_composition_every_potential_is_equally_far_from_its_price():
    mixture, potentials = Mixture(conserved(salt_system(TRIO)), None), np.array([-9000.0, -8000.0, -14000.0])
    x, force = mixture.most_stable(mixture.grid[[100, 250]], potentials, T)
    away = mixture.potentials(x, T) - potentials
    assert away == pytest.approx(np.broadcast_to(force[:, None], (2, 3)), abs=0.2)  # f is good to 1e-7, x to its root


def test_energy_slope_is_the_derivative():
    mixture, x = Mixture(conserved(salt_system(TRIO)), None), np.array([[0.2, 0.3, 0.5]])
    by_difference = (mixture.energies(x, T + 1) - mixture.energies(x, T - 1))[0] / 2
    assert mixture.energy_slope(x[0], T) == pytest.approx(by_difference, rel=1e-5)


def test_response_is_the_derivative_of_the_cheapest_composition():
    mixture, potentials = Mixture(conserved(salt_system(TRIO)), None), np.array([-9000.0, -8000.0, -14000.0])

    def most_stable(shift: np.ndarray) -> np.ndarray:
        x = np.array([[0.3, 0.4, 0.3]])
        for _ in range(12):
            x = mixture.step(x, potentials + shift, T)[0]
        return x[0]

    found = mixture.response(most_stable(np.zeros(3)), T)
    for j, unit in enumerate(np.eye(3)):
        by_difference = (most_stable(5 * unit) - most_stable(-5 * unit)) / 10
        assert found[:, j] == pytest.approx(by_difference, rel=5e-3, abs=1e-9)


def test_two_sides_of_a_gap_are_two_phases_and_one_side_is_one():
    """Regular solution with W = 3 R T: unstable between x = 0.21 and 0.79 (x (1 - x) = 1/6)."""
    mixture = gap_solution(3 * R * T)
    x = np.array([[0.05, 0.95], [0.1, 0.9], [0.95, 0.05]])
    assert mixture.split(x, mixture.energies(x, T), T) == [[0, 1], [2]]
    smooth = ideal_solution()
    assert smooth.split(x, smooth.energies(x, T), T) == [[0, 1, 2]]


def test_from_beside_a_balanced_side_only_the_other_side_is_tried():
    """Symmetric gap, W = 3 R T: both sides are most_stable at equal potentials, at x = 0.0707 (tanh equation)."""
    mixture = gap_solution(3 * R * T)
    x, force = mixture.most_stable(np.array([[0.1, 0.9]]), np.zeros(2), T)
    assert x[0, 0] == pytest.approx(0.0707, abs=1e-4)
    potentials = np.full(2, force[0])
    starts = np.array([[0.15, 0.85], [0.9, 0.1]])
    assert starts[mixture.over_a_hill([x[0]], starts, potentials, T)].tolist() == [[0.9, 0.1]]


def test_from_where_a_regular_melt_is_one_by_hand():
    """W of both salts: one melt above W / 2 R (of a pair, known); with an entropy part b above a / (2 R - b)."""
    for a, b in ((3 * R * 1200, 0.0), (30000.0, -4.0)):
        system = made_up_system(PAIR, pair_model(*PAIR, liquid=((a, b),)))
        melt = Mixture(conserved(system), None)
        assert melt.one_hollow_above_K == pytest.approx(a / (2 * R - b), rel=1e-6)


@pytest.mark.parametrize("names", [TRIO, ("LiCl", "NaCl", "KCl", "MgCl2"), ("LiF", "NaF", "KF"), ("CsCl", "ZnCl2")])
def test_above_it_the_energy_bends_up_at_random_melts(names):
    """5 % above, at 300 melts between the grid's: the smallest rise of the energy along any way is positive."""
    melt = Mixture(conserved(salt_system(names)), None)
    x = random_fractions(300, len(names))
    _, slopes = melt.potentials_and_slopes(x, 1.05 * max(melt.one_hollow_above_K, 400.0))
    size = np.sqrt(x)
    bent = size[:, :, None] * slopes / size[:, None, :]
    assert np.linalg.eigvalsh(0.5 * (bent + bent.transpose(0, 2, 1))).min() > 0


def test_a_start_above_a_low_hill_is_searched():
    """W = 2.5 R T: from one side of the gap the way to the other rises to 0.18 R T, a start there lies still higher."""
    mixture = gap_solution(2.5 * R * T)
    own = np.array([0.1448, 0.8552])  # where ln(y / (1 - y)) = 2.5 (2 y - 1)
    mu = mixture.potentials(own[None, :], T)[0]
    starts = np.array([[0.05, 0.95], [0.97, 0.03]])
    force = mixture.energies(starts, T) - starts @ mu
    halfway = mixture.energies(0.5 * (own + starts), T) - 0.5 * (own + starts) @ mu
    assert force[1] > 0
    assert list(mixture.over_a_hill([own], starts, mu, T)) == [False, True]
    assert halfway[0] < 0.5 * force[0]
