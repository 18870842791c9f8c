"""What moves the potentials of a melt of two anions: against melts in which it was moved, and a cache that keeps up."""

from dataclasses import replace

import numpy as np
import pytest

from thermo.equilibrium.system.ion_slopes import CHLORIDES, FLUORIDES, MeltAt
from thermo.equilibrium.system.two_anions import ReciprocalSystem

NAMES, X, T_K = ("MgCl2", "NaCl", "KCl", "CaF2"), np.array([0.2, 0.4, 0.35, 0.05]), 950.0


def test_exchange_energies_and_neighbours_move_the_potentials_as_told():
    """A wider difference, 200 J and 0.1 of Z: 1 % for its curvature."""
    system = ReciprocalSystem(NAMES)
    ions, T = system.ions(X[None, :]), np.array([T_K])
    melt = MeltAt(system.laws, ions, T_K)
    for cation in range(4):
        shift = 200.0 * np.eye(4)[cation][None, :]
        up, down = (system.laws.potentials(ions, T, way * shift)[0] for way in (1, -1))
        assert melt.by_exchange[cation] == pytest.approx((up - down) / 400, rel=0.01, abs=1e-4)
    up, down = (replace(system.laws, Z=system.laws.Z + way).potentials(ions, T)[0] for way in (0.1, -0.1))
    assert melt.by_neighbours == pytest.approx((up - down) / 0.2, rel=0.01, abs=1.0)


def test_one_cation_has_no_exchange():
    """Its pure salts are the reference: theta takes the energy up."""
    system = ReciprocalSystem(("NaF", "NaCl"))
    melt = MeltAt(system.laws, system.ions(np.array([[0.3, 0.7]])), T_K)
    assert melt.by_exchange == pytest.approx(np.zeros((1, 2)), abs=1e-6)


def test_an_excess_of_one_anion_obeys_gibbs_and_duhem():
    """An ideal sum of x_i times what a regular term at the local cations gives: the term's own excess energy."""
    system = ReciprocalSystem(("NaCl", "KCl", "KF"))
    ions = system.ions(np.array([[0.4, 0.3, 0.3]]))
    melt = MeltAt(system.laws, ions, T_K)
    whole = np.concatenate([ions.X[0] * share for share in (ions.fluoride[0], ions.chloride[0])])
    for side, share in ((FLUORIDES, melt.around.b[0]), (CHLORIDES, melt.around.rest[0])):
        a, b = melt.local[side]
        regular = np.array([b * b, a * a])  # of g = x_a x_b
        assert melt.of_melts([(side, regular)])[0] @ whole == pytest.approx(share * a * b, rel=1e-9)


def test_the_last_melt_asked_for_is_not_taken_for_another():
    system, fresh = ReciprocalSystem(NAMES), ReciprocalSystem(NAMES)
    weights, other = np.eye(8)[0], X[[1, 0, 2, 3]]
    for x, T in ((X, T_K), (other, T_K), (other, T_K + 50), (X, T_K)):
        kept = system.liquid_terms(x, weights, T)
        fresh._last = None
        assert kept == fresh.liquid_terms(x, weights, T)
    before = system.law_slopes(X, weights, T_K)[1]
    system.laws = replace(system.laws, Z=4.0)
    assert system.law_slopes(X, weights, T_K)[1] != before
