"""AlF3 beside chloride: the refusal quotes what was published on such melts."""

import pytest

from thermo.records.aluminium_beside_chloride import published_beside_chloride
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError


def test_the_rows_of_the_same_ions_are_quoted():
    """Janz & Tomkins 1981, system 136 (checked): 734 deg C, 11.3 mol% Na3AlF6; system 155: 735 beside alumina."""
    said = published_beside_chloride(["NaF", "AlF3", "NaCl"])
    assert said.startswith("published: Na3AlF6-NaCl eutectic 734 deg C at 88.7 mol% NaCl (Janz")
    assert "735 deg C" in said
    assert "BaCl2" not in said


def test_barium_and_lithium_have_their_own():
    """Systems 137 (745, 786, 762 deg C) and Matiasovsky et al. 1973 (620), both checked."""
    assert "Na3AlF6-BaCl2 congruent 786 deg C at 80 mol% BaCl2" in published_beside_chloride(["NaF", "AlF3", "BaCl2"])
    assert "Li3AlF6-KCl eutectic 620 deg C at 75 mol% KCl" in published_beside_chloride(["LiF", "AlF3", "KCl"])


def test_without_any_those_of_other_ions_are_told_as_such():
    assert published_beside_chloride(["CsF", "AlF3", "RbCl"]).startswith("published with other ions: ")


def test_a_mix_is_refused_with_them():
    with pytest.raises(InputError, match=r"no data for the chloride of Al.*published: Na3AlF6-NaCl eutectic 734"):
        from_amounts({"NaF": 3, "AlF3": 1, "NaCl": 8})
    with pytest.raises(InputError, match=r"cations have both$"):
        from_amounts({"ZnCl2": 1, "KF": 1})
