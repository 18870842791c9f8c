"""Driving forces of all solids at one melt: against the solvers' own, and their slopes against differences."""

import numpy as np
import pytest

from thermo.equilibrium.invariants.forces import Forces, all_sides, full_fractions
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.laws.gibbs import fusion_gibbs

SYSTEMS = [("LiCl", "KCl", "CaCl2"), ("LiCl", "NaCl", "KCl"), ("NaF", "AlF3", "CaF2"), ("LiF", "NaCl", "KCl")]


@pytest.mark.parametrize("salts", SYSTEMS, ids="-".join)
def test_forces_are_those_of_the_liquidus(salts):
    """A solid's own temperature of balance is where its force is zero."""
    system = salt_system(salts)
    melts, forces = Melts(system, np.array([[0.5, 0.3, 0.2]])), Forces(salt_system(salts))
    for n, (solid, near) in enumerate(forces.sides):
        T_K = float(melts.solid_temperature(solid, near)[0][0])
        if T_K > 400:
            D, by_T = forces.at(melts, T_K)
            assert D[n] / by_T[n] == pytest.approx(0, abs=0.02), solid


@pytest.mark.parametrize("salts", SYSTEMS, ids="-".join)
def test_slopes_are_differences_of_the_forces(salts):
    forces, v = Forces(salt_system(salts)), np.array([0.45, 0.35, 0.9])
    _, slopes = forces(v)
    for k, step in enumerate(np.diag([1e-5, 1e-5, 1e-5])):
        above, below = (forces(v + way * step)[0] for way in (1, -1))
        assert slopes[:, k] == pytest.approx((above - below) / 2e-5, rel=1e-3, abs=1e-3 * np.abs(slopes).max())


def test_a_pure_salt_has_its_energy_of_fusion():
    forces = Forces(salt_system(("NaCl",)))
    D, _ = forces.at(Melts(forces.system, np.array([[1.0]])), 1000.0)
    assert D[0] == pytest.approx(fusion_gibbs("NaCl", 1000.0), rel=1e-9)


def test_a_solution_has_a_side_for_each_salt_whose_crystal_it_is():
    sides = all_sides(salt_system(("LiCl", "NaCl", "MgCl2")))
    assert sum(near is not None for _, near in sides) == 2  # MgCl2 is a stranger in rock salt
    assert full_fractions(np.array([[0.2, 0.3]]))[0] == pytest.approx([0.2, 0.3, 0.5])
