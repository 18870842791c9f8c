"""Which solids a set of salts can form: kinds of crystal, hosts, strangers."""

import numpy as np
import pytest

from tests.made_up import made_up_system, pair_model
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.solids import IMMISCIBLE_J_mol, solid_weights
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import DoubleSolid, PureSolid
from thermo.records.parameters import HOSTED, SHARED, Parameter

LITHIUM = pair_model("LiCl", "MgCl2", hosts={"LiCl": (7000.0, 3000.0)})
ALKALI = pair_model("LiCl", "NaCl", solid=((9000.0, 0.0),))
CALCIUM = pair_model("LiCl", "CaCl2", hosts={"LiCl": (12000.0, 5000.0), "CaCl2": (15000.0, 4000.0)})


def solutions(system) -> dict[tuple[str, ...], SolutionSolid]:
    """Solid solutions of a system by the salts whose own crystal each is."""
    found = [s for s in system.solids if isinstance(s, SolutionSolid)]
    return {tuple(s.formulas[m] for m in s.natives): s for s in found}


def pure(system) -> set[str]:
    return {s.name for s in system.solids if isinstance(s, PureSolid)}


def pair_value(solid: SolutionSolid, a: str, b: str) -> float | None:
    """a_0 between two members, None without a term."""
    at = {solid.formulas.index(a), solid.formulas.index(b)}
    return next((v for (i, j, k), v in zip(solid.terms, solid.a, strict=True) if {i, j} == at and k == 0), None)


def test_salts_joined_by_two_pairs_share_one_solid():
    """A member pair that nobody has seen dissolve gets a strong repulsion, not an ideal solution."""
    joined = made_up_system(
        ("LiCl", "NaCl", "KCl"),
        pair_model("LiCl", "NaCl", solid=((9000.0, 0.0),)),
        pair_model("NaCl", "KCl", solid=((20000.0, 0.0),)),
    )
    (solid,) = joined.solids
    assert solid.formulas == ("LiCl", "NaCl", "KCl")
    assert dict(zip(solid.terms, solid.a, strict=True))[0, 2, 0] == IMMISCIBLE_J_mol


def test_a_host_takes_up_a_stranger_whose_own_crystal_remains():
    system = made_up_system(("LiCl", "MgCl2"), LITHIUM)
    assert pure(system) == {"MgCl2"}
    (solid,) = solutions(system).values()
    assert solid.formulas == ("LiCl", "MgCl2")
    assert solid.strangers == ((1, 7000.0),)
    # worked value of the module, from the fitted files
    assert pure(salt_system(("LiCl", "MgCl2"))) == {"MgCl2"}
    assert set(solutions(salt_system(("LiCl", "MgCl2")))) == {("LiCl",)}


def test_what_a_host_does_to_its_stranger_is_given_for_900_K():
    """W = a_0 + slope (T - 900 K); the energy of the stranger's own part does not change with T."""
    model = pair_model("LiCl", "MgCl2", hosts={"LiCl": (7000.0, 3000.0, -40.0)})
    assert model.terms(HOSTED + "LiCl")[0] == (3000.0 + 900 * 40.0, -40.0)
    (solid,) = solutions(made_up_system(("LiCl", "MgCl2"), model)).values()
    for T_K, W in ((900.0, 3000.0), (1000.0, -1000.0)):
        A, B = solid.excess_potentials(np.array([[0.5, 0.5]]))
        assert (A + T_K * B)[0] == pytest.approx([W / 4, 7000.0 + W / 4])


def test_two_kinds_of_crystal_that_dissolve_each_other_are_two_solids():
    system = made_up_system(("LiCl", "CaCl2"), CALCIUM)
    assert pure(system) == set()
    found = solutions(system)
    assert set(found) == {("LiCl",), ("CaCl2",)}
    assert found["LiCl",].strangers == ((1, 12000.0),)
    assert found["CaCl2",].strangers == ((0, 15000.0),)


def test_a_stranger_joins_the_whole_kind_of_its_host_and_nothing_else():
    """LiCl and NaCl share rock salt, which holds MgCl2 for LiCl's sake; NaCl was never seen to dissolve it."""
    system = made_up_system(("LiCl", "NaCl", "MgCl2"), LITHIUM, ALKALI)
    (solid,) = solutions(system).values()
    assert pure(system) == {"MgCl2"}
    assert [solid.formulas[m] for m in solid.natives] == ["LiCl", "NaCl"]
    assert pair_value(solid, "LiCl", "MgCl2") == 3000.0
    assert pair_value(solid, "LiCl", "NaCl") == 9000.0
    assert pair_value(solid, "NaCl", "MgCl2") == IMMISCIBLE_J_mol


def test_a_salt_of_another_kind_stays_out():
    """KCl shares no crystal with LiCl, so what LiCl holds is nothing to it."""
    system = made_up_system(("LiCl", "KCl", "MgCl2"), LITHIUM)
    (solid,) = solutions(system).values()
    assert solid.formulas == ("LiCl", "MgCl2")
    assert pure(system) == {"KCl", "MgCl2"}


def test_two_strangers_in_one_host_do_not_answer_each_other():
    (solid,) = (s for n, s in solutions(made_up_system(("LiCl", "MgCl2", "CaCl2"), LITHIUM, CALCIUM)).items()
                if n == ("LiCl",))  # fmt: skip
    assert solid.formulas == ("LiCl", "MgCl2", "CaCl2")
    assert solid.strangers == ((1, 7000.0), (2, 12000.0))
    assert pair_value(solid, "MgCl2", "CaCl2") is None
    assert solid.phase_of(("MgCl2", "CaCl2")) is None


@pytest.mark.parametrize("salts", [("LiCl", "MgCl2"), ("MgCl2", "LiCl")])
def test_which_salt_is_named_first_changes_nothing(salts):
    (solid,) = solutions(made_up_system(salts, LITHIUM)).values()
    stranger = solid.formulas.index("MgCl2")
    assert solid.strangers == ((stranger, 7000.0),)
    y = np.where(np.arange(2) == stranger, 0.3, 0.7)
    assert solid.phase_of(LITHIUM.salts) == HOSTED + "LiCl"
    assert solid.share(LITHIUM.salts, Parameter(HOSTED + "LiCl", "lattice"), 900.0, y) == pytest.approx(0.3)
    assert solid.share(LITHIUM.salts, Parameter(HOSTED + "LiCl", "slope"), 950.0, y) == pytest.approx(0.21 * 50)
    assert solid.share(LITHIUM.salts, Parameter(HOSTED + "LiCl", "a0"), 900.0, y) == pytest.approx(0.21)
    assert solid.share(LITHIUM.salts, Parameter(SHARED, "a0"), 900.0, y) == 0


@pytest.mark.parametrize("solid", [PureSolid("KCl", 1), DoubleSolid("K2MgCl4", (1, 2), (2, 1), 0.0, 0.0)])
def test_the_weights_of_a_solid_sum_to_one(solid):
    weights = solid_weights(solid, 3, None)
    assert weights.sum() == pytest.approx(1, rel=1e-12)
    assert weights[0] == 0
