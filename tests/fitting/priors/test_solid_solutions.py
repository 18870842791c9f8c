"""What is expected of solid solutions before their points speak."""

import pytest

from thermo.fitting.priors.solid_solutions import solid_priors
from thermo.records.parameters import Parameter
from thermo.records.solid_solutions import solid_solution
from thermo.records.units import R


def test_pairs_without_mutual_solubility_have_no_solid_terms():
    assert solid_priors("LiCl", "KCl") == {}


def test_alkali_salts_follow_the_volume_rule():
    found = solid_priors("NaCl", "KCl")
    assert set(found) == {Parameter("solid solution", term) for term in ("a0", "b0", "a1")}
    size = solid_solution("NaCl", "KCl").volume_rule_J_mol
    assert (
        found[Parameter("solid solution", "a0")][0] == size > 0
    )  # salts of different size repel each other in a crystal
    assert found[Parameter("solid solution", "b0")][0] == pytest.approx(-size / 2565.0)


@pytest.mark.parametrize(
    ("a", "b", "hosts"),
    [("LiCl", "MgCl2", ("LiCl",)), ("LiF", "MgF2", ("LiF",)), ("LiCl", "CaCl2", ("LiCl", "CaCl2"))],
)
def test_every_host_has_terms_of_its_own(a, b, hosts):
    found = solid_priors(a, b)
    assert set(found) == {
        Parameter(f"solid solution in {host}", term) for host in hosts for term in ("a0", "slope", "lattice")
    }
    assert solid_priors(b, a) == found


def test_a_stranger_dissolves_to_a_few_percent_at_900_K_and_lies_above_its_own_crystal():
    """Worked value: E = 15 +- 8 and W = 5 +- 5 kJ/mol, together R T ln(1 / 0.07)."""
    found = solid_priors("LiCl", "MgCl2")
    E, W = found[Parameter("solid solution in LiCl", "lattice")], found[Parameter("solid solution in LiCl", "a0")]
    assert E[0] + W[0] == pytest.approx(R * 900 * 2.66, rel=0.01)
    assert E[0] > 1.5 * E[1]
    assert W[0] + W[1] < 2 * R * 900  # the host that holds it does not itself split in two
