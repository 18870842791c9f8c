"""Vapour over a real bath: the pure salt as the limit, and complexes that hold the volatile salt back."""

import pytest

from thermo.answers.bath_vapour import bath_pressure, most_volatile, salt_vapours, temperature_of_vapour
from thermo.equilibrium.freezing.activity import activities
from thermo.laws.volatility import melt_pressure, salt_pressure
from thermo.records.composition import from_amounts
from thermo.records.units import celsius, kelvin


@pytest.mark.parametrize("formula", ["NaCl", "ZnCl2", "LiF"])
def test_a_pure_salt_has_its_own_vapour(formula):
    melt = from_amounts({formula: 1})
    assert bath_pressure(melt, 1100.0) == pytest.approx(float(salt_pressure(formula, 1100.0)), rel=1e-9)


def test_each_salt_counts_by_its_activity():
    melt = from_amounts({"ZnCl2": 20, "KCl": 40, "LiCl": 40})
    found, acts = salt_vapours(melt, 773.15), activities(melt, 773.15)
    for formula, value in zip(acts.salts, acts.values, strict=True):
        assert found[formula] == pytest.approx(value * float(salt_pressure(formula, 773.15)), rel=1e-9)


def test_zinc_chloride_in_potassium_chloride_fumes_far_less_than_ideal():
    """RI 8133: ZnCl2 alone fumes badly above its melting point; KCl-LiCl-ZnCl2 was run at 500 deg C for that reason."""
    melt = from_amounts({"ZnCl2": 20, "KCl": 40, "LiCl": 40})
    assert bath_pressure(melt, kelvin(500)) < 0.1 * melt_pressure(melt, kelvin(500))
    assert celsius(temperature_of_vapour(melt, 1000.0)) > 600
    assert celsius(temperature_of_vapour(from_amounts({"ZnCl2": 1}), 1000.0)) < 500


def test_two_anions_name_the_salt_that_leaves():
    melt = from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 38, "NaF": 2})
    found = salt_vapours(melt, 1100.0)
    assert set(found) == {"MgCl2", "NaCl", "KCl", "NaF"}
    assert most_volatile(melt, 1100.0) in ("NaCl", "KCl", "MgCl2")
    assert found["NaF"] < found["NaCl"]


def test_aluminium_fluoride_counts_by_its_amount():
    melt = from_amounts({"NaF": 60, "AlF3": 40})
    assert salt_vapours(melt, 1250.0)["AlF3"] == pytest.approx(0.4 * float(salt_pressure("AlF3", 1250.0)), rel=1e-9)
