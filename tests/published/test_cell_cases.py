"""Runs of cells against worked figures from stoichiometry and against published cells.

Tolerances of stoichiometric rows: the last printed digit of the row, or 0.1 to 0.2 % where it prints four.
"""

import pytest
from scipy.optimize import brentq

from thermo.answers.cell import CellRun, describe_cell
from thermo.answers.deposition import deposition_order
from thermo.answers.drift import Bath, bath_drift
from thermo.answers.power import Geometry, cell_voltage
from thermo.answers.weighing import WATER_AH_G
from thermo.laws.conductance import conductance
from thermo.laws.density import melt_density
from thermo.laws.faraday import (
    current_efficiency,
    energy_kWh_per_kg,
    gas_L,
    halogen,
    metal_g,
    metal_g_per_Ah,
    salt_g_per_Ah,
)
from thermo.laws.metal_solubility import MetalSolubility, electron_conductance
from thermo.laws.viscosity import viscosity
from thermo.records.composition import Composition, from_amounts
from thermo.records.units import kelvin

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
    ("Li", 5.0, 1.0, 1.295, 0.005),
    ("Li", 0.5 * 0.25, 1.0, 0.0324, 0.0003),
    ("Mg", 4.55 * 4.50 * 24, 1.0, 222.8, 0.3),
    ("Mg", 5.35 * 3.30 * 24, 1.0, 192.1, 0.3),
    ("Mg", 97000 * 24, 0.96, 1013400, 2000),
    ("Zn", 0.5 * 0.25, 1.0, 0.1525, 0.001),
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
    ("symbol", "volts", "efficiency", "energy", "tolerance"),
    [
        ("Mg", 3.72, 1.0, 8.204, 0.02),  # voltage of Guden & Karakaya, J. Appl. Electrochem. 24 (1994) 791
        ("Mg", 1.0, 1.0, 2.205, 0.003),
        ("Ca", 27.5, 0.45, 81.7, 0.3),  # contact cathode, Zaikov et al., Metall. Mater. Trans. B 2014
        ("Na", 7.0, 0.85, 9.601, 0.02),
    ],
)
def test_energy(symbol, volts, efficiency, energy, tolerance):
    assert energy_kWh_per_kg(symbol, volts, efficiency) == pytest.approx(energy, abs=tolerance)


def test_chlorine_of_one_ampere_hour():
    gas = halogen("Cl", 1.0)
    assert gas.g == pytest.approx(1.3228, abs=0.0015)
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


def test_charge_lost_to_water():
    assert pytest.approx(2.975, rel=0.002) == WATER_AH_G


@pytest.mark.parametrize(("formula", "grams"), [("NaCl", 2.180), ("MgCl2", 1.776)])
def test_salt_consumed(formula, grams):
    assert salt_g_per_Ah(formula) == pytest.approx(grams, rel=0.001)


def test_magnesium_bath_from_20_to_8_mass_percent():
    # (40 - m) / (200 - m) = 0.08, m = 26.09 g of MgCl2: 14.69 A h, 0.5 %.
    bath = Bath(from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "mass"), "Mg", 200.0)
    charge = brentq(lambda q: bath.composition(q).mass_percent["MgCl2"] - 8.0, 0.0, 0.99 * bath.exhausted_Ah)
    assert charge == pytest.approx(14.69, rel=0.005)


def test_electrons_in_sodium_chloride():
    # 1 mol% Na at 900 deg C, Lambda 12000 S cm2/mol (Bredig, ORNL-3391, Table 3), 39.2 cm3/mol: 3.06 S/cm, 2 %.
    dissolved = MetalSolubility("Na", "NaCl", 1173.15, 0.01, 0.1, False, (), ())
    assert electron_conductance(dissolved, 1.0, 39.2) == pytest.approx(3.06, rel=0.02)


LITHIUM = from_amounts({"LiCl": 30, "KCl": 30}, "mass")


@pytest.fixture(scope="module")
def lithium_run():
    return bath_drift(LITHIUM, "Li", kelvin(450), 60.0, 10.0)


def test_lithium_bath_drifts(lithium_run):
    # Formula masses and F: 63.75 mol% LiCl, 56.43 after 5 A h.
    shares = {round(p.charge_Ah, 3): p.composition.mole_percent["LiCl"] for p in lithium_run.points}
    assert shares[0.0] == pytest.approx(63.75, abs=0.05)
    assert shares[5.0] == pytest.approx(56.43, abs=0.1)


def test_lithium_bath_freezes_in_the_pot(lithium_run):
    # About 396 deg C at first and 478 with KCl first after 10 A h: eutectic 58.5 mol% LiCl at 625 K (Li et al. 2016)
    # and CRC heats of fusion; 15 and 20 K are the spread of that estimate. A pot at 450 deg C has frozen by then.
    first, last = lithium_run.points[0], lithium_run.points[-1]
    start, end = first.liquidus_K - 273.15, last.liquidus_K - 273.15
    assert start == pytest.approx(396, abs=15)
    assert end == pytest.approx(478, abs=20)
    assert last.first_solid == "KCl"
    assert last.frozen
    assert 5.0 < lithium_run.freezes.charge_Ah < 10.0


def first_of(amounts, t_C, basis="mol"):
    order = deposition_order(from_amounts(amounts, basis), kelvin(t_C))
    return order, [c.metal for c in order.couples]


def test_sodium_before_calcium_in_the_sodium_bath():
    # 42/58 mass% NaCl-CaCl2 makes sodium in industry (Downs); near tie, less than 0.1 V.
    order, metals = first_of({"NaCl": 42, "CaCl2": 58}, 600, "mass")
    assert metals == ["Na", "Ca"]
    assert order.margin_V < 0.1


@pytest.mark.parametrize(
    ("amounts", "t_C", "first", "later"),
    [
        ({"BaCl2": 50, "KCl": 50}, 800, "K", "Ba"),
        ({"SrCl2": 50, "NaCl": 50}, 800, "Na", "Sr"),
        ({"LiCl": 58.5, "KCl": 41.5}, 450, "Li", "K"),
    ],
)
def test_order_in_chlorides(amounts, t_C, first, later):
    _, metals = first_of(amounts, t_C)
    assert metals == [first, later]


@pytest.mark.parametrize(
    "others",
    [
        {"KCl": 95},
        {"NaCl": 95},
        {"NaCl": 47.5, "KCl": 47.5},
        {"LiCl": 45, "KCl": 50},
        {"CaCl2": 30, "NaCl": 30, "KCl": 35},
        {"BaCl2": 45, "NaCl": 50},
        {"KCl": 50, "SrCl2": 45},
    ],
    ids=lambda others: "-".join(others),
)
def test_magnesium_first_in_any_chloride_bath(others):
    # Practice of magnesium cells: clean of sodium and potassium down to a few percent MgCl2; 0.3 V is 'clean' here.
    order, metals = first_of({"MgCl2": 5, **others}, 750)
    assert metals[0] == "Mg"
    assert order.margin_V > 0.3


@pytest.mark.parametrize("rare_earth", ["LaF3", "CeF3", "NdF3"])
@pytest.mark.parametrize("alkali", ["NaF", "KF"])
def test_alkalis_before_rare_earths_in_fluorides(rare_earth, alkali):
    # Published: the Nd(III) wave is hidden by K+ and Na+ in LiF-KF and LiF-NaF and seen in LiF-CaF2.
    _, metals = first_of({rare_earth: 20, alkali: 80}, 800)
    assert metals[0] == alkali[:-1]


def test_neodymium_first_without_sodium_and_potassium():
    _, metals = first_of({"LiF": 80, "CaF2": 15, "NdF3": 5}, 850)
    assert metals[0] == "Nd"


def test_published_magnesium_cell_voltage():
    # Guden & Karakaya 1994: 20/40/40 mass% MgCl2-NaCl-KCl, 690 deg C, 0.48 A/cm2, 3 cm, 3.72 V measured.
    bath = from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "mass")
    T = kelvin(690)
    E = deposition_order(bath, T).couple("Mg").E_V
    found = cell_voltage(bath, T, "Mg", E, 4.8, Geometry(10.0, 3.0)).total_V
    assert found.low == pytest.approx(3.72, abs=0.05) or found.low < 3.72 < found.high


# Conductance near the operating temperature, recalled from Janz 1968 and 1974; 15 % is their spread as remembered.
@pytest.mark.parametrize(
    ("amounts", "t_C", "S_cm"),
    [
        ({"LiCl": 58.5, "KCl": 41.5}, 450, 1.6),
        ({"NaCl": 1}, 810, 3.6),
        ({"KCl": 1}, 790, 2.2),
        ({"CaCl2": 1}, 790, 2.0),
        ({"MgCl2": 1}, 720, 1.0),
        ({"BaCl2": 1}, 970, 2.0),
        ({"LaCl3": 1}, 870, 1.3),
        ({"NaCl": 50, "KCl": 50}, 750, 2.4),
        pytest.param(
            {"LiF": 46.5, "NaF": 11.5, "KF": 42},
            600,
            1.3,
            marks=pytest.mark.xfail(
                reason="off by a factor of 1.9: LiF-KF and LiF-NaF carried on 183 K below their measurements, KF-NaF "
                "estimated; the recalled 1-1.3 S/cm at 500-600 deg C is no evaluated value either",
                strict=True,
            ),
        ),
    ],
    ids=lambda v: "-".join(v) if isinstance(v, dict) else str(v),
)
def test_conductance_in_use(amounts, t_C, S_cm):
    assert conductance(from_amounts(amounts), kelvin(t_C)).value == pytest.approx(S_cm, rel=0.15)


# Viscosity of melts that no equation here was taken from: Williams 2006 (ORNL/TM-2006/69), summary table, recalled, and
# LiF-NaF-KF 0.0400 exp(4170/T) of Janz 1974, recalled; 25 % is how far viscosity sources differ.
@pytest.mark.parametrize(
    ("amounts", "T_K", "mPa_s"),
    [
        ({"LiCl": 58, "RbCl": 42}, 973.0, 1.30),
        ({"NaCl": 58, "MgCl2": 42}, 973.0, 1.36),
        ({"KCl": 68, "MgCl2": 32}, 973.0, 1.445),
        ({"LiF": 46.5, "NaF": 11.5, "KF": 42}, 873.0, 4.75),
    ],
    ids=lambda v: "-".join(v) if isinstance(v, dict) else str(v),
)
def test_viscosity_elsewhere(amounts, T_K, mPa_s):
    assert viscosity(from_amounts(amounts), T_K).value == pytest.approx(mPa_s, rel=0.25)


def test_sodium_loses_less_than_potassium():
    # Bredig, ORNL-3391: potassium dissolves in KCl five times as well as sodium in NaCl; that is why K is not won so.
    def loss(formula, symbol, t_C):
        melt = Composition((formula,), (1.0,))
        return describe_cell(melt, symbol, kelvin(t_C), CellRun(5.0, 1.0)).loss.loss_A_cm2

    # 0.02-0.1 A/cm2 is the loss current usually met (common practice); potassium far above it.
    assert 0.02 < loss("NaCl", "Na", 810) < 0.3
    assert loss("KCl", "K", 760) > 0.3


def test_melt_density_of_the_sodium_bath_floats_sodium():
    # Liquid sodium 0.81 g/cm3 at 600 deg C (Sobolev) against salt near 1.9: it rises in seconds, not minutes.
    melt = from_amounts({"NaCl": 42, "CaCl2": 58}, "mass")
    answer = describe_cell(melt, "Na", kelvin(600), CellRun(5.0, 1.0))
    assert melt_density(melt, kelvin(600)).value_g_cm3 > 1.5
    assert answer.drops.direction == "rises"
    assert next(d for d in answer.drops.drops if d.diameter_mm == 1.0).minutes < 0.1
