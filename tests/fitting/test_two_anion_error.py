"""How far the law of pairs strays: which rows take part, names of solids, spreads by hand, the constants in use."""

import numpy as np
import pytest

from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.two_anions import NEIGHBOURS_SIGMA, EXCHANGE_SIGMA_J_mol
from thermo.fitting.two_anion_error import (
    AT_SIGMAS,
    NamedMelt,
    Residual,
    chosen,
    covered,
    mean_square_root,
    named_melts,
    residuals,
    solid_called,
    system_of,
    with_spreads,
)
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.two_anions import NEIGHBOURS
from thermo.records.substances import salt


def test_only_melts_of_two_anions_and_several_cations_take_part():
    melts = named_melts()
    assert len(melts) >= 28
    for melt in melts:
        assert len({salt(f).anion for f in melt.salts}) == 2
        assert len({salt(f).cation for f in melt.salts}) > 1
        assert sum(melt.fractions) == pytest.approx(1.0)
    assert {"Na,Mg", "Li,K", "Li,Na,K"} <= {melt.system for melt in melts}


def test_names_of_solids():
    system = salt_system(("LiF", "NaCl", "KCl"))
    solution, near = solid_called(system, "(Na,K)Cl")
    assert isinstance(solution, SolutionSolid)
    assert near is None
    assert {"NaCl", "KCl"} <= set(solution.formulas)
    side, member = solid_called(system, "KCl")
    assert side is solution
    assert side.formulas[member] == "KCl"
    assert solid_called(salt_system(("CaF2", "CaCl2", "LiCl")), "CaFCl")[0].name == "CaFCl"
    assert solid_called(system, "MgO") is None


def test_spread_by_hand():
    melt = NamedMelt(("NaCl", "MgF2"), (0.9, 0.1), 1000.0, 3.0, "eutectic", ("MgF2",), "made up")
    one = Residual(melt, "MgF2", 500.0, -50.0, 300.0, (100.0, 200.0), (0.5, 1.0), 4000.0)
    parts = [300.0, 100.0, 200.0, 0.5 * 2000, 1.0 * 2000, 0.25 * 4000, 50 * 3]
    assert one.spread(2000.0, 0.25) == pytest.approx(np.sqrt(np.sum(np.square(parts))))
    assert covered([one], 2000.0, 0.25) == pytest.approx(500 / one.spread(2000.0, 0.25))


def test_a_system_counts_once():
    melt = NamedMelt(("NaCl", "MgF2"), (0.9, 0.1), 1000.0, 3.0, "eutectic", (), "made up")
    other = NamedMelt(("LiF", "KCl"), (0.2, 0.8), 1000.0, 3.0, "eutectic", (), "made up")
    found = [Residual(melt, "MgF2", 3.0, -1.0), *[Residual(other, "LiF", 1.0, -1.0)] * 9]
    assert mean_square_root(found) == pytest.approx(np.sqrt((9 + 1) / 2))
    assert mean_square_root(found, "Na,Mg") == pytest.approx(1.0)


def test_the_neighbours_in_use_are_the_choice():
    """On steps of 0.05 it is the least or its neighbour (fits move), no system left out moves it by more than 0.2."""
    best, without = chosen([3.0, *(3.1 + 0.05 * n for n in range(9)), 3.75])
    assert best == pytest.approx(NEIGHBOURS, abs=0.051)
    assert max(abs(Z - NEIGHBOURS) for Z in without.values()) < 0.2


def test_the_spread_in_use_covers_what_it_says():
    """90 % within 1.645 standard deviations: the nearest step of 250 J a charge is 0.06 away."""
    ratio = covered(with_spreads(residuals()), EXCHANGE_SIGMA_J_mol, NEIGHBOURS_SIGMA)
    assert ratio == pytest.approx(AT_SIGMAS, abs=0.06)


def test_slopes_of_the_law_are_what_a_change_of_it_does():
    """dD/dE and dD/dZ against systems with the energy or Z changed."""
    melt = next(m for m in named_melts() if m.salts == ("NaCl", "MgF2"))
    one = next(r for r in with_spreads(residuals(melts=[melt])) if r.solid == "MgF2")
    more, less = (residuals(Z, [melt])[1].D for Z in (NEIGHBOURS + 0.05, NEIGHBOURS - 0.05))
    assert one.by_Z == pytest.approx((more - less) / 0.1, rel=0.01)
    assert system_of(melt.salts, 4.0).laws.Z == 4.0
