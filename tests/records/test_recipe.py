"""Recipes as people write them: what is understood, what is counted as what, and what is refused whole."""

import pytest

from thermo.records.composition import formula_mass
from thermo.records.provenance import InputError
from thermo.records.recipe import read_recipe


@pytest.mark.parametrize(
    ("text", "amounts", "basis"),
    [
        ("NaCl=48 CaCl2=52", {"NaCl": 48, "CaCl2": 52}, "mol"),
        ("NaCl=48, CaCl2:52", {"NaCl": 48, "CaCl2": 52}, "mol"),
        ("licl=44,5 kcl 55.5", {"LiCl": 44.5, "KCl": 55.5}, "mol"),
        ("60% LiCl 40% KCl", {"LiCl": 60, "KCl": 40}, "mol"),
        ("60 LiCl / 40 KCl", {"LiCl": 60, "KCl": 40}, "mol"),
        ("0,6 NaCl + 0,4 KCl", {"NaCl": 0.6, "KCl": 0.4}, "mol"),
        ("NaCl 48 g; CaCl₂ 52 g", {"NaCl": 48, "CaCl2": 52}, "mass"),
        ("LiCl 44.5 wt% and KCl 55.5 wt%", {"LiCl": 44.5, "KCl": 55.5}, "mass"),
        ("rock salt 50 calcium chloride 50", {"NaCl": 50, "CaCl2": 50}, "mol"),
        ("Na3AlF6=90 CaF2=10", {"NaF": 270, "AlF3": 90, "CaF2": 10}, "mol"),
        ("cryolite 90 fluorspar 10", {"NaF": 270, "AlF3": 90, "CaF2": 10}, "mol"),
        ("cryolite 90 NaF 10", {"NaF": 280, "AlF3": 90}, "mol"),
        ("MgCl2.6H2O=30 NaCl=70", {"MgCl2": 30, "NaCl": 70}, "mol"),
        ("carnallite 1", {"KCl": 1, "MgCl2": 1}, "mol"),
    ],
)
def test_it_is_read(text, amounts, basis):
    found = read_recipe(text)
    assert dict(found.amounts) == amounts
    assert found.basis == basis


def test_a_hydrate_in_grams_counts_by_its_dry_salt_and_says_so():
    found = read_recipe("MgCl2·6H2O 100 g")
    # 100 g of the hexahydrate hold 46.8 g MgCl2 (95.21 / 203.30 g/mol, IUPAC atomic masses).
    assert dict(found.amounts)["MgCl2"] == pytest.approx(100 * 95.21 / 203.30, abs=0.01)
    assert "46.83 g MgCl2" in found.notes[0]
    assert "water left out" in found.notes[0]


def test_a_compound_in_grams_keeps_its_mass():
    found = dict(read_recipe("Na3AlF6=90 CaF2=10", "mass").amounts)
    assert sum(found.values()) == pytest.approx(100, abs=1e-3)
    assert found["NaF"] / found["AlF3"] == pytest.approx(3 * formula_mass("NaF") / formula_mass("AlF3"), rel=1e-5)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "empty"),
        ("NaCl", "SALT=AMOUNT"),
        ("NaCl 50 60", "SALT=AMOUNT"),
        ("NaCl=50 CaCI2=50", "did you mean CaCl2"),
        ("NaCl=50 CaCl2=ten", "'ten' is not a number"),
        ("NaCl=1 NaCl=2", "named twice"),
        ("NaCl=1 rock salt=2", "named twice"),
        ("NaCl=-5 KCl=10", "amount of NaCl -5"),
        ("NaCl=0", "all amounts are zero"),
        ("NaCl=1,000 KCl=5", "decimal or thousands"),
        ("LiCl 44.5 wt% KCl 55.5 mol%", "moles and grams are mixed"),
        ("alumina=3 cryolite=97", "typed under Aluminium bath"),
        ("fluorspor=3", "did you mean fluorspar"),
        ("NaCl=1 & more", "'&' is not in the list"),
        ("x" * 401, "up to 400"),
        ("x" * 399, "is not in the list"),
        ("\x07", "is not in the list"),
    ],
)
def test_it_is_refused_in_one_line(text, words):
    with pytest.raises(InputError, match=words) as refusal:
        read_recipe(text)
    assert str(refusal.value).isprintable()
    assert len(str(refusal.value)) < 300
