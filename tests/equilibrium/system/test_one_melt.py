"""A single melt in plain numbers against the same melts as arrays: temperature, first solid, composition of a solution.

Two ways through one law: what they share is in thermo/laws, and here it is held that they cannot part.
"""

import numpy as np
import pytest

from tests.made_up import made_up_system, pair_model, random_fractions
from thermo.equilibrium.invariants.forces import all_sides
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import HIGHEST_K, LOWEST_K, Melts, liquidus_field
from thermo.laws.solid_solution import SolutionSolid
from thermo.records.substances import salt, salts

LISTS = {anion: [f for f, record in salts().items() if record.anion == anion] for anion in ("F", "Cl")}
SETS, MELTS = 60, 20
ALIKE_K = 1e-4  # two solids may be first within this: either may be named


class AsArrays(Melts):
    """Melts that only know the general way."""

    alone = None


def random_sets(count: int, seed: int = 12) -> list[tuple[str, ...]]:
    """Sets of one to six salts of one anion, each salt of both lists in some of them."""
    rng = np.random.default_rng(seed)
    found = []
    for n in range(count):
        known = LISTS["F" if n % 2 else "Cl"]
        found.append(tuple(rng.permutation(known)[: 1 + n % 6].tolist()))
    return found


@pytest.fixture(scope="module")
def compared() -> list[tuple]:
    """(system, x, T and solid by arrays of many, of one, T and solid by plain numbers) of every melt that has all."""
    rows = []
    for names in random_sets(SETS):
        system = salt_system(names)
        x = np.vstack([random_fractions(MELTS, len(names), seed=len(names)), np.eye(len(names))[0]])
        together, _ = AsArrays(system, x).liquidus()
        for row, of_many in zip(x, together, strict=True):
            T, first = AsArrays(system, row[None, :]).liquidus()
            found = Melts(system, row[None, :]).alone.first(row.tolist())
            rows.append((system, row, float(of_many), float(T[0]), int(first[0]), found))
    return rows


def test_every_list_of_salts_gives_the_temperature_that_arrays_give(compared):
    """Within 1e-5 K, which the last step of either leaves; ten times that where a solution hardly settles."""
    apart = np.array([abs(found[1] - T) for *_, T, _, found in compared if found is not None])
    assert len(apart) > 0.97 * len(compared) > 1000
    assert apart.max() < 1e-4
    assert (apart < 1e-5).mean() > 0.995
    many = np.array([abs(found[1] - of_many) for _, _, of_many, _, _, found in compared if found is not None])
    assert many.max() < 0.1  # in a field a nearly critical solution is settled to this (driving_force)
    assert np.median(many) < 1e-6


def test_the_first_solid_is_the_same(compared):
    kinds, aluminium = set(), 0
    for system, x, _, T, first, found in compared:
        if found is None:
            continue
        kinds.add(type(system.solids[found[0]]).__name__)
        aluminium += "AlF3" in system.salts
        if found[0] != first:
            other, _ = AsArrays(system, x[None, :]).solid_temperature(system.solids[found[0]])
            assert other[0] == pytest.approx(T, abs=ALIKE_K), (system.salts, x.tolist())
    assert kinds >= {"PureSolid", "DoubleSolid", "SolutionSolid"}
    assert aluminium > 100


def test_a_solution_has_the_composition_that_forms_most_readily(compared):
    seen = 0
    for system, x, *_, found in compared:
        if found is None or not isinstance(solid := system.solids[found[0]], SolutionSolid):
            continue
        T, y = np.array([found[1]]), np.array([found[2]])
        forces, _ = AsArrays(system, x[None, :]).salt_forces(T, solid.indices)
        best, _, _ = solid.best(forces, forces, T, None, None, 40)
        here, _, _ = solid.best(forces, forces, T, y, None, 0)
        assert here[0] == pytest.approx(best[0], abs=0.01)  # J/mol: 4e-4 K
        seen += 1
    assert seen > 100


def test_each_solid_and_each_side_by_itself_is_found_as_by_arrays():
    sets = [("NaCl", "KCl", "MgCl2"), ("LiF", "NaF", "KF", "AlF3"), ("CaCl2", "SrCl2", "BaCl2")]
    for names in (*sets, ("NaF", "KF", "RbF", "MgF2")):  # of double salts in one crystal, too
        system = salt_system(names)
        for row in random_fractions(10, len(names), seed=3):
            plain, arrays = Melts(system, row[None, :]), AsArrays(system, row[None, :])
            for solid, near in [*all_sides(system), *((solid, None) for solid in system.solids)]:
                (T, y), (other, other_y) = (melts.solid_temperature(solid, near) for melts in (plain, arrays))
                assert pytest.approx(other, abs=1e-4) == T, (names, solid.name)
                if isinstance(solid, SolutionSolid):
                    assert y == pytest.approx(other_y, abs=2e-3)
                else:
                    assert y is None


@pytest.mark.parametrize(("names", "x"), [(("NdCl3", "CsCl"), [0.562, 0.438]), (("ZnCl2", "CsCl"), [0.5372, 0.4628])])
def test_where_the_quick_rule_fails_the_general_one_answers(names, x):
    """CsNd2Cl7 from a first step beyond the bracket; a melt without any solid above the end of the search."""
    melts, row = Melts(salt_system(names), np.array([x])), np.array([x])
    assert melts.alone.first(x) is None
    T, first = AsArrays(salt_system(names), row).liquidus()
    assert melts.liquidus()[0] == pytest.approx(T, abs=1e-9)
    solid, T_K, y = melts.first_solid()
    assert (solid.name, T_K, y) == (salt_system(names).solids[int(first[0])].name, pytest.approx(T[0], abs=1e-9), None)


def test_both_sides_of_a_miscibility_gap_are_seen():
    """NaCl-KCl unlike enough to part: on each side of the melt the crystal that is rich in that salt comes first."""
    system = made_up_system(("NaCl", "KCl"), pair_model("NaCl", "KCl", solid=((24000.0, 0.0),)))
    for x, rich in (([0.9, 0.1], 0), ([0.1, 0.9], 1)):
        place, T_K, y = Melts(system, np.array([x])).alone.first(x)
        assert int(np.argmax(y)) == rich
        assert pytest.approx(float(AsArrays(system, np.array([x])).liquidus()[0][0]), abs=1e-4) == T_K
    # begun on the wrong side, the other one is found by the grid
    one = Melts(system, np.array([[0.1, 0.9]])).alone
    T_K, y = one.balance(place, 1000.0, LOWEST_K, [0.99, 0.01])
    assert y[1] > 0.5


def test_a_single_salt_is_its_melting_point():
    for formula in salts():
        found = Melts(salt_system((formula,)), np.ones((1, 1))).alone.first([1.0])
        assert found[1] == pytest.approx(salt(formula).melting_point_K, abs=0.05)


def test_the_limits_of_the_search_are_those_of_driving_force():
    one = Melts(salt_system(("NaCl", "KCl")), np.array([[0.5, 0.5]])).alone
    assert (one.lowest_K, one.highest_K) == (LOWEST_K, HIGHEST_K)
    assert Melts(salt_system(("NaCl", "KCl")), np.full((2, 2), 0.5)).alone is None
    assert Melts(salt_system(("LiF", "KCl")), np.array([[0.5, 0.5]])).alone is None


@pytest.mark.parametrize(
    ("names", "x", "first"),
    [
        (("MgF2", "LaF3", "SrF2", "LiF", "KF"), [0.322, 0.1606, 0.2373, 0.1031, 0.177], "SrF2"),
        (("SrF2", "AlF3", "LiF", "CeF3", "MgF2", "BaF2"), [0.16, 0.023, 0.019, 0.042, 0.371, 0.385], "BaMgF4"),
    ],
)
def test_two_solids_that_both_look_higher_do_not_take_each_others_name(names, x, first):
    """The second of them was named, at the temperature of the first."""
    x = np.array([x, x]) / np.sum(x)
    found = liquidus_field(names, x)
    assert [found.solids[i] for i in found.solid_index] == [first, first]
    system = salt_system(names)
    (T_K, _) = AsArrays(system, x).solid_temperature(next(s for s in system.solids if s.name == first))
    assert pytest.approx(T_K, abs=1e-4) == found.T_K
