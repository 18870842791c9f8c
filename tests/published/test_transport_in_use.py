"""Conductance and viscosity of melts near the temperatures at which they are used, against publications."""

import pytest

from thermo.laws.conductance import conductance
from thermo.laws.metal_solubility import MetalSolubility, electron_conductance
from thermo.laws.viscosity import viscosity
from thermo.records.composition import from_amounts
from thermo.records.units import kelvin


def test_electrons_in_sodium_chloride():
    # 1 mol% Na at 900 deg C, Lambda 12000 S cm2/mol (Bredig, ORNL-3391, Table 3), 39.2 cm3/mol: 3.06 S/cm, 2 %.
    dissolved = MetalSolubility("Na", "NaCl", 1173.15, 0.01, 0.1, False, (), ())
    assert electron_conductance(dissolved, 1.0, 39.2) == pytest.approx(3.06, rel=0.02)


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
