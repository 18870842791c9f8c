"""The order in which a person would take melts."""

import pytest

from thermo.answers.finder import Wish, find_melts
from thermo.answers.ranking import Merits, low_end_K, melt_rank
from thermo.records.units import kelvin


def rank(merits, symbol="Mg", want="floats", deposit="liquid"):
    return melt_rank(merits, symbol, 30.0, want, deposit)


def test_where_the_metal_sets_the_low_end_the_margin_leads_and_not_the_liquidus():
    """Magnesium melts at 650 deg C: baths that freeze at 400 and at 560 are both run from 670."""
    cold = Merits(kelvin(400), 5.0, margin_g_cm3=0.03, width_K=300)
    heavy = Merits(kelvin(560), 5.0, margin_g_cm3=0.15, width_K=300)
    assert rank(heavy) < rank(cold)
    assert rank(cold, want="sinks") < rank(heavy, want="sinks")
    assert low_end_K("Mg", kelvin(400), 30.0, "liquid") == low_end_K("Mg", kelvin(560), 30.0, "liquid")


def test_where_the_bath_sets_the_low_end_the_liquidus_leads():
    """Sodium melts at 98 deg C: the bath decides how cold the cell can be."""
    cold = Merits(kelvin(500), 5.0, margin_g_cm3=0.9, width_K=200)
    heavy = Merits(kelvin(560), 5.0, margin_g_cm3=1.2, width_K=200)
    assert rank(cold, "Na") < rank(heavy, "Na")
    assert rank(cold, deposit="solid") < rank(heavy, deposit="solid")  # magnesium wanted solid


def test_equal_margins_are_parted_by_the_window_and_then_by_the_liquidus():
    narrow = Merits(kelvin(500), margin_g_cm3=0.101, width_K=100)
    wide = Merits(kelvin(520), margin_g_cm3=0.099, width_K=300)
    assert rank(wide) < rank(narrow)
    assert rank(Merits(kelvin(500), margin_g_cm3=0.1)) < rank(Merits(kelvin(510), margin_g_cm3=0.1))


def test_beyond_enough_margin_and_window_what_is_known_and_colder_leads():
    dense = Merits(kelvin(520), 226.0, margin_g_cm3=1.2, width_K=600)
    known = Merits(kelvin(480), 20.0, margin_g_cm3=0.2, width_K=320)
    assert rank(known) < rank(dense)
    pinched = Merits(kelvin(400), 5.0, margin_g_cm3=0.15, width_K=1)
    assert rank(Merits(kelvin(400), 5.0, margin_g_cm3=0.05, width_K=80)) < rank(pinched)


@pytest.mark.parametrize("worse", [{"inside": False}, {"behind_V": 0.2}, {"behind_V": 0.01}, {"unsure": 1}])
def test_a_window_the_first_metal_and_a_sure_verdict_come_before_all_margins(worse):
    good = Merits(kelvin(560), margin_g_cm3=0.05)
    assert rank(good) < rank(Merits(kelvin(400), margin_g_cm3=0.5, **worse))


def test_without_a_wish_the_margin_does_not_count():
    light, heavy = (Merits(kelvin(500), margin_g_cm3=m, width_K=300) for m in (-0.2, 0.5))
    assert rank(light, want=None) == rank(heavy, want=None)


def test_the_search_for_floating_magnesium_leads_with_the_larger_margin():
    wish = Wish("Mg", ("NaCl", "KCl", "MgCl2", "CaCl2"), most=3, T_K=kelvin(720), want="floats", deposit="liquid")
    first, *others = find_melts(wish).melts
    rivals = [m for m in others if m.flotation.verdict == first.flotation.verdict]
    lows = {round(low_end_K("Mg", m.liquidus.T_K + m.liquidus.sigma_K, 30.0, "liquid")) for m in [first, *rivals]}
    assert rivals
    best = max(m.flotation.difference_g_cm3 for m in [first, *rivals])
    assert len(lows) > 1 or first.flotation.difference_g_cm3 > best - 0.015
