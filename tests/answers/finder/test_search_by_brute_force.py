"""Searching melts against a finer grid of its own, and each found melt against the same typed by hand."""

import numpy as np
import pytest

from tests.answers.finder.by_hand import ASKED, typed_by_hand
from thermo.answers.finder import Wish, find_melts
from thermo.answers.finder.found import final_rank, found_melt
from thermo.answers.finder.refine import LEAST
from thermo.answers.finder.sweep import candidate, judge
from thermo.laws.solid_solution import simplex_grid
from thermo.records.substances import salts
from thermo.records.units import kelvin


def brute_force(wish, steps):
    """The best rank on a grid of its own, one set of salts at a time."""
    best = []
    for names in wish.sets():
        grid = simplex_grid(len(names), steps)
        grid = grid[(grid >= LEAST).all(axis=1)]
        found = judge(wish, names, grid)
        best += [candidate(wish, names, found, i).rank for i in found.passed]
    return min(best)


SMALL = [
    Wish("Mg", ("NaCl", "KCl", "MgCl2"), T_K=kelvin(720), want="floats"),
    Wish("Li", ("LiCl", "KCl", "CsCl")),
    Wish("Ca", ("CaCl2", "KCl", "CaF2"), T_K=kelvin(860)),
    Wish("Nd", ("NdF3", "LiF", "CaF2"), want="sinks"),
    Wish("Na", ("NaCl", "CaCl2", "BaCl2"), margin_V=0.0),
]


def random_wish(seed):
    """A small problem: a metal and three salts of one anion, floating, sinking or either way."""
    draw = np.random.default_rng(seed)
    pool = [f for f in salts() if salts()[f].anion == ("Cl", "F")[seed % 2] and f != "AlF3"]
    names = tuple(draw.choice(pool, 3, replace=False).tolist())
    want = (None, "floats", "sinks")[draw.integers(3)]
    return Wish(salts()[names[0]].cation, names, want=want, share=(0.0, 1.0))


RANDOM = [random_wish(seed) for seed in range(12)]


@pytest.mark.slow
@pytest.mark.parametrize("wish", RANDOM)
def test_never_worse_than_brute_force_on_random_problems(wish):
    """The rank with bands and windows, of the best found and of the best 40 of a grid four times finer."""
    finer = []
    for names in wish.sets():
        grid = simplex_grid(len(names), 200)
        grid = grid[(grid >= LEAST).all(axis=1)]
        found = judge(wish, names, grid)
        finer += [candidate(wish, names, found, i) for i in found.passed]
    melts = find_melts(wish).melts
    assert bool(melts) is bool(finer)
    if melts:
        ours = final_rank(wish, melts[0])
        theirs = min(final_rank(wish, found_melt(wish, c)) for c in sorted(finer, key=lambda c: c.rank)[:40])
        assert ours[:3] <= theirs[:3]
        if ours[:3] == theirs[:3]:
            assert ours[3] <= theirs[3] + 0.5


@pytest.mark.slow
@pytest.mark.parametrize("wish", [ASKED, *SMALL, *RANDOM])
def test_every_found_melt_typed_by_hand_gives_the_same_answer(wish):
    for found in find_melts(wish).melts:
        typed_by_hand(wish, found)


@pytest.mark.parametrize("wish", [SMALL[0], *(pytest.param(wish, marks=pytest.mark.slow) for wish in SMALL[1:])])
def test_never_worse_than_brute_force_four_times_finer(wish):
    """0.5 mol% over everything: what is found ranks as well or better (low end to half a kelvin)."""
    ours = min(sweep_rank(wish, melt) for melt in find_melts(wish).melts)  # the list itself counts the spread too
    theirs = brute_force(wish, 200)
    assert ours[:3] <= theirs[:3]
    if ours[:3] == theirs[:3]:
        assert ours[3] <= theirs[3] + 0.5


def sweep_rank(wish, found):
    melt = found.composition
    names = next(names for names in wish.sets() if set(names) == set(melt.salts))
    x = np.array([[melt.mole_percent[f] / 100 for f in names]])
    return candidate(wish, names, judge(wish, names, x), 0).rank
