"""Order of deposition in melts without interactions: arithmetic, wording, refusals. Measured melts: tests/published."""

import math
from dataclasses import replace

import numpy as np
import pytest

from thermo.answers.deposition import NEAR_TIES, deposition_order, gap_meaning
from thermo.laws.formation import decomposition_voltage
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError, sources
from thermo.records.substances import metals
from thermo.records.units import F, R


class IdealMelt:
    """A system without interactions: activities are mole fractions."""

    status = "fitted"
    sources = ()
    pairs = ()

    def __init__(self, *salts):
        self.salts = self.constituents = salts

    def excess_potentials(self, x, T_K):
        return np.zeros_like(x)

    def parameter_gradient(self, solid, x, T_K, y):
        return []

    def melt_errors(self, x, weights, T_K):
        return {}

    def covariance(self, gradients, fusion_errors):
        return np.zeros((len(gradients), len(gradients)))


def ideal_order(amounts, t_C, wanted=None, basis="mol"):
    composition = from_amounts(amounts, basis)
    return deposition_order(composition, t_C + 273.15, wanted, IdealMelt(*composition.present.salts))


def test_one_salt_is_its_standard_voltage():
    order = ideal_order({"MgCl2": 1}, 727)
    volts = order.first.E_V
    assert volts == pytest.approx(decomposition_voltage("MgCl2", 1000.15).value_V)
    assert order.margin_V is None
    assert order.p_first == 1.0


def test_nernst_shift():
    order = ideal_order({"NaCl": 10, "KCl": 90}, 800)
    sodium = order.couple("Na")
    shift = sodium.E_V - sodium.E0_V
    assert shift == pytest.approx(R * 1073.15 / F * math.log(10), rel=1e-9)


def test_gap_and_share_in_the_deposit():
    order = ideal_order({"LiCl": 50, "KCl": 50}, 450)
    second = order.couples[1]
    assert second.gap_V == pytest.approx(second.E_V - order.first.E_V)
    assert second.in_deposit == pytest.approx(math.exp(-F * second.gap_V / (R * 723.15)))
    assert order.first.gap_V == 0.0
    assert order.first.in_deposit == 1.0


def test_spread_of_the_gap_has_both_standard_voltages():
    order = ideal_order({"LiCl": 50, "KCl": 50}, 450)
    spreads = [decomposition_voltage(f, 723.15).sigma_V for f in ("LiCl", "KCl")]
    assert order.couples[1].gap_sigma_V == pytest.approx(math.hypot(*spreads))


def test_salt_of_zero_amount_is_left_out():
    assert [c.metal for c in ideal_order({"NaCl": 50, "KCl": 50, "LiCl": 0}, 800).couples] == ["Na", "K"]


def test_meaning_of_a_gap():
    assert [gap_meaning(gap) for gap in (0.0, 0.09, 0.1, 0.29, 0.3, 2.0)] == [
        "alloy",
        "alloy",
        "traces",
        "traces",
        "clean",
        "clean",
    ]


def test_wanted_metal_that_is_not_first():
    order = ideal_order({"BaCl2": 50, "KCl": 50}, 800, "Ba")
    assert any(note.startswith("Ba is not first: K before it") for note in order.notes)
    assert any("barium is not won" in note for note in order.notes)


def test_wanted_metal_in_a_near_tie_is_not_written_off():
    # 45 mol% CaCl2, ideal: the computed gap is about its spread, so neither 'first' nor 'not first' is said.
    order = ideal_order({"NaCl": 55, "CaCl2": 45}, 600, "Ca")
    assert order.couples[1].metal == "Ca"
    assert any(note.startswith("Ca is not clearly first") for note in order.notes)


def test_wanted_metal_that_no_salt_holds():
    order = ideal_order({"BaCl2": 50, "KCl": 50}, 800, "Mg")
    assert "no salt of this melt holds Mg: none can deposit" in order.notes


def test_unknown_wanted_metal():
    with pytest.raises(InputError, match="metal 'Unobtainium'"):
        ideal_order({"NaCl": 1}, 800, "Unobtainium")


def test_close_order_is_said():
    order = ideal_order({"NaCl": 42, "CaCl2": 58}, 600, basis="mass")
    assert any("too close to call" in note for note in order.notes)
    assert any("drops out as the sodium cools" in note for note in order.notes)
    assert 0.5 < order.p_first < 0.95


def test_boiling_metal_is_said():
    order = ideal_order({"BaCl2": 50, "KCl": 50}, 800)
    assert order.first.metal_state == "gas"
    assert any("above its boiling point" in note for note in order.notes)


def test_fluorides_are_warned_of():
    order = ideal_order({"LiF": 40, "NaF": 40, "NdF3": 20}, 800)
    assert any("do not follow the order of the chlorides" in note for note in order.notes)


def test_the_standing_of_a_metal_in_one_line():
    """Late, first, in a near tie, alone: the same words on the page, on paper and at the terminal."""
    bath = ideal_order({"MgCl2": 20, "NaCl": 80}, 700)
    gap, spread = bath.couple("Na").gap_V, bath.couple("Na").gap_sigma_V
    assert bath.standing("Na") == (f"Not first to deposit: Mg comes {gap:.2f} +- {spread:.2f} V before it.", True)
    assert bath.standing("Mg") == (f"Deposits first, {gap:.2f} +- {spread:.2f} V before Na.", False)
    tie = ideal_order({"NaCl": 55, "CaCl2": 45}, 600)
    assert tie.standing("Ca") == ("Whether Ca or Na deposits first is too close to call.", False)
    assert tie.first_words == f"{tie.first.metal} or {tie.couples[1].metal}, too close to call"
    assert bath.first_words == f"Mg, {gap:.2f} +- {spread:.2f} V before Na"
    second = tie.couples[1]
    assert second.p_behind < 0.95
    third = replace(second, metal="Sr", gap_V=second.gap_V + 1e-4)  # one more that the data cannot tell from the first
    of_three = replace(tie, couples=(*tie.couples, third))
    assert of_three.standing("Sr") == (f"Whether Sr or {tie.first.metal} deposits first is too close to call.", False)
    alone = ideal_order({"NaCl": 1}, 810)
    assert (alone.standing("Na"), alone.first_words) == (("", False), "Na")


def test_couple_of_a_metal_not_held():
    with pytest.raises(InputError, match="allowed: Na, K"):
        ideal_order({"NaCl": 50, "KCl": 50}, 800).couple("Mg")


def test_near_ties_name_known_metals_and_sources_resolve():
    assert all(pair <= set(metals()) for _, pair in NEAR_TIES)
    assert set(ideal_order({"NaCl": 50, "KCl": 50}, 800).sources) <= set(sources())
