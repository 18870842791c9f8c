"""Readers of the published melting data: values as printed in the sources, orientation, weights."""

import pytest

from thermo.records.published import (
    QUANTITIES,
    invariants,
    liquidus_points,
    melt_values,
    mixing_points,
    ternary_points,
)
from thermo.records.units import ZERO_C, celsius


def only(rows, **wanted):
    """The one row with these attributes."""
    found = [row for row in rows if all(getattr(row, name) == value for name, value in wanted.items())]
    assert len(found) == 1, found
    return found[0]


def test_the_lithium_potassium_chloride_eutectic_reads_as_printed():
    # Chiotti, Simmons & Kateley 1969, Table II: 41.0 mol% KCl, 627 K, LiCl + KCl
    point = only(invariants("LiCl", "KCl"), source="chiotti1969")
    assert (point.kind, point.x_b, point.solids, point.use) == ("eutectic", 0.41, ("LiCl", "KCl"), "fit")
    # 627 K printed to the kelvin, kept as 353.9 deg C
    assert abs(point.T_K - 627) <= 0.5
    assert point.reference.provenance == "checked"


def test_a_pair_asked_the_other_way_round_is_mirrored():
    one = invariants("KCl", "MgCl2")
    other = invariants("MgCl2", "KCl")
    assert len(one) == len(other) >= 9
    for a, b in zip(one, other, strict=True):
        assert b.pair == ("MgCl2", "KCl")
        assert (a.T_K, a.solids, a.source) == (b.T_K, b.solids, b.source)
        assert (a.x_b is None) == (b.x_b is None)
        if a.x_b is not None:
            assert a.x_b + b.x_b == pytest.approx(1, rel=1e-12)
        assert b.flipped().pair == a.pair


def test_liquidus_points_are_mirrored_and_keep_their_solid():
    # Cantor 1959 (ORNL-2799): 10 mol% CaF2 freezes NaF 45.3 K below 995 deg C
    point = only(liquidus_points("NaF", "CaF2"), x_b=0.10)
    assert abs(point.T_K - (995 - 45.3 + ZERO_C)) <= 0.05
    assert point.solids == ("NaF",)
    mirrored = only(liquidus_points("CaF2", "NaF"), T_K=point.T_K)
    assert mirrored.x_b == pytest.approx(0.90, rel=1e-12)
    assert mirrored.solids == ("NaF",)


def test_mirroring_turns_quantities_of_a_into_quantities_of_b():
    limit = only(mixing_points("LiCl", "NaCl"), source="ornl4548")
    # ORNL-4548 Table 14.1: activity coefficient 0.54 of NaCl at infinite dilution in LiCl, 650 deg C
    assert (limit.quantity, limit.x_b, limit.value) == ("activity_coefficient_b_infinite", 0.0, 0.54)
    mirrored = only(mixing_points("NaCl", "LiCl"), source="ornl4548")
    assert (mirrored.quantity, mirrored.x_b, mirrored.value) == ("activity_coefficient_a_infinite", 1.0, 0.54)
    for point in mixing_points():
        assert point.flipped().quantity in QUANTITIES
        again = point.flipped().flipped()
        assert (again.quantity, again.pair) == (point.quantity, point.pair)
        symmetric = point.quantity in ("enthalpy_of_mixing_J_mol", "excess_gibbs_J_mol")
        assert (point.flipped().quantity == point.quantity) == symmetric


def test_calories_became_joules():
    # Chiotti et al. 1969 Table II, KCl at 47.2 mol% KCl, 700 K: -887 cal/mol
    point = only(mixing_points("LiCl", "KCl"), quantity="excess_potential_b_J_mol", x_b=0.472)
    assert point.value == pytest.approx(-887 * 4.184, abs=0.05)
    assert point.use == "no"  # it repeats the liquidus point of the same table


def test_recalled_enthalpy_of_mixing_is_the_formula_at_three_compositions():
    # x1 x2 (-4690 J/mol), recalled from Hersh & Kleppa 1965
    points = [p for p in mixing_points("LiCl", "NaCl") if p.quantity == "enthalpy_of_mixing_J_mol"]
    assert [p.x_b for p in points] == [0.25, 0.5, 0.75]
    for p in points:
        assert p.value == pytest.approx(-4690 * p.x_b * (1 - p.x_b), abs=0.01)
        assert p.sigma >= 300
        assert p.reference.provenance == "memory"


def test_an_activity_is_the_mole_fraction_times_the_printed_coefficient():
    # Lantratov & Alabyshev in ORNL-3293 Table 7: ZnCl2 in NaCl, 50 mol%, 600 deg C: 0.41
    point = only(mixing_points("NaCl", "ZnCl2"), quantity="activity_b")
    assert point.value == pytest.approx(0.41 * 0.5, abs=1e-6)


def test_melts_of_three_salts_are_found_in_any_order():
    found = ternary_points("MgCl2", "NaCl", "KCl")
    assert found == ternary_points("NaCl", "KCl", "MgCl2")
    assert len(found) >= 6
    # Janz & Tomkins 1981 System 96: 21.6 KCl, 33.0 NaCl, 45.4 MgCl2, 385 deg C
    point = only(found, source="janz_tomkins1981")
    assert dict(zip(point.salts, point.fractions, strict=True)) == {"NaCl": 0.33, "KCl": 0.216, "MgCl2": 0.454}
    assert celsius(point.T_K) == pytest.approx(385, rel=1e-9)
    assert ternary_points("NaCl", "KCl") == ()


def test_equivalents_of_a_reciprocal_melt_became_salts():
    # Bukhalova & Bergman 1949: 22.5 equivalent percent Ca and 43 of F in Li,Ca//F,Cl, 472 deg C
    point = only(ternary_points("LiCl", "CaF2", "LiF"), kind="eutectic")
    x = dict(zip(point.salts, point.fractions, strict=True))
    charge_of_anions = x["LiCl"] + 2 * x["CaF2"] + x["LiF"]
    # fractions kept to four places, so the percentages return to 0.02
    assert 100 * 2 * x["CaF2"] / charge_of_anions == pytest.approx(22.5, abs=0.02)
    assert 100 * (2 * x["CaF2"] + x["LiF"]) / charge_of_anions == pytest.approx(43, abs=0.02)


def test_values_of_whole_melts():
    # ORNL-2626 Table 1.3.1: 48 cal/g, mean molar mass of 49 NaCl and 51 CaCl2 is 85.24 g/mol
    point = only(melt_values(), salts=("NaCl", "CaCl2"))
    # 48 cal/g printed to the calorie: 1 %
    assert point.value == pytest.approx(48 * 4.184 * 85.24, rel=0.01)
    activity = only(melt_values(), quantity="activity")
    assert (activity.of_salt, activity.value) == ("MgCl2", pytest.approx(0.17, abs=1e-9))  # 0.34 times 0.5


def test_what_may_be_fitted_is_complete():
    for point in invariants():
        if point.use != "no":
            assert point.T_K is not None, point
            assert point.T_sigma_K > 0
            assert point.x_b is None or 0 < point.x_b < 1
        assert (point.x_b is None) == (point.x_b_sigma is None)
        assert (point.T_K is None) == (point.T_sigma_K is None)
        if point.kind == "congruent":
            assert point.x_b_sigma == 0
    assert all(point.sigma > 0 for point in (*mixing_points(), *melt_values()))


def test_an_unknown_pair_has_no_rows():
    assert invariants("LiCl", "LiF") != ()
    assert invariants("NdCl3", "LaCl3") == ()
    assert liquidus_points("NdCl3", "LaCl3") == ()
    assert mixing_points("NdCl3", "LaCl3") == ()
