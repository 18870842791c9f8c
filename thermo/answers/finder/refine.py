"""From the best melt of a grid to the best melt: all neighbours at ever smaller steps, and the way down to the coldest.

Around the melt every combination of moves of -2 to 2 steps of each salt (-1 to 1 of five) is judged; the best is moved
to until none is better, then the step shrinks from 1 to 0.1 mol%. Where two solids meet the best melt lies on an edge
that such moves follow badly, so the coldest melt found by going down (invariants/descent) is judged as well.
Limits: a refined melt keeps all its salts, LEAST of each. Worked value: LiCl-KCl ends at 59 mol% LiCl.
"""

import numpy as np

from thermo.answers.finder.sweep import Candidate, candidate, judge
from thermo.answers.finder.wish import Wish
from thermo.equilibrium.freezing.liquidus import bottomless
from thermo.equilibrium.invariants.descent import descend
from thermo.equilibrium.invariants.forces import Forces
from thermo.equilibrium.system.build import salt_system

FINE = (0.01, 0.005, 0.002, 0.001)  # mole fraction
LEAST = 0.002  # mole fraction of any salt in a refined melt: less is not another melt
_MOST_MOVES = 12  # at one step size
_REACH_DOWN = 0.1  # mole fraction that the way down may go
_RUNS = 2


def refined(wish: Wish, rough: Candidate) -> Candidate:
    """The best melt near a grid melt by the same rank; the grid melt itself where none is better."""
    free = len(rough.salts) - 1
    if not free:
        return rough
    best = _better(wish, rough, _down(rough))
    shifts = np.stack(np.meshgrid(*[np.arange(-2, 3) if free < 4 else np.arange(-1, 2)] * free, indexing="ij"), axis=-1)
    for step in FINE:
        for _ in range(_MOST_MOVES):
            moved = np.array(best.fractions[:-1]) + step * shifts.reshape(-1, free)
            better = _better(wish, best, np.column_stack([moved, 1 - moved.sum(axis=1)]))
            if better is best:
                break
            best = better
    return best


def _better(wish: Wish, best: Candidate, x: np.ndarray) -> Candidate:
    """The best of these melts (N, n) and the one known."""
    x = x[(x >= LEAST).all(axis=1)]
    if not len(x):
        return best
    found = judge(wish, best.salts, x)
    return min(
        [best, *(candidate(wish, best.salts, found, i) for i in found.passed)], key=lambda c: (c.rank, c.liquidus_K)
    )


def _down(rough: Candidate) -> np.ndarray:
    """The coldest melt within reach, (1, n); none where the melt stays liquid as far as anybody knows."""
    x = np.array(rough.fractions)
    low, high = np.maximum(x - _REACH_DOWN, LEAST), np.minimum(x + _REACH_DOWN, 1.0)
    coldest, T_K = descend(Forces(salt_system(rough.salts)), x, rough.liquidus_K, _RUNS, low, high)
    if bottomless(T_K):
        return np.zeros((0, len(x)))
    coldest = np.maximum(coldest, LEAST)
    return coldest[None, :] / coldest.sum()
