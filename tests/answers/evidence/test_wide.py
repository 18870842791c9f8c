"""The line that says why a band is wide: what it parts, whom it names, where it is silent."""

from thermo.answers.evidence.start_of_freezing import start_of_freezing
from thermo.answers.evidence.wide import WIDE_K, why_wide
from thermo.records.composition import from_amounts


def test_the_opening_melt_names_the_pair_that_leaves_most_open():
    """Sodium-calcium-magnesium chloride: the NaCl branch of NaCl-MgCl2 has no published point between 0 and 35 mol%."""
    melt = from_amounts({"NaCl": 60, "CaCl2": 18, "MgCl2": 22})
    (line,) = why_wide(melt, start_of_freezing(melt).sigma_K + WIDE_K)
    assert "no published melt of NaCl, CaCl2 and MgCl2 together" in line
    assert "NaCl-MgCl2 (" in line
    assert "NaCl-CaCl2 (" not in line
    assert line.endswith("one cooling curve of this melt, or some of NaCl-MgCl2, would narrow it")


def test_well_known_pairs_are_not_named():
    (line,) = why_wide(from_amounts({"NaCl": 40, "KCl": 30, "MgCl2": 10, "SrCl2": 10, "BaCl2": 10}), 31.0)
    assert "open of" not in line


def test_silent_where_melts_were_published_or_the_band_is_narrow():
    assert why_wide(from_amounts({"LiF": 40, "NaF": 20, "KF": 40}), 50.0) == ()
    assert why_wide(from_amounts({"NaCl": 60, "CaCl2": 18, "MgCl2": 22}), WIDE_K) == ()
    assert why_wide(from_amounts({"NaCl": 60, "MgCl2": 40}), 50.0) == ()
