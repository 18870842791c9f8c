"""From the best melt of a grid to the best melt: all neighbours at ever smaller steps, and the way down to the coldest.

Around the melt every combination of moves of -2 to 2 steps of each salt (-1 to 1 of five) is judged; the best is moved
to until none is better, then the step shrinks from 1 to 0.1 mol%. Where two solids meet the best melt lies on an edge
that such moves follow badly, so the coldest melts found by going down (invariants/descent) from the hollows around
(a compound between two of them hides the deeper one from small moves) are judged as well.
Limits: a refined melt keeps all its salts, LEAST of each. Worked value: LiCl-KCl ends at 59 mol% LiCl.
"""

import numpy as np

from thermo.answers.finder.sweep import Candidate, candidate, judge
from thermo.answers.finder.wish import Wish
from thermo.equilibrium.freezing.liquidus import bottomless
from thermo.equilibrium.invariants.descent import descend
from thermo.equilibrium.invariants.forces import Forces
from thermo.equilibrium.invariants.lowest import NEIGHBOURS, hollows
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts

FINE = (0.01, 0.005, 0.002, 0.001)  # mole fraction
LEAST = 0.002  # mole fraction of any salt in a refined melt: less is not another melt
_MOST_MOVES = 12  # at one step size
_REACH_DOWN = 0.1  # mole fraction that the way down may go
_RUNS = 2
_STRIDE, _HOLLOWS = 0.02, 2  # mole fraction between the neighbours among which hollows are looked for; how many


def refined(wish: Wish, rough: Candidate) -> Candidate:
    """The best melt near a grid melt by the same rank; the grid melt itself where none is better."""
    free = len(rough.salts) - 1
    if not free:
        return rough
    best = _better(wish, rough, _down(rough))
    for step in FINE:
        for _ in range(_MOST_MOVES):
            better = _better(wish, best, _around(best, step))
            if better is best:
                break
            best = better
    return best


def _better(wish: Wish, best: Candidate, x: np.ndarray) -> Candidate:
    """The best of these melts (N, n) and the one known."""
    if not len(x):
        return best
    found = judge(wish, best.salts, x)
    return min(
        [best, *(candidate(wish, best.salts, found, i) for i in found.passed)], key=lambda c: (c.rank, c.liquidus_K)
    )


def _around(melt: Candidate, step: float) -> np.ndarray:
    """The melt (in the middle) and its neighbours (N, n) by every combination of moves, none below LEAST of a salt."""
    free = len(melt.salts) - 1
    ways = np.arange(-2, 3) if free < 4 else np.arange(-1, 2)
    shifts = np.stack(np.meshgrid(*[ways] * free, indexing="ij"), axis=-1).reshape(-1, free)
    moved = np.array(melt.fractions[:-1]) + step * shifts
    x = np.column_stack([moved, 1 - moved.sum(axis=1)])
    return x[(x >= LEAST).all(axis=1)]


def _down(rough: Candidate) -> np.ndarray:
    """The coldest melts within reach (N, n), one a hollow; none where the melt stays liquid as far as anybody knows."""
    system, x = salt_system(rough.salts), np.array(rough.fractions)
    low, high = np.maximum(x - _REACH_DOWN, LEAST), np.minimum(x + _REACH_DOWN, 1.0)
    around = _around(rough, _STRIDE)
    T = Melts(system, around).liquidus()[0]
    starts = [(x, rough.liquidus_K), *((around[i], float(T[i])) for i in hollows(around, T, NEIGHBOURS * _STRIDE))]
    ends = [descend(Forces(system), *start, _RUNS, low, high) for start in starts[: 1 + _HOLLOWS]]
    coldest = np.array([end for end, T_K in ends if not bottomless(T_K)]).reshape(-1, len(x))
    coldest = np.maximum(coldest, LEAST)
    return coldest / coldest.sum(axis=1, keepdims=True)
