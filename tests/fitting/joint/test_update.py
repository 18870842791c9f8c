"""The joint update: what it takes, what it must not move, and that its files are what a fresh run writes."""

import numpy as np
import pytest

from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.system.build import salt_system
from thermo.fitting import agreement
from thermo.fitting.joint import update
from thermo.records.composition import from_amounts
from thermo.records.data_folder import DATA
from thermo.records.fitted import pair_fits, pair_models
from thermo.records.joint import joint_update, moves, solve
from thermo.records.parameters import Parameter
from thermo.records.ternary_terms import fusion_key, joint_shifts
from thermo.records.triple_salts import triple_salts


def test_one_equation_by_hand():
    """Prior sigma 2, noise 1, misfit 5: gain 4/5, shift 4, variance 4/5; a hold of sigma 1/2 leaves little to move."""
    place, G, none = {(frozenset(("NaCl", "KCl", "LiCl")), "NaCl"): 0}, np.array([[1.0]]), np.zeros((0, 1))
    found = solve(place, np.array([[4.0]]), G, np.array([[1.0]]), np.array([5.0]), none)
    assert found.shift == pytest.approx([4.0])
    assert found.covariance(list(place), np.array([[4.0]])) == pytest.approx(np.array([[0.8]]))
    held = solve(place, np.array([[4.0]]), G, np.array([[1.0]]), np.array([5.0]), np.array([[2.0]]))
    assert held.shift[0] == pytest.approx(5 * (4 / 17) / (4 / 17 + 1))
    # the hold adds no certainty: prior left is (1 - K)^2 4 + K^2
    K = held.gain[0, 0]
    assert held.covariance(list(place), np.array([[4.0]]))[0, 0] == pytest.approx((1 - K) ** 2 * 4 + K**2)


def test_what_stays_does_not_make_up_for_what_moves():
    """A curve that rests on the melt less a solid solution, both 2 and wholly correlated: it is sure by itself.

    The solid solution stays, so a hold on the curve is one on the melt: it moves no further than the hold lets it.
    """
    pair = frozenset(("NaCl", "KCl"))
    place = {(pair, Parameter("liquid", "a0")): 0, (pair, Parameter("solid solution", "a0")): 1}
    before, melts, hold = np.full((2, 2), 4.0), np.array([[1.0, 0.0]]), np.array([[10.0, -10.0]])
    found = solve(place, before, melts, np.array([[0.01]]), np.array([5.0]), hold)
    assert found.shift[1] == 0
    left = 4 / (100 * 4 + 1)  # variance of the melt beside a hold of a tenth
    assert found.shift[0] == pytest.approx(5 * left / (left + 0.01))


def test_what_the_melts_may_not_move():
    assert not moves(fusion_key("NaCl"))
    assert not moves((frozenset(("NaCl", "KCl")), Parameter("solid solution", "a0")))
    assert not moves((frozenset(("KF", "AlF3")), Parameter("liquid", "a0")))
    assert moves((frozenset(("NaCl", "KCl")), Parameter("liquid", "a0")))
    assert {key for key, _ in joint_shifts() if key == frozenset(("KF", "AlF3"))} == set()


def test_the_shifts_written_are_those_of_the_equations():
    shift = joint_update().shift
    for (names, parameter), n in joint_update().place.items():
        if len(names) == 3 and isinstance(names, frozenset):
            assert joint_shifts()[names, parameter] == pytest.approx(shift[n], rel=1e-2, abs=30)


def test_the_covariance_stays_positive():
    for salts in (("LiF", "NaF", "KF"), ("NaCl", "KCl", "MgCl2"), ("LiF", "KF", "CaF2", "AlF3")):
        system = salt_system(salts)
        scale = np.sqrt(np.diag(system._together))
        scale[scale == 0] = 1
        assert np.linalg.eigvalsh(system._together / np.outer(scale, scale)).min() > -1e-6


def test_a_pair_moves_less_than_its_own_sigma():
    """Holds keep the pairs: nine in ten parameters move by less than a third of their standard deviation."""
    moved = []
    for key, fit in pair_fits().items():
        sigma = np.sqrt(np.diag(fit.covariance))
        moved += list(np.abs(pair_models()[key].values - fit.values)[sigma > 0] / sigma[sigma > 0])
    assert np.quantile(moved, 0.9) < 1 / 3
    assert max(moved) < 3


CONGRUENT = [formula for formula, c in triple_salts().items() if c.melting == "congruent"]


@pytest.mark.parametrize("formula", CONGRUENT)
def test_a_congruent_compound_is_the_first_solid_of_its_own_composition(formula):
    found = liquidus(from_amounts(dict(triple_salts()[formula].stoichiometry)))
    assert found.first_solid == formula
    assert pytest.approx(triple_salts()[formula].T_K, abs=0.5) == found.T_K


def test_damaged_rows_are_left_aside():
    """450 deg C for NaCl-CaCl2 with 4.5 mol% BaCl2: damaged digits (data/ternary.csv)."""
    whole = update.Assembly(update.equations(update.melts()))
    aside = {own.salts for n, own in enumerate(whole.melts) if not whole.agrees(n)}
    assert ("NaCl", "CaCl2", "BaCl2") in aside
    assert len(aside) < 8


def test_the_files_are_what_a_fresh_run_writes():
    fresh = update.regenerate()
    stored = {name: (DATA / name).read_text(encoding="utf-8") for name in fresh}
    assert agreement.differing(stored, fresh) == []
