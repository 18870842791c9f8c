"""Where the trade runs a cell, inside what is possible."""

import pytest

from thermo.answers.preferred import AS_COLD_K, METAL_VAPOUR_PA, preferred, vapour_limit_K
from thermo.answers.window import operating_window
from thermo.laws.volatility import metal_pressure
from thermo.records.composition import from_amounts
from thermo.records.provenance import read_table, sources
from thermo.records.substances import metals
from thermo.records.units import celsius, kelvin


def test_liquid_magnesium_says_what_the_trade_says():
    """US patent 5853560: cells run between 700 and 740 deg C; Guden & Karakaya 1994 ran at 690."""
    melt = from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "mass")
    window = operating_window(melt, kelvin(560), 5.0, "Mg", "liquid")
    assert celsius(window.preferred.low_K) == pytest.approx(690)
    assert celsius(window.preferred.high_K) == pytest.approx(750)
    assert window.explanation.startswith("Best 690 to 750 deg C (practice for liquid magnesium). Possible 670 to ")


def test_the_band_stays_inside_the_window():
    for row in read_table("practice_bands.csv"):
        assert row["source"] in sources()
        low, high = kelvin(float(row["low_C"])), kelvin(float(row["high_C"]))
        melts = metals()[row["metal"]].melting_point_K
        assert low < high
        assert (low >= melts) == (row["deposit"] == "liquid") or row["deposit"] == "solid"
        found = preferred(row["metal"], row["anion"], row["deposit"], low + 5, high + 200)
        assert (found.low_K, found.high_K) == (low + 5, high)


def test_without_a_band_the_vapour_of_the_metal_ends_it():
    found = preferred("K", "Cl", "liquid", 700.0, 1030.0)
    assert found.high_K == vapour_limit_K("K")
    assert metal_pressure("K", found.high_K) == pytest.approx(METAL_VAPOUR_PA, rel=1e-4)


def test_a_window_above_every_band_is_used_near_its_lower_end():
    found = preferred("K", "Cl", "liquid", 950.0, 1030.0)
    assert (found.low_K, found.high_K) == (950.0, 1000.0)
    assert preferred("Nd", "Cl", None, 1300.0, 1500.0).reason.startswith("practice for liquid")
    assert preferred("Pb", "Cl", "liquid", 700.0, 900.0).reason == "anywhere in the window"


def test_where_the_trade_is_colder_than_the_window_the_cold_end_is_best():
    found = preferred("Al", "F", "liquid", kelvin(1010), kelvin(1071))
    assert (found.low_K, found.high_K) == (kelvin(1010), kelvin(1010) + AS_COLD_K)
    assert "colder" in found.reason


def test_no_metal_no_band():
    assert operating_window(from_amounts({"NaCl": 1}), 1074.0, 0.5).preferred is None
