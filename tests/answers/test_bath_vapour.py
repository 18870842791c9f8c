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


BATHS = [{"NaCl": 60, "CaCl2": 18, "MgCl2": 22}, {"LiF": 60, "NdF3": 40}, {"NaF": 60, "AlF3": 40}, {"CsCl": 1},
         {"NaCl": 60, "CaCl2": 18, "KF": 22}, {"ZnCl2": 95, "KCl": 5}]  # fmt: skip


@pytest.mark.parametrize("amounts", BATHS, ids=lambda amounts: "-".join(amounts))
@pytest.mark.parametrize("pressure_Pa", [10.0, 1000.0, 101325.0])
def test_the_temperature_of_a_pressure_has_that_pressure(amounts, pressure_Pa):
    melt = from_amounts(amounts)
    assert bath_pressure(melt, temperature_of_vapour(melt, pressure_Pa)) == pytest.approx(pressure_Pa, rel=1e-4)
