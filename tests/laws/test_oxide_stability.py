"""Oxides against metals: formulas, the balance of oxygen, order, verdicts and refusals."""

import itertools
from statistics import NormalDist

import numpy as np
import pytest

from thermo.laws.oxide_stability import (
    VERDICTS,
    exchange,
    oxide_gibbs,
    oxide_of,
    oxide_sigma,
    oxides,
    verdict_of,
)
from thermo.laws.reactants import reaction_gibbs
from thermo.records.composition import formula_mass
from thermo.records.provenance import InputError, RangeError, sources
from thermo.records.substances import metals


@pytest.mark.parametrize("oxide", oxides().values(), ids=lambda oxide: oxide.formula)
def test_formula_is_counted_right(oxide):
    mass = oxide.metal_count * formula_mass(oxide.metal) + oxide.oxygen_count * formula_mass("O")
    assert formula_mass(oxide.formula) == pytest.approx(mass)


def test_steam_and_hydroxides_are_not_oxides():
    assert not {"H2O", "O2", "LiOH", "LaOCl"} & set(oxides())


def test_exchange_is_the_reaction_it_names():
    # 3 Mg + Al2O3 -> 3 MgO + 2 Al, per mole of O a third of it
    T = 1000.0
    reaction = reaction_gibbs({"Mg": -3, "Al2O3": -1, "MgO": 3, "Al": 2}, T)
    assert exchange("Mg", "Al2O3", T).difference_J_mol == pytest.approx(reaction / 3, rel=1e-9)


@pytest.mark.parametrize(("a", "b"), list(itertools.combinations(["Li", "Mg", "Ca", "Sr", "Ba", "Al", "Zn", "Nd"], 2)))
def test_exchange_reverses(a, b):
    forward, back = exchange(a, oxide_of(b).formula, 1100.0), exchange(b, oxide_of(a).formula, 1100.0)
    assert forward.difference_J_mol == pytest.approx(-back.difference_J_mol)
    assert forward.p_reduces + back.p_reduces == pytest.approx(1)


def test_chance_is_that_of_the_spread():
    found = exchange("Sr", "MgO", 1073.15)
    assert found.sigma_J_mol == pytest.approx(np.hypot(oxide_sigma("SrO"), oxide_sigma("MgO")))
    assert found.p_reduces == pytest.approx(NormalDist().cdf(-found.difference_J_mol / found.sigma_J_mol))
    assert found.verdict == "too close to call"


@pytest.mark.parametrize(
    ("p", "verdict"),
    [
        (0.99, 0),
        (0.951, 0),
        (0.949, 1),
        (0.9, 1),
        (0.801, 1),
        (0.799, 2),
        (0.5, 2),
        (0.201, 2),
        (0.199, 3),
        (0.1, 3),
        (0.051, 3),
        (0.049, 4),
        (0.01, 4),
    ],
)
def test_verdicts(p, verdict):
    assert verdict_of(p) == VERDICTS[verdict]


@pytest.mark.parametrize("symbol", sorted(metals()))
def test_own_oxide_stands(symbol):
    own = oxide_of(symbol)
    if own is None:
        assert symbol in ("Rb", "Cs")
        assert exchange(symbol, "MgO", 1000.0) is None
    else:
        found = exchange(symbol, own.formula, 1000.0)
        assert (found.verdict, found.difference_J_mol) == ("stands", 0)
        assert set(found.sources) <= set(sources())


def test_oxides_lose_hold_on_heating():
    T = np.array([600.0, 900.0, 1200.0, 1500.0])
    for formula in oxides():
        assert (np.diff(oxide_gibbs(formula, T)) > 0).all(), formula  # oxygen gas is used up: entropy falls


def test_refusals():
    with pytest.raises(InputError, match="MgO"):
        oxide_gibbs("Mg0", 1000.0)
    with pytest.raises(InputError, match="metal"):
        exchange("Xx", "MgO", 1000.0)
    with pytest.raises(RangeError):
        oxide_gibbs("MgO", 2500.0)
