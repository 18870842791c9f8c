"""Formation energies and decomposition voltages against NIST-JANAF and other published values."""

import janaf
import numpy as np
import pytest

from tests.answers.test_deposition import IdealMelt
from thermo.answers.deposition import deposition_order
from thermo.fitting.gibbs.salts import TABLES
from thermo.laws.formation import decomposition_voltage, formation_gibbs, thermoneutral_voltage
from thermo.laws.gibbs import transitions
from thermo.records.composition import from_amounts
from thermo.records.units import F

# Voltage rows: 0.01 V, the tolerance asked for and the spread given to the tables' chlorides.
STANDARD = [  # salt, K, V, metal; NIST-JANAF 4th ed. (Chase 1998), -dGf / (z F)
    ("NaCl", 1100.0, 3.22, "stable"),
    ("LiCl", 700.0, 3.595, "stable"),
    ("KCl", 1100.0, 3.412, "gas"),
    ("MgCl2", 1000.0, 2.501, "stable"),
    ("SrCl2", 1200.0, 3.352, "stable"),
    ("NaCl", 900.0, 3.35, "stable"),
    ("NaCl", 1073.15, 3.237, "condensed"),
    ("NaCl", 873.15, 3.369, "condensed"),
    ("KCl", 973.15, 3.546, "condensed"),
    ("LiCl", 723.15, 3.581, "condensed"),
    ("MgCl2", 973.15, 2.517, "condensed"),
    ("CaCl2", 1123.15, 3.243, "condensed"),
    ("SrCl2", 1173.15, 3.368, "condensed"),
    ("BaCl2", 1273.15, 3.408, "condensed"),
    ("ZnCl2", 773.15, 1.564, "condensed"),  # not JANAF: CRC and Cubicciotti & Eding inputs
    ("CsCl", 973.15, 3.636, "condensed"),
    ("LiF", 1173.15, 5.235, "condensed"),
    ("CaF2", 1273.15, 5.197, "condensed"),
    ("MgF2", 1273.15, 4.628, "condensed"),
    ("NaF", 973.15, 4.835, "condensed"),
]


@pytest.mark.parametrize(("formula", "T_K", "volts", "metal_state"), STANDARD)
def test_standard_voltage(formula, T_K, volts, metal_state):
    assert decomposition_voltage(formula, T_K, metal_state).value_V == pytest.approx(volts, abs=0.01)


def test_potassium_is_a_gas_at_1100_K():
    assert decomposition_voltage("KCl", 1100.0).metal_state == "gas"


def table_nodes(index, low, high):
    """T (K) and dGf (kJ/mol) of one JANAF table between two temperatures, transition rows left out."""
    nodes = {}
    for line in janaf.Table(index).raw.splitlines()[2:]:
        cells = line.split("\t")
        if len(cells) >= 7 and cells[6].strip() and float(cells[0]) % 100 == 0 and low <= float(cells[0]) <= high:
            nodes[float(cells[0])] = float(cells[6])
    return nodes


def off_table(formula, state, low, high):
    """Largest distance from the table's dGf nodes, kJ/mol, with the metal in the table's own reference state."""
    index = TABLES[formula][0 if state == "crystal" else 1]
    nodes = table_nodes(index, low, high)
    assert len(nodes) >= 3
    T = np.array(list(nodes))
    return float(np.abs(formation_gibbs(formula, T, "stable", state) / 1000 - np.array(list(nodes.values()))).max())


# 0.3 kJ/mol: the agreement asked for, 3 mV for a salt of one electron.
@pytest.mark.parametrize("formula", list(TABLES))
def test_crystal_nodes(formula):
    assert off_table(formula, "crystal", 300.0, 1000.0) < 0.3


# The liquids are compared where the tables have a liquid, above their assumed glass transition (800 to 1200 K).
LIQUID_FROM = {
    "LiCl": 600.0,
    "KCl": 600.0,
    "MgCl2": 700.0,
    "CaCl2": 700.0,
    "NaCl": 800.0,
    "SrCl2": 800.0,
    "BaCl2": 800.0,
}
LIQUID_FROM |= {"LiF": 800.0, "NaF": 900.0, "KF": 700.0, "CsF": 600.0, "CsCl": 600.0}
LIQUID_FROM |= {"MgF2": 1000.0, "CaF2": 1000.0, "SrF2": 1200.0, "BaF2": 1100.0, "AlF3": 700.0}
DISPUTED = pytest.mark.xfail(
    reason="off by up to 2.5 kJ/mol: the heat of fusion taken, 19.9 kJ/mol, is measured twice, the table has 15.90",
    strict=True,
)


@pytest.mark.parametrize("formula", [pytest.param(f, marks=DISPUTED) if f == "CsCl" else f for f in TABLES])
def test_liquid_nodes(formula):
    assert off_table(formula, "liquid", LIQUID_FROM[formula], 1500.0) < 0.3


def test_thermoneutral_voltage_of_magnesium_chloride():
    # NIST-JANAF: dHf(MgCl2, l, 1000 K) = -596.73 kJ/mol, so 3.092 V; tolerance 1 mV is 0.2 kJ/mol.
    assert thermoneutral_voltage("MgCl2", 1000.0) == pytest.approx(3.092, abs=0.001)


# Other lists. ANL (Knighton, Johnson & Steunenberg 1969), 727 deg C, printed to 0.1 kcal per equivalent: 0.1 kcal is
# 4.3 mV; their selected values and JANAF 1998 are different evaluations, so 0.03 V (0.7 kcal) is the tolerance.
KNIGHTON = {
    "BaCl2": 83.4,
    "KCl": 81.4,
    "LiCl": 78.8,
    "NaCl": 75.7,
    "MgCl2": 57.7,
    "RbCl": 81.2,
    "NdCl3": 64.2,
}
KNIGHTON_OFF = {
    "SrCl2": (81.0, "off by 0.035 V: an older evaluation, 0.8 kcal from JANAF 1998"),
    "CaCl2": (77.9, "off by 0.06 V: an older evaluation, 1.4 kcal from JANAF 1998"),
    "CsCl": (80.0, "off by 0.15 V: their selection for CsCl lies 3.5 kcal from the one used here"),
    "ZnCl2": (35.0, "off by 0.10 V: their liquid ZnCl2 lies 2.3 kcal from the inputs used here"),
    "LaCl3": (67.0, "off by 0.06 V: their enthalpy of formation is older than Cordfunke & Booij 1995"),
    "CeCl3": (66.3, "off by 0.07 V: their enthalpy of formation is older than Cordfunke & Booij 1995"),
}


@pytest.mark.parametrize(("formula", "kcal"), KNIGHTON.items())
def test_anl_list(formula, kcal):
    volts = decomposition_voltage(formula, 1000.15, "condensed").value_V
    assert volts == pytest.approx(kcal * 4184 / F, abs=0.03)


@pytest.mark.parametrize(
    ("formula", "kcal"),
    [pytest.param(f, v, marks=pytest.mark.xfail(reason=why, strict=True)) for f, (v, why) in KNIGHTON_OFF.items()],
)
def test_anl_list_misses(formula, kcal):
    volts = decomposition_voltage(formula, 1000.15, "condensed").value_V
    assert volts == pytest.approx(kcal * 4184 / F, abs=0.03)


# ORNL-3293 p. 40 (Lantratov & Alabyshev): E0(MgCl2) = 2.9823 - 0.000673 t; p. 40: E0(ZnCl2) = 1.92 - 0.000695 t.
# 0.02 V: two sigma of the tables' 0.01.
@pytest.mark.parametrize(
    ("formula", "a", "b", "t_C"),
    [("MgCl2", 2.9823, 0.000673, 700), ("MgCl2", 2.9823, 0.000673, 800), ("ZnCl2", 1.92, 0.000695, 700)],
)
def test_measured_cells(formula, a, b, t_C):
    assert decomposition_voltage(formula, t_C + 273.15, "condensed").value_V == pytest.approx(a - b * t_C, abs=0.02)


def ideal(amounts, t_C, basis):
    melt = from_amounts(amounts, basis)
    return deposition_order(melt, t_C + 273.15, None, IdealMelt(*melt.salts))


def test_ideal_nernst_of_a_magnesium_bath():
    # 20/40/40 mass% MgCl2-NaCl-KCl (Guden & Karakaya 1994), 700 deg C, a = x: 2.597 V from JANAF.
    order = ideal({"MgCl2": 20, "NaCl": 40, "KCl": 40}, 700, "mass")
    assert order.first.metal == "Mg"
    volts = order.first.E_V
    assert volts == pytest.approx(2.597, abs=0.01)


def test_ideal_gap_of_the_sodium_bath():
    # 42/58 mass% NaCl-CaCl2, 600 deg C, a = x: E(Ca) - E(Na) = 0.022 V from JANAF.
    order = ideal({"NaCl": 42, "CaCl2": 58}, 600, "mass")
    assert [c.metal for c in order.couples] == ["Na", "Ca"]
    assert order.margin_V == pytest.approx(0.022, abs=0.01)


@pytest.mark.parametrize(("z", "t_C", "mV"), [(1, 450, 143.5), (2, 700, 96.5)])
def test_shift_of_a_tenfold_dilution(z, t_C, mV):
    """R T ln 10 / (z F), rounded to 0.1 mV."""
    metal, salt, solvent = {1: ("Li", "LiCl", "KCl"), 2: ("Mg", "MgCl2", "NaCl")}[z]
    strong, weak = (ideal({salt: x, solvent: 100 - x}, t_C, "mol").couple(metal).E_V for x in (10, 1))
    assert 1000 * (weak - strong) == pytest.approx(mV, abs=0.1)


def test_strontium_chloride_transition_is_kept():
    # NIST-JANAF: SrCl2 alpha to beta at 1000 K; the crystal nodes above pass through it.
    assert [round(T) for T, _, _ in transitions("SrCl2")] == [1000]
