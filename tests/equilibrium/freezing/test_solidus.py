"""The solidus: by hand where a hand can do it, at invariants, and against an independent minimisation on random mixes.

FREEZING_MIXES=500 python -m pytest tests/test_freezing.py runs the independent check on 500 mixes instead of 60.
"""

import os

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.grid_minimum import disagreements
from tests.made_up import made_up_system, pair_model
from tests.random_mixes import random_mixes
from thermo.answers.melt import describe_melt
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.freezing.solidus import SEGREGATION, solidus
from thermo.equilibrium.invariants.lowest import lowest
from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.equilibrium.phases.balance import PhaseBalance, phase_balance
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.laws.gibbs import fusion_gibbs
from thermo.present.as_json.melt import melt_json
from thermo.present.command_line.text import melt_text
from thermo.records.composition import Composition, from_amounts
from thermo.records.fitted import pair_fits
from thermo.records.units import R

MIXES = int(os.environ.get("FREEZING_MIXES", "60"))
ALIKE_K = 2e-3  # two results each good to 1e-3 K


def eutectic(a: str, b: str):
    return next(point for point in pair_invariants(a, b) if point.kind == "eutectic")


@pytest.mark.parametrize("formula", ["NaCl", "SrCl2", "NdCl3", "CaF2"])
def test_one_salt_has_one_melting_point(formula):
    found, start = solidus(from_amounts({formula: 3})), liquidus(from_amounts({formula: 3}))
    assert (found.T_K, found.sigma_K, found.solids) == (start.T_K, start.sigma_K, (formula,))


def test_salts_that_are_not_there_change_nothing():
    with_none = solidus(from_amounts({"NaCl": 30, "KCl": 0, "CaCl2": 70}))
    assert with_none == solidus(from_amounts({"NaCl": 30, "CaCl2": 70}))


@pytest.mark.parametrize("pair", [("LiCl", "KCl"), ("NaCl", "CaCl2"), ("KCl", "MgCl2"), ("LiF", "KF")])
def test_a_eutectic_mix_is_solid_at_one_temperature(pair):
    point = eutectic(*pair)
    mix = Composition(pair, point.fractions)
    assert pytest.approx(point.T_K, abs=ALIKE_K) == solidus(mix).T_K
    assert liquidus(mix).T_K - solidus(mix).T_K < 0.01  # the invariant's x is found to 1e-7, a branch climbs 1e4 K


@pytest.mark.parametrize("percent", [1, 5, 20, 48, 60, 80, 95, 99])
def test_every_mix_of_a_simple_eutectic_pair_has_its_temperature_as_solidus(percent):
    found = solidus(from_amounts({"NaCl": 100 - percent, "CaCl2": percent}))
    point = eutectic("NaCl", "CaCl2")
    assert pytest.approx(point.T_K, abs=ALIKE_K) == found.T_K
    assert found.last_liquid == pytest.approx(point.fractions, abs=1e-5)
    assert set(found.solids) == {"NaCl", "CaCl2"}
    # sigma of the same meeting, weighed there by slopes of the branches (differences, ridge of 1e-4) and here by x
    assert found.sigma_K == pytest.approx(point.sigma_K, rel=0.01)


def test_sodium_potassium_chloride_half_and_half_freezes_within_five_degrees():
    """The minimum of the solid solution lies near: Sangster & Pelton 1987 give 50.6 mol% KCl."""
    mix = from_amounts({"NaCl": 50, "KCl": 50})
    found = solidus(mix)
    assert 0 <= liquidus(mix).T_K - found.T_K < 5
    assert found.solids == ("(Na,K)Cl",)


@pytest.mark.parametrize(
    ("amounts", "compound"), [({"KCl": 1, "MgCl2": 1}, "KMgCl3"), ({"KCl": 2, "MgCl2": 1}, "K2MgCl4")]
)
def test_a_congruent_compound_freezes_at_once_though_its_prices_are_not_unique(amounts, compound):
    mix = from_amounts(amounts)
    found = solidus(mix)
    assert found.solids == (compound,)
    assert pytest.approx(liquidus(mix).T_K, abs=ALIKE_K) == found.T_K
    assert found.last_liquid == pytest.approx(mix.fractions, abs=1e-6)


def test_a_little_beside_a_compound_the_eutectic_decides():
    mix = from_amounts({"KCl": 50.01, "MgCl2": 49.99})
    below = [p.T_K for p in pair_invariants("KCl", "MgCl2") if p.kind == "eutectic" and 0.34 < p.fractions[1] < 0.5]
    assert pytest.approx(below[0], abs=ALIKE_K) == solidus(mix).T_K


def test_two_compounds_that_make_up_a_ternary_mix_leave_a_liquid_they_can_make_up():
    """NaCl-KCl-MgCl2 2:1:2 is KMgCl3 + Na2MgCl4; the last liquid lies on the line between them."""
    found = solidus(from_amounts({"NaCl": 40, "KCl": 20, "MgCl2": 40}))
    assert set(found.solids) == {"KMgCl3", "Na2MgCl4"}
    x_Na, x_K, x_Mg = found.last_liquid
    assert x_Mg == pytest.approx(x_K + x_Na / 2, abs=1e-6)


def test_ideal_solid_solution_by_hand():
    """Lens: x_i = z_i exp(-dG_i / R T) with sum x_i = 1 at the solidus."""
    pair, z = ("NaCl", "KCl"), np.array([0.3, 0.7])
    system = made_up_system(pair, pair_model(*pair, solid=((0.0, 0.0),)))

    def surplus(T: float) -> float:
        return sum(z_i * np.exp(-fusion_gibbs(f, T) / (R * T)) for f, z_i in zip(pair, z, strict=True)) - 1

    by_hand = brentq(surplus, 900, 1200)
    found = solidus(Composition(pair, tuple(z)), system)
    assert pytest.approx(by_hand, abs=1e-3) == found.T_K
    x = [z_i * np.exp(-fusion_gibbs(f, by_hand) / (R * by_hand)) for f, z_i in zip(pair, z, strict=True)]
    assert found.last_liquid == pytest.approx(x, abs=1e-6)


def test_ideal_ternary_eutectic_by_hand():
    """Ideal melt over pure solids: x_i = exp(-dG_i / R T), sum x_i = 1, whatever the mix."""
    trio = ("LiCl", "CaCl2", "NdCl3")
    system = made_up_system(trio)

    def surplus(T: float) -> float:
        return sum(np.exp(-fusion_gibbs(f, T) / (R * T)) for f in trio) - 1

    by_hand = brentq(surplus, 400, 900)
    for z in ((0.2, 0.3, 0.5), (0.9, 0.05, 0.05)):
        assert pytest.approx(by_hand, abs=1e-3) == solidus(Composition(trio, z), system).T_K


def test_a_mix_at_the_lowest_melt_of_three_salts_freezes_there():
    point = lowest(("LiF", "NaF", "KF"))
    found = solidus(Composition(point.salts, point.fractions))
    assert pytest.approx(point.T_K, abs=0.05) == found.T_K  # the minimum is sought to 1e-8 of its scale, 1000 K, in x
    assert found.last_liquid == pytest.approx(point.fractions, abs=1e-3)


def test_order_of_the_salts_does_not_matter():
    one = solidus(from_amounts({"NaCl": 30, "KCl": 30, "CaCl2": 40}))
    other = solidus(from_amounts({"CaCl2": 40, "KCl": 30, "NaCl": 30}))
    assert pytest.approx(other.T_K, abs=ALIKE_K) == one.T_K
    assert one.last_liquid == pytest.approx(other.last_liquid[::-1], abs=1e-5)
    assert set(one.solids) == set(other.solids)


def test_where_double_salts_are_missing_nothing_is_invented():
    """CsCl-CaCl2 has Cs3Ca2Cl7 too, of which no energy is on file; CsCl-ZnCl2 stays liquid for want of such data."""
    found = solidus(from_amounts({"CsCl": 60, "CaCl2": 40}))
    assert any(note.startswith("left out for want of data") and "Cs3Ca2Cl7" in note for note in found.notes)
    assert "Cs3Ca2Cl7" not in {getattr(solid, "name", "") for solid in phase_balance(("CsCl", "CaCl2")).system.solids}
    found = solidus(from_amounts({"CsCl": 50, "ZnCl2": 50}))
    assert (found.T_K, found.sigma_K, found.solids, found.last_liquid) == (None, None, (), ())
    assert found.notes[0].startswith("no solidus")


def test_where_liquid_comes_back_on_cooling_there_is_no_solidus():
    """Wholly solid at 31 deg C by the laws, 1 % liquid at -13: they are used beyond their span."""
    mix = from_amounts({"ZnCl2": 8.057, "RbCl": 38.251, "CaCl2": 23.143, "CsCl": 30.549})
    system = SaltSystem(mix.salts, pair_fits(), preference=0.25, terms={})
    phases = PhaseBalance(system)
    assert phases.at(phases.mix(mix), 304.3).liquid is None
    assert phases.at(phases.mix(mix), 260.0).liquid.amount > 0.01
    found = solidus(mix, system)
    assert (found.T_K, found.solids) == (None, ())


def test_the_lever_rule_is_said_plainly():
    assert SEGREGATION in solidus(from_amounts({"NaCl": 30, "CaCl2": 70})).notes


@pytest.mark.slow
def test_random_mixes_agree_with_an_independent_minimisation():
    """Liquid half a degree above the solidus, none half a degree below, and the same energy, for every mix."""
    disagree, unknown = [], 0
    for mix in random_mixes(MIXES, seed=1):
        end = solidus(mix).T_K
        unknown += end is None
        disagree += disagreements(mix, end)
    assert disagree == []
    assert unknown < MIXES / 3  # the check must have something to check


STRANGERS = [
    {"LiCl": 80, "MgCl2": 20},
    {"LiCl": 45, "MgCl2": 55},
    {"LiCl": 60, "CaCl2": 40},
    {"MgCl2": 30, "CaCl2": 70},
    {"LiF": 95, "MgF2": 5},
    {"LiCl": 50, "NaCl": 20, "MgCl2": 30},
    {"LiCl": 50, "MgCl2": 25, "CaCl2": 25},
    {"LiCl": 30, "CaCl2": 40, "SrCl2": 30},
]


@pytest.mark.parametrize("amounts", STRANGERS, ids="-".join)
def test_mixes_of_two_kinds_of_crystal_agree_with_an_independent_minimisation(amounts):
    mix = from_amounts(amounts)
    assert disagreements(mix, solidus(mix).T_K) == []
    names = solidus(mix).solids
    assert len(names) == len(set(names))


def test_the_answer_about_a_melt_carries_it():
    answer = describe_melt(from_amounts({"NaCl": 30, "CaCl2": 70}), "Na", 700.0)
    found, point = melt_json(answer), eutectic("NaCl", "CaCl2")
    assert found["solidus"]["T_C"] == pytest.approx(point.T_K - 273.15, abs=0.01)
    assert set(found["solidus"]["solids"]) == {"NaCl", "CaCl2"}
    assert f"all solid below   {point.T_K - 273.15:.0f} +- {point.sigma_K:.0f} deg C" in melt_text(found)
    assert any("wholly frozen" in note for note in found["notes"])


def test_an_unknown_solidus_is_null_and_said_so():
    mix = from_amounts({"CsCl": 50, "ZnCl2": 50})
    found = melt_json(describe_melt(mix))
    assert found["solidus"] == {"T_C": None, "sigma_K": None, "solids": []}
    assert "all solid below   unknown" in melt_text(found)
