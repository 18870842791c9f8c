"""Two liquids: critical points, binodals and monotectics of made-up melts, the fitted pairs."""

import numpy as np
import pytest

from tests.each import each
from tests.made_up import made_up_system, pair_model
from thermo.equilibrium.freezing.liquidus import liquid_unmixing
from thermo.equilibrium.invariants.liquid_gap import gaps_of, liquid_gaps, melt_solution
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts, liquidus_field
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.records.fitted import pair_models
from thermo.records.provenance import InputError
from thermo.records.units import R

PAIR = ("NaCl", "CaCl2")
ALL = [model.salts for model in pair_models().values()]


def repelling(top_K: float, spread: float = 0.0):
    """A regular melt with its critical point at x = 0.5 and this temperature."""
    return made_up_system(PAIR, pair_model(*PAIR, liquid=((2 * R * top_K, 0.0),), spread=spread))


def test_worked_value():
    (gap,) = gaps_of(made_up_system(PAIR, pair_model(*PAIR, liquid=((22000.0, 0.0),))))
    assert (gap.top.x, gap.top.T_K) == pytest.approx((0.5, 1323), abs=0.5)


def test_a_real_gap_follows_its_closed_form_down_to_the_monotectic():
    (gap,) = gaps_of(repelling(1300.0))
    assert not gap.hidden
    W = 2 * R * 1300.0
    for y, T_K in zip(gap.left[:-1], gap.T_K[:-1], strict=True):
        assert np.log(y / (1 - y)) == pytest.approx(W * (2 * y - 1) / (R * T_K), rel=1e-6)
    assert gap.left[:-1] == pytest.approx(1 - gap.right[:-1], abs=1e-7)
    assert gap.T_K[-1] == pytest.approx(1300.0)


def test_at_the_monotectic_both_liquids_start_to_freeze():
    """They have equal potentials, so a solid in balance with one is in balance with the other."""
    system = repelling(1300.0)
    (gap,) = gaps_of(system)
    ends = np.array([[1 - x, x] for x in (gap.left[0], gap.right[0])])
    field = liquidus_field(PAIR, ends, system)
    assert field.T_K.max() == pytest.approx(gap.T_K[0], abs=0.01)
    first = system.solids[int(field.solid_index[field.T_K.argmax()])]
    assert first.name == "NaCl"
    assert pytest.approx([gap.T_K[0]] * 2, abs=0.05) == field.T_K


def test_a_gap_below_the_liquidus_is_hidden():
    (gap,) = gaps_of(repelling(700.0))
    assert gap.hidden
    assert pytest.approx(700.0) == gap.top.T_K


def test_unmixing_on_heating_is_told_apart():
    model = pair_model(*PAIR, liquid=((-30000.0, 2 * R + 25.0),))
    (gap,) = gaps_of(made_up_system(PAIR, model))
    assert not gap.top.upper
    assert gap.T_K[0] == pytest.approx(1200.0)
    assert (np.diff(gap.right - gap.left) > 0).all()  # ever wider on heating


def test_spread_of_the_top():
    (gap,) = gaps_of(repelling(1300.0, spread=0.02))
    assert gap.top_sigma_K == pytest.approx(0.02 * 1300.0, rel=1e-6)


def test_the_order_of_the_salts_only_mirrors():
    model = pair_model(*PAIR, liquid=((20000.0, 0.0), (2000.0, 0.0)))
    (one,) = gaps_of(SaltSystem(PAIR, {frozenset(PAIR): model}, preference=0.0))
    (other,) = gaps_of(SaltSystem(PAIR[::-1], {frozenset(PAIR): model}, preference=0.0))
    assert one.top.x == pytest.approx(1 - other.top.x, abs=1e-6)
    assert one.left == pytest.approx(1 - other.right, abs=1e-6)


def test_attracting_salts_have_none():
    assert gaps_of(made_up_system(PAIR, pair_model(*PAIR, liquid=((-20000.0, 0.0),)))) == ()


@each(ALL)
def test_no_fitted_melt_separates_above_its_liquidus(a, b):
    real = [gap for gap in liquid_gaps(a, b) if not gap.hidden]
    assert [gap for gap in real if gap.top.upper] == []  # unmixing on cooling would show in the measured liquidus


@pytest.mark.parametrize("x", [0.1, 0.3, 0.45, 0.5, 0.62, 0.9])
def test_the_tangent_plane_agrees_with_the_binodal(x):
    system = repelling(1300.0)
    (gap,) = gaps_of(system)
    for T_K in (1050.0, 1150.0, 1230.0):
        l, r = (float(np.interp(T_K, gap.T_K, side)) for side in (gap.left, gap.right))
        assert gap.T_K[0] < T_K
        inside = bool(liquid_unmixing(system, np.array([1 - x, x]), T_K))
        if min(abs(x - l), abs(x - r)) > 0.02:  # the trial liquids come in steps of 0.02
            assert inside is (l < x < r)


def test_one_repelling_pair_splits_a_melt_of_three():
    salts = ("NaCl", "KCl", "MgCl2")
    W = 2 * R * 1500.0
    system = made_up_system(salts, pair_model("NaCl", "MgCl2", liquid=((W, 0.0),)))
    assert liquid_unmixing(system, np.array([0.45, 0.1, 0.45]), 1000.0)
    assert liquid_unmixing(system, np.array([0.05, 0.9, 0.05]), 1000.0) == ()


@pytest.mark.parametrize(
    "pair", [("CaF2", "CaCl2"), ("CaCl2", "CaF2"), ("LiF", "LiCl"), ("NaCl", "KCl"), ("MgCl2", "KCl")]
)
def test_the_melt_as_one_solution_is_the_melt_of_the_system(pair):
    """mu_2 - mu_1 by the system's own laws, for salts of one anion and of one cation, in either order."""
    system, x, T_K = salt_system(pair), np.array([0.13, 0.5, 0.81]), 1000.0
    melts = np.column_stack([1 - x, x])
    potentials = Melts(system, melts).potentials(T_K)
    first, second = system.own
    mixing = melt_solution(system)
    anions = {"CaF2": 2, "CaCl2": 2}.get(pair[0], 1)
    rise = anions * mixing.slope(x, T_K)
    assert potentials[:, second] - potentials[:, first] == pytest.approx(rise, abs=1e-6)


@pytest.mark.parametrize("pair", [("NaCl", "NaCl"), ("NaCl", "KF"), ("NaCl", "XCl")])
def test_what_is_no_pair_is_refused(pair):
    with pytest.raises(InputError):
        liquid_gaps(*pair)
