"""Bottles: masses that follow from their counts, names, and refusals."""

import pytest

from thermo.records.composition import formula_mass
from thermo.records.hydrates import hydrate_named, hydrates, hydrates_of
from thermo.records.provenance import InputError, read_table, sources
from thermo.records.substances import salts


@pytest.mark.parametrize("label", [name for name in hydrates() if name.count(".") == 1])
def test_mass_is_that_of_its_formula(label):
    # the label read as a formula is an independent route: 'KMgCl3.6H2O' by atoms against KCl + MgCl2 + 6 H2O by salts
    assert hydrates()[label].mass == pytest.approx(formula_mass(label), rel=1e-9)


def test_half_waters():
    expected = formula_mass("CsF") + 1.5 * formula_mass("H2O")
    assert hydrate_named("CsF.1.5H2O").mass == pytest.approx(expected)


def test_names_with_a_middle_dot():
    assert hydrate_named("MgCl2\u00b76H2O") is hydrate_named("MgCl2.6H2O", "MgCl2")


def test_bottles_of_a_salt():
    assert [h.label for h in hydrates_of("BaCl2")] == ["BaCl2.2H2O", "BaCl2.H2O"]
    assert hydrates_of("NaCl") == ()
    assert hydrates_of("KCl") == ()  # carnallite is bought for its MgCl2


def test_every_bottle_is_of_a_known_salt_and_source():
    # AlCl3 is not a salt of the melts here; its hydrate is listed so that it can be refused with a reason
    assert {h.salt for h in hydrates().values()} <= {*salts(), "AlCl3"}
    assert {row["source"] for row in read_table("hydrates.csv")} <= set(sources())


@pytest.mark.parametrize(
    ("word", "formula", "message"),
    [
        ("MgCl2.7H2O", "MgCl2", "MgCl2.6H2O"),
        ("CaCl2.2H2O", "MgCl2", "bottle of CaCl2, not of MgCl2"),
        ("NaCl.2H2O", "NaCl", "no hydrate of NaCl"),
        ("KMgCl3.6H2O", "KCl", "no hydrate of KCl|bottle of MgCl2"),
        ("sugar", None, "not a hydrate in the list"),
    ],
)
def test_refusals(word, formula, message):
    with pytest.raises(InputError, match=message) as error:
        hydrate_named(word, formula)
    assert "\n" not in str(error.value)
