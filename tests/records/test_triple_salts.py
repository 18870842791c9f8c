"""Compounds of three salts as data/ describes them: formulas add up, generated energies belong to them."""

import periodictable
import pytest

from thermo.records.substances import salts
from thermo.records.triple_salts import triple_energies, triple_salts

KNOWN = triple_salts()


@pytest.mark.parametrize("formula", KNOWN)
def test_the_salts_add_up_to_the_compound(formula):
    counts = KNOWN[formula].stoichiometry
    assert len(counts) == 3
    assert len({salts()[f].anion for f in counts}) == 1
    mass = sum(n * periodictable.formula(f).mass for f, n in counts.items())
    assert mass == pytest.approx(periodictable.formula(formula).mass, rel=1e-12)


@pytest.mark.parametrize("formula", KNOWN)
def test_a_temperature_has_a_spread_and_an_unknown_one_has_neither(formula):
    compound = KNOWN[formula]
    assert (compound.T_K is None) == (compound.T_sigma_K is None) == (compound.melting == "unknown")


def test_every_energy_belongs_to_a_compound_whose_melting_is_known():
    assert {energy.formula for energy in triple_energies()} >= {"NaCaAlF6", "LiCaAlF6", "LiSrAlF6"}
    for energy in triple_energies():
        compound = KNOWN[energy.formula]
        if compound.T_K is not None:
            assert pytest.approx(compound.T_K, abs=0.005) == energy.T_K  # written to two places
        assert energy.sigma_J_mol > 0
        for pair, _ in energy.answers:
            assert pair <= set(compound.stoichiometry)
        assert set(energy.fusion) <= set(compound.stoichiometry)


def test_a_compound_named_without_an_energy_takes_no_part():
    assert KNOWN["Cs2NaLaCl6"].T_K is None
    assert "Cs2NaLaCl6" not in {energy.formula for energy in triple_energies()}
