"""The first melt of a search where its band is wide: moved on by the rank that counts the band.

The sweep and `refine` go by the liquidus alone, as a band costs a hundred times the liquidus. Beyond KNOWN_K the band
changes by kelvins from one mol% to the next, so that the low end, liquidus + sigma + superheat, has its best elsewhere.
Every exchange of one salt for another by 1, 0.5 and 0.2 mol% is judged in full; the best is moved to until none is
better.
Limits: a melt known better than KNOWN_K stays, and so do all but the first: nobody would choose by them.
Worked value: a melt known to 4 K is given back as it is.
"""

from itertools import permutations

import numpy as np

from thermo.answers.finder.found import FoundMelt, final_rank, found_melt
from thermo.answers.finder.refine import LEAST
from thermo.answers.finder.sweep import candidate, judge
from thermo.answers.finder.wish import Wish
from thermo.answers.ranking import KNOWN_K

STEPS = (0.01, 0.005, 0.002)  # mole fraction
_MOST_MOVES = 6  # at one step size


def weighed(wish: Wish, melt: FoundMelt) -> FoundMelt:
    """The melt itself, or the one near it that ranks best with its band."""
    if melt.liquidus.sigma_K <= KNOWN_K:
        return melt
    best, rank = melt, final_rank(wish, melt)
    for step in STEPS:
        for _ in range(_MOST_MOVES):
            tried = [(final_rank(wish, found), n, found) for n, found in enumerate(_exchanged(wish, best, step))]
            if not tried or min(tried)[0] >= rank:
                break
            rank, _, best = min(tried)
    return best


def _exchanged(wish: Wish, melt: FoundMelt, step: float) -> list[FoundMelt]:
    """The melts with a step of one salt in place of another that pass, answered in full."""
    names = melt.composition.salts
    x = np.array(melt.composition.fractions)
    one = np.eye(len(x))
    around = np.array([x + step * (one[a] - one[b]) for a, b in permutations(range(len(x)), 2)]).reshape(-1, len(x))
    around = around[(around >= LEAST).all(axis=1)]
    if not len(around):
        return []
    found = judge(wish, names, around)
    return [found_melt(wish, candidate(wish, names, found, i)) for i in found.passed]
