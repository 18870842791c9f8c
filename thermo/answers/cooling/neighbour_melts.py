"""Which compositions near an intended one would start to freeze at a given temperature.

From the intended melt x every salt is moved alone (the others keep their proportions) and every pair against each other
(x_i + d, x_j - d), |d| up to `spread`, and the liquidus is computed along each line. A stretch of a line is a candidate
where |T_liquidus - T| <= sigma; its best point is the one whose liquidus is nearest to T.
Grams count against 100 g of the intended melt: negative for salt that is missing, positive for too much; moving one
keeps the grams of the others, moving a pair keeps the moles.
Limits: |d| <= spread, one or two amounts wrong at a time; sigma is that of the intended melt for all.
Worked value: NaCl-CaCl2 40/60 mol% that starts to freeze where 45/55 does: NaCl near 45 instead of 40.
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from thermo.answers.evidence.start_of_freezing import leading_field
from thermo.records.composition import Composition, formula_mass

POINTS = 401  # a line; odd, so that the intended melt itself is one of them


@dataclass(frozen=True)
class NearMelt:
    """A stretch of compositions: the salts moved, their mole fractions from low to high, and its best point.

    ranges: salt -> (low, high) mole fraction; composition: the best point, its liquidus T_K; grams: salt -> g per 100 g
    of the intended melt; distance: |d| of the best point; open_end: the stretch reaches the edge of the search.
    """

    moved: tuple[str, ...]
    ranges: dict[str, tuple[float, float]]
    composition: Composition
    T_K: float
    grams: dict[str, float]
    distance: float
    includes_intended: bool
    open_end: bool


def near_melts(composition: Composition, T_K: float, sigma_K: float, spread: float = 0.10) -> tuple[NearMelt, ...]:
    """Stretches whose liquidus is T_K within sigma_K, nearest first; none for a single salt."""
    melt = composition.present
    lines = [(moved, _line(melt.array, moved, spread)) for moved in _moves(len(melt.salts))]
    if not lines:
        return ()
    sizes = np.cumsum([len(x) for _, (_, x) in lines])[:-1]
    T = np.split(leading_field(melt.salts, np.vstack([x for _, (_, x) in lines])).T_K, sizes)
    found = []
    for (moved, (d, x)), line_T in zip(lines, T, strict=True):
        near = np.abs(line_T - T_K) <= sigma_K
        for run in _runs(near):
            best = run[np.abs(line_T[run] - T_K).argmin()]
            found.append(_candidate(melt, moved, d, x, line_T, run, int(best)))
    return tuple(sorted(found, key=lambda entry: (entry.distance, len(entry.moved))))


def _moves(count: int) -> list[tuple[int, ...]]:
    """Salts moved together: each alone where others are left to move against, each pair where a third stands still."""
    if count == 1:
        return []
    alone = [(i,) for i in range(count)] if count > 2 else [(0,)]  # of two salts, one move says it all
    return alone + (list(combinations(range(count), 2)) if count > 2 else [])


def _line(x: np.ndarray, moved: tuple[int, ...], spread: float) -> tuple[np.ndarray, np.ndarray]:
    """Shifts d (N,) of the first salt moved and the compositions there (N, n), all fractions >= 0."""
    d = np.linspace(-spread, spread, POINTS)
    first = moved[0]
    room = x[moved[1]] if len(moved) == 2 else 1 - x[first]
    d = d[(x[first] + d >= 0) & (d <= room - (1e-9 if len(moved) == 1 else 0))]
    if len(moved) == 2:
        line = np.repeat(x[None, :], len(d), axis=0)
        line[:, moved[1]] -= d
    else:
        line = x[None, :] * ((1 - x[first] - d) / (1 - x[first]))[:, None]
    line[:, first] = x[first] + d
    line = np.clip(line, 0.0, None)
    return d, line / line.sum(axis=1, keepdims=True)


def _runs(near: np.ndarray) -> list[np.ndarray]:
    """Positions of each unbroken stretch of True."""
    positions = np.flatnonzero(near)
    return [run for run in np.split(positions, np.flatnonzero(np.diff(positions) > 1) + 1) if len(run)]


def _candidate(
    melt: Composition, moved: tuple[int, ...], d: np.ndarray, x: np.ndarray, T: np.ndarray, run: np.ndarray, best: int
) -> NearMelt:
    inside = bool(np.abs(d[run]).min() < 1e-12)
    best = int(np.abs(d).argmin()) if inside else best
    named = range(len(melt.salts)) if len(melt.salts) == 2 else moved
    ranges = {melt.salts[i]: (float(x[run, i].min()), float(x[run, i].max())) for i in named}
    return NearMelt(
        moved=tuple(melt.salts[i] for i in moved),
        ranges=ranges,
        composition=Composition(melt.salts, tuple(x[best].tolist())),
        T_K=float(T[best]),
        grams=_grams(melt, moved, x[best]),
        distance=float(abs(d[best])),
        includes_intended=inside,
        open_end=bool(run[0] == 0 or run[-1] == len(d) - 1),
    )


def _grams(melt: Composition, moved: tuple[int, ...], x: np.ndarray) -> dict[str, float]:
    """Grams of the moved salts above (+) or below (-) the intended ones, per 100 g of intended melt."""
    scale = 100 / melt.mean_formula_mass  # moles of intended melt in 100 g
    moles = x.copy()
    if len(moved) == 1:
        moles = moles * (1 - melt.array[moved[0]]) / (1 - x[moved[0]])
    more = (moles - melt.array) * scale
    return {melt.salts[i]: float(more[i] * formula_mass(melt.salts[i])) for i in moved}
