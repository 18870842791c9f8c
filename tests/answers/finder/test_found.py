"""A found melt: the full answers of the same melt asked by itself, and the rank that they give."""

import numpy as np
import pytest

from tests.answers.finder.by_hand import ASKED, typed_by_hand
from thermo.answers.deposition import ALLOY_V
from thermo.answers.finder import Wish
from thermo.answers.finder.found import final_rank, found_melt, width_K
from thermo.answers.finder.sweep import candidate, judge
from thermo.records.units import kelvin


def found(wish, names, x):
    return found_melt(wish, candidate(wish, names, judge(wish, names, np.array([x])), 0))


def test_a_found_melt_is_what_is_answered_by_hand():
    melt = found(ASKED, ("NaCl", "MgCl2"), (0.5, 0.5))
    typed_by_hand(ASKED, melt)
    assert width_K(melt.window) == pytest.approx(melt.window.high_K - melt.window.low_K)


def test_another_metal_before_by_however_little_ranks_below():
    """Sodium beside calcium: 45 and 60 mol% NaCl at 620 deg C, both liquid; NaCl and CaCl2 lie within 0.04 V."""
    wish = Wish("Na", ("NaCl", "CaCl2"), T_K=kelvin(620))
    late, first = (found(wish, wish.salts, (x, 1 - x)) for x in (0.45, 0.6))
    assert 0 < late.order.couple("Na").gap_V < ALLOY_V
    assert first.order.first.metal == "Na"
    assert late.liquidus.T_K < first.liquidus.T_K
    assert final_rank(wish, first) < final_rank(wish, late)
