"""Activities in a melt: limits, Gibbs-Duhem, covariance against a brute-force change of the coefficients."""

from dataclasses import replace

import numpy as np
import pytest

from thermo.equilibrium.freezing.activity import activities, ln_activities
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.records.composition import from_amounts
from thermo.records.fitted import pair_models
from thermo.records.units import R

MELTS = [
    {"LiCl": 58.5, "KCl": 41.5},
    {"KCl": 68, "MgCl2": 32},
    {"MgCl2": 15, "NaCl": 48, "KCl": 37},
    {"LiF": 46.5, "NaF": 11.5, "KF": 42},
]


def test_one_salt():
    found = activities(from_amounts({"NaCl": 1}), 1100.0)
    assert found.values == pytest.approx([1.0])
    assert found.sigma_ln == pytest.approx([0.0])


@pytest.mark.parametrize("amounts", MELTS, ids=lambda a: "-".join(a))
def test_gibbs_duhem(amounts):
    # sum x_i d(ln a_i) = 0 along any change of composition at constant T; central difference, second order in h.
    T, h = 1000.0, 1e-4
    names = tuple(amounts)
    x = np.array(list(amounts.values())) / sum(amounts.values())
    for j in range(1, len(x)):
        step = np.zeros_like(x)
        step[0], step[j] = h, -h
        low, high = ln_activities(names, np.array([x - step, x + step]), T)
        assert x @ (high - low) / (2 * h) == pytest.approx(0.0, abs=1e-5)


@pytest.mark.parametrize("amounts", MELTS, ids=lambda a: "-".join(a))
def test_one_melt_and_many_agree(amounts):
    melt = from_amounts(amounts)
    assert np.log(activities(melt, 1000.0).values) == pytest.approx(
        ln_activities(melt.salts, melt.array[None, :], 1000.0)[0]
    )


def test_pure_limit():
    # Raoult: the activity coefficient of a salt goes to 1 as the melt becomes that salt.
    found = activities(from_amounts({"KCl": 1 - 1e-6, "MgCl2": 1e-6}), 1000.0)
    assert found.coefficients[0] == pytest.approx(1.0, abs=1e-6)


def test_absent_salt():
    assert ln_activities(("NaCl", "KCl"), np.array([[1.0, 0.0]]), 1100.0)[0, 1] == -np.inf


def test_covariance_is_that_of_changed_coefficients():
    # One eigenvector of the coefficients' covariance at a time, moved by its own standard deviation.
    melt, T = from_amounts({"LiCl": 58.5, "KCl": 41.5}), 723.15
    key = frozenset(melt.salts)
    pair = pair_models()[key]
    known = len(pair.parameters)
    widths, directions = np.linalg.eigh(salt_system(melt.salts)._together)  # after the joint update, melting with it
    base = np.log(activities(melt, T).values)
    total = np.zeros((2, 2))
    moves = [np.sqrt(max(w, 0.0)) * direction for w, direction in zip(widths, directions.T, strict=True)]
    for move in moves:
        values = pair.values + move[:known] + move[known:] @ pair.fusion_response
        system = SaltSystem(melt.salts, {key: replace(pair, values=values)})
        change = R * T * (np.log(activities(melt, T, system).values) - base)
        total += np.outer(change, change)
    found = activities(melt, T).covariance_J2_mol2
    assert found == pytest.approx(total, rel=0.02)  # the reciprocal term of the mixing law is not quite linear


def test_covariance_is_positive():
    found = activities(from_amounts({"MgCl2": 15, "NaCl": 48, "KCl": 37}), 1000.0).covariance_J2_mol2
    assert np.linalg.eigvalsh(found).min() > -1e-6 * np.trace(found)
