"""Metal dissolved in its own salt: the rule between points, its limits, and the loss current."""

import math

import pytest

from thermo.laws.metal_solubility import LOSS_FACTOR, electron_conductance, loss_current_density, metal_solubility
from thermo.records.provenance import InputError, read_table, sources
from thermo.records.substances import metals, salts

ROWS = read_table("metal_solubility.csv")


def test_rows_name_known_things():
    assert {row["metal"] for row in ROWS} <= set(metals())
    assert {row["salt"] for row in ROWS} <= set(salts())
    assert {row["source"] for row in ROWS} <= set(sources())
    assert all(salts()[row["salt"]].cation == row["metal"] for row in ROWS)


@pytest.mark.parametrize("row", [r for r in ROWS if r["use"] == "yes"], ids=lambda r: f"{r['salt']}-{r['T_C']}")
def test_published_points_come_back(row):
    # Bredig, ORNL-3391 (1963): the law passes through its points.
    found = metal_solubility(row["salt"], float(row["T_C"]) + 273.15)
    assert found.fraction == pytest.approx(float(row["mol_pct"]) / 100, rel=1e-9)


def test_between_points_straight_in_reciprocal_temperature():
    # MgCl2: 0.2 mol% at 714, 0.3 at 800 deg C; at the middle of 1/T the geometric mean.
    T = 2 / (1 / (714 + 273.15) + 1 / (800 + 273.15))
    assert metal_solubility("MgCl2", T).fraction == pytest.approx(math.sqrt(0.002 * 0.003), rel=1e-9)


def test_above_the_consolute_temperature():
    found = metal_solubility("KCl", 800 + 273.15)
    assert found.miscible
    assert found.fraction is None
    assert "all proportions" in found.notes[0]


def test_not_carried_far():
    found = metal_solubility("NaCl", 600 + 273.15)
    assert found.fraction is None
    assert not found.miscible
    assert "195 K away" in found.notes[0]


def test_a_diluted_salt_dissolves_less():
    whole, part = metal_solubility("CaCl2", 1100.0), metal_solubility("CaCl2", 1100.0, 0.5)
    assert part.fraction == pytest.approx(whole.fraction / 2)
    assert any("most it can be" in note for note in part.notes)


def test_spread_grows_away_from_the_points():
    assert metal_solubility("MgCl2", 1100.0).sigma_ln > metal_solubility("MgCl2", 1073.15).sigma_ln


def test_unpublished_and_unknown():
    assert metal_solubility("LaF3", 1800.0).notes == ("no published solubility",)
    with pytest.raises(InputError, match="did you mean"):
        metal_solubility("NaCk", 1100.0)


def test_loss_current_by_hand():
    # z F D C / delta with C = 0.021 * 1.56 / 58.44 = 5.606e-4 mol/cm3: 96485 * 5e-5 * 5.606e-4 / 0.02 = 0.1352 A/cm2.
    assert loss_current_density(metal_solubility("NaCl", 795 + 273.15), 1.56, 58.44) == pytest.approx(0.1352, rel=1e-3)


def test_loss_current_counts_electrons():
    sodium, calcium = metal_solubility("NaCl", 1068.15), metal_solubility("CaCl2", 1093.15)
    ratio = loss_current_density(calcium, 2.0, 100.0) / loss_current_density(sodium, 2.0, 100.0)
    assert ratio == pytest.approx(2 * calcium.fraction / sodium.fraction)


def test_loss_needs_a_solubility():
    with pytest.raises(ValueError, match="unknown"):
        loss_current_density(metal_solubility("KCl", 1100.0), 1.5, 74.6)


@pytest.mark.parametrize(("formula", "lowest_C", "reach_K"), [("MgCl2", 714, 150), ("SrCl2", 839, 100)])
def test_two_points_are_carried_150_K_and_one_100(formula, lowest_C, reach_K):
    """Magnesium has points at 714 and 800 deg C, strontium one at 839."""
    lowest = lowest_C + 273.15
    assert metal_solubility(formula, lowest - reach_K + 0.5).fraction is not None
    assert metal_solubility(formula, lowest - reach_K - 0.5).fraction is None


def test_spread_between_points_and_beyond_by_hand():
    """Magnesium, 30 % at 714 and at 800 deg C. A quarter of the way in 1/T: hypot(0.75, 0.25) of it; beyond, 30 %; and
    0.5 % a kelvin to the point away, half of that to the nearer of two.
    """
    low, high = 714 + 273.15, 800 + 273.15
    T = 1 / (0.75 / low + 0.25 / high)
    drift = 0.005 * (T - low) / 2
    assert metal_solubility("MgCl2", T).sigma_ln == pytest.approx(math.hypot(0.3 * math.hypot(0.75, 0.25), drift))
    assert metal_solubility("MgCl2", high + 60).sigma_ln == pytest.approx(math.hypot(0.3, 0.3))
    assert metal_solubility("SrCl2", 839 + 273.15 + 40).sigma_ln == pytest.approx(math.hypot(0.15, 0.2))


def test_the_share_of_the_salt_is_said_in_percent():
    assert any("85 mol% of CaCl2" in note for note in metal_solubility("CaCl2", 1100.0, 0.85).notes)


def test_the_temperature_above_which_they_mix_is_the_top_of_the_gap():
    """Potassium: 790 deg C; calcium, with two more points below: 1337 (Bredig, tables 1 and 4: 1063 and 1610 K)."""
    assert metal_solubility("KCl", 800 + 273.15).notes[0].startswith("above 790 deg C")
    assert metal_solubility("CaCl2", 1400 + 273.15).notes[0].startswith("above 1337 deg C")


@pytest.mark.parametrize(("formula", "printed", "t_C"), [("NaCl", 12000, 1000), ("KCl", 2800, 780)])
def test_conductance_by_electrons_is_that_printed(formula, printed, t_C):
    """Lambda of the metal in infinite dilution, S cm2/mol: ORNL-3391, table 3. kappa = x Lambda rho / M."""
    found = metal_solubility(formula, t_C + 273.15)
    kappa = electron_conductance(found, 1.5, 70.0)
    assert kappa * 70.0 / 1.5 / found.fraction == pytest.approx(printed, rel=1e-9)


def test_a_loss_is_known_to_a_factor_of_three():
    """D and the layer each within a factor of two: exp of hypot(ln 2, ln 2) is 2.7, said as 3."""
    assert math.exp(math.hypot(math.log(2), math.log(2))) < LOSS_FACTOR <= 3.0
