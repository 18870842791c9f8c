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

from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from itertools import combinations
from typing import TypeVar

import numpy as np

from thermo.answers.finder.refine import refined
from thermo.answers.finder.search import (
    SHOWN,
    FoundMelt,
    Progress,
    Search,
    Tally,
    final_rank,
    found_melt,
    pareto,
    width_K,
)
from thermo.answers.finder.sweep import APART, Candidate, Swept, best_of, candidate, judge
from thermo.answers.finder.wish import Wish, complete
from thermo.engine.spread import spread
from thermo.engine.workers import Workers
from thermo.laws.density import salt_density
from thermo.laws.metal_density import metal_density
from thermo.laws.solid_solution import simplex_grid
from thermo.records.composition import Composition, anions
from thermo.records.provenance import InputError, RangeError, read_table
from thermo.records.remembered import remembered
from thermo.records.substances import metal, metals, salt, salt_of, salts
from thermo.records.units import kelvin

STEP = 25  # of the grid: 4 mol%
BEST_SETS = 4  # sets of three salts a metal and kind that are given a fourth
KEPT, REFINED = 3, 5  # melts of a metal, kind and number of salts; how many are refined for them
KINDS = ("chlorides", "fluorides", "both")
LIGHT_G_CM3 = 2.0
_POOL = 200  # candidates of a metal, kind and number of salts kept while the sets are gone through


@dataclass(frozen=True)
class SetTask:
    """One set of salts for one metal."""

    wish: Wish
    names: tuple[str, ...]


@dataclass(frozen=True)
class AtlasRow:
    """One bath: metal, kind, rank among those of as many salts, the melt, the temperature it was judged at (K)."""

    metal: str
    kind: str
    rank: int
    composition: Composition
    T_K: float
    liquidus_K: float
    sigma_K: float
    made: str
    commit: str


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
) -> tuple[list[tuple[str, str, int, FoundMelt]], int]:
    """Rows (metal, kind, rank, melt) of the atlas for these metals, best first, and how many melts were looked at."""
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
    rows = []
    for symbol in symbols:
        for kind in kinds:
            for count in (1, 2, 3, 4):
                ranked = sorted(melts.get((symbol, kind, count), []), key=lambda m: final_rank(atlas_wish(symbol), m))
                kept = _apart(ranked, [m.composition for m in ranked], KEPT)
                rows += [(symbol, kind, n, melt) for n, melt in enumerate(kept, 1)]
    return rows, searched


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


def table(rows: list[tuple[str, str, int, FoundMelt]], made: str, commit: str) -> list[dict[str, str]]:
    """The rows as data/fitted/atlas.csv holds them."""
    found = []
    for symbol, kind, rank, melt in rows:
        parts = [(f, x) for f, x in melt.composition.mole_percent.items()]
        found.append({
            "metal": symbol, "kind": kind, "rank": str(rank),
            "salts": " ".join(f for f, _ in parts), "mole_percent": " ".join(f"{x:.2f}" for _, x in parts),
            "T_C": f"{melt.T_K - 273.15:.1f}", "liquidus_C": f"{melt.liquidus.T_K - 273.15:.1f}",
            "sigma_K": f"{melt.liquidus.sigma_K:.1f}", "first_solid": melt.liquidus.first_solid,
            "verdict": melt.flotation.verdict or "vapour",
            "window_K": f"{width_K(melt.window):.0f}", "first_metal": melt.order.first.metal,
            "status": melt.liquidus.status, "rests_on": melt.liquidus.rests_on, "made": made, "commit": commit,
        })  # fmt: skip
    return found


@remembered
def atlas() -> tuple[AtlasRow, ...]:
    """data/fitted/atlas.csv, in file order."""
    return tuple(
        AtlasRow(
            row["metal"],
            row["kind"],
            int(row["rank"]),
            Composition(tuple(row["salts"].split()), _fractions(row["mole_percent"])),
            kelvin(float(row["T_C"])),
            kelvin(float(row["liquidus_C"])),
            float(row["sigma_K"]),
            row["made"],
            row["commit"],
        )
        for row in read_table("fitted/atlas.csv")
    )


def _fractions(text: str) -> tuple[float, ...]:
    parts = [float(word) for word in text.split()]
    return tuple(part / sum(parts) for part in parts)


def sets_of_every_four(symbols: Sequence[str]) -> tuple[int, int]:
    """Sets of four salts, one for each of the metals in them, and their melts in steps of 2 mol%: a cluster's work."""
    inner = 49 * 48 * 47 // 6  # compositions of 50 parts into four that are not empty
    counts = [
        len({salt(f).cation for f in names} & set(symbols)) for names in combinations(salts(), 4) if complete(names)
    ]
    return sum(counts), inner * sum(counts)


def search_atlas(wish: Wish, shown: int = SHOWN) -> Search:
    """The atlas's melts for the wish's metal that keep the wish, answered anew and ranked by it."""
    wish.check()
    rows = [row for row in atlas() if row.metal == wish.symbol]
    if not rows:
        raise InputError(
            f"metal {wish.symbol!r}: the atlas has none of its baths; compute it with: python -m thermo atlas"
        )
    total, melts = Tally(), []
    for row in rows:
        names = row.composition.salts
        judged = judge(wish, names, row.composition.array[None, :])
        out = [name for name, broken in judged.broken.items() if broken[0]]
        allowed = len(names) <= wish.most and set(names) <= set(wish.usable)
        alone = {out[0]: 1} if len(out) == 1 else {}
        total.add(Swept(1, {out[0]: 1} if out else {}, alone, 0, ()))
        if allowed and not out:
            melts.append(found_melt(wish, candidate(wish, names, judged, 0)))
    ranked = sorted(total.checked(wish, melts), key=lambda m: final_rank(wish, m))[:shown]
    made = (
        f"from the atlas of {rows[0].made} (commit {rows[0].commit}): --workers 2 searches all salts for this very wish"
    )
    notes = (*total.notes(wish, bool(ranked)), made)
    return Search(tuple(ranked), total.searched, notes, pareto(wish, ranked))
