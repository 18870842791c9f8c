"""Charge and mass: worked figures from stoichiometry (hand arithmetic where no publication is named).

Tolerances: the last printed digit of the row, or 0.1 to 0.2 % where it prints four.
"""

import pytest

from thermo.laws.faraday import (
    current_efficiency,
    energy_kWh_per_kg,
    gas_L,
    halogen,
    metal_g,
    metal_g_per_Ah,
    salt_g_per_Ah,
)

PER_AH = {  # g/(A h): M 3600 / (z F), CODATA 2018 and IUPAC atomic masses
    "Li": 0.2589,
    "Na": 0.8578,
    "K": 1.4588,
    "Rb": 3.1889,
    "Cs": 4.9589,
    "Mg": 0.4534,
    "Ca": 0.7477,
    "Sr": 1.6346,
    "Ba": 2.5619,
    "Zn": 1.2197,
    "Al": 0.3356,
    "La": 1.7276,
    "Ce": 1.7426,
    "Nd": 1.794,
}
MASSES = [  # metal, A h, efficiency, g, tolerance g
    ("Mg", 20.0, 0.80, 7.255, 0.015),
    ("Li", 5.0, 1.0, 1.295, 0.001),
    ("Li", 0.5 * 0.25, 1.0, 0.0324, 0.0003),
    ("Mg", 4.55 * 4.50 * 24, 1.0, 222.8, 0.3),
    ("Mg", 5.35 * 3.30 * 24, 1.0, 192.1, 0.3),
    ("Mg", 97000 * 24, 0.96, 1013400, 2000),
    ("Zn", 0.5 * 0.25, 1.0, 0.1525, 0.0002),
    ("Al", 1.0, 1.0, 0.3356, 0.0005),
]


@pytest.mark.parametrize(("symbol", "grams"), PER_AH.items())
def test_mass_of_one_ampere_hour(symbol, grams):
    assert metal_g_per_Ah(symbol) == pytest.approx(grams, rel=0.001)


@pytest.mark.parametrize(("symbol", "charge", "efficiency", "grams", "tolerance"), MASSES)
def test_mass_from_charge(symbol, charge, efficiency, grams, tolerance):
    assert metal_g(symbol, charge, efficiency) == pytest.approx(grams, abs=tolerance)


@pytest.mark.parametrize(
    ("symbol", "weighed", "charge", "percent"),
    [("Mg", 3.00, 10.0, 66.16), ("Li", 1.80, 12.0 * 40 / 60, 86.89), ("Nd", 40.0, 37.5, 59.46)],
)
def test_efficiency_from_a_weighing(symbol, weighed, charge, percent):
    # Percent printed to 0.01; 0.1 covers the rounding of the masses of one A h.
    assert 100 * current_efficiency(symbol, weighed, charge).value == pytest.approx(percent, abs=0.1)


def test_time_and_current_for_a_mass():
    assert metal_g("Ca", 15.0 * 5.944, 0.75) == pytest.approx(50.0, rel=0.002)
    assert metal_g("Mg", 3.50 * 945.2 / 60) == pytest.approx(25.0, rel=0.001)
    assert metal_g("Na", 11.66 * 0.5) == pytest.approx(5.0, rel=0.004)
    # Five avoirdupois ounces are 141.75 g.
    assert metal_g("Na", 330.5 * 0.5) == pytest.approx(5 * 28.349523125, rel=0.003)


@pytest.mark.parametrize(
    ("symbol", "volts", "efficiency", "energy"),
    [
        ("Mg", 3.72, 1.0, 8.204),  # voltage of Guden & Karakaya, J. Appl. Electrochem. 24 (1994) 791
        ("Mg", 1.0, 1.0, 2.205),
        ("Ca", 27.5, 0.45, 81.7),  # contact cathode, Zaikov et al., Metall. Mater. Trans. B 2014
        ("Na", 7.0, 0.85, 9.601),
    ],
)
def test_energy(symbol, volts, efficiency, energy):
    assert energy_kWh_per_kg(symbol, volts, efficiency) == pytest.approx(energy, rel=0.001)


def test_chlorine_of_one_ampere_hour():
    gas = halogen("Cl", 1.0)
    assert gas.g == pytest.approx(1.3227, rel=0.001)
    litres = gas.L
    assert litres == pytest.approx(0.4564, abs=0.0002)
    assert gas.NaOH_g == pytest.approx(1.492, abs=0.003)
    flow = halogen("Cl", 10.0).L * 1000 / 60
    assert flow == pytest.approx(76.1, abs=0.2)
    # At 0 deg C and 1 atm: 418.1 mL.
    cold = halogen("Cl", 1.0, T_K=273.15).L
    assert cold == pytest.approx(0.4181, abs=0.0002)


@pytest.mark.parametrize(("electrons", "mL"), [(4, 228.2), (2, 456.4)], ids=["O2, CO2", "CO, F2"])
def test_other_anode_gases(electrons, mL):
    assert 1000 * gas_L(1.0, electrons) == pytest.approx(mL, abs=0.2)


@pytest.mark.parametrize(("symbol", "mL"), [("Ca", 610.4), ("Na", 532.1), ("Li", 1762.6)])
def test_hydrogen_from_washing(symbol, mL):
    assert 1000 * gas_L(1 / metal_g_per_Ah(symbol), 2) == pytest.approx(mL, abs=1)


@pytest.mark.parametrize(("formula", "grams"), [("NaCl", 2.180), ("MgCl2", 1.776)])
def test_salt_consumed(formula, grams):
    assert salt_g_per_Ah(formula) == pytest.approx(grams, rel=0.001)
