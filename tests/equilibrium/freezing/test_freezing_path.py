"""The freezing path: it closes, never melts on cooling, and steps where the phase rule says so."""

import numpy as np
import pytest

from tests.random_mixes import aluminium_baths, random_mixes
from thermo.equilibrium.freezing.freezing_path import CHANGE_K, FreezingPath, freezing_path
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.freezing.solidus import solidus
from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.records.composition import Composition, from_amounts
from thermo.records.provenance import InputError

TRIO = from_amounts({"NaCl": 30, "KCl": 30, "CaCl2": 40})


@pytest.fixture(scope="module")
def trio() -> FreezingPath:
    return freezing_path(TRIO)


def test_it_runs_from_above_the_liquidus_to_below_the_solidus(trio):
    assert trio.liquidus_K == liquidus(TRIO).T_K
    assert (trio.solidus_K, trio.solidus_solids) == (solidus(TRIO).T_K, solidus(TRIO).solids)
    assert (np.diff(trio.T_K) < 0).all()
    assert trio.T_K[0] > trio.liquidus_K > trio.solidus_K > trio.T_K[-1]
    assert trio.liquid_fraction_mol[trio.liquidus_K < trio.T_K] == pytest.approx(1.0, abs=1e-12)
    assert (trio.liquid_fraction_mol[trio.solidus_K > trio.T_K] == 0).all()
    assert (trio.liquid_fraction_mol[trio.solidus_K < trio.T_K] > 0).all()


def test_liquid_and_solids_make_up_the_mix(trio):
    total = trio.liquid_fraction_mol + sum(amounts for _, amounts in trio.phases)
    assert total == pytest.approx(np.ones(len(trio.T_K)), abs=1e-9)


def test_solids_come_in_order_and_a_new_one_is_placed_sharply(trio):
    assert [name for name, _ in trio.phases] == ["KCaCl3", "NaCl", "CaCl2"]
    for name, amounts in trio.phases:
        first = int(np.argmax(amounts > 0))
        step = trio.T_K[first - 1] - trio.T_K[first]
        assert step <= CHANGE_K * 1.01 or name == "KCaCl3", name  # the first comes at the liquidus, a point of its own


@pytest.mark.parametrize("mix", [TRIO, *random_mixes(6, seed=41, largest=5)], ids=lambda mix: "-".join(mix.salts))
def test_every_change_of_phases_is_placed(mix):
    """Between two temperatures further apart than CHANGE_K the same solids are there."""
    path = freezing_path(mix, points=12)
    there = np.array([amounts > 0 for _, amounts in path.phases] + [path.liquid_fraction_mol > 0])
    changes = (there[:, 1:] != there[:, :-1]).any(axis=0)
    assert changes.any()
    assert (-np.diff(path.T_K))[changes].max() <= CHANGE_K * 1.01


@pytest.mark.parametrize("percent", [10, 70])
def test_at_a_eutectic_the_rest_freezes_in_one_step(percent):
    """Lever rule just above: liquid = distance of the mix from the first solid over that of the eutectic."""
    point = next(p for p in pair_invariants("NaCl", "CaCl2") if p.kind == "eutectic")
    path = freezing_path(from_amounts({"NaCl": 100 - percent, "CaCl2": percent}), points=5)
    above = int(np.flatnonzero(path.solidus_K < path.T_K)[-1])
    x, e = percent / 100, point.fractions[1]
    expected = x / e if x < e else (1 - x) / (1 - e)
    assert path.liquid_fraction_mol[above] == pytest.approx(expected, abs=1e-4)  # 1e-3 K above, branches of 1e3 K
    assert path.liquid_fraction_mol[above + 1] == 0
    assert path.T_K[above] - path.T_K[above + 1] < 0.01


def test_a_eutectic_mix_goes_from_liquid_to_solid_at_once():
    point = next(p for p in pair_invariants("LiCl", "KCl") if p.kind == "eutectic")
    path = freezing_path(Composition(point.salts, point.fractions), points=4)
    partly = (path.liquid_fraction_mol > 0.01) & (path.liquid_fraction_mol < 0.99)
    assert not partly.any()


def test_one_salt_freezes_at_once():
    path = freezing_path(from_amounts({"NaCl": 1}), points=4)
    assert path.liquidus_K == path.solidus_K
    assert set(path.liquid_fraction_mol.tolist()) == {0.0, 1.0}
    assert [name for name, _ in path.phases] == ["NaCl"]


def test_the_sides_of_a_solid_solution_are_kept_apart():
    """NaF-KF: limited solubility on both sides; each side is named by its chief salt."""
    path = freezing_path(from_amounts({"NaF": 30, "KF": 70}), points=6)
    assert {name for name, _ in path.phases} == {"NaF", "KF"}
    assert {name for name, _ in freezing_path(from_amounts({"NaCl": 50, "KCl": 50}), 4).phases} == {"(Na,K)Cl"}


MIXES = [*random_mixes(14, seed=3, largest=4), *aluminium_baths(8, seed=4)]


@pytest.mark.parametrize("mix", MIXES, ids=lambda mix: "-".join(mix.salts))
def test_nothing_melts_on_cooling(mix):
    path = freezing_path(mix, points=15)
    if any("two liquids" in note for note in path.notes):
        pytest.skip("the fitted melt separates: its two liquids may exchange solids either way")
    assert np.diff(path.liquid_fraction_mol).max() < 1e-7


def test_a_path_without_solidus_says_so_and_ends_where_the_laws_end():
    mix = from_amounts({"CsCl": 50, "ZnCl2": 50})
    path = freezing_path(mix, points=5)
    assert path.solidus_K is None
    assert path.liquid_fraction_mol[-1] > 0
    assert any(note.startswith("no solidus") for note in path.notes)


def test_bad_requests():
    with pytest.raises(InputError, match="points 1: allowed is 2 or more"):
        freezing_path(TRIO, points=1)


def test_a_compound_of_three_salts_is_followed_as_it_freezes():
    # 5 mol% CaF2 in 1:1 NaF-AlF3: NaCaAlF6 is among what is left (Craig & Brown 1980, named in data/triple_salts.csv)
    path = freezing_path(from_amounts({"NaF": 45, "AlF3": 40, "CaF2": 15}), points=8)
    amounts = dict(path.phases)
    assert "NaCaAlF6" in amounts
    assert amounts["NaCaAlF6"][-1] > 0.1


TRACES = [  # each of these once ended in a singular matrix
    {"CaCl2": 1, "KCl": 1, "LiCl": 1e-6, "ZnCl2": 1, "CsCl": 1.4e-7},
    {"AlF3": 3.7e-9, "KF": 1, "CsF": 3307538575, "RbF": 20120580},
    {"NaCl": 1, "KCl": 1e-11, "CaCl2": 1e-8},
    {"LiF": 1, "AlF3": 1e-6, "NaF": 1e-4, "BaF2": 1e-10},
]


@pytest.mark.parametrize("amounts", TRACES, ids=lambda amounts: "-".join(amounts))
def test_traces_leave_the_freezing_of_the_rest(amounts):
    mix = from_amounts(amounts)
    rest = from_amounts({f: x for f, x in mix.mole_percent.items() if x > 1e-3})
    path, plain = freezing_path(mix, points=4), liquidus(rest)
    assert path.liquidus_K == pytest.approx(plain.T_K, abs=0.05)
    assert path.liquid_fraction_mol[0] == pytest.approx(1.0)
