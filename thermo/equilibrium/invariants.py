"""Eutectics, peritectics, minima and congruent points of a pair, and the lowest-melting mix of several salts.

A pair's liquidus is the highest of its solids' curves T_s(x). Where the highest changes from one solid to another lies
an invariant: a eutectic when the liquidus has a minimum there, a peritectic when it only changes slope. A minimum
inside one solid solution is `minimum`; the top of a double salt's own curve is `congruent`.
Several salts: the lowest melt is the smallest T with T >= T_s(x) for every solid s, a smooth constrained minimum
(scipy SLSQP) started from the best points of a grid.
Worked value: LiCl-KCl has one eutectic near 353 deg C and 41 mol% KCl.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.optimize import brentq, minimize, minimize_scalar

from thermo.equilibrium.freezing_point import liquidus, liquidus_sigma
from thermo.equilibrium.liquidus import Melts, solid_name
from thermo.equilibrium.sensitivity import Side, invariant_sigma
from thermo.equilibrium.system import SaltSystem, salt_system
from thermo.laws.solids import DoubleSolid, SolutionSolid, simplex_grid
from thermo.records.composition import Composition
from thermo.records.provenance import InputError
from thermo.records.substances import salt

GRID = 801
_LOWEST_STEPS = {3: 40, 4: 20, 5: 12, 6: 9}
_STARTS = 4
_DX = 1e-5
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
        melts = Melts(self.system, np.array([[1 - x, x]]))
        return max(float(melts.solid_temperature(solid)[0][0]) for solid in self.system.solids)


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


def lowest(salts: Sequence[str]) -> Invariant:
    """The lowest-melting mix of 2 to 6 different salts of one anion (a mix may use fewer of them).

    InputError for one salt, a repeated salt, two anions or more than six.
    """
    names = tuple(salts)
    anions = {salt(f).anion for f in names}
    if not 2 <= len(names) <= 6 or len(set(names)) != len(names):
        raise InputError(f"lowest {' '.join(names)}: allowed are 2 to 6 different salts")
    if len(anions) > 1:
        raise InputError(f"lowest {' '.join(names)}: two anions; allowed are chlorides only or fluorides only")
    return _lowest_pair(*names) if len(names) == 2 else _lowest_of_several(names)


def _lowest_pair(a: str, b: str) -> Invariant:
    ends = [_single(a, (a, b)), _single(b, (a, b))]
    return min([*pair_invariants(a, b), *ends], key=lambda point: point.T_K)


def _single(formula: str, salts: tuple[str, ...]) -> Invariant:
    found = liquidus(Composition((formula,), (1.0,)))
    fractions = tuple(float(f == formula) for f in salts)
    return Invariant("pure salt", salts, fractions, found.T_K, found.sigma_K, (formula,), "assessed", found.sources)


@cache
def _lowest_of_several(salts: tuple[str, ...]) -> Invariant:
    system = salt_system(salts)
    grid = simplex_grid(len(salts), _LOWEST_STEPS[len(salts)])
    grid = np.clip(grid, 1e-4, None)
    grid /= grid.sum(axis=1, keepdims=True)
    melts = Melts(system, grid)
    T = np.stack([melts.solid_temperature(solid)[0] for solid in system.solids]).max(axis=0)
    candidates = [_descend(system, grid[i]) for i in _spread_starts(grid, T)]
    x, T_K = min(candidates, key=lambda found: found[1])
    return _lowest_point(system, x, T_K)


def _spread_starts(grid: np.ndarray, T: np.ndarray) -> list[int]:
    """The lowest grid points that are not neighbours of a lower one."""
    starts: list[int] = []
    for i in np.argsort(T):
        if all(np.abs(grid[i] - grid[j]).sum() > 0.2 for j in starts):
            starts.append(int(i))
        if len(starts) == _STARTS:
            break
    return starts


def all_sides(system: SaltSystem) -> list[Side]:
    """Every solid of the system, a solid solution once for each member: each side's T_s(x) is a smooth function."""
    sides: list[Side] = []
    for solid in system.solids:
        members = range(len(solid.formulas)) if isinstance(solid, SolutionSolid) else (None,)
        sides += [(solid, near) for near in members]
    return sides


class _Ceiling:
    """The liquidus curves T_s(x) / 1000 K of all sides and their slopes, at free fractions v = (x_1 ... x_(n-1))."""

    def __init__(self, system: SaltSystem):
        self.system, self.sides = system, all_sides(system)
        self._seen: dict[bytes, tuple[np.ndarray, np.ndarray]] = {}

    def __call__(self, v: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Temperatures (sides,) and slopes (sides, n - 1), from one vectorised call."""
        key = v.tobytes()
        if key not in self._seen:
            free = np.vstack([v, v + _DX * np.eye(len(v))])
            melts = Melts(self.system, full_fractions(free))
            T = np.stack([melts.solid_temperature(*side)[0] for side in self.sides]) / 1000
            self._seen = {key: (T[:, 0], (T[:, 1:] - T[:, :1]) / _DX)}
        return self._seen[key]


def full_fractions(free: np.ndarray) -> np.ndarray:
    """All mole fractions (N, n) from the first n - 1 (N, n - 1), kept inside the triangle."""
    x = np.clip(np.column_stack([free, 1 - free.sum(axis=1)]), 1e-7, 1.0)
    return x / x.sum(axis=1, keepdims=True)


def _descend(system: SaltSystem, start: np.ndarray) -> tuple[np.ndarray, float]:
    """Smallest T with T >= T_s(x) for every solid, from one start: (x, T_K)."""
    ceiling, free = _Ceiling(system), len(start) - 1
    best = np.append(start[:-1], ceiling(start[:-1])[0].max())
    up = np.append(np.zeros(free), 1.0)
    rows = np.ones((len(ceiling.sides), 1))
    for _ in range(3):  # restarting forgets the curvature learnt on the other side of a valley
        found = minimize(
            lambda v: v[-1],
            best,
            jac=lambda v: up,
            method="SLSQP",
            bounds=[(1e-5, 1.0)] * free + [(0.2, 2.4)],
            constraints=[
                {
                    "type": "ineq",
                    "fun": lambda v: v[-1] - ceiling(v[:-1])[0],
                    "jac": lambda v: np.hstack([-ceiling(v[:-1])[1], rows]),
                },
                {
                    "type": "ineq",
                    "fun": lambda v: np.array([1 - v[:-1].sum() - 1e-5]),
                    "jac": lambda v: up[None, :] - 1.0,
                },
            ],
            options={"maxiter": 60, "ftol": 1e-8},
        ).x
        top = ceiling(found[:-1])[0].max()
        gain = best[-1] - top
        if gain > 0:
            best = np.append(found[:-1], top)
        if gain < 1e-5:
            break
    return full_fractions(best[None, :-1])[0], 1000 * float(best[-1])


def _lowest_point(system: SaltSystem, x: np.ndarray, T_K: float) -> Invariant:
    melts = Melts(system, x[None, :])
    active: dict[str, Side] = {}
    for solid, near in all_sides(system):
        T, y = melts.solid_temperature(solid, near)
        if T[0] > T_K - 0.5:
            active.setdefault(solid.label(y[0]) if y is not None else solid_name(solid), (solid, near))
    return Invariant(
        kind="eutectic" if len(active) >= len(x) else "minimum",
        salts=system.salts,
        fractions=tuple(x.tolist()),
        T_K=T_K,
        sigma_K=invariant_sigma(system, x, list(active.values())),
        solids=tuple(active),
        status=system.status,
        sources=system.sources,
    )
