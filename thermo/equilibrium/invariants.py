"""Eutectics, peritectics, minima and congruent points of a pair.

A pair's liquidus is the highest of its solids' curves T_s(x). Where the highest changes from one solid to another lies
an invariant: a eutectic when the liquidus has a minimum there, a peritectic when it only changes slope. A minimum
inside one solid solution is `minimum`; the top of a double salt's own curve is `congruent`.
Limits: a strongly bound pair whose double salts have no data stays liquid down to LOWEST_K; its curves meet there only
because nothing lower is computed, and such a meeting is not reported (`bottomless`).
Worked value: LiCl-KCl has one eutectic near 353 deg C and 41 mol% KCl.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.optimize import brentq, minimize_scalar

from thermo.equilibrium.freezing_point import bottomless, liquidus_sigma
from thermo.equilibrium.liquidus import Melts
from thermo.equilibrium.sensitivity import Side, invariant_sigma
from thermo.equilibrium.system import salt_system
from thermo.laws.solids import DoubleSolid, SolutionSolid
from thermo.records.provenance import InputError
from thermo.records.substances import salt

GRID = 801
_JUMP = 0.1  # a solid solution whose composition jumps by more has two sides


@dataclass(frozen=True)
class Invariant:
    """One invariant point: melt composition, temperature with standard deviation, the solids that meet there."""

    kind: str
    salts: tuple[str, ...]
    fractions: tuple[float, ...]
    T_K: float
    sigma_K: float
    solids: tuple[str, ...]
    status: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class PairCurve:
    """Liquidus of a pair against the mole fraction of its second salt, for drawing."""

    x_second: np.ndarray
    T_K: np.ndarray
    sigma_K: np.ndarray
    first_solid: tuple[str, ...]
    invariants: tuple[Invariant, ...]


class _Pair:
    """Liquidus curves of one pair's solids, x being the fraction of the second salt."""

    def __init__(self, a: str, b: str):
        self.system = salt_system((a, b))
        self.x = np.linspace(0.0, 1.0, GRID)
        melts = Melts(self.system, np.column_stack([1 - self.x, self.x]))
        found = [melts.solid_temperature(solid) for solid in self.system.solids]
        self.curves = np.stack([T for T, _ in found])
        self.first = self.curves.argmax(axis=0)
        self.T = self.curves.max(axis=0)
        self.y_second = [None if y is None else y[:, solid.formulas.index(b)]
                         for (_, y), solid in zip(found, self.system.solids, strict=True)]  # fmt: skip

    def side(self, i: int) -> Side:
        """The solid that freezes first at grid point i, with its side when it is a solution with a gap."""
        s = int(self.first[i])
        solid = self.system.solids[s]
        if not isinstance(solid, SolutionSolid):
            return solid, None
        jumps = np.abs(np.diff(self.y_second[s][self.first == s]))
        if len(jumps) == 0 or jumps.max() < _JUMP:
            return solid, None
        second = solid.formulas.index(self.system.salts[1])
        return solid, second if self.y_second[s][i] >= 0.5 else 1 - second

    def temperature(self, side: Side, x: float) -> float:
        """T_s(x) of one solid, K."""
        melts = Melts(self.system, np.array([[1 - x, x]]))
        return float(melts.solid_temperature(*side)[0][0])

    def name(self, side: Side, x: float) -> str:
        """The solid's name at the melt x."""
        solid, near = side
        if not isinstance(solid, SolutionSolid):
            return solid.name
        y = Melts(self.system, np.array([[1 - x, x]])).solid_temperature(solid, near)[1][0]
        return solid.label(y) if near is None else solid.formulas[near]

    def crossing(self, i: int) -> tuple[float, float, list[Side]]:
        """x, T and the two solids of the change of first solid between grid points i and i + 1."""
        left, right = self.side(i), self.side(i + 1)

        def gap(x: float) -> float:
            return self.temperature(left, x) - self.temperature(right, x)

        around = (self.x[max(i - 1, 0)], self.x[min(i + 2, GRID - 1)])
        for lo, hi in ((self.x[i], self.x[i + 1]), around):  # the grid may take a side that is worse by 0.1 K
            if gap(lo) * gap(hi) < 0:
                x = float(brentq(gap, lo, hi, xtol=1e-7))
                return x, max(self.temperature(left, x), self.temperature(right, x)), [left, right]
        # Near the top of a gap one side runs into the other: take the lowest point of the liquidus itself.
        found = minimize_scalar(self.liquidus, bounds=around, method="bounded", options={"xatol": 1e-6})
        return float(found.x), float(found.fun), [left, right]

    def liquidus(self, x: float) -> float:
        """Highest of all curves at x, K."""
        return float(Melts(self.system, np.array([[1 - x, x]])).liquidus()[0][0])


@cache
def _pair(a: str, b: str) -> _Pair:
    return _Pair(a, b)


def check_pair(a: str, b: str) -> None:
    """InputError unless a and b are two different salts of one anion or of one cation."""
    first, second = salt(a), salt(b)
    if a == b:
        raise InputError(f"pair {a} {b}: allowed are two different salts")
    if first.anion != second.anion and first.cation != second.cation:
        raise InputError(f"pair {a} {b}: two anions; allowed are two salts of one anion or of one cation")


def stays_liquid(a: str, b: str) -> bool:
    """Whether some mix of the pair has no computed freezing point."""
    check_pair(a, b)
    return bottomless(_pair(a, b).T.min())


@cache
def pair_invariants(a: str, b: str) -> tuple[Invariant, ...]:
    """All invariant points of the pair's liquidus, in the order of the second salt's fraction."""
    check_pair(a, b)
    pair = _pair(a, b)
    points = [*_crossings(pair), *_extrema(pair)]
    return tuple(sorted(points, key=lambda point: point.fractions[1]))


def _point(pair: _Pair, kind: str, x: float, T_K: float, sides: Sequence[Side]) -> Invariant:
    names = tuple(dict.fromkeys(pair.name(side, x) for side in sides))
    sigma = invariant_sigma(pair.system, np.array([1 - x, x]), sides)
    return Invariant(
        kind, pair.system.salts, (1 - x, x), T_K, sigma, names, pair.system.status, pair.system.sources
    )  # fmt: skip


def _crossings(pair: _Pair):
    labels = [pair.side(i) for i in range(GRID)]
    for i in range(GRID - 1):
        if labels[i] == labels[i + 1]:
            continue
        x, T_K, sides = pair.crossing(i)
        if bottomless(T_K):
            continue
        lowest_here = min(pair.T[max(i - 1, 0)], pair.T[min(i + 2, GRID - 1)]) > T_K
        yield _point(pair, "eutectic" if lowest_here else "peritectic", x, T_K, sides)


def _extrema(pair: _Pair):
    for i in range(1, GRID - 1):
        if not pair.side(i - 1) == pair.side(i) == pair.side(i + 1):
            continue
        side = pair.side(i)
        sign = {(True, True): 1, (False, False): -1}.get((pair.T[i] < pair.T[i - 1], pair.T[i] < pair.T[i + 1]))
        if sign is None or pair.T[i] in (pair.T[i - 1], pair.T[i + 1]):
            continue
        found = minimize_scalar(
            lambda x, side=side, sign=sign: sign * pair.temperature(side, x),
            bounds=(pair.x[i - 1], pair.x[i + 1]),
            method="bounded",
            options={"xatol": 1e-6},
        )
        x = float(side[0].weights[side[0].indices.index(1)]) if isinstance(side[0], DoubleSolid) else float(found.x)
        yield _point(pair, "minimum" if sign > 0 else "congruent", x, pair.temperature(side, x), [side])


@cache
def pair_curve(a: str, b: str, points: int = 401) -> PairCurve:
    """Liquidus, one standard deviation and first solid on an even grid of the second salt's mole fraction."""
    check_pair(a, b)
    pair = _pair(a, b)
    x = np.linspace(0.0, 1.0, points)
    melts = Melts(pair.system, np.column_stack([1 - x, x]))
    found = [melts.solid_temperature(solid) for solid in pair.system.solids]
    T = np.stack([curve for curve, _ in found])
    names, sigma = [], np.empty(points)
    for i, s in enumerate(T.argmax(axis=0)):
        solid, (_, y) = pair.system.solids[s], found[s]
        own = None if y is None else y[i]
        names.append(solid.label(own) if own is not None else solid.name)
        one = Melts(pair.system, melts.x[i : i + 1])
        sigma[i] = liquidus_sigma(pair.system, one, solid, float(T[s, i]), own)
    return PairCurve(x, T.max(axis=0), sigma, tuple(names), pair_invariants(a, b))
