"""What was never measured, what the joint update has seen: the lists follow the tables, and salts narrow them."""

import pytest

from thermo.answers.evidence.wanted import compounds_without_energy, evidence_lists
from thermo.records.fitted import pair_models
from thermo.records.provenance import InputError, Origin
from thermo.records.triple_salts import triple_energies, triple_salts


def test_every_pair_by_size_alone_is_wanted_and_no_other():
    listed = {frozenset(row.salts) for row in evidence_lists().wanted}
    by_size = {pair for pair, model in pair_models().items() if model.status == Origin.ESTIMATED}
    assert listed == by_size
    assert all(row.after_K < row.mean_sigma_K for row in evidence_lists().wanted)  # or it would not be worth measuring


def test_compounds_have_an_energy_or_are_listed():
    energies = {energy.formula for energy in triple_energies()}
    listed = {compound.formula for compound in compounds_without_energy()}
    assert listed | energies == set(triple_salts())
    assert not listed & energies
    assert [c.formula for c in compounds_without_energy() if c.suspected] == ["Rb2NaAlF6"]


def test_salts_narrow_the_lists_to_what_they_can_make():
    found = evidence_lists(["NaF", "KF", "AlF3"])
    assert found.salts == ("NaF", "KF", "AlF3")
    assert found.wanted == ()
    assert [compound.formula for compound in found.compounds] == ["K2NaAl3F12"]
    assert found.taken_up
    assert all(set(melt.salts) <= {"NaF", "KF", "AlF3"} for melt in found.taken_up)
    pair = evidence_lists(["LaF3", "NaF"])
    assert [set(row.salts) for row in pair.wanted] == [{"NaF", "LaF3"}]
    assert pair.compounds == pair.taken_up == ()


def test_a_mistyped_salt_is_refused():
    with pytest.raises(InputError, match="NaFF"):
        evidence_lists(["NaFF"])
