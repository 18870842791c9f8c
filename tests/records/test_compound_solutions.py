"""Double salts that mix as solids: which rows become solutions, and that their names are those the program prints."""

import pytest

from tests.made_up import SaltSystem
from thermo.equilibrium.system.build import salt_system
from thermo.laws.compound_solution import CompoundSolution
from thermo.records.compound_solutions import compound_pairs, pairs_within, solution_called
from thermo.records.substances import double_salts
from thermo.records.tables import read_table


def test_rows_of_compounds_that_mix_completely_or_so_far_become_solutions_and_no_others():
    members = {pair.members for pair in compound_pairs()}
    assert ("NaMgF3", "KMgF3") in members
    rows = {(row["salt_a"], row["salt_b"]): row for row in read_table("solid_solutions.csv")}
    partial = {pair.members for pair in compound_pairs() if pair.limits is not None}
    assert {pair for pair in members if rows[pair]["extent"] != "complete"} == partial
    assert partial == {("Na3AlF6", "Li3AlF6")}  # Garton & Wanklyn 1967: a third and 0.3 at the eutectic
    assert ("SrFCl", "BaFCl") not in members  # two anions


@pytest.mark.parametrize("pair", compound_pairs(), ids=lambda pair: pair.name)
def test_members_hold_one_salt_alike_and_the_name_is_the_one_printed(pair):
    first, second = (dict(double_salts()[member].stoichiometry) for member in pair.members)
    assert first.pop(pair.differ[0]) == second.pop(pair.differ[1]) == pair.exchanged
    assert first == second
    system = salt_system(tuple(sorted(pair.salts)))
    (solid,) = (s for s in system.solids if isinstance(s, CompoundSolution) and set(pair.members) <= set(s.formulas))
    assert solid.name == pair.name
    assert solution_called(pair.name) == set(pair.members)


def test_what_lies_within_some_salts():
    assert [pair.name for pair in pairs_within(("NaF", "KF", "MgF2", "CaF2"))] == ["(Na,K)MgF3"]
    assert pairs_within(("NaF", "MgF2")) == []
    assert solution_called("(Na,K)F") == frozenset()


def test_without_a_known_interaction_the_compounds_stay_apart():
    system = SaltSystem(("NaF", "KF", "MgF2"), terms={})
    assert not any(isinstance(solid, CompoundSolution) for solid in system.solids)
    assert {"NaMgF3", "KMgF3"} <= {solid.name for solid in system.solids}
