"""What print says of two liquids: the one report there is, and nothing where an ion of it is missing."""

import pytest

from thermo.records.reported_gaps import NOT_REPORTED, gap_in_print


@pytest.mark.parametrize("salts", [("LiF", "CsCl"), ("LiCl", "CsF"), ("LiF", "CsCl", "KCl")])
def test_lithium_and_caesium_with_both_anions_are_reported(salts):
    """Flor, Margheritis & Sinistri 1978, title."""
    told = gap_in_print(salts)
    assert "Li,Cs//F,Cl" in told
    assert "Flor" in told
    assert "1978" in told


@pytest.mark.parametrize("salts", [("LiCl", "CsCl"), ("MgF2", "CsCl"), ("NaF", "KCl")])
def test_without_one_of_those_ions_nothing_is(salts):
    assert gap_in_print(salts) == NOT_REPORTED
