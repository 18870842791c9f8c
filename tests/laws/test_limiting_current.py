"""Limiting currents: proportional to the ions, and between a still pool and a stirred one."""

import math

import pytest

from thermo.laws.limiting_current import diffusion_cm2_s, joining_currents, limiting_current, stirred_cm_s
from thermo.records.provenance import sources
from thermo.records.units import F, kelvin


def test_published_diffusion_comes_back():
    """Liu, Lu & Yu 2019, 973 K: 1.27 to 1.75e-5; Castrillejo 1997, 550 deg C: 7.2 to 9.9e-6 cm2/s."""
    assert diffusion_cm2_s("Mg", kelvin(700))[:2] == pytest.approx((1.27e-5, 1.75e-5))
    assert diffusion_cm2_s("Mg", kelvin(550))[:2] == pytest.approx((7.2e-6, 9.9e-6))


def test_the_two_magnesium_measurements_agree_within_their_spread_by_the_activation_energy():
    low, high, _ = diffusion_cm2_s("Mg", kelvin(700))
    carried = [d * (7.2e-6 / diffusion_cm2_s("Mg", kelvin(550))[0]) for d in (low, high)]
    assert carried[0] < 2 * 7.2e-6 * 2.5
    assert low < high


def test_a_still_layer_is_the_worked_one():
    """z F D C / 0.02 cm: D 1.27e-5, C 1e-3 mol/cm3, z 2: 0.123 A/cm2."""
    found = limiting_current("Mg", kelvin(700), 1e-3)
    assert found.low_A_cm2 == pytest.approx(2 * F * 1.27e-5 * 1e-3 / 0.02, rel=1e-9)
    assert found.high_A_cm2 > 5 * found.low_A_cm2
    assert limiting_current("Mg", kelvin(700), 2e-3).high_A_cm2 == pytest.approx(2 * found.high_A_cm2)


def test_an_ion_nobody_measured_is_marked_estimated():
    assert limiting_current("Sr", kelvin(800), 1e-3).origin == "estimated"
    assert limiting_current("Mg", kelvin(800), 1e-3).origin == "measured"
    assert set(limiting_current("Sr", kelvin(800), 1e-3).sources) <= set(sources())


def test_magnesium_carries_its_diffusion_by_the_two_measurements():
    """48.5 kJ/mol; the two rows of magnesium, 550 and 700 deg C, give R ln(1.491/0.844) / (1/823.15 - 1/973.15) = 25
    kJ/mol in two baths, and magnesium in LiCl-KCl from 500 to 600 deg C has printed 48.5 +- 3.7 kJ/mol (abstract:
    thermodynamic and kinetic properties of Mg(II) in LiCl-KCl eutectic, The Electrochemical Society).
    """
    warm, hot = (diffusion_cm2_s("Li", kelvin(t_C))[0] for t_C in (500, 600))
    energy = 8.314463 * math.log(hot / warm) / (1 / kelvin(500) - 1 / kelvin(600))
    assert energy == pytest.approx(48500, abs=50)  # as printed, to 100 J/mol


def test_an_ion_without_a_row_has_the_stated_range_at_700():
    """0.7 to 3e-5 cm2/s: common practice, no source; the docstring of the law states it."""
    assert diffusion_cm2_s("Sr", kelvin(700))[:2] == pytest.approx((0.7e-5, 3e-5))


def test_a_stirred_cell_is_the_rows_that_calibrate():
    """k by hand from Sun, Lu & Fan 2014: the mean logarithm of i / z F C gives their own three currents back."""
    rows = [row for row in joining_currents() if row.calibrates]
    ratios = [row.current_A_cm2 / limiting_current("Mg", row.T_K, row.concentration_mol_cm3).high_A_cm2 for row in rows]
    assert len(rows) == 3
    assert math.prod(ratios) == pytest.approx(1, rel=1e-9)
    assert ratios == pytest.approx([1, 1, 1], rel=0.15)  # proportional to C within 12 %, as the docstring says


def test_the_rate_of_a_stirred_cell_is_in_centimetres_a_second():
    """Rows at 700 deg C, where the bath's own D is the reference: k = i / z F C, whatever D."""
    row = next(row for row in joining_currents() if row.calibrates)
    by_hand = row.current_A_cm2 / (2 * F * row.concentration_mol_cm3)
    assert stirred_cm_s([row]) == pytest.approx(by_hand, rel=1e-9)
