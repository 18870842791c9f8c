"""Which other mixes would do better? A search over melts of a few of the salts at hand, for one metal.

Every set of 1 to `most` of the salts that holds a salt of the metal, of one anion or two, is laid on a grid of 2 mol%;
liquidus, density and voltages are taken for all melts at once (sweep). T is the temperature given, else liquidus +
superheat (for a liquid deposit at least the metal's melting point + 20 K). Ranked as in thermo.answers.ranking: window,
first metal, verdict, then the colder low end, margin and width. The best melt of each neighbourhood is refined, so that
an answer is an optimum and not a grid point. Where wishes pull apart, `pareto` marks the melts that no other one beats
in everything: low end, margin in density and in voltage, width of the window, cost.
Limits: 1 to 5 salts a melt; a narrow valley between grid points may be missed.
Worked value: sodium out of NaCl, KCl, CaCl2 in two salts: first near 53 NaCl, 47 CaCl2 mol%, liquidus 534 deg C.
"""

from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from thermo.answers.finder.found import FoundMelt, final_rank, found_melt, width_K
from thermo.answers.finder.refine import refined
from thermo.answers.finder.sweep import APART, Candidate, Swept, sweep, tasks
from thermo.answers.finder.weighed import weighed
from thermo.answers.finder.wish import Wish, conditions
from thermo.answers.ranking import low_end_K
from thermo.engine.spread import spread
from thermo.engine.workers import Workers
from thermo.records.composition import Composition

SHORT_LIST, SHOWN = 16, 10
POOL = 400  # candidates kept while the sets are gone through
Progress = Callable[[int, int], None]  # tasks done, tasks in all; may raise to cancel


@dataclass(frozen=True)
class Search:
    """Melts best first, how many were looked at, what was left out for which reason, melts nothing beats."""

    melts: tuple[FoundMelt, ...]
    searched: int
    notes: tuple[str, ...]
    pareto: tuple[int, ...] = ()


def find_melts(
    wish: Wish, workers: Workers | Executor | None = None, progress: Progress | None = None, shown: int = SHOWN
) -> Search:
    """Search the melts of the wish. InputError for a metal none of the salts holds or an unknown choice.

    workers: who does the sweep (None: this process); the answer is the same for any number of them.
    """
    wish.check()
    work = list(tasks(wish))
    total = Tally()
    pool: list[Candidate] = []
    for done, swept in enumerate(spread(sweep, work, workers), 1):
        total.add(swept)
        pool = sorted([*pool, *swept.best], key=lambda c: c.rank)[:POOL]
        if progress is not None:
            progress(done, len(work))
    rough = _short_list(wish, pool)
    melts = [found_melt(wish, _kept_open(wish, candidate, refined(wish, candidate))) for candidate in rough]
    kept = sorted(total.checked(wish, melts), key=lambda m: final_rank(wish, m))
    kept = [weighed(wish, kept[0]), *kept[1:]] if kept else []
    ranked = _unbeaten_first(wish, _apart(sorted(kept, key=lambda m: final_rank(wish, m)), wish.salts))[:shown]
    return Search(tuple(ranked), total.searched, total.notes(wish, bool(ranked)), pareto(wish, ranked))


class Tally:
    """Counts over a search: melts looked at and what kept how many out, first or alone."""

    def __init__(self) -> None:
        self.searched, self.close = 0, 0
        self.kept_out: dict[str, int] = {}
        self.alone: dict[str, int] = {}

    def add(self, swept: Swept) -> None:
        """Count one task."""
        self.searched += swept.searched
        self.close += swept.close
        for total, part in ((self.kept_out, swept.kept_out), (self.alone, swept.alone)):
            for name, count in part.items():
                total[name] = total.get(name, 0) + count

    def checked(self, wish: Wish, melts: list[FoundMelt]) -> list[FoundMelt]:
        """The melts that keep what only a single melt can be asked: chance of being liquid, width of the window."""
        broken = {id(melt): name for melt in melts if (name := _broken(wish, melt))}
        for name in broken.values():
            self.kept_out[name] = self.kept_out.get(name, 0) + 1
            self.alone[name] = self.alone.get(name, 0) + 1
        return [melt for melt in melts if id(melt) not in broken]

    def notes(self, wish: Wish, found: bool) -> tuple[str, ...]:
        """What was left out for which reason; where nothing is left, the condition that keeps out most."""
        words = conditions(wish)
        lines = [f"{n} of {self.searched} melts {words[name]}" for name, n in self.kept_out.items() if n]
        if self.close:
            lines.append(f"of these {self.close} are too close to call: a measured density would decide them")
        if not found and self.searched:
            lines.insert(0, self._impossible(words))
        return tuple(lines)

    def _impossible(self, words: dict[str, str]) -> str:
        most = max(self.alone, key=lambda name: (self.alone[name], self.kept_out[name]))
        if not self.alone[most]:
            return "no melt passes, and none would if a single condition were dropped: several clash"
        return f"no melt passes; most fail by one condition alone: {self.alone[most]} melts {words[most]}"


def _broken(wish: Wish, melt: FoundMelt) -> str | None:
    """The condition that this melt breaks when its uncertainty and its window are asked for."""
    freezing, sure = melt.liquidus, wish.chance
    if sure is not None:
        sigma = max(freezing.sigma_high_K, 1e-6)
        if wish.below_K is not None and ndtr((wish.below_K - freezing.T_K) / sigma) < sure:
            return "hot"
        if wish.T_K is not None and ndtr((wish.T_K - wish.superheat_K - freezing.T_K) / sigma) < sure:
            return "frozen"
    if wish.window_K is not None and width_K(melt.window) < wish.window_K:
        return "narrow"
    return None


def _fits(wish: Wish, candidate: Candidate) -> bool:
    """Whether the working temperature lies in the operating window."""
    return wish.window(candidate.composition, candidate.liquidus_K).holds(candidate.T_K)


def _kept_open(wish: Wish, rough: Candidate, better: Candidate) -> Candidate:
    """The refined melt, unless that lost the window which the rough one has."""
    return better if _fits(wish, better) or not _fits(wish, rough) else rough


def _short_list(wish: Wish, ranked: list[Candidate]) -> list[Candidate]:
    """The best of each neighbourhood, those with a window first; a window is looked at only where it matters."""
    kept: list[Candidate] = []
    places: list[np.ndarray] = []
    without: list[Candidate] = []
    for fitting, candidates in ((True, ranked), (False, without)):
        for entry in candidates:
            place = _place(entry.composition, wish.salts)
            if len(kept) == SHORT_LIST:
                return kept
            if not _far(place, places):
                continue
            if fitting and not _fits(wish, entry):
                without.append(entry)
                continue
            kept.append(entry)
            places.append(place)
    return kept


def _place(melt: Composition, order: tuple[str, ...]) -> np.ndarray:
    share = dict(zip(melt.salts, melt.fractions, strict=True))
    return np.array([share.get(formula, 0.0) for formula in order])


def _far(place: np.ndarray, others: list[np.ndarray]) -> bool:
    return all(np.abs(place - other).sum() > APART - 1e-9 for other in others)


def _apart(melts: list[FoundMelt], order: tuple[str, ...]) -> list[FoundMelt]:
    """Without the melts that refinement moved beside a better one."""
    kept: list[FoundMelt] = []
    for entry in melts:
        if _far(_place(entry.composition, order), [_place(other.composition, order) for other in kept]):
            kept.append(entry)
    return kept


def _unbeaten_first(wish: Wish, melts: list[FoundMelt]) -> list[FoundMelt]:
    """Ranked melts; among those that rank alike the ones that another beats in everything come last."""
    best = pareto(wish, melts)
    order = sorted(range(len(melts)), key=lambda n: (final_rank(wish, melts[n]), n not in best))
    return [melts[n] for n in order]


def ahead_V(symbol: str, melt: FoundMelt) -> float | None:
    """By how much the metal comes before the first of the others, V (negative: behind); None where it is alone."""
    rivals = [couple.E_V for couple in melt.order.couples if couple.metal != symbol]
    return min(rivals) - melt.order.couple(symbol).E_V if rivals else None


def pareto(wish: Wish, melts: list[FoundMelt]) -> tuple[int, ...]:
    """Positions of the melts that no other beats in everything that counts."""
    if not melts:
        return ()
    worth = np.array([_merits(wish, melt) for melt in melts])
    beaten = [any((other <= own).all() and (other < own).any() for other in worth) for own in worth]
    return tuple(n for n, out in enumerate(beaten) if not out)


def _merits(wish: Wish, melt: FoundMelt) -> list[float]:
    """What counts, smaller is better: low end K, margins g/cm3 and V, width of the window K, money a kg."""
    side = {"floats": -1.0, "sinks": 1.0, None: 0.0}[wish.want]
    low = low_end_K(wish.symbol, melt.liquidus.T_K + melt.liquidus.sigma_K, wish.superheat_K, wish.deposit)
    ahead = ahead_V(wish.symbol, melt) or 0.0
    margin = side * (melt.flotation.difference_g_cm3 or 0.0)
    return [round(low, 1), round(margin, 3), -round(ahead, 3), -round(width_K(melt.window)), melt.price or 0.0]
