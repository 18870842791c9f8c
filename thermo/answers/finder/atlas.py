"""The atlas: for each metal the best baths out of all salts in the data, as a table that is computed once.

Every set of up to three salts, chlorides, fluorides and both, is looked at in steps of 4 mol% (each task is one set of
salts for one metal); then every salt is added as a fourth to the best BEST_SETS sets of three of each kind. The best
KEPT melts of each metal, kind and number of salts, no two of them neighbours, are refined and answered as by find. A
metal lighter than its own molten chloride (without one: than 2 g/cm3) is wanted floating, others sinking; the deposit
is liquid, at the lowest temperature that allows it. Sets of four salts far from the best three are not looked at.
Ranking as find's. data/fitted/atlas.csv carries the date and the commit it was made from; it is not refitted, a sample
of it is computed again in the tests.
Limits: as good as the pairs; status and spread stand in each row. Worked value: NaCl-CaCl2 is among sodium's chlorides.
"""

from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from itertools import combinations
from typing import NamedTuple, TypeVar

import numpy as np

from thermo.answers.finder.refine import refined
from thermo.answers.finder.search import FoundMelt, Progress, final_rank, found_melt
from thermo.answers.finder.sweep import APART, Candidate, Swept, best_of, candidate, judge
from thermo.answers.finder.wish import Wish, complete
from thermo.engine.spread import spread
from thermo.engine.workers import Workers
from thermo.laws.density import salt_density
from thermo.laws.metal_density import metal_density
from thermo.laws.solid_solution import simplex_grid
from thermo.records.cell_practice import published_cells
from thermo.records.composition import Composition, anions, from_amounts, parse_amounts
from thermo.records.provenance import RangeError
from thermo.records.substances import metal, metals, salt, salt_of, salts

STEP = 25  # of the grid: 4 mol%
BEST_SETS = 4  # sets of three salts a metal and kind that are given a fourth
KEPT, REFINED = 3, 5  # melts of a metal, kind and number of salts; how many are refined for them
KINDS = ("chlorides", "fluorides", "both")
LIGHT_G_CM3 = 2.0
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


@dataclass(frozen=True)
class SetTask:
    """One set of salts for one metal."""

    wish: Wish
    names: tuple[str, ...]


class Row(NamedTuple):
    """A melt with its place. source: of a published bath; behind: what the first in rank has of it."""

    metal: str
    kind: str
    rank: int
    melt: FoundMelt
    source: str = ""
    behind: str = ""


def metals_of_the_atlas() -> tuple[str, ...]:
    """Every metal that a salt of the data holds."""
    held = {entry.cation for entry in salts().values()}
    return tuple(symbol for symbol in metals() if symbol in held)


def atlas_wish(symbol: str) -> Wish:
    """What the atlas asks for a metal: liquid, on the side where it belongs, out of all salts."""
    own = salt_of(symbol, "Cl")
    T_K = metal(symbol).melting_point_K + 1.0
    heavier = LIGHT_G_CM3
    if own is not None:
        heavier = salt_density(own, max(T_K, salt(own).melting_point_K)).value_g_cm3
    light = metal_density(symbol, T_K).value_g_cm3 < heavier
    return Wish(symbol, tuple(salts()), 4, want="floats" if light else "sinks", deposit="liquid")


def kind_of(names: Sequence[str]) -> str:
    """'chlorides', 'fluorides' or 'both'."""
    held = anions(names)
    return "both" if len(held) > 1 else {"Cl": "chlorides", "F": "fluorides"}[held[0]]


def sets_of_three(symbols: Sequence[str], kinds: Sequence[str] = KINDS) -> Iterator[SetTask]:
    """Every set of one to three salts of these kinds for every metal that one of them holds."""
    wishes = {symbol: atlas_wish(symbol) for symbol in symbols}
    for count in (1, 2, 3):
        for names in combinations(salts(), count):
            if complete(names) and kind_of(names) in kinds:
                for symbol in dict.fromkeys(salt(f).cation for f in names):
                    if symbol in wishes:
                        yield SetTask(wishes[symbol], names)


def look(task: SetTask) -> Swept:
    """The melts of one set on the grid."""
    count = len(task.names)
    grid = simplex_grid(count, STEP if count > 1 else 1)
    grid = grid[(grid > 0).all(axis=1)]
    try:
        found = judge(task.wish, task.names, grid)
    except RangeError:  # no density or voltage over the whole set
        return Swept(len(grid), {}, {}, 0, ())
    return Swept(len(grid), {}, {}, 0, best_of(task.wish, task.names, found))


Key = tuple[str, str, int]  # metal, kind, number of salts


def fourth_salts(symbols: Sequence[str], kinds: Sequence[str], best: dict[Key, list[Candidate]]) -> Iterator[SetTask]:
    """Every salt as a fourth to the best sets of three of each metal and kind, each set once a metal."""
    for symbol in symbols:
        wish, seen = atlas_wish(symbol), set()
        for kind in kinds:
            threes = dict.fromkeys(c.salts for c in best.get((symbol, kind, 3), []))
            for three in list(threes)[:BEST_SETS]:
                for more in salts():
                    names = tuple(f for f in salts() if f in three or f == more)
                    if len(names) == 4 and names not in seen and complete(names) and kind_of(names) == kind:
                        seen.add(names)
                        yield SetTask(wish, names)


def answer(task: tuple[Wish, Candidate]) -> FoundMelt:
    """A candidate refined and answered in full."""
    wish, rough = task
    return found_melt(wish, refined(wish, rough))


def compute(
    symbols: Sequence[str],
    workers: Workers | Executor | None = None,
    progress: Progress | None = None,
    kinds: Sequence[str] = KINDS,
) -> tuple[list[Row], int]:
    """Rows of the atlas for these metals, best first, published baths after them, and how many melts were looked at."""
    best: dict[Key, list[Candidate]] = {}
    searched = 0
    for stage in (sets_of_three(symbols, kinds), fourth_salts(symbols, kinds, best)):
        work = list(stage)  # the second one reads what the first found
        for done, (task, swept) in enumerate(zip(work, spread(look, work, workers), strict=True), 1):
            searched += swept.searched
            key = (task.wish.symbol, kind_of(task.names), len(task.names))
            best[key] = sorted([*best.get(key, []), *swept.best], key=lambda c: c.rank)[:_POOL]
            if progress is not None:
                progress(done, len(work))
    chosen = [(key, rough) for key in best for rough in _apart(best[key], [c.composition for c in best[key]], REFINED)]
    full = spread(answer, [(atlas_wish(key[0]), rough) for key, rough in chosen], workers)
    melts: dict[Key, list[FoundMelt]] = {}
    for (key, _), melt in zip(chosen, full, strict=True):
        melts.setdefault(key, []).append(melt)
    return ranked_rows(symbols, kinds, melts), searched


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
    """Baths that cells were published with: the rank they would have among those of as many salts, and why not more."""
    wish, found = atlas_wish(symbol), []
    baths: dict[str, str] = {}
    for cell in published_cells():
        if cell.metal == symbol:
            baths.setdefault(f"{cell.bath} {cell.basis}", cell.source)
    for words, source in baths.items():
        *amounts, basis = words.split()
        melt = from_amounts(parse_amounts(amounts), basis)
        kind = kind_of(melt.salts)
        if kind not in kinds or not complete(melt.salts):
            continue
        judged = judge(wish, melt.salts, melt.array[None, :])
        entry = found_melt(wish, candidate(wish, melt.salts, judged, 0))
        rank = final_rank(wish, entry)
        rivals = [row.melt for row in own if row.kind == kind and len(row.melt.composition.salts) == len(melt.salts)]
        ranks = [final_rank(wish, rival) for rival in rivals]
        behind = next((why for why, a, b in zip(REASONS, rank, min(ranks), strict=True) if a > b), "") if ranks else ""
        found.append(Row(symbol, kind, 1 + sum(other < rank for other in ranks), entry, source, behind))
    return found


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


def cost(symbols: Sequence[str]) -> tuple[int, int]:
    """Sets and melts of the first stage, without computing any: what a full run starts with."""
    sizes = {count: len([1 for x in simplex_grid(count, STEP) if (x > 0).all()]) for count in (2, 3)} | {1: 1}
    counts = [len(task.names) for task in sets_of_three(symbols)]
    return len(counts), int(np.sum([sizes[count] for count in counts]))


def sets_of_every_four(symbols: Sequence[str]) -> tuple[int, int]:
    """Sets of four salts, one for each of the metals in them, and their melts in steps of 2 mol%: a cluster's work."""
    inner = 49 * 48 * 47 // 6  # compositions of 50 parts into four that are not empty
    counts = [
        len({salt(f).cation for f in names} & set(symbols)) for names in combinations(salts(), 4) if complete(names)
    ]
    return sum(counts), inner * sum(counts)
