"""The coldest melt near one: against the invariants of pairs, a brute search, and the box it may not leave."""

import numpy as np
import pytest

from thermo.equilibrium.invariants.coldest_near import WITHIN, coldest_near, coldest_sigma
from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts

MELTS = [
    (("LiCl", "KCl", "MgCl2"), (0.55, 0.40, 0.05)),
    (("NaCl", "KCl", "MgCl2"), (0.30, 0.20, 0.50)),
    (("LiF", "NaF", "KF"), (0.465, 0.115, 0.42)),
    (("LiCl", "SrCl2", "BaCl2"), (0.584, 0.258, 0.158)),
]


def liquidus_K(system, x):
    return Melts(system, np.atleast_2d(x)).liquidus()[0]


def test_beside_the_eutectic_of_a_pair_it_is_the_eutectic():
    (eutectic,) = [point for point in pair_invariants("LiCl", "KCl") if point.kind == "eutectic"]
    system = salt_system(("LiCl", "KCl"))
    found = coldest_near(system, np.array([eutectic.fractions[0] + 0.02, eutectic.fractions[1] - 0.02]))
    assert pytest.approx(eutectic.T_K, abs=0.05) == found.T_K
    assert found.x == pytest.approx(eutectic.fractions, abs=1e-3)
    assert coldest_sigma(system, found) == pytest.approx(eutectic.sigma_K, rel=0.05)


@pytest.mark.parametrize(("salts", "x"), MELTS, ids=lambda value: "-".join(map(str, value)))
def test_no_melt_of_the_box_is_colder(salts, x):
    """441 melts of the box at 0.3 mol%, none of them below what was found by more than half a kelvin."""
    system, x = salt_system(salts), np.array(x)
    found = coldest_near(system, x)
    assert np.abs(found.x - x).max() <= WITHIN + 1e-9
    assert found.x.sum() == pytest.approx(1)
    assert pytest.approx(liquidus_K(system, found.x)[0], abs=0.1) == found.T_K
    steps = np.linspace(-WITHIN, WITHIN, 21)
    shift = np.array([(a, b, -a - b) for a in steps for b in steps if abs(a + b) <= WITHIN])
    grid = x + shift
    grid = grid[(grid > 0).all(axis=1)]
    assert len(grid) > 200
    assert liquidus_K(system, grid).min() + 0.5 > found.T_K


def test_on_a_slope_it_lies_at_the_edge_of_the_box():
    system, x = salt_system(("NaCl", "CaCl2")), np.array([0.9, 0.1])
    found = coldest_near(system, x)
    assert found.x[0] == pytest.approx(0.87, abs=1e-6)
    assert liquidus_K(system, x)[0] > found.T_K


def test_a_trace_is_not_made_more_than_twice_itself():
    """RbCl-MgCl2 falls by 15 K a mol%: who weighed 0.2 mol% of it did not mean 3, and at nothing the reading is T."""
    system = salt_system(("RbCl", "MgCl2"))
    found = coldest_near(system, np.array([0.998, 0.002]))
    assert found.x[1] == pytest.approx(0.004, abs=1e-6)
    trace = np.array([1 - 1e-9, 1e-9])
    assert pytest.approx(liquidus_K(system, trace)[0], abs=0.01) == coldest_near(system, trace).T_K
