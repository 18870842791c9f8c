"""Faraday's law both ways, efficiency, energy, halogen; refusals. Published values are in tests/published."""

import pytest

from thermo.laws.faraday import (
    charge_Ah,
    current_efficiency,
    energy_kWh_per_kg,
    gas_L,
    halogen,
    metal_g,
    metal_g_per_Ah,
    salt_g_per_Ah,
)
from thermo.records.composition import formula_mass
from thermo.records.provenance import InputError
from thermo.records.substances import metals, salts


@pytest.mark.parametrize("symbol", list(metals()))
def test_round_trip(symbol):
    mass = metal_g(symbol, charge_Ah(3.7, 5.3), 0.83)
    assert current_efficiency(symbol, mass, 3.7 * 5.3).value == pytest.approx(0.83, rel=1e-12)


@pytest.mark.parametrize("formula", list(salts()))
def test_salt_consumed_is_metal_plus_halogen(formula):
    record = salts()[formula]
    gas = halogen(record.anion, 1.0)
    assert metal_g_per_Ah(record.cation) + gas.g == pytest.approx(salt_g_per_Ah(formula), rel=1e-9)


def test_spread_of_the_efficiency():
    # 3.00 +- 0.03 g against 4.534 g, charge exact: 0.0066; charge 2 %: 0.0132; both: 0.0148.
    assert current_efficiency("Mg", 3.0, 10.0, 0.03, 0.0).sigma == pytest.approx(0.00662, rel=0.01)
    assert current_efficiency("Mg", 3.0, 10.0, 0.0, 0.02).sigma == pytest.approx(0.01323, rel=0.01)
    assert current_efficiency("Mg", 3.0, 10.0, 0.03, 0.02).sigma == pytest.approx(0.01480, rel=0.01)


def test_energy_falls_with_efficiency():
    assert energy_kWh_per_kg("Na", 7.0, 0.85) == pytest.approx(energy_kWh_per_kg("Na", 7.0) / 0.85)


def test_gas_volume_follows_the_gas_law():
    cold, hot, thin = halogen("Cl", 5.0), halogen("Cl", 5.0, T_K=2 * 298.15), halogen("Cl", 5.0, p_Pa=50662.5)
    volumes = [hot.L, thin.L]
    assert volumes == pytest.approx([2 * cold.L, 2 * cold.L])
    assert hot.g == cold.g


def test_caustic_is_two_for_each_chlorine():
    gas = halogen("Cl", 7.0)
    assert gas.NaOH_g / formula_mass("NaOH") == pytest.approx(2 * gas.g / formula_mass("Cl2"))


def test_fluorine_is_not_what_a_carbon_anode_gives():
    assert any("CF4" in note for note in halogen("F", 1.0).notes)
    assert halogen("Cl", 1.0).notes == ()


def test_a_little_over_hundred_percent_is_kept_and_said():
    found = current_efficiency("Mg", 4.55, 10.0)
    assert found.value > 1
    assert found.notes


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: charge_Ah(-5.0, 2.0), "current -5 A"),
        (lambda: charge_Ah(5.0, 0.0), "time 0 h"),
        (lambda: charge_Ah(float("nan"), 2.0), "current nan A"),
        (lambda: metal_g("Mg", 10.0, 1.5), "at most 1"),
        (lambda: metal_g("Mg", 10.0, 0.0), "more than 0"),
        (lambda: metal_g("Mgg", 10.0), "did you mean"),
        (lambda: current_efficiency("Mg", 9.0, 10.0), "at most 4.534 g"),
        (lambda: current_efficiency("Mg", -1.0, 10.0), "zero or more"),
        (lambda: energy_kWh_per_kg("Mg", 0.0), "cell voltage"),
    ],
)
def test_refusals_are_one_line(call, words):
    with pytest.raises(InputError, match=words) as caught:
        call()
    assert "\n" not in str(caught.value)


def test_what_is_too_much_metal_is_drawn_at_two_standard_deviations():
    """2 % of the charge and twice the balance: at 4.5343 g from 10 A h the line is 4.645 g with 10 mg."""
    line = 1.02 * metal_g_per_Ah("Mg") * 10.0 + 2 * 0.01
    assert current_efficiency("Mg", line - 1e-4, 10.0).value == pytest.approx(1.0244, abs=1e-3)
    with pytest.raises(InputError, match="at most"):
        current_efficiency("Mg", line + 1e-4, 10.0)
    with pytest.raises(InputError, match="at most"):  # a better balance draws it closer
        current_efficiency("Mg", line - 1e-4, 10.0, weighed_sigma_g=0.005)


def test_charges_beyond_any_cell_are_refused():
    """From a millionth to a million million ampere hours; both ends are allowed."""
    assert (charge_Ah(1e-6, 1.0), charge_Ah(1e6, 1e6)) == (1e-6, 1e12)
    for amps in (0.99e-6, 1.01e12):
        with pytest.raises(InputError):
            charge_Ah(amps, 1.0)


def test_gas_in_litres_by_hand():
    """One ampere for an hour is 3600/96485.33 = 0.0373114 mol of electrons; at 25 deg C and 1 atm a mole fills
    24.4654 L (CODATA R 8.314463): chlorine 0.45642 L, oxygen half of it.
    """
    assert gas_L(1.0, 2) == pytest.approx(0.0373114 / 2 * 24.4654, rel=1e-5)
    assert gas_L(1.0, 4) == pytest.approx(0.0373114 / 4 * 24.4654, rel=1e-5)


def test_an_ordinary_meter_is_good_for_one_percent():
    """Current and time with an ordinary meter: 1 %, common practice, no source; said where nothing else is given."""
    found = current_efficiency("Mg", 3.0, 10.0, 0.0)
    assert found.sigma == pytest.approx(0.01 * found.value, rel=1e-9)
