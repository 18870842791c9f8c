"""The phases of a mix: amounts close, nothing is more stable, lever rule by hand, limits far above and far below."""

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.grid_minimum import GridMinimum
from tests.made_up import made_up_system, pair_model
from tests.random_mixes import random_mixes, reciprocal_mixes
from thermo.equilibrium.phases.balance import PhaseBalance, phase_balance
from thermo.equilibrium.phases.part import Balance
from thermo.equilibrium.system.driving_force import liquidus_field
from thermo.laws.solid_solution import SolutionSolid
from thermo.records.composition import from_amounts
from thermo.records.units import R

MIXES = random_mixes(40, seed=7)


def held(balance: Balance) -> np.ndarray:
    """Moles of every salt in all phases together."""
    return sum(phase.amount * phase.composition for phase in balance.phases)


@pytest.mark.parametrize("mix", MIXES, ids=lambda mix: "-".join(mix.salts))
def test_amounts_are_conserved_and_nothing_is_cheaper(mix):
    phases = phase_balance(mix.salts)
    top = float(liquidus_field(mix.salts, mix.array[None, :]).T_K[0])
    for T in (top + 20, top - 15, 0.85 * top, 0.7 * top):
        balance = phases.at(mix.array, T)
        assert held(balance) == pytest.approx(mix.array, abs=1e-9)
        assert all(phase.amount > 0 for phase in balance.phases)
        assert len(balance.phases) <= len(mix.salts)
        for (
            mixture
        ) in phases.mixtures:  # the grid costs at least its potential, and so does what can be reached from it
            gains = mixture.grid_energies(T) - mixture.spread(mixture.grid) @ balance.potentials
            starts = mixture.starts(gains, [], T, np.inf)
            assert mixture.most_stable(starts, balance.potentials, T)[1].min() > -1e-4
            assert gains.min() > -1e-4


@pytest.mark.parametrize("mix", MIXES[:12], ids=lambda mix: "-".join(mix.salts))
def test_every_phase_is_at_the_same_potentials(mix):
    phases = phase_balance(mix.salts)
    top = float(liquidus_field(mix.salts, mix.array[None, :]).T_K[0])
    balance = phases.at(mix.array, top - 40)
    for phase in balance.phases:
        mixture = next((m for m in phases.mixtures if m.solid is phase.solid), None)
        if mixture is not None:
            x = phase.composition[mixture.indices]
            at_least = x > 1e-12
            away = mixture.potentials(x[None, :], top - 40)[0] - balance.potentials[mixture.indices]
            assert away[at_least] == pytest.approx(np.zeros(at_least.sum()), abs=0.01)


def test_lever_rule_by_hand():
    """NaCl-CaCl2 30/70 between liquidus and eutectic: CaCl2 with the melt whose liquidus is the temperature."""
    T, z = 820.0, 0.7

    def missing(x: float) -> float:
        return float(liquidus_field(("NaCl", "CaCl2"), np.array([[1 - x, x]])).T_K[0]) - T

    x = brentq(missing, 0.53, 0.9)
    balance = phase_balance(("NaCl", "CaCl2")).at(np.array([1 - z, z]), T)
    assert balance.liquid.composition[1] == pytest.approx(x, abs=1e-6)
    assert balance.liquid.amount == pytest.approx((1 - z) / (1 - x), abs=1e-6)
    assert [phase.solid.name for phase in balance.solids] == ["CaCl2"]


def test_regular_gap_by_hand():
    """W = 3 R T at 600 K, solids only: sides at 0.0707 and 0.9293 of a half and half mix, half each."""
    pair, T = ("NaCl", "KCl"), 600.0
    system = made_up_system(pair, pair_model(*pair, solid=((3 * R * T, 0.0),)))
    balance = PhaseBalance(system).at(np.array([0.5, 0.5]), T)
    assert sorted(phase.composition[0] for phase in balance.solids) == pytest.approx([0.0707, 0.9293], abs=1e-4)
    assert [phase.amount for phase in balance.solids] == pytest.approx([0.5, 0.5], abs=1e-9)


def test_above_the_liquidus_all_is_liquid_and_the_prices_are_its_potentials():
    x = np.array([0.3, 0.3, 0.4])
    phases = phase_balance(("NaCl", "KCl", "CaCl2"))
    balance = phases.at(x, 1000.0)
    assert balance.solids == ()
    assert balance.liquid.amount == pytest.approx(1.0, abs=1e-12)
    assert balance.potentials == pytest.approx(phases.liquid.potentials(x[None, :], 1000.0)[0], abs=1e-3)


def test_a_liquid_that_repels_itself_splits_in_two():
    pair, T = ("NaCl", "KCl"), 1200.0
    system = made_up_system(pair, pair_model(*pair, liquid=((3 * R * T, 0.0),)))
    balance = PhaseBalance(system).at(np.array([0.4, 0.6]), T)
    assert len(balance.phases) == 2
    assert balance.solids == ()
    assert balance.liquid.composition == pytest.approx([0.4, 0.6], abs=1e-9)  # both together


def test_without_liquid_the_solids_alone():
    balance = phase_balance(("NaCl", "CaCl2")).at(np.array([0.3, 0.7]), 1200.0, liquid=False)
    assert balance.liquid is None
    assert {phase.solid.name: phase.amount for phase in balance.solids} == pytest.approx({"NaCl": 0.3, "CaCl2": 0.7})


def test_one_salt_alone():
    phases = phase_balance(("NaCl",))
    assert phases.at(np.array([1.0]), 1080.0).solids == ()
    assert phases.at(np.array([1.0]), 1070.0).liquid is None


def test_free_directions_of_the_solids():
    """KMgCl3 and NaCl cannot make up a mix of NaCl, KCl, MgCl2 with unequal KCl and MgCl2: one direction is left."""
    phases = phase_balance(("NaCl", "KCl", "MgCl2"))
    mix = np.array([0.4, 0.2, 0.4])
    solids = phases.at(mix, 600.0, liquid=False).solids
    left = phases.unspanned(solids)
    assert left.shape == (1, 3)
    for phase in solids:
        if not isinstance(phase.solid, SolutionSolid):
            assert left @ phase.composition == pytest.approx([0.0], abs=1e-9)


OF_COMPOUNDS = [  # (K,Na)MgF3 beside a salt, three members at once, beside chlorides
    ({"NaF": 40, "KF": 20, "MgF2": 40}, (1100, 1020, 900), "MgF3"),
    ({"NaF": 30, "KF": 30, "RbF": 15, "MgF2": 25}, (1000, 900), "MgF3"),
    ({"NaF": 30, "KF": 10, "MgF2": 30, "KCl": 20, "NaCl": 10}, (1100, 900), "MgF3"),
]


@pytest.mark.parametrize(("amounts", "temperatures", "name"), OF_COMPOUNDS, ids=["three", "four", "two anions"])
def test_a_solution_of_double_salts_is_balanced_as_the_grid_finds(amounts, temperatures, name):
    mix = from_amounts(amounts)
    phases, grid = phase_balance(mix.salts), GridMinimum(mix.salts)
    held = phases.mix(mix)
    for T in temperatures:
        balance = phases.at(held, float(T))
        kinds = [p.solid.label(p.own) for p in balance.solids]
        assert any(kind.startswith("(") and kind.endswith(name) for kind in kinds), kinds
        assert sum(p.amount * p.composition for p in balance.phases) == pytest.approx(held, abs=1e-9)
        own = grid.energy(balance, phases)
        best, _ = grid.minimum(mix, float(T), seeds=grid.clouds_of(balance, phases))
        assert own == pytest.approx(best, abs=1e-3)  # the balance is exact, the grid a millionth of R T above it


FOLLOWED = [*random_mixes(12, seed=23), *reciprocal_mixes(6, seed=23, largest=4)]


@pytest.mark.parametrize("mix", FOLLOWED, ids=lambda mix: "-".join(mix.salts))
def test_from_a_neighbour_the_same_balance_as_from_nothing(mix):
    """Downwards in strides of 25 K, so that phases come and go in between: the same energy, phases and amounts.

    Energies to 1e-5 J, ten times what TOLERANCE leaves of one phase; where they are that alike, amounts to 1e-6.
    """
    phases = phase_balance(mix.salts)
    held_there, near = phases.mix(mix), ()
    top = float(liquidus_field(mix.salts, mix.array[None, :]).T_K[0])
    for T in np.arange(top + 5, 0.7 * top, -25.0).tolist():
        alone, followed = phases.at(held_there, T), phases.at(held_there, T, near=near)
        near = (followed,)
        assert followed.potentials @ held_there <= alone.potentials @ held_there + 1e-5
        assert held(followed) == pytest.approx(held_there, abs=1e-9)
        amounts = [sorted((id(p.solid), p.amount) for p in b.phases) for b in (alone, followed)]
        assert [kind for kind, _ in amounts[0]] == [kind for kind, _ in amounts[1]]
        assert [n for _, n in amounts[0]] == pytest.approx([n for _, n in amounts[1]], abs=1e-6)


def test_where_a_phase_comes_into_balance_by_a_tangent():
    """NaCl-CaCl2 30/70: beside the melt alone CaCl2 forms at the liquidus, told from 2 K above to 0.02 K."""
    phases, mix = phase_balance(("NaCl", "CaCl2")), np.array([0.3, 0.7])
    top = float(liquidus_field(("NaCl", "CaCl2"), mix[None, :]).T_K[0])
    melt, (solid,) = phases.at(mix, top + 2), phases.at(mix, top - 5).solids
    assert phases.forms_K(solid, melt, mix) == pytest.approx(top, abs=0.02)


def test_a_melt_behind_a_hill_lower_than_where_the_search_starts_is_found():
    """ZnCl2 and NaCl: beside the melt rich in ZnCl2 one with as much NaCl lies 210 J/mol lower, 0.8 away.

    The grid's lowest point over there stands above the hill between them. Against the minimum of finer and finer grids.
    """
    amounts = {"ZnCl2": 9.54, "BaCl2": 1.85, "LaCl3": 57.6, "SrCl2": 5.67, "NaCl": 9.01, "MgCl2": 16.31}
    mix, T = from_amounts(amounts), 500.427
    phases, grid = phase_balance(mix.salts), GridMinimum(mix.salts)
    balance = phases.at(phases.mix(mix), T)
    assert balance.liquid.amount == pytest.approx(0.2265, abs=0.002)  # it was 0.074
    assert grid.energy(balance, phases) <= grid.minimum(mix, T)[0] + 1e-3


def test_how_potentials_rise_beside_given_phases():
    """By balances half a degree apart, whose differences are good to 1e-4 of the slope."""
    phases, mix = phase_balance(("NaCl", "KCl", "CaCl2")), np.array([0.3, 0.3, 0.4])
    for T in (800.0, 1000.0):
        balance, warm, cold = (phases.at(mix, T + step) for step in (0.0, 0.25, -0.25))
        assert [p.solid for p in warm.phases] == [p.solid for p in cold.phases]
        slopes = (warm.potentials - cold.potentials) / 0.5
        assert phases.rise(balance, mix) == pytest.approx(slopes, rel=1e-3, abs=1e-3)
