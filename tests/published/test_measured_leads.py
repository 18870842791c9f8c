"""Published melts that a computed value alone would get wrong, or that show what a missing compound does.

Each tolerance is the spread printed with the value, or what the same melt was found to differ by in two laboratories.
"""

import pytest

from thermo.answers.melt import describe_melt
from thermo.equilibrium.invariants.lowest import lowest
from thermo.records.composition import from_amounts
from thermo.records.units import celsius, kelvin


def test_a_published_eutectic_leads_with_its_spread_and_its_window_follows():
    """LiCl-KCl-MgCl2 55-40-5: 323 +- 3 deg C (Morishita et al. 1995, abstract), computed some 50 K hotter.

    The window's low side is the measured start and 30 K of superheat: 353 deg C is allowed.
    """
    answer = describe_melt(from_amounts({"LiCl": 55, "KCl": 40, "MgCl2": 5}), "Mg", kelvin(350))
    assert celsius(answer.liquidus.T_K) == pytest.approx(323, abs=3)
    assert 3 <= answer.liquidus.sigma_K < 8  # the printed spread and what 1 mol% can do near a eutectic
    assert answer.liquidus.rests_on == "measured"
    assert kelvin(345) < answer.liquidus.computed.T_K
    assert celsius(answer.window.low_K) <= 353.5


def test_no_deep_eutectic_where_print_knows_none():
    """NaF-KF-AlF3: print knows nothing below 560 to 570 deg C (JOM 2019); 555 leaves the spread."""
    found = lowest(("NaF", "KF", "AlF3"))
    assert celsius(found.T_K) >= 555
    assert "K2NaAlF6" in found.solids


def test_a_congruent_compound_of_three_salts_melts_where_it_is_said_to():
    """LiSrAlF6: 765 deg C (J. Cryst. Growth 2002, abstract), 10 K for its thermocouple and ours."""
    answer = describe_melt(from_amounts({"LiF": 1, "SrF2": 1, "AlF3": 1}), None, None)
    assert answer.liquidus.first_solid == "LiSrAlF6"
    assert celsius(answer.liquidus.T_K) == pytest.approx(765, abs=10)
    assert celsius(answer.liquidus.computed.T_K) == pytest.approx(765, abs=10)


def test_two_laboratories_bound_the_eutectic_of_three_alkali_fluorides():
    """LiF-NaF-KF 46.5-11.5-42: 454 deg C by cooling curve (1941), 462 by calorimetry (1981); 2 K more for it."""
    answer = describe_melt(from_amounts({"LiF": 46.5, "NaF": 11.5, "KF": 42}), None, None)
    assert 454 <= celsius(answer.liquidus.T_K) <= 464
