"""Accounts of runs and of practice against the program's answers: energy, windows, what joins, the next review."""

import pytest

from thermo.answers.cell import CellRun, describe_cell
from thermo.answers.melt import describe_melt
from thermo.answers.run.facts import run_of
from thermo.answers.run.review import review
from thermo.laws.faraday import energy_kWh_per_kg
from thermo.records.composition import from_amounts
from thermo.records.units import kelvin

LAB_BATH = {"MgCl2": 20, "NaCl": 40, "KCl": 40}
WITH_FLUORIDE = {"MgCl2": 19.8, "NaCl": 39.6, "KCl": 39.6, "NaF": 1.0}


def test_least_energy_of_magnesium():
    """Magnesium Technology 2012: theoretical minimum 6.2 kWh/kg, MgCl2-NaCl-KCl (composition assumed)."""
    E_V = describe_cell(from_amounts(LAB_BATH, "mass"), "Mg", kelvin(690), CellRun(5.0, 1.0)).kind.E_V
    assert energy_kWh_per_kg("Mg", E_V) == pytest.approx(6.2, abs=0.05)


def test_energy_of_zinc():
    """RI 8133: 1.16 kWh/lb at 94.3 %, which is 2.94 V; 0.4536 kg a pound."""
    assert energy_kWh_per_kg("Zn", 2.94, 0.943) * 0.45359 == pytest.approx(1.16, abs=0.005)


RAN = [  # what was printed to have been run, and where
    ("Guden & Karakaya 1994, 1 % NaF", WITH_FLUORIDE, "mass", "Mg", 690),
    ("US 5853560, background", {"MgCl2": 20, "CaCl2": 20, "NaCl": 60}, "mass", "Mg", 720),
    ("Downs practice", {"NaCl": 42, "CaCl2": 58}, "mass", "Na", 590),
    ("J. Electrochem. Soc. 161 (2014) D820", {"LiCl": 58, "KCl": 42}, "mol", "Li", 450),
    ("RI 8133", {"ZnCl2": 20, "LiCl": 40, "KCl": 40}, "mol", "Zn", 500),
    ("FLiNdBa, 1045 deg C", {"LiF": 7.5, "NdF3": 67.4, "BaF2": 25.1}, "mass", "Nd", 1045),
]


@pytest.mark.parametrize(("who", "amounts", "basis", "symbol", "t_C"), RAN, ids=[row[0] for row in RAN])
def test_what_was_run_lies_in_the_window(who, amounts, basis, symbol, t_C):
    """With 10 K of superheat: the trade runs nearer to freezing than the 30 K that are asked for by default."""
    window = describe_melt(from_amounts(amounts, basis), symbol, kelvin(t_C), "liquid", 10.0).window
    assert window.exists, who
    assert window.low_K < kelvin(t_C) < window.high_K, window.explanation


def test_strontium_is_named_as_what_joins_magnesium():
    """Sun, Lu & Fan 2014: strontium deposits with magnesium above a current density; it is told, with a band."""
    melt = from_amounts({"MgCl2": 5, "SrCl2": 10, "KCl": 85}, "mass")
    found = describe_cell(melt, "Mg", kelvin(700), CellRun(5.0, 1.0))
    assert found.kind.joins in ("Sr", "K")
    assert found.kind.limiting.low_A_cm2 < 1.57 < 2 * found.kind.limiting.high_A_cm2


def test_neodymium_on_iron_is_liquid_far_below_its_melting_point():
    """Nd-Fe eutectic 640 deg C: an iron cathode at 750 deg C drips as alloy though neodymium melts at 1016."""
    melt = from_amounts({"LiF": 50, "NdF3": 40, "BaF2": 10})
    notes = describe_cell(melt, "Nd", kelvin(750), CellRun(5.0, 1.0, cathode="rod", cathode_metal="Fe")).notes
    assert any("with Nd it melts from 640 deg C" in note for note in notes)


def test_the_remedy_of_a_little_fluoride_does_not_ask_for_a_hotter_bath():
    """Guden & Karakaya 1994 ran with 1 % NaF at 690 deg C: a review of such a run must not call the bath frozen."""
    words = (5.0, 2.0, 2.0, 500.0)
    before, after = (
        review(run_of(from_amounts(amounts, "mass"), "Mg", kelvin(700), *words), ())
        for amounts in (LAB_BATH, WITH_FLUORIDE)
    )
    remedies = " ".join(cause.remedy for cause in before.causes)
    assert "1 mass% of NaF, CaF2 or MgF2" in remedies
    assert "bath partly frozen" not in [cause.key for cause in after.causes if cause.weight > 0.15]
    assert "run at 8" not in " ".join(cause.remedy for cause in after.causes)
