"""Weigh-outs and conversions against hand arithmetic with IUPAC atomic masses, and against compositions as printed."""

import pytest

from thermo.answers.weighing import (
    WATER_AH_G,
    melt_from_bottles,
    sludge,
    water_per_formula,
    weigh_out,
)
from thermo.records.composition import from_amounts
from thermo.records.hydrates import hydrate_named
from thermo.records.units import F

# Printed to 0.01 of a percent: 0.05 leaves room for atomic masses of other years, as the examples themselves allow.
TO_MASS_PERCENT = [
    # J. Chem. Eng. Data 2016, LiCl-KCl eutectic 58.5 mol%
    ({"LiCl": 58.5, "KCl": 41.5}, {"LiCl": 44.49, "KCl": 55.51}),
    # LiF-NaF-KF eutectic
    ({"LiF": 46.5, "NaF": 11.5, "KF": 42}, {"LiF": 29.21, "NaF": 11.69, "KF": 59.09}),
    # J. Electrochem. Soc. 161 (2014) D820: LiCl, 17 mol% KCl, 26 mol% CsCl
    ({"LiCl": 57, "KCl": 17, "CsCl": 26}, {"LiCl": 29.98, "KCl": 15.72, "CsCl": 54.30}),
    ({"NaCl": 50, "KCl": 50}, {"NaCl": 43.94, "KCl": 56.06}),
    ({"MgCl2": 50, "KCl": 50}, {"MgCl2": 56.08, "KCl": 43.92}),
    # AIP Conf. Proc. 2126 (2019) 080006; 0.1: the fractions are printed to 0.1 and sum to 99.9
    ({"MgCl2": 44.7, "KCl": 25.8, "NaCl": 29.4}, {"MgCl2": 53.89}),
]
TO_MOLE_PERCENT = [
    # Downs cell: eutectic and working bath as quoted
    ({"NaCl": 33.2, "CaCl2": 66.8}, {"NaCl": 48.55, "CaCl2": 51.45}),
    ({"NaCl": 42, "CaCl2": 58}, {"NaCl": 57.9, "CaCl2": 42.1}),
    # Guden & Karakaya, J. Appl. Electrochem. 24 (1994) 791: 20 % MgCl2, equal masses of NaCl and KCl
    ({"MgCl2": 20, "NaCl": 40, "KCl": 40}, {"MgCl2": 14.68, "NaCl": 47.83, "KCl": 37.49}),
    ({"LiCl": 30, "KCl": 30}, {"LiCl": 63.75}),
    ({"MgCl2": 25, "CaCl2": 15, "NaCl": 60}, {"MgCl2": 18.43}),
    # baths of rare-earth practice; a paper prints 47.5 for the first
    ({"NdF3": 87.5, "LiF": 12.5}, {"NdF3": 47.43}),
    ({"CeF3": 73, "BaF2": 12, "LiF": 15}, {"LiF": 56.86}),
]


@pytest.mark.parametrize(("moles", "percent"), TO_MASS_PERCENT)
def test_mass_percent(moles, percent):
    found = from_amounts(moles).mass_percent
    assert {f: found[f] for f in percent} == pytest.approx(percent, abs=0.05)


@pytest.mark.parametrize(("grams", "percent"), TO_MOLE_PERCENT)
def test_mole_percent(grams, percent):
    found = from_amounts(grams, "mass").mole_percent
    assert {f: found[f] for f in percent} == pytest.approx(percent, abs=0.05)


# g of hydrate per g of anhydrous salt from molar masses, printed to 4 decimals: 0.1 % is the examples' own tolerance
@pytest.mark.parametrize(
    ("label", "ratio"),
    [
        ("MgCl2.6H2O", 2.1353),
        ("CaCl2.2H2O", 1.3247),
        ("CaCl2.6H2O", 1.9740),
        ("SrCl2.6H2O", 1.6819),
        ("BaCl2.2H2O", 1.1730),
        ("LiCl.H2O", 1.4250),
        ("LaCl3.7H2O", 1.5142),
        ("CeCl3.7H2O", 1.5117),
        ("NdCl3.6H2O", 1.4313),
        ("KF.2H2O", 1.6202),
        ("AlCl3.6H2O", 1.8107),
        ("NH4MgCl3.6H2O", 2.6971),
    ],
)
def test_grams_per_gram(label, ratio):
    assert hydrate_named(label).grams_per_gram == pytest.approx(ratio, rel=1e-3)


# g of salt in 100 g of hydrate; 0.05 is one unit of the last digit carried with atomic masses of other years
@pytest.mark.parametrize(
    ("label", "grams"),
    [("MgCl2.6H2O", 46.83), ("NdCl3.6H2O", 69.87), ("LaCl3.7H2O", 66.04), ("BaCl2.2H2O", 85.25), ("LiCl.H2O", 70.18)],
)
def test_salt_in_a_hundred_grams(label, grams):
    assert 100 / hydrate_named(label).grams_per_gram == pytest.approx(grams, abs=0.05)


@pytest.mark.parametrize(
    ("amounts", "basis", "total", "bottles", "expected"),
    [
        # 0.2 %: the examples' own tolerance for a batch
        (
            {"LiCl": 58.5, "KCl": 41.5},
            "mol",
            500,
            {"LiCl": "LiCl.H2O"},
            {"LiCl.H2O": 317.00, "KCl": 277.54, "water": 94.54},
        ),
        (
            {"NaCl": 42, "CaCl2": 58},
            "mass",
            300,
            {"CaCl2": "CaCl2.2H2O"},
            {"NaCl": 126.00, "CaCl2.2H2O": 230.49, "water": 56.49},
        ),
        ({"NaCl": 42, "CaCl2": 58}, "mass", 300, {"CaCl2": "CaCl2.6H2O"}, {"CaCl2.6H2O": 343.48, "water": 169.48}),
        (
            {"MgCl2": 20, "NaCl": 40, "KCl": 40},
            "mass",
            200,
            {"MgCl2": "MgCl2.6H2O"},
            {"MgCl2.6H2O": 85.41, "NH4Cl": 272.36},  # 22.47 (1 mol a mole), then 249.89 (4 g a gram of NH4Cl.MgCl2)
        ),
        (
            {"NdCl3": 20, "NaCl": 40, "KCl": 40},
            "mol",
            150,
            {"NdCl3": "NdCl3.6H2O"},
            {"NdCl3.6H2O": 104.15, "NaCl": 33.94, "KCl": 43.29},
        ),
        ({"CaCl2": 1}, "mass", 60, {"CaCl2": "CaCl2.2H2O"}, {"CaCl2.2H2O": 79.48}),
    ],
)
def test_batches(amounts, basis, total, bottles, expected):
    weighing = weigh_out(from_amounts(amounts, basis), total, bottles)
    found = {**weighing.weigh_g, **weighing.reagents_g, "water": weighing.water_g}
    assert {key: found[key] for key in expected} == pytest.approx(expected, rel=2e-3)


def test_neodymium_chloride_held():
    """150 g of 20/40/40 mol% NdCl3-NaCl-KCl holds 72.77 g NdCl3 (hand arithmetic, 0.2 %)."""
    weighing = weigh_out(from_amounts({"NdCl3": 20, "NaCl": 40, "KCl": 40}), 150, {"NdCl3": "NdCl3.6H2O"})
    assert weighing.anhydrous_g["NdCl3"] == pytest.approx(72.77, rel=2e-3)


def test_barium_chloride_loses_its_water():
    """100 g BaCl2.2H2O loses 14.75 g (0.2 %)."""
    hydrate = hydrate_named("BaCl2.2H2O")
    weighing = weigh_out(from_amounts({"BaCl2": 1}), 100 / hydrate.grams_per_gram, {"BaCl2": "BaCl2.2H2O"})
    assert weighing.weigh_g["BaCl2.2H2O"] == pytest.approx(100)
    assert weighing.water_g == pytest.approx(14.75, rel=2e-3)


def test_five_percent_hydrolysed():
    """5 % of 40 g MgCl2 lost leaves 0.847 g MgO and 38.0 g MgCl2 (0.5 %)."""
    product, grams, left = sludge("MgCl2", 40.0, 0.05)
    assert product == "MgO"
    assert (grams, left) == pytest.approx((0.847, 38.0), rel=5e-3)


def test_old_bottle_of_calcium_chloride():
    """250 g that lose 12.0 % on drying hold 220 g, that is 0.84 H2O per CaCl2 (printed to 0.01)."""
    assert water_per_formula("CaCl2", 0.12) == pytest.approx(0.84, abs=0.005)
    assert weigh_out(from_amounts({"CaCl2": 1}), 220, {}, {"CaCl2": 0.88}).weigh_g["CaCl2"] == pytest.approx(250)


def test_charge_of_a_gram_of_water():
    """2 F per mole of 18.015 g: 2.975 A h (0.2 %)."""
    assert pytest.approx(2.975, rel=2e-3) == WATER_AH_G
    assert pytest.approx(2 * F / (3600 * 18.015), rel=1e-4) == WATER_AH_G


def test_dihydrate_weighed_as_dry():
    """40 g NaCl with 60 g CaCl2.2H2O dried fully is 62.64 mol% NaCl (0.1: as the example allows)."""
    found = melt_from_bottles({"NaCl": 40, "CaCl2.2H2O": 60}).mole_percent
    assert found["NaCl"] == pytest.approx(62.64, abs=0.1)
