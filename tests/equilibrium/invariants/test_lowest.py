"""Lowest melts of several salts: undercut nowhere, whatever the order, and unknown where the data end."""

from itertools import combinations

import numpy as np
import pytest

from tests.equilibrium.invariants.lowest_by_curves import lowest_by_curves
from thermo.equilibrium.invariants.lowest import lowest
from thermo.equilibrium.invariants.pair import pair_invariants, stays_liquid
from thermo.equilibrium.system.driving_force import liquidus_field
from thermo.laws.solid_solution import simplex_grid
from thermo.records.fitted import pair_models
from thermo.records.provenance import InputError, RangeError
from thermo.records.substances import salt, salts

NAMES = [model.salts for model in pair_models().values() if len({salt(f).anion for f in model.salts}) == 1]
SEVERAL = [("LiF", "NaF", "KF"), ("NaCl", "KCl", "MgCl2"), ("NaCl", "CaCl2", "MgCl2"), ("LiCl", "NaCl", "KCl", "CaCl2")]


@pytest.mark.parametrize("salts", SEVERAL, ids="-".join)
def test_the_lowest_melt_is_nowhere_undercut(salts):
    """A grid finer than the search's, and every pair within the system."""
    point = lowest(salts)
    grid = simplex_grid(len(salts), {3: 60, 4: 22}[len(salts)])
    assert liquidus_field(salts, grid).T_K.min() + 0.05 > point.T_K
    for pair in combinations(salts, 2):
        assert point.T_K < lowest(pair).T_K + 0.05


@pytest.mark.parametrize("salts", SEVERAL, ids="-".join)
def test_the_lowest_melt_is_a_melt(salts):
    point = lowest(salts)
    assert point.salts == salts
    assert sum(point.fractions) == pytest.approx(1, rel=1e-9)
    assert liquidus_field(salts, np.array([point.fractions])).T_K[0] == pytest.approx(point.T_K, abs=0.05)
    assert point.sigma_K > 1
    assert len(point.solids) >= 1
    if point.kind == "eutectic":
        assert len(point.solids) >= len(salts)


@pytest.mark.parametrize("salts", SEVERAL[:3], ids="-".join)
def test_the_lowest_melt_does_not_depend_on_the_order(salts):
    one, other = lowest(salts), lowest(salts[::-1])
    assert pytest.approx(one.T_K, abs=0.3) == other.T_K
    assert other.fractions[::-1] == pytest.approx(one.fractions, abs=0.01)


def test_a_third_salt_may_stay_out():
    """BaF2 melts far above LiF-KF: the lowest mix of two salts is found by three as well."""
    assert lowest(("LiF", "KF", "BaF2")).T_K <= lowest(("LiF", "KF")).T_K + 0.05


def test_the_lowest_of_a_pair_may_be_a_pure_salt():
    known = [pair for pair in NAMES if not stays_liquid(*pair)]
    assert len(known) > 100
    for pair in known:
        point = lowest(pair)
        assert min(salt(f).melting_point_K for f in pair) + 0.05 >= point.T_K
        if not any(p.kind in ("eutectic", "minimum") for p in pair_invariants(*pair)):
            assert point.kind == "pure salt"
            assert max(point.fractions) == 1


@pytest.mark.parametrize(
    ("salts", "told"),
    [
        (("NaCl",), "2 to 6"),
        (("NaCl", "NaCl"), "2 to 6 different"),
        (("NaCl", "KF", "ZnCl2"), "fluoride of Zn"),
        (("LiCl", "NaCl", "KCl", "RbCl", "CsCl", "MgCl2", "CaCl2"), "2 to 6"),
        (("NaCl", "KC1"), "KC1"),
    ],
)
def test_impossible_mixes_are_refused(salts, told):
    with pytest.raises(InputError, match=told):
        lowest(salts)


@pytest.mark.parametrize("salts", [("CsCl", "ZnCl2"), ("KCl", "CsCl", "ZnCl2")], ids="-".join)
def test_a_melt_that_stays_liquid_has_no_lowest(salts):
    with pytest.raises(RangeError, match="unknown"):
        lowest(salts)


BY_CURVES = [("NaCl", "KCl", "MgCl2"), ("LiF", "NaF", "CaF2"), ("CsF", "MgF2", "AlF3"), ("NaF", "AlF3", "CaF2")]


@pytest.mark.parametrize("salts", BY_CURVES, ids="-".join)
def test_the_quick_way_ends_where_the_curves_of_every_solid_do(salts):
    """CsF-MgF2-AlF3 has a hollow narrower than a step of the grid."""
    x, T_K = lowest_by_curves(salts)
    assert pytest.approx(T_K, abs=0.02) == lowest(salts).T_K
    assert lowest(salts).fractions == pytest.approx(x, abs=1e-3)


def random_systems(count: int, size: int) -> list[tuple[str, ...]]:
    """Sets of salts of one anion, chlorides and fluorides in turn."""
    draw = np.random.default_rng(11)
    pools = [[f for f in salts() if salt(f).anion == anion] for anion in ("Cl", "F")]
    return [tuple(draw.choice(pools[n % 2], size, replace=False).tolist()) for n in range(count)]


@pytest.mark.slow
@pytest.mark.parametrize("salts", [*random_systems(8, 3), *random_systems(3, 4)], ids="-".join)
def test_random_systems_are_never_worse_than_by_the_curves(salts):
    try:
        found = lowest(salts).T_K
    except RangeError:
        return
    assert found < lowest_by_curves(salts)[1] + 0.02


TWO_ANIONS = [("LiF", "KCl"), ("NaF", "CaCl2"), ("LiF", "LiCl", "KCl"), ("LiF", "NaCl", "KCl")]


@pytest.mark.parametrize("salts", TWO_ANIONS, ids="-".join)
def test_two_anions_are_nowhere_undercut(salts):
    point = lowest(salts)
    grid = simplex_grid(len(salts), {2: 150, 3: 40}[len(salts)])
    assert liquidus_field(salts, grid).T_K.min() + 0.05 > point.T_K
    assert liquidus_field(salts, np.array([point.fractions])).T_K[0] == pytest.approx(point.T_K, abs=0.05)


def test_progress_is_told_and_what_it_raises_leaves_the_search():
    """Left at its fifth step a search has no answer; asked again it ends, with the steps it foretold."""

    class Enough(Exception):
        pass

    names, seen = ("NaF", "KF", "LiF", "MgF2"), []

    def five(done, of):
        seen.append((done, of))
        if len(seen) == 5:
            raise Enough

    with pytest.raises(Enough):
        lowest(names, five)
    assert [done for done, _ in seen] == [0, 1, 2, 3, 4]
    seen.clear()
    found = lowest(names, lambda done, of: seen.append((done, of)))
    assert [done for done, _ in seen] == sorted(done for done, _ in seen)
    assert all(done < of for done, of in seen)
    assert len(seen) > 10
    seen.clear()
    assert lowest(names, lambda done, of: seen.append((done, of))) is found  # known by now
    assert seen == []
