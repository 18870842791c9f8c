"""One set of salts on a grid: which melts pass, which condition keeps the others out, and the best of those that pass.

Everything is taken for all melts at once: start of freezing (measured melts lead), density against the metal, voltages,
vapour. A task is one set of salts and a part of its grid, so that tasks are alike in size and can be worked anywhere;
it returns counts and few melts, whatever the size of the grid.
Limits: uncertainties of the liquidus and windows are asked of the few that are left (search). Worked value: NaCl-CaCl2
has 49 melts in steps of 2 mol%.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from thermo.answers.deposition import ALLOY_V
from thermo.answers.evidence.start_of_freezing import leading_field
from thermo.answers.finder.wish import WANTS, Wish
from thermo.answers.flotation import VERDICTS, difference_field, verdict_places
from thermo.answers.ranking import Merits, Rank
from thermo.equilibrium.freezing.liquidus import bottomless_field
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.laws.elements import HIGHEST_K, LOWEST_K
from thermo.laws.formation import voltages
from thermo.laws.solid_solution import simplex_grid
from thermo.laws.volatility import salt_pressure
from thermo.records.baths import MOST_ALF3
from thermo.records.composition import Composition, formula_mass
from thermo.records.remembered import remembered_last
from thermo.records.substances import salt
from thermo.records.units import F, R

STEPS = {1: 1, 2: 50, 3: 50, 4: 50, 5: 50}  # of the grid, by number of salts: 2 mol%
PART = 20_000  # melts a task
APART = 0.2  # two melts nearer than this (sum of the changes in mole fraction) are one answer
KEPT, LOOKED_AT = 6, 400  # melts a task returns, and the best ones among which they are chosen


@dataclass(frozen=True)
class Candidate:
    """A melt that passed; rank as melt_rank gives it, smaller is better."""

    rank: Rank
    liquidus_K: float
    salts: tuple[str, ...]
    fractions: tuple[float, ...]
    T_K: float

    @property
    def composition(self) -> Composition:
        """As a composition."""
        return Composition(self.salts, self.fractions)


@dataclass(frozen=True)
class Task:
    """One set of salts and a part of its grid."""

    wish: Wish
    names: tuple[str, ...]
    start: int
    stop: int


@dataclass(frozen=True)
class Swept:
    """What one task found: melts looked at, by condition how many it kept out first and how many it alone kept out."""

    searched: int
    kept_out: dict[str, int]
    alone: dict[str, int]
    close: int
    best: tuple[Candidate, ...]


@dataclass(frozen=True)
class Judged:
    """N melts of one set of salts: whether each passes, and what it is judged by."""

    x: np.ndarray
    broken: dict[str, np.ndarray]
    close: np.ndarray
    liquidus_K: np.ndarray
    T_K: np.ndarray
    difference: np.ndarray
    behind_V: np.ndarray
    unsure: np.ndarray

    @property
    def passed(self) -> np.ndarray:
        """Positions of the melts that break no condition."""
        return np.flatnonzero(~np.any(list(self.broken.values()), axis=0))


@remembered_last(8)
def inner_grid(count: int) -> np.ndarray:
    """Mole fractions (N, count) of the grid in which no salt is absent."""
    grid = simplex_grid(count, STEPS[count])
    return grid[(grid > 0).all(axis=1)]


def tasks(wish: Wish) -> Iterator[Task]:
    """Everything a wish asks to be looked at, in a fixed order: large tasks first, or one is left over at the end."""
    for names in sorted(wish.sets(), key=len, reverse=True):
        size = len(inner_grid(len(names)))
        for start in range(0, size, PART):
            yield Task(wish, names, start, min(start + PART, size))


def sweep(task: Task) -> Swept:
    """One task."""
    found = judge(task.wish, task.names, inner_grid(len(task.names))[task.start : task.stop])
    names, broken = list(found.broken), np.array(list(found.broken.values()))
    first = np.where(broken.any(axis=0), broken.argmax(axis=0), -1)
    by_one = broken.sum(axis=0) == 1
    return Swept(
        searched=len(found.x),
        kept_out={name: int((first == n).sum()) for n, name in enumerate(names)},
        alone={name: int((broken[n] & by_one).sum()) for n, name in enumerate(names)},
        close=int((found.close & found.broken["side"] & by_one).sum()),
        best=best_of(task.wish, task.names, found),
    )


def judge(wish: Wish, names: tuple[str, ...], x: np.ndarray, liquidus_K: np.ndarray | None = None) -> Judged:
    """N melts x (N, n) of these salts against everything the wish asks that can be told of all at once.

    liquidus_K (N,): where these melts start to freeze, if known; it is the same for every metal.
    """
    masses = x * np.array([formula_mass(formula) for formula in names])
    own = masses[:, [f in wish.own_salts for f in names]].sum(axis=1) / masses.sum(axis=1)
    liquidus_K = leading_field(names, x).T_K if liquidus_K is None else liquidus_K
    T_K = wish.working_K(liquidus_K)
    difference, sigma = difference_field(names, x, wish.symbol, T_K)
    p_float = ndtr(difference / sigma)
    verdicts = np.where(np.isfinite(p_float), np.array(VERDICTS)[verdict_places(p_float)], "vapour")
    likely = np.zeros(len(x)) if wish.want is None else {"floats": p_float, "sinks": 1 - p_float}[wish.want]
    ahead = _behind_V(wish.symbol, names, x, np.clip(T_K, LOWEST_K, HIGHEST_K))
    nothing = np.zeros(len(x), dtype=bool)
    broken = {
        "poor": own < wish.share[0],
        "rich": own > wish.share[1],
        "dear": nothing if wish.most_cost is None else _dear(wish, names, masses),
        "hot": nothing if wish.below_K is None else liquidus_K > wish.below_K,
        "frozen": liquidus_K + wish.superheat_K > T_K + 1e-9,
        "beyond": (T_K < LOWEST_K) | (T_K > HIGHEST_K),
        "unknown": bottomless_field(liquidus_K),
        "thin": x[:, names.index("AlF3")] > MOST_ALF3 + 1e-9 if "AlF3" in names else nothing,
        "side": nothing if wish.want is None else ~(likely > wish.least_chance),
        "second": nothing if wish.margin_V is None else ahead > -wish.margin_V,
        "vapour": nothing if wish.vapour_Pa is None else _vapour_Pa(names, x, T_K) > wish.vapour_Pa,
    }
    order = WANTS[wish.want] if wish.want else ()
    unsure = np.full(len(x), len(order))
    for place, word in enumerate(order):
        unsure[verdicts == word] = place
    return Judged(x, broken, verdicts == VERDICTS[2], liquidus_K, T_K, difference, np.maximum(ahead, 0.0), unsure)


def candidate(wish: Wish, names: tuple[str, ...], found: Judged, i: int) -> Candidate:
    """The melt at position i, ranked as if its window were open."""
    margin = float(found.difference[i]) if np.isfinite(found.difference[i]) else None  # none of a vapour
    merits = Merits(float(found.liquidus_K[i]), 0.0, True, float(found.behind_V[i]), int(found.unsure[i]), margin)
    return Candidate(
        wish.rank(merits), float(found.liquidus_K[i]), names, tuple(found.x[i].tolist()), float(found.T_K[i])
    )


def best_of(wish: Wish, names: tuple[str, ...], found: Judged) -> tuple[Candidate, ...]:
    """The best of those that pass, no two of them neighbours."""
    passed = found.passed
    behind = found.behind_V[passed]
    order = np.lexsort((found.liquidus_K[passed], found.unsure[passed] + (behind > 0), behind > ALLOY_V))
    ranked = sorted((candidate(wish, names, found, i) for i in passed[order[:LOOKED_AT]]), key=lambda c: c.rank)
    kept: list[Candidate] = []
    for entry in ranked:
        here = np.array(entry.fractions)
        if all(np.abs(here - np.array(other.fractions)).sum() > APART - 1e-9 for other in kept):
            kept.append(entry)
        if len(kept) == KEPT:
            break
    return tuple(kept)


def _behind_V(symbol: str, names: tuple[str, ...], x: np.ndarray, T_K: np.ndarray) -> np.ndarray:
    """How far this metal comes behind the first of the others, V (N,); negative where it is the first."""
    system = salt_system(names)
    logs = Melts(system, x).liquid.at(T_K, slice(None))[0] / (R * T_K[:, None])
    shown = list(names)
    if isinstance(system, ReciprocalSystem):  # an anode discharges chloride
        count = len(system.cations)
        logs, shown = logs[:, count:], list(system.constituents[count:])
    charges = np.array([salt(formula).charge for formula in shown])
    E = np.stack([voltages(formula, T_K) for formula in shown], axis=1) - R * T_K[:, None] / (charges * F) * logs
    own = [salt(formula).cation == symbol for formula in shown]
    others = E[:, [not mine for mine in own]]
    return E[:, own].min(axis=1) - (others.min(axis=1) if others.shape[1] else np.inf)


def _vapour_Pa(names: tuple[str, ...], x: np.ndarray, T_K: np.ndarray) -> np.ndarray:
    """Ideal sum of the salts' vapours at T, Pa (N,): an upper estimate where salts bind each other.

    Above what is computed with double salts for every measured pair; NaCl-MgCl2 was measured up to a third higher.
    """
    return sum(x[:, n] * salt_pressure(formula, T_K) for n, formula in enumerate(names))


def _dear(wish: Wish, names: tuple[str, ...], masses: np.ndarray) -> np.ndarray:
    if any(formula not in wish.cost for formula in names):
        return np.ones(len(masses), dtype=bool)
    price = masses @ np.array([wish.cost[formula] for formula in names]) / masses.sum(axis=1)
    return price > wish.most_cost
