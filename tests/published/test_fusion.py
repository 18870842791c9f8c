"""Melting points, heats of fusion and transition, cryoscopic constants: our Gibbs functions against publications."""

import chemicals
import pytest
from scipy.constants import calorie as CAL
from scipy.optimize import brentq

from thermo.laws.gibbs import fusion_enthalpy, fusion_gibbs, solid_gibbs
from thermo.records.composition import formula_mass
from thermo.records.substances import salt, salts
from thermo.records.units import R, kelvin


def melting_point(formula: str) -> float:
    """Temperature in K at which liquid and crystal balance."""
    start = salt(formula).melting_point_K
    return brentq(lambda T: fusion_gibbs(formula, T), start - 80, start + 80, xtol=1e-6)


REAL = [formula for formula in salts() if formula != "AlF3"]  # AlF3 sublimes: its melting is a convention


@pytest.mark.parametrize("formula", REAL)
def test_melting_points_of_the_crc_handbook(formula):
    """CRC Handbook, table of inorganic compounds (package chemicals): within two standard deviations of ours."""
    handbook = chemicals.Tm(chemicals.CAS_from_any(formula), method="CRC_INORG")
    assert abs(melting_point(formula) - handbook) <= 2 * salt(formula).melting_point_sigma_K


@pytest.mark.parametrize("formula", REAL)
def test_heats_of_fusion_of_the_crc_handbook(formula):
    """CRC Handbook, enthalpy of fusion (package chemicals): within two standard deviations of ours."""
    handbook = chemicals.Hfus(chemicals.CAS_from_any(formula), method="CRC")
    ours = fusion_enthalpy(formula, melting_point(formula))
    assert abs(ours - handbook) <= 2 * salt(formula).fusion_enthalpy_sigma_J_mol


# ORNL-3293 p. 13 Table 1 (Dworkin & Bredig; Kelley): kcal/mol, melting point in deg C
ORNL_3293 = {
    "LiF": (6.47, 848),
    "LiCl": (4.76, 610),
    "NaF": (8.03, 995),
    "NaCl": (6.69, 800),
    "KF": (6.75, 858),
    "KCl": (6.34, 770),
    "RbF": (6.15, 795),
    "RbCl": (5.67, 722),
    "CsF": (5.19, 703),
    "CsCl": (4.84, 645),
}


@pytest.mark.parametrize("formula", ORNL_3293)
def test_heats_of_fusion_of_the_alkali_halides(formula):
    kcal, t_C = ORNL_3293[formula]
    heat = fusion_enthalpy(formula, melting_point(formula))
    assert abs(heat - 1000 * CAL * kcal) <= 2 * salt(formula).fusion_enthalpy_sigma_J_mol
    # printed to 1 K, and two standard deviations of ours
    assert abs(melting_point(formula) - kelvin(t_C)) <= 0.5 + 2 * salt(formula).melting_point_sigma_K


# Heats of fusion, kJ/mol, with the uncertainty their source states as a fraction
HEATS = [
    pytest.param("BaCl2", 16.7, 0.025, id="BaCl2 NSRDS-NBS 61 IV table 54.8 (Dworkin & Bredig 1963)"),
    pytest.param("MgF2", 57.74, 0.02, id="MgF2 NSRDS-NBS 61 IV table 50.3"),
    pytest.param("CaF2", 29.66, 0.02, id="CaF2 NSRDS-NBS 61 IV table 51.3"),
    pytest.param("LaCl3", 54.4, 0.02, id="LaCl3 ORNL-3804 p. 30, 13.0 kcal"),
    pytest.param("NdCl3", 50.2, 0.02, id="NdCl3 ORNL-3804 p. 30, 12.0 kcal"),
    pytest.param(
        "BaF2",
        12.68,
        0.02,
        id="BaF2 NSRDS-NBS 61 IV table 52.3",
        marks=pytest.mark.xfail(reason="off by +84 %: the book's value is older than JANAF and CRC", strict=True),
    ),
    pytest.param("CsCl", 19.52, 0.45 / 19.52, id="CsCl J. Chem. Phys. 71 (1979) 4099, Calvet calorimetry"),
    pytest.param(
        "CsCl",
        15.90,
        0.02,
        id="CsCl NIST-JANAF Cl-007",
        marks=pytest.mark.xfail(
            reason="off by 25 % because the table stands alone against two calorimetries, 20.25 and 19.52", strict=True
        ),
    ),
]


@pytest.mark.parametrize(("formula", "kJ", "stated"), HEATS)
def test_heats_of_fusion_of_other_publications(formula, kJ, stated):
    """Two combined standard deviations; NdCl3 and LaCl3 state none, 2 % is that of Gaune-Escard et al. 1994."""
    ours = fusion_enthalpy(formula, melting_point(formula)) / 1000
    spread = salt(formula).fusion_enthalpy_sigma_J_mol / 1000
    assert abs(ours - kJ) <= 2 * (spread**2 + (stated * kJ) ** 2) ** 0.5


# NSRDS-NBS 61 Part IV: cryoscopic constant R Tm^2 M / H in K kg/mol (tables 50.x, 51.x), printed to 0.1
@pytest.mark.parametrize(("formula", "constant"), [("MgF2", 21.2), ("CaF2", 62.6)])
def test_cryoscopic_constants(formula, constant):
    T = melting_point(formula)
    ours = R * T**2 * formula_mass(formula) / 1000 / fusion_enthalpy(formula, T)
    assert ours == pytest.approx(constant, rel=0.02)  # 2 %: the heat of fusion's stated uncertainty in the book


# NSRDS-NBS 61 Part IV: BaCl2 at 920 deg C, 4.1 kcal (sec. 54.9); CaF2 at 1151 deg C, 1.14 kcal (table 51.3)
@pytest.mark.parametrize(("formula", "t_C", "kcal"), [("BaCl2", 920, 4.1), ("CaF2", 1151, 1.14)])
def test_heats_of_solid_transition(formula, t_C, kcal):
    """Enthalpy of the crystal 10 K above less 10 K below the published temperature, less Cp over these 20 K."""

    def enthalpy(T):
        return solid_gibbs(formula, T) - T * (solid_gibbs(formula, T + 0.01) - solid_gibbs(formula, T - 0.01)) / 0.02

    T = kelvin(t_C)
    sensible = enthalpy(T - 10) - enthalpy(T - 20) + enthalpy(T + 20) - enthalpy(T + 10)
    # 3 %: printed to 0.1 kcal of 4.1 (2.4 %), to 0.01 of 1.14 (0.9 %)
    assert enthalpy(T + 10) - enthalpy(T - 10) - sensible == pytest.approx(1000 * CAL * kcal, rel=0.03)


def test_barium_chloride_below_its_transition_melts_with_both_heats():
    """NSRDS-NBS 61 IV sec. 54.9: transition as large as the fusion heat, together 33.9 kJ/mol (8.1 kcal)."""
    low = fusion_enthalpy("BaCl2", kelvin(900))
    # the Cp step between 900 deg C and melting is worth 20 J/(mol K) times 60 K, 1.2 kJ
    assert low == pytest.approx(33.9e3, abs=1.5e3)
