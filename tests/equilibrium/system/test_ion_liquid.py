"""Melts of two anions at one temperature after another: slopes, what is remembered, where it started, dilution."""

import numpy as np
import pytest

from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.ion_liquid import REUSED_K
from thermo.records.units import R

NAMES = ("NaCl", "KCl", "MgCl2", "CaF2", "LiF")
DRAW = np.random.default_rng(4)
MELTS = DRAW.dirichlet(np.ones(len(NAMES)), 12)


@pytest.mark.parametrize("T_K", [500.0, 900.0, 1500.0])
def test_the_slope_is_the_derivative(T_K):
    """Central differences over 0.02 K; 5e-3 J/(mol K) of slopes of 50 is the step of the difference inside."""
    system, T, h = salt_system(NAMES), np.full(12, T_K), 0.01
    slope = system.liquid(MELTS).at(T)[1]
    more, less = (system.liquid(MELTS).at(T + s * h)[0] for s in (1, -1))
    assert slope == pytest.approx((more - less) / (2 * h), abs=5e-3)


def test_worked_value_of_the_docstring():
    """NaF-NaCl half and half: -R T ln 2 and what the pair's own interaction adds to both alike."""
    system = salt_system(("NaF", "NaCl"))
    mu = system.liquid(np.array([[0.5, 0.5]])).potentials(1000.0)[0]
    h = sum((a + 1000.0 * b) * 0.25 for _, order, a, b in system.laws.anion_terms if order == 0)
    first = sum((a + 1000.0 * b) * 0.25 for _, order, a, b in system.laws.anion_terms if order == 1)
    assert mu == pytest.approx(-R * 1000.0 * np.log(2) + h + first * np.array([1.0, -1.0]), abs=1.0)


def test_what_was_asked_before_changes_nothing():
    system = salt_system(NAMES)
    wandered, T = system.liquid(MELTS), np.full(12, 820.0)
    for before in (1900.0, 400.0, 1100.0):
        wandered.at(np.full(12, before))
    fresh = system.liquid(MELTS)
    assert wandered.at(T)[0] == pytest.approx(fresh.at(T)[0], abs=1e-5)
    assert fresh.potentials(820.0) == pytest.approx(fresh.at(T)[0], abs=1e-6)


def test_rows_and_single_melts_agree_with_all():
    system, rows = salt_system(NAMES), np.array([7, 2, 9])
    T = DRAW.uniform(600, 1200, 12)
    every = system.liquid(MELTS).at(T)
    some = system.liquid(MELTS).at(T[rows], rows)
    one = system.liquid(MELTS[[2]]).at(T[[2]])
    for part in (0, 1):
        assert some[part] == pytest.approx(every[part][rows], abs=1e-4)
        assert one[part][0] == pytest.approx(every[part][2], abs=1e-4)


def test_near_the_last_temperature_the_potentials_are_carried_on():
    system = salt_system(NAMES)
    liquid, T = system.liquid(MELTS), np.full(12, 900.0)
    liquid.at(T)
    near = liquid.at(T + 0.9 * REUSED_K)[0]
    assert near == pytest.approx(system.liquid(MELTS).at(T + 0.9 * REUSED_K)[0], abs=1e-4)


def test_dilution_lowers_every_potential_by_RT():
    system, T = salt_system(NAMES), np.full(12, 950.0)
    plain, thin = system.liquid(MELTS), system.liquid(MELTS).diluted(0.1)
    assert plain.at(T)[0] - thin.at(T)[0] == pytest.approx(np.full((12, 10), 0.1 * R * 950.0), abs=1e-5)
    assert plain.potentials(950.0) - thin.potentials(950.0) == pytest.approx(
        np.full((12, 10), 0.1 * R * 950.0), abs=1e-5
    )


def test_one_anion_is_the_limit_of_two():
    """A millionth of a millionth of fluoride: the potentials of the chlorides as of SaltSystem, 1e-4 J/mol."""
    names = ("NaCl", "KCl", "MgCl2")
    x = DRAW.dirichlet(np.ones(3), 8)
    plain = salt_system(names).liquid(x).potentials(950.0)
    traced = salt_system((*names, "NaF")).liquid(np.column_stack([x * (1 - 1e-12), np.full(8, 1e-12)]))
    assert traced.potentials(950.0)[:, 3:] == pytest.approx(plain, abs=1e-4)
