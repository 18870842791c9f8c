"""Which sets of salts the atlas looks at, on which grid, and what one set gives.

Every set of one to three salts in steps of 4 mol%; every set of four in steps of 10 mol%; then the sets of four that
did best there, and every salt as a fourth beside the best sets of three, in steps of 4 mol%. One task is one set for
all metals in it: where its melts freeze is the same for all of them and is most of the work.
Limits: a set of four whose melts are good only between steps of 10 mol% and that lies beside no good set of three is
missed; no sets of five. Worked value: NaCl and CaCl2 are one task, for sodium and calcium.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from thermo.answers.evidence.start_of_freezing import leading_field
from thermo.answers.finder.sweep import Candidate, best_of, judge
from thermo.answers.finder.wish import Wish, complete
from thermo.laws.density import salt_density
from thermo.laws.metal_density import metal_density
from thermo.laws.solid_solution import simplex_grid
from thermo.records.composition import anions
from thermo.records.provenance import RangeError
from thermo.records.remembered import remembered, remembered_last
from thermo.records.substances import metal, metals, salt, salt_of, salts

STEP, COARSE = 25, 10  # of the grids: 4 mol%, and 10 for every set of four
BEST_SETS = 4  # sets of three salts a metal and kind that are given a fourth
BEST_FOURS = 6  # sets of four a metal and kind that are looked at again in small steps
KINDS = ("chlorides", "fluorides", "both")
LIGHT_G_CM3 = 2.0
Kind = tuple[str, str]  # metal, kind of bath


@dataclass(frozen=True)
class SetTask:
    """One set of salts for some of the metals in it, on a grid of so many steps."""

    metals: tuple[str, ...]
    names: tuple[str, ...]
    steps: int = STEP


@dataclass(frozen=True)
class Looked:
    """What one set gave: its melts, and the best of each metal of the task, in the order of those."""

    searched: int
    best: tuple[tuple[Candidate, ...], ...]


def metals_of_the_atlas() -> tuple[str, ...]:
    """Every metal that a salt of the data holds."""
    held = {entry.cation for entry in salts().values()}
    return tuple(symbol for symbol in metals() if symbol in held)


@remembered
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


def _tasks(
    sets: Iterable[tuple[str, ...]], symbols: Sequence[str], kinds: Sequence[str], steps: int
) -> Iterator[SetTask]:
    for names in sets:
        if complete(names) and kind_of(names) in kinds:
            own = tuple(dict.fromkeys(cation for f in names if (cation := salt(f).cation) in symbols))
            if own:
                yield SetTask(own, names, steps)


def sets_of_three(symbols: Sequence[str], kinds: Sequence[str] = KINDS) -> list[SetTask]:
    """Every set of one to three salts of these kinds that holds one of the metals."""
    sets = (names for count in (1, 2, 3) for names in combinations(salts(), count))
    return list(_tasks(sets, symbols, kinds, STEP))


def sets_of_four(symbols: Sequence[str], kinds: Sequence[str] = KINDS) -> list[SetTask]:
    """Every set of four salts, coarsely."""
    return list(_tasks(combinations(salts(), 4), symbols, kinds, COARSE))


def promising(
    symbols: Sequence[str],
    kinds: Sequence[str],
    threes: Mapping[Kind, Sequence[Candidate]],
    fours: Mapping[Kind, Sequence[Candidate]],
) -> list[SetTask]:
    """The best sets of four, and every salt as a fourth to the best sets of three, each for the metals it is good for.

    threes, fours: the best melts of each metal and kind, best first.
    """
    wanted: dict[tuple[str, ...], list[str]] = {}
    for symbol in symbols:
        for kind in kinds:
            three = list(dict.fromkeys(c.salts for c in threes.get((symbol, kind), ())))[:BEST_SETS]
            sets = list(dict.fromkeys(c.salts for c in fours.get((symbol, kind), ())))[:BEST_FOURS]
            sets += [tuple(f for f in salts() if f in names or f == more) for names in three for more in salts()]
            for names in dict.fromkeys(sets):
                if len(names) == 4 and complete(names) and kind_of(names) == kind:
                    wanted.setdefault(names, []).append(symbol)
    return [SetTask(tuple(own), names) for names, own in wanted.items()]


@remembered_last(8)
def _grid(count: int, steps: int) -> np.ndarray:
    grid = simplex_grid(count, steps if count > 1 else 1)
    return grid[(grid > 0).all(axis=1)]


def melts_of(task: SetTask) -> int:
    """How many melts a task has."""
    return len(_grid(len(task.names), task.steps))


def look(task: SetTask) -> Looked:
    """The best melts of one set on its grid for each metal; none where there is no density or voltage over it."""
    grid = _grid(len(task.names), task.steps)
    try:
        liquidus_K = leading_field(task.names, grid).T_K
    except RangeError:
        return Looked(len(grid), tuple(() for _ in task.metals))
    best: list[tuple[Candidate, ...]] = []
    for symbol in task.metals:
        wish = atlas_wish(symbol)
        try:
            best.append(best_of(wish, task.names, judge(wish, task.names, grid, liquidus_K)))
        except RangeError:
            best.append(())
    return Looked(len(grid), tuple(best))


def cost(symbols: Sequence[str]) -> dict[str, tuple[int, int]]:
    """Sets and melts by stage, without computing any; of the last stage the most there may be."""
    stages = {"one to three salts": sets_of_three(symbols), "four salts, coarsely": sets_of_four(symbols)}
    found = {words: (len(tasks), sum(map(melts_of, tasks))) for words, tasks in stages.items()}
    again = len(symbols) * len(KINDS) * (BEST_FOURS + BEST_SETS * (len(salts()) // 2 - 3))
    size = len(_grid(4, STEP))
    return found | {"the best of four salts, at most": (again, again * size)}


def sets_of_every_four() -> tuple[int, int]:
    """Sets of four salts and their melts in steps of 2 mol%: a cluster's work."""
    inner = 49 * 48 * 47 // 6  # compositions of 50 parts into four that are not empty
    count = sum(complete(names) for names in combinations(salts(), 4))
    return count, inner * count
