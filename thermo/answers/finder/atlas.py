"""The atlas: for each metal the best baths out of all salts in the data, as a table that is computed once.

Chlorides, fluorides and both, up to four salts (atlas_sets says which sets on which grids). The best KEPT melts of
each metal, kind and number of salts, no two of them neighbours, are refined and answered as by find. A metal lighter
than its own molten chloride (without one: than 2 g/cm3) is wanted floating, others sinking; the deposit is liquid, at
the lowest temperature that allows it. Baths of the trade and of published cells follow, each with the rank it would
have.
Ranking as find's. data/fitted/atlas.csv carries the date and the commit it was made from; it is not refitted, a sample
of it is computed again in the tests.
Limits: as good as the pairs; status and spread stand in each row. Worked value: NaCl-CaCl2 is among sodium's chlorides.
"""

from collections.abc import Mapping, Sequence
from concurrent.futures import Executor
from typing import Any, NamedTuple, TypeVar

from thermo.answers.finder.atlas_sets import (
    KINDS,
    Kind,
    Looked,
    SetTask,
    atlas_wish,
    kind_of,
    look,
    promising,
    sets_of_four,
    sets_of_three,
)
from thermo.answers.finder.found import FoundMelt, final_rank, found_melt
from thermo.answers.finder.refine import refined
from thermo.answers.finder.search import Progress
from thermo.answers.finder.sweep import APART, Candidate, candidate, judge
from thermo.answers.finder.wish import complete
from thermo.answers.ranking import Rank
from thermo.engine.journal import Journal, spread_on
from thermo.engine.workers import Workers
from thermo.records.cell_practice import baths_in_use
from thermo.records.composition import Composition, from_amounts, parse_amounts

KEPT, REFINED = 3, 6  # melts of a metal, kind and number of salts; how many are refined for them
OF_ONE_SET = 2  # of the refined: neighbours on the way to one optimum would take the places of other salts
REASONS = (  # by what a melt ranks before another, in the order of thermo.answers.ranking
    "an open window",
    "no other metal before",
    "a surer verdict",
    "a colder low end",
    "a window of 50 K",
    "a larger margin in density",
    "a wider window",
    "a colder liquidus",
)
_POOL = 200  # candidates of a metal, kind and number of salts kept while the sets are gone through


class Row(NamedTuple):
    """A melt with its place. source: of a published bath; behind: what the first in rank has of it."""

    metal: str
    kind: str
    rank: int
    melt: FoundMelt
    source: str = ""
    behind: str = ""


Key = tuple[str, str, int]  # metal, kind, number of salts


def refine(task: tuple[str, Candidate]) -> Candidate:
    """A candidate of a metal, refined."""
    return refined(atlas_wish(task[0]), task[1])


def compute(
    symbols: Sequence[str],
    workers: Workers | Executor | None = None,
    progress: Progress | None = None,
    kinds: Sequence[str] = KINDS,
    journal: Journal | None = None,
) -> tuple[list[Row], int]:
    """Rows of the atlas for these metals, best first, published baths after them, and how many melts were looked at.

    journal: where results are written down and taken from, so that a run that was killed goes on.
    """
    run = _Run(workers, journal or Journal(), progress)
    best = run.best_of_sets(sets_of_three(symbols, kinds))
    fours = run.best_of_sets(sets_of_four(symbols, kinds))
    tasks = promising(symbols, kinds, _of_count(best, 3), _of_count(fours, 4))
    best |= run.best_of_sets(tasks)
    chosen = [(key, rough) for key, found in best.items() for rough in _to_refine(found)]
    melts: dict[Key, list[FoundMelt]] = {}
    for (key, _), better in zip(chosen, run.refined([(key[0], rough) for key, rough in chosen]), strict=True):
        melts.setdefault(key, []).append(found_melt(atlas_wish(key[0]), better))
    return ranked_rows(symbols, kinds, melts), run.searched


class _Run:
    """Tasks over workers, with a journal, a count and somebody who watches."""

    def __init__(self, workers: Workers | Executor | None, journal: Journal, progress: Progress | None):
        self.workers, self.journal, self.progress, self.searched = workers, journal, progress, 0

    def best_of_sets(self, tasks: Sequence[SetTask]) -> dict[Key, list[Candidate]]:
        """The best candidates of each metal, kind and number of salts over these sets, best first."""
        best: dict[Key, list[Candidate]] = {}
        found = spread_on(look, tasks, self.workers, self.journal, key=_task_key, written=_written, read=_looked)
        for done, (task, looked) in enumerate(zip(tasks, found, strict=True), 1):
            self.searched += looked.searched
            for symbol, own in zip(task.metals, looked.best, strict=True):
                key = (symbol, kind_of(task.names), len(task.names))
                best[key] = sorted([*best.get(key, []), *own], key=lambda c: c.rank)[:_POOL]
            if self.progress is not None:
                self.progress(done, len(tasks))
        return best

    def refined(self, tasks: Sequence[tuple[str, Candidate]]) -> list[Candidate]:
        """Each candidate of a metal refined, in order."""
        found = []
        spreading = spread_on(
            refine, tasks, self.workers, self.journal, key=_refine_key, written=_candidate_written, read=_candidate
        )
        for done, better in enumerate(spreading, 1):
            found.append(better)
            if self.progress is not None:
                self.progress(done, len(tasks))
        return found


def _to_refine(found: Sequence[Candidate]) -> list[Candidate]:
    """The best of each neighbourhood, few of one set of salts."""
    seen: dict[tuple[str, ...], int] = {}
    apart = []
    for c in _apart(found, [c.composition for c in found], len(found)):
        seen[c.salts] = seen.get(c.salts, 0) + 1
        if seen[c.salts] <= OF_ONE_SET:
            apart.append(c)
    return apart[:REFINED]


def _of_count(best: Mapping[Key, list[Candidate]], count: int) -> dict[Kind, list[Candidate]]:
    return {(symbol, kind): found for (symbol, kind, n), found in best.items() if n == count}


def _task_key(task: SetTask) -> str:
    return f"{' '.join(task.names)} for {' '.join(task.metals)} in {task.steps}"


def _refine_key(task: tuple[str, Candidate]) -> str:
    symbol, rough = task
    return f"{symbol} from {' '.join(f'{f}={x!r}' for f, x in zip(rough.salts, rough.fractions, strict=True))}"


def _written(looked: Looked) -> list:
    return [looked.searched, [[_candidate_written(c) for c in own] for own in looked.best]]


def _looked(value: Any) -> Looked:
    return Looked(value[0], tuple(tuple(map(_candidate, own)) for own in value[1]))


def _candidate_written(c: Candidate) -> list:
    return [c.rank, c.liquidus_K, c.salts, c.fractions, c.T_K]


def _candidate(value: Any) -> Candidate:
    rank: Rank = tuple(value[0])  # as `_candidate_written` wrote it
    return Candidate(rank, value[1], tuple(value[2]), tuple(value[3]), value[4])


def ranked_rows(symbols: Sequence[str], kinds: Sequence[str], melts: Mapping[Key, Sequence[FoundMelt]]) -> list[Row]:
    """The rows that these melts make: of each metal, kind and number of salts the best, then what was published."""
    rows: list[Row] = []
    for symbol in symbols:
        own: list[Row] = []
        for kind in kinds:
            for count in (1, 2, 3, 4):
                ranked = sorted(melts.get((symbol, kind, count), []), key=lambda m: final_rank(atlas_wish(symbol), m))
                kept = _apart(ranked, [m.composition for m in ranked], KEPT)
                own += [Row(symbol, kind, n, melt) for n, melt in enumerate(kept, 1)]
        rows += [*own, *_published(symbol, [kind for kind in kinds if any(row.kind == kind for row in own)], own)]
    return rows


def answered_again(task: tuple[str, Composition]) -> FoundMelt:
    """A bath of a metal that an earlier run found, with today's data."""
    wish, melt = atlas_wish(task[0]), task[1]
    return found_melt(wish, candidate(wish, melt.salts, judge(wish, melt.salts, melt.array[None, :]), 0))


def key_of(symbol: str, melt: Composition) -> Key:
    """Where a bath of a metal is ranked."""
    return symbol, kind_of(melt.salts), len(melt.salts)


def _published(symbol: str, kinds: Sequence[str], own: Sequence[Row]) -> list[Row]:
    """Baths in use: the rank they would have among those of as many salts, and why not more."""
    wish, found = atlas_wish(symbol), []
    for _, bath, basis, source in (entry for entry in baths_in_use() if entry[0] == symbol):
        melt = from_amounts(parse_amounts(bath.split()), basis)
        kind = kind_of(melt.salts)
        if kind not in kinds or not complete(melt.salts):
            continue
        judged = judge(wish, melt.salts, melt.array[None, :])
        entry = found_melt(wish, candidate(wish, melt.salts, judged, 0))
        rank = final_rank(wish, entry)
        rivals = [row.melt for row in own if row.kind == kind and len(row.melt.composition.salts) == len(melt.salts)]
        ranks = [final_rank(wish, rival) for rival in rivals]
        behind = _why(rank, min(ranks)) if ranks and min(ranks) < rank else ""
        found.append(Row(symbol, kind, 1 + sum(other < rank for other in ranks), entry, source, behind))
    return found


def _why(rank: Rank, better: Rank) -> str:
    """By what a better rank is before this one."""
    return next(why for why, own, other in zip(REASONS, rank, better, strict=True) if own != other)


Entry = TypeVar("Entry")


def _apart(entries: Sequence[Entry], melts: Sequence[Composition], most: int) -> list[Entry]:
    """The best of each neighbourhood, at most so many."""
    kept: list[tuple[Entry, dict[str, float]]] = []
    for entry, melt in zip(entries, melts, strict=True):
        here = melt.mole_percent
        if all(_distance(here, other) > 100 * APART - 1e-9 for _, other in kept):
            kept.append((entry, here))
        if len(kept) == most:
            break
    return [entry for entry, _ in kept]


def _distance(one: dict[str, float], other: dict[str, float]) -> float:
    return sum(abs(one.get(f, 0.0) - other.get(f, 0.0)) for f in {*one, *other})
