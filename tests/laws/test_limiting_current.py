"""Limiting currents: proportional to the ions, and between a still pool and a stirred one."""

import pytest

from thermo.laws.limiting_current import diffusion_cm2_s, limiting_current
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
