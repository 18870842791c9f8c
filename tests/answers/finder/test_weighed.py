"""The first melt of a search moved on by the rank that counts its band."""

import numpy as np
import pytest

from thermo.answers.finder import Wish
from thermo.answers.finder.found import final_rank, found_melt
from thermo.answers.finder.refine import refined
from thermo.answers.finder.sweep import candidate, judge
from thermo.answers.finder.weighed import weighed
from thermo.answers.ranking import KNOWN_K
from thermo.laws.solid_solution import simplex_grid

ROUGH = Wish("Mg", ("MgF2", "CsF", "LaF3"), share=(0.0, 1.0))  # CsF-LaF3 is not in the data: a wide band
NEAR = (0.4, 0.45, 0.15)
KNOWN = Wish("Li", ("LiCl", "KCl"))


def on_grid(wish, x):
    return found_melt(wish, candidate(wish, wish.salts, judge(wish, wish.salts, x[None, :]), 0))


def test_a_melt_known_well_stays():
    melt = on_grid(KNOWN, simplex_grid(2, 50)[30])
    assert melt.liquidus.sigma_K < 10
    assert weighed(KNOWN, melt) is melt


def test_no_exchange_of_two_salts_ranks_better_than_the_end():
    """From the coldest melt: 8 K of band are saved for 1 K of liquidus, and no smallest exchange beats the end."""
    grid = simplex_grid(3, 40)
    near = candidate(
        ROUGH, ROUGH.salts, judge(ROUGH, ROUGH.salts, grid), int(np.argmin(np.abs(grid - NEAR).sum(axis=1)))
    )
    start = found_melt(ROUGH, refined(ROUGH, near))
    assert start.liquidus.sigma_K > KNOWN_K
    end = weighed(ROUGH, start)
    assert final_rank(ROUGH, end) < final_rank(ROUGH, start)
    assert end.liquidus.sigma_K < start.liquidus.sigma_K
    assert sum(end.composition.fractions) == pytest.approx(1)
    assert final_rank(ROUGH, weighed(ROUGH, end)) == final_rank(ROUGH, end)
