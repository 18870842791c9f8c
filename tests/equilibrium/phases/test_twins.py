"""Starts for a pair of near twins: halves on both sides, compositions along the way, two made one."""

import numpy as np
import pytest

from thermo.equilibrium.phases.balance import phase_balance
from thermo.equilibrium.phases.part import Part
from thermo.equilibrium.phases.twins import along, parted, united

MIXTURES = phase_balance(("NaCl", "KCl", "CsCl")).mixtures
LIQUID = len(MIXTURES) - 1
ONE = Part(LIQUID, np.array([0.2, 0.3, 0.5]), 0.6)
OTHER = Part(LIQUID, np.array([0.21, 0.29, 0.5]), 0.0)
FAR = Part(LIQUID, np.array([0.8, 0.1, 0.1]), 0.3)
SOLID = Part(LIQUID + 1, np.array([1.0, 0.0, 0.0]), 0.4)


def test_halves_on_both_sides_of_the_nearest_kin():
    *rest, first, second = parted(MIXTURES, [SOLID, FAR, ONE, OTHER])
    assert [id(p) for p in rest] == [id(SOLID), id(FAR)]
    assert first.amount == second.amount == 0.3
    assert second.x == pytest.approx(OTHER.x)
    assert first.x * second.x / (first.x * second.x).sum() == pytest.approx(ONE.x**2 / (ONE.x**2).sum())


def test_compositions_along_the_way_lie_on_it():
    kind, x = along(MIXTURES, [SOLID, ONE, OTHER])
    assert kind == LIQUID
    assert x.sum(axis=1) == pytest.approx(np.ones(len(x)))
    way, own = np.log(OTHER.x / ONE.x), np.log(x / ONE.x)
    turned = own - own.mean(axis=1, keepdims=True)
    straight = way - way.mean()
    assert np.abs(np.cross(turned, straight)).max() < 1e-12
    assert (turned @ straight > 0).sum() == (turned @ straight < 0).sum() > 10


def test_a_pair_of_near_twins_becomes_one():
    thin = Part(LIQUID, OTHER.x, 0.2)
    *rest, one = united([SOLID, ONE, FAR, thin])
    assert [id(p) for p in rest] == [id(SOLID), id(FAR)]
    assert one.amount == pytest.approx(0.8)
    assert one.x == pytest.approx((0.6 * ONE.x + 0.2 * OTHER.x) / 0.8)
    assert united([SOLID, ONE, FAR]) == []


def test_without_kin_there_is_nothing():
    assert parted(MIXTURES, [SOLID, OTHER]) == []
    assert along(MIXTURES, [SOLID, OTHER]) is None
    assert along(MIXTURES, [FAR, OTHER]) is None  # no near twin
