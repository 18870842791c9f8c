"""How far the law of pairs strays: which rows take part, names of solids, spreads by hand, the constants in use."""

from dataclasses import replace

import numpy as np
import pytest

from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.two_anions import NEIGHBOURS_SIGMA, EXCHANGE_SIGMA_J_mol
from thermo.fitting.two_anion_error import (
    NamedMelt,
    Residual,
    chosen,
    covered,
    covered_without_each,
    mean_square_root,
    measured,
    named_melts,
    residuals,
    solid_called,
    system_of,
    with_spreads,
)
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.two_anions import NEIGHBOURS
from thermo.records.provenance import Origin
from thermo.records.reference import Reference
from thermo.records.substances import salt
from thermo.records.units import NINETY

MADE_UP = Reference("made up", "", Origin.MEASURED, "", "no", "")


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
    melt = NamedMelt(("NaCl", "MgF2"), (0.9, 0.1), 0.01, 1000.0, 3.0, "eutectic", ("MgF2",), MADE_UP)
    one = Residual(melt, "MgF2", 500.0, -50.0, 300.0, (100.0, 200.0), (0.5, 1.0), 4000.0, 600.0)
    parts = [300.0, 100.0, 200.0, 0.5 * 2000, 1.0 * 2000, 0.25 * 4000, 50 * 3, 600.0]
    assert one.spread(2000.0, 0.25) == pytest.approx(np.sqrt(np.sum(np.square(parts))))
    assert covered([one], 2000.0, 0.25) == pytest.approx(500 / one.spread(2000.0, 0.25))


def test_a_system_counts_once():
    melt = NamedMelt(("NaCl", "MgF2"), (0.9, 0.1), 0.01, 1000.0, 3.0, "eutectic", (), MADE_UP)
    other = NamedMelt(("LiF", "KCl"), (0.2, 0.8), 0.01, 1000.0, 3.0, "eutectic", (), MADE_UP)
    found = [Residual(melt, "MgF2", 3.0, -1.0), *[Residual(other, "LiF", 1.0, -1.0)] * 9]
    assert mean_square_root(found) == pytest.approx(np.sqrt((9 + 1) / 2))
    assert mean_square_root(found, "Na,Mg") == pytest.approx(1.0)


def test_the_neighbours_in_use_are_the_choice():
    """On steps of 0.05 it is the least or its neighbour (fits move), no system left out moves it by more than 0.2."""
    best, without = chosen([3.0, *(3.1 + 0.05 * n for n in range(9)), 3.75])
    assert best == pytest.approx(NEIGHBOURS, abs=0.051)
    assert max(abs(Z - NEIGHBOURS) for Z in without.values()) < 0.2


def test_the_spread_in_use_is_the_least_that_covers_whichever_system_is_left_out():
    found = measured(with_spreads(residuals()))
    assert {one.melt.system for one in found}.isdisjoint({"Mg,La", "Mg,Ce", "Mg,Nd"})
    used, less = (covered_without_each(found, EXCHANGE_SIGMA_J_mol - step, NEIGHBOURS_SIGMA) for step in (0, 250))
    assert max(used.values()) < NINETY < max(less.values())


def test_what_is_left_out_is_not_moved_by_its_own_melt():
    """NdCl3-MgF2 moves its estimated pairs: left out it is as far off as before, as fitted it is met."""
    melt = next(m for m in named_melts() if m.salts == ("NdCl3", "MgF2"))
    left, fitted = ({r.solid: r.D for r in residuals(melts=[melt], left_out=way)} for way in (True, False))
    assert left["MgF2"] > 4000 > 4 * fitted["MgF2"] > 0
    other = next(m for m in named_melts() if m.salts == ("NaCl", "MgF2"))
    left, fitted = ([r.D for r in residuals(melts=[other], left_out=way)] for way in (True, False))
    assert left == fitted


def test_a_published_place_counts_as_one_of_several_fractions_off():
    """Against a shift of the published composition itself, by differences of 0.1 mol%; 2 % for the curve."""
    melt = next(m for m in named_melts() if m.salts == ("NaCl", "MgF2"))
    one = next(r for r in with_spreads(residuals(melts=[melt])) if r.solid == "MgF2")
    more, less = (
        residuals(melts=[replace(melt, fractions=(1 - x, x))])[1].D
        for x in (melt.fractions[1] + s for s in (1e-3, -1e-3))
    )
    assert melt.x_sigma == 0.005
    assert one.by_place == pytest.approx(abs(more - less) / 2e-3 * 0.005, rel=0.02)
    along = next(m for m in named_melts() if m.kind == "liquidus")
    assert with_spreads(residuals(melts=[along]))[0].by_place == 0.0


def test_slopes_of_the_law_are_what_a_change_of_it_does():
    """dD/dE and dD/dZ against systems with the energy or Z changed."""
    melt = next(m for m in named_melts() if m.salts == ("NaCl", "MgF2"))
    one = next(r for r in with_spreads(residuals(melts=[melt])) if r.solid == "MgF2")
    more, less = (residuals(Z, [melt])[1].D for Z in (NEIGHBOURS + 0.05, NEIGHBOURS - 0.05))
    assert one.by_Z == pytest.approx((more - less) / 0.1, rel=0.01)
    assert system_of(melt.salts, 4.0).laws.Z == 4.0
