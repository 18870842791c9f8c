"""What is in the pot: amounts to mole fractions and back, and every way to type them wrong."""

import numpy as np
import periodictable
import pytest

from thermo.records.composition import Composition, formula_mass, from_amounts, parse_amounts
from thermo.records.hydrates import hydrates
from thermo.records.provenance import InputError
from thermo.records.substances import double_salts, salts

# Standard atomic masses, IUPAC 2021 abridged, g/mol
ATOMS = {
    "Zn": 65.38,
    "Li": 6.94,
    "Na": 22.990,
    "K": 39.098,
    "Mg": 24.305,
    "Ca": 40.078,
    "F": 18.998,
    "Cl": 35.45,
    "H": 1.008,
    "O": 15.999,
}


@pytest.mark.parametrize(
    ("formula", "atoms"),
    [
        ("LiCl", {"Li": 1, "Cl": 1}),
        ("CaF2", {"Ca": 1, "F": 2}),
        ("KMgCl3", {"K": 1, "Mg": 1, "Cl": 3}),
        ("MgCl2.6H2O", {"Mg": 1, "Cl": 2, "H": 12, "O": 6}),
        ("CaCl2.2H2O", {"Ca": 1, "Cl": 2, "H": 4, "O": 2}),
        ("ZnCl2.1.5H2O", {"Zn": 1, "Cl": 2, "H": 3, "O": 1.5}),
    ],
)
def test_formula_masses_are_sums_of_atomic_masses(formula, atoms):
    # four printed digits an atom
    assert formula_mass(formula) == pytest.approx(sum(n * ATOMS[a] for a, n in atoms.items()), rel=2e-4)


@pytest.mark.parametrize("formula", salts())
def test_every_salt_has_a_mass(formula):
    assert 25 < formula_mass(formula) < 300


def test_worked_value():
    """58.5 mol% LiCl with 41.5 mol% KCl: 58.5 * 42.39 / (58.5 * 42.39 + 41.5 * 74.55) = 44.49 mass%."""
    composition = from_amounts({"LiCl": 58.5, "KCl": 41.5})
    assert composition.mass_percent["LiCl"] == pytest.approx(44.49, abs=0.02)


@pytest.mark.parametrize("amounts", [{"LiCl": 58.5, "KCl": 41.5}, {"NaF": 11.5, "KF": 42, "LiF": 46.5}, {"MgCl2": 3}])
def test_mole_and_mass_are_inverse(amounts):
    by_mole = from_amounts(amounts)
    by_mass = from_amounts(by_mole.mass_percent, "mass")
    assert by_mass.salts == by_mole.salts
    assert by_mass.fractions == pytest.approx(by_mole.fractions, rel=1e-12)
    assert sum(by_mole.fractions) == pytest.approx(1, rel=1e-12)
    assert sum(by_mole.mass_percent.values()) == pytest.approx(100, rel=1e-12)
    assert sum(by_mole.mole_percent.values()) == pytest.approx(100, rel=1e-12)


def test_only_the_ratio_of_the_amounts_counts():
    assert from_amounts({"NaCl": 1e-6, "KCl": 3e-6}).fractions == pytest.approx((0.25, 0.75), rel=1e-12)
    assert from_amounts({"NaCl": 1e6, "KCl": 3e6}).fractions == pytest.approx((0.25, 0.75), rel=1e-12)


def test_the_order_typed_is_kept():
    assert from_amounts({"KCl": 1, "LiCl": 1}).salts == ("KCl", "LiCl")


def test_mean_mass_and_array():
    composition = Composition(("NaCl", "KCl"), (0.25, 0.75))
    assert composition.mean_formula_mass == pytest.approx(0.25 * formula_mass("NaCl") + 0.75 * formula_mass("KCl"))
    assert composition.array == pytest.approx(np.array([0.25, 0.75]))


def test_a_salt_of_amount_zero_is_allowed_and_can_be_dropped():
    composition = from_amounts({"NaCl": 1, "KCl": 0, "MgCl2": 1})
    assert composition.salts == ("NaCl", "KCl", "MgCl2")
    assert composition.present == Composition(("NaCl", "MgCl2"), (0.5, 0.5))


def test_an_absent_salt_may_have_another_anion():
    assert from_amounts({"NaCl": 1, "KF": 0}).present.salts == ("NaCl",)


@pytest.mark.parametrize(
    ("amounts", "basis", "told"),
    [
        ({}, "mol", "at least one salt"),
        ({"NaCl": 1}, "weight", r"'weight'.*mol and mass"),
        ({"NaCl": -1, "KCl": 2}, "mol", "NaCl -1"),
        ({"NaCl": float("nan")}, "mol", "NaCl nan"),
        ({"NaCl": float("inf")}, "mol", "NaCl inf"),
        ({"NaCl": 0, "KCl": 0}, "mol", "all amounts are zero"),
        ({"NaCI": 1}, "mol", r"NaCI.*did you mean.*NaCl"),
    ],
)
def test_what_cannot_be_mixed_is_refused(amounts, basis, told):
    with pytest.raises(InputError, match=told) as caught:
        from_amounts(amounts, basis)
    assert "\n" not in str(caught.value)


def test_words_are_read_as_amounts():
    assert parse_amounts(["KCl=68", "MgCl2=3.2e1"]) == {"KCl": 68.0, "MgCl2": 32.0}


@pytest.mark.parametrize("word", ["KCl", "KCl=", "=5", "KCl=five", "KCl=1=2", "KCl:68"])
def test_a_word_that_is_no_amount_is_named(word):
    with pytest.raises(InputError, match=r"SALT=AMOUNT") as caught:
        parse_amounts([word])
    assert repr(word) in str(caught.value)


def test_a_salt_named_twice_is_refused():
    with pytest.raises(InputError, match="KCl is named twice"):
        parse_amounts(["KCl=1", "KCl=2"])


def test_formula_masses_are_those_of_the_library_that_parses_formulas():
    """periodictable.formula has a parser of its own; every salt, double salt and hydrate of the data."""
    formulas = [*salts(), *double_salts(), *hydrates(), "H2O", "NH4Cl", "Cl2", "HCl", "NaOH"]
    assert len(formulas) > 60
    for formula in formulas:
        bare = formula.partition(".")[0]
        water = hydrates()[formula].water if formula in hydrates() else 0.0
        expected = periodictable.formula(bare).mass + water * periodictable.formula("H2O").mass
        assert formula_mass(formula) == pytest.approx(expected, rel=1e-12), formula


def test_a_trace_that_is_lost_in_the_rounding_is_none():
    mix = from_amounts({"BaCl2": 1, "CaCl2": 1.2e-234, "NaCl": 1e-12})
    assert mix.present.salts == ("BaCl2", "NaCl")
    assert mix.fractions[0] == pytest.approx(1 - 1e-12, rel=1e-15)
