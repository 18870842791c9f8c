"""Invariant points of every pair: what any phase diagram must keep."""

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.each import NOTHING, each
from tests.made_up import made_up_system, pair_model
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.invariants import pair as module
from thermo.equilibrium.invariants.pair import pair_curve, pair_invariants, stays_liquid
from thermo.equilibrium.system.driving_force import LOWEST_K, Melts, liquidus_field
from thermo.laws.gibbs import fusion_gibbs
from thermo.records.composition import Composition
from thermo.records.fitted import pair_models
from thermo.records.provenance import InputError, sources
from thermo.records.substances import double_salts, salt
from thermo.records.units import R, celsius

NAMES = [model.salts for model in pair_models().values() if len({salt(f).anion for f in model.salts}) == 1]


def curve_T(a: str, b: str, x: np.ndarray) -> np.ndarray:
    return liquidus_field((a, b), np.column_stack([1 - x, x])).T_K


def falls(a: str, b: str) -> bool:
    """Whether the pair's liquidus reaches the end of the search: its lowest point is then unknown."""
    return curve_T(a, b, np.linspace(0, 1, 201)).min() <= LOWEST_K


@pytest.fixture
def made_up_pair(monkeypatch):
    """Gives the invariants of a made-up pair; leaves nothing of it behind."""

    def invariants_of(model):
        system = made_up_system(model.salts, model)
        monkeypatch.setattr(module, "salt_system", lambda salts: system)
        module._curve.cache_clear()
        pair_invariants.cache_clear()
        return pair_invariants(*model.salts)

    yield invariants_of
    monkeypatch.undo()
    module._curve.cache_clear()
    pair_invariants.cache_clear()


FITTED = [pair for pair in NAMES if pair_models()[frozenset(pair)].status == "fitted"]


@each(FITTED)
def test_no_fitted_liquidus_falls_through_the_floor(a, b):
    assert not falls(a, b)


@each(NAMES)
def test_the_end_of_the_search_is_no_invariant(a, b):
    assert all(point.T_K > LOWEST_K + 1 for point in pair_invariants(a, b))
    assert stays_liquid(a, b) == falls(a, b)


@each(NAMES, compared=140)
def test_every_invariant_lies_on_the_liquidus(a, b):
    if not pair_invariants(a, b):
        return NOTHING
    for point in pair_invariants(a, b):
        assert sum(point.fractions) == pytest.approx(1, rel=1e-12)
        assert 0 < point.fractions[1] < 1
        # a missed side of a solid solution may leave 0.05 K
        assert curve_T(a, b, np.array([point.fractions[1]]))[0] == pytest.approx(point.T_K, abs=0.1)
    return None


@each(NAMES, compared=140)
def test_lowest_points_lie_below_their_surroundings_and_highest_above(a, b):
    if not pair_invariants(a, b):
        return NOTHING
    for point in pair_invariants(a, b):
        x = point.fractions[1]
        left, right = curve_T(a, b, np.clip(np.array([x - 0.001, x + 0.001]), 0, 1))
        if point.kind in ("eutectic", "minimum"):
            assert min(left, right) > point.T_K
        elif point.kind == "congruent":
            assert max(left, right) < point.T_K
        else:
            assert (left - point.T_K) * (point.T_K - right) > 0  # the liquidus runs through
    return None


@each(NAMES)
def test_no_lowest_or_highest_point_is_left_out(a, b):
    """Turning points of the liquidus on a fine grid, counted, against the points reported; the unknown bottom apart."""
    x = np.linspace(0, 1, 2001)
    T = curve_T(a, b, x)
    rises = np.sign(np.round(np.diff(T), 4))
    rises = rises[rises != 0]
    turns = np.diff(rises)
    kinds = [point.kind for point in pair_invariants(a, b)]
    assert kinds.count("eutectic") + kinds.count("minimum") == np.count_nonzero(turns > 0) - falls(a, b)
    assert kinds.count("congruent") == np.count_nonzero(turns < 0)


@each(NAMES)
def test_points_are_whole_and_in_order(a, b):
    points = pair_invariants(a, b)
    assert [p.fractions[1] for p in points] == sorted(p.fractions[1] for p in points)
    for point in points:
        assert point.salts == (a, b)
        assert point.sigma_K > 0
        assert set(point.sources) <= set(sources())
        assert len(point.solids) == (1 if point.kind in ("congruent", "minimum") else 2)


@each(NAMES, compared=30)
def test_a_eutectic_lies_below_both_salts(a, b):
    simple = [p for p in pair_invariants(a, b) if set(p.solids) == {a, b} and p.kind == "eutectic"]
    for point in simple:
        assert min(salt(a).melting_point_K, salt(b).melting_point_K) > point.T_K
    return None if simple else NOTHING


@each(NAMES[::7])
def test_swapping_the_salts_mirrors_the_diagram(a, b):
    one, other = pair_invariants(a, b), pair_invariants(b, a)
    assert [p.kind for p in other] == [p.kind for p in one][::-1]
    for p, q in zip(one, other[::-1], strict=True):
        assert q.fractions[0] == pytest.approx(p.fractions[1], abs=2e-4)
        assert pytest.approx(p.T_K, abs=0.02) == q.T_K
        assert set(q.solids) == set(p.solids)
        assert q.sigma_K == pytest.approx(p.sigma_K, rel=0.02)


@each(NAMES, compared=30)
def test_a_double_salt_melts_congruently_only_at_its_own_composition(a, b):
    congruent = [p for p in pair_invariants(a, b) if p.kind == "congruent" and p.solids[0] in double_salts()]
    for point in congruent:
        counts = double_salts()[point.solids[0]].stoichiometry
        assert point.fractions[1] == pytest.approx(counts[b] / sum(counts.values()), rel=1e-9)
    return None if congruent else NOTHING


def test_worked_value():
    (point,) = pair_invariants("LiCl", "KCl")
    assert (point.kind, point.solids) == ("eutectic", ("LiCl", "KCl"))
    # near 353 deg C and 41 mol%; the published points are compared in tests/published
    assert abs(celsius(point.T_K) - 353) < 4
    assert abs(point.fractions[1] - 0.41) < 0.015


def test_the_eutectic_of_an_ideal_melt(made_up_pair):
    """Where the two Schroeder-van Laar curves cross, by scipy on the pure salts."""

    def x_second(T):
        return np.exp(-fusion_gibbs("KCl", T) / (R * T))

    T = brentq(lambda T: np.exp(-fusion_gibbs("NaCl", T) / (R * T)) + x_second(T) - 1, 600, 1000, xtol=1e-9)
    (point,) = made_up_pair(pair_model("NaCl", "KCl"))
    assert point.kind == "eutectic"
    assert pytest.approx(T, abs=2e-3) == point.T_K
    assert point.fractions[1] == pytest.approx(x_second(T), abs=1e-5)


@pytest.mark.parametrize(("dH", "kinds"), [(5000.0, ["eutectic"]), (-40000.0, ["eutectic", "congruent", "eutectic"])])
def test_a_double_salt_appears_when_it_is_stable_enough(made_up_pair, dH, kinds):
    points = made_up_pair(pair_model("KCl", "MgCl2", ((-30000.0, 0.0),), doubles={"KMgCl3": (dH, 0.0)}))
    assert [p.kind for p in points] == kinds


def test_between_a_stable_and_an_absent_double_salt_lies_an_incongruent_one(made_up_pair):
    """Sweeping dH, the double salt goes from absent through peritectic to congruent, never back."""
    order = []
    for dH in np.linspace(5000, -40000, 46):
        kinds = [
            p.kind for p in made_up_pair(pair_model("KCl", "MgCl2", ((-30000.0, 0.0),), doubles={"KMgCl3": (dH, 0)}))
        ]
        order.append(2 if "congruent" in kinds else 1 if "peritectic" in kinds else 0)
    assert order == sorted(order)
    assert set(order) == {0, 1, 2}


def test_a_weakly_repelling_solid_gives_a_minimum_and_a_strong_one_a_eutectic(made_up_pair):
    weak = made_up_pair(pair_model("NaCl", "KCl", solid=((9000.0, 0.0),)))
    strong = made_up_pair(pair_model("NaCl", "KCl", solid=((40000.0, 0.0),)))
    assert [(p.kind, p.solids) for p in weak] == [("minimum", ("(Na,K)Cl",))]
    assert [(p.kind, p.solids) for p in strong] == [("eutectic", ("NaCl", "KCl"))]
    # congruent minimum: melt and solid of one composition, so mu_i(melt) = mu_i(solid) for both; with equal excess
    # interactions of both phases only the fusion energies are left, here 9 kJ/mol of the solid against an ideal melt
    x, T = weak[0].fractions[1], weak[0].T_K
    assert fusion_gibbs("NaCl", T) == pytest.approx(9000 * x**2, rel=0.005)
    assert fusion_gibbs("KCl", T) == pytest.approx(9000 * (1 - x) ** 2, rel=0.005)


@pytest.mark.parametrize("liquid", [0.0, -4000.0])
def test_a_gap_wholly_on_one_side_of_the_middle_is_a_peritectic(made_up_pair, liquid):
    """Both sides of the gap hold less than half of CaF2, and the melt lies outside them."""
    model = pair_model("RbF", "CaF2", ((liquid, 0.0),), solid=((14760.0, 0.0), (5265.0, 0.0)))
    (point,) = (p for p in made_up_pair(model) if p.kind == "peritectic")
    assert point.solids == ("RbF", "CaF2")
    # the liquidus changes its slope there: steeper on the side of the solid that goes
    x, T = point.fractions[1], point.T_K
    melts = Melts(made_up_system(model.salts, model), np.array([[1 - y, y] for y in (x - 0.01, x, x + 0.01)]))
    below, here, above = melts.liquidus()[0]
    assert here == pytest.approx(T, abs=0.05)
    assert abs((here - below) / (above - here) - 1) > 0.2


@pytest.mark.parametrize(("a", "b"), [("LiCl", "KCl"), ("KCl", "MgCl2"), ("NaCl", "KCl"), ("NaF", "CaF2")])
def test_the_curve_for_drawing(a, b):
    curve = pair_curve(a, b, 51)
    assert curve.T_K.shape == curve.sigma_K.shape == curve.x_second.shape == (51,)
    assert curve.T_K[[0, -1]] == pytest.approx([salt(a).melting_point_K, salt(b).melting_point_K], abs=0.05)
    assert curve.sigma_K[[0, -1]] == pytest.approx(
        [salt(a).melting_point_sigma_K, salt(b).melting_point_sigma_K], rel=0.05
    )
    assert (curve.first_solid[0], curve.first_solid[-1]) == (a, b)
    assert curve.invariants == pair_invariants(a, b)
    for i in (5, 20, 40):
        x = float(curve.x_second[i])
        found = liquidus(Composition((a, b), (1 - x, x)))
        assert curve.T_K[i] == pytest.approx(found.T_K, abs=0.05)
        assert curve.sigma_K[i] == pytest.approx(found.sigma_K, rel=0.01)
        assert curve.first_solid[i] == found.first_solid


@pytest.mark.parametrize(("a", "b", "told"), [("NaCl", "NaCl", "two different"), ("NaCl", "KF", "two anions")])
def test_impossible_pairs_are_refused(a, b, told):
    with pytest.raises(InputError, match=told):
        pair_invariants(a, b)
    with pytest.raises(InputError, match=told):
        pair_curve(a, b)
