"""The lowest-melting mix of several salts.

The lowest melt is the smallest T with T >= T_s(x) for every solid s, T_s(x) being the solid's liquidus curve: a smooth
constrained minimum (scipy SLSQP) started from the best points of a grid. Of a pair it is the coldest of its invariants
and its salts.
Limits: 2 to 6 salts of one anion; the best of four starts; RangeError where the computed melt never freezes.
Worked value: NaCl-KCl has its lowest melt near 659 deg C and 50 mol%, a minimum.
"""

from collections.abc import Sequence
from functools import cache

import numpy as np
from scipy.optimize import minimize

from thermo.equilibrium.freezing.liquidus import STAYS_LIQUID, bottomless, liquidus, name_of
from thermo.equilibrium.invariants.pair import Invariant, pair_invariants, stays_liquid
from thermo.equilibrium.invariants.sigma import Part, invariant_sigma
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.equilibrium.system.solids import Solid
from thermo.laws.solids import SolutionSolid, simplex_grid
from thermo.records.composition import Composition
from thermo.records.provenance import InputError, RangeError
from thermo.records.substances import salt

_GRID_STEPS = {3: 40, 4: 20, 5: 12, 6: 9}
_STARTS = 4
_DX = 1e-5
_APART = 0.02  # two sides of a solid solution are two solids when they differ by this
Side = tuple[Solid, int | None]  # a solid and, for one side of a solid solution, that side's member


def lowest(salts: Sequence[str]) -> Invariant:
    """The lowest-melting mix of 2 to 6 different salts of one anion (a mix may use fewer of them).

    InputError for one salt, a repeated salt, two anions or more than six. RangeError where no solid with data forms
    above the lowest temperature computed.
    """
    names = tuple(salts)
    anions = {salt(f).anion for f in names}
    if not 2 <= len(names) <= 6 or len(set(names)) != len(names):
        raise InputError(f"lowest {' '.join(names)}: allowed are 2 to 6 different salts")
    if len(anions) > 1:
        raise InputError(f"lowest {' '.join(names)}: two anions; allowed are chlorides only or fluorides only")
    return _lowest_pair(*names) if len(names) == 2 else _lowest_of_several(names)


def _lowest_pair(a: str, b: str) -> Invariant:
    if stays_liquid(a, b):
        raise _unknown((a, b))
    ends = [_single(a, (a, b)), _single(b, (a, b))]
    return min([*pair_invariants(a, b), *ends], key=lambda point: point.T_K)


def _single(formula: str, salts: tuple[str, ...]) -> Invariant:
    found = liquidus(Composition((formula,), (1.0,)))
    fractions = tuple(float(f == formula) for f in salts)
    return Invariant("pure salt", salts, fractions, found.T_K, found.sigma_K, (formula,), "fitted", found.sources)


@cache
def _lowest_of_several(salts: tuple[str, ...]) -> Invariant:
    system = salt_system(salts)
    grid = simplex_grid(len(salts), _GRID_STEPS[len(salts)])
    grid = np.clip(grid, 1e-4, None)
    grid /= grid.sum(axis=1, keepdims=True)
    melts = Melts(system, grid)
    T = np.stack([melts.solid_temperature(solid)[0] for solid in system.solids]).max(axis=0)
    candidates = [_descend(system, grid[i]) for i in _spread_starts(grid, T)]
    x, T_K = min(candidates, key=lambda found: found[1])
    if bottomless(T_K):
        raise _unknown(salts)
    return _lowest_point(system, x, T_K)


def _unknown(salts: tuple[str, ...]) -> RangeError:
    return RangeError(f"lowest {' '.join(salts)}: {STAYS_LIQUID}")


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
    """Every solid of the system, a solution once for each salt whose crystal it is: each side is a smooth T_s(x)."""
    sides: list[Side] = []
    for solid in system.solids:
        several = isinstance(solid, SolutionSolid) and len(solid.natives) > 1
        members = solid.natives if several else (None,)
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
    active = _active(system, x, T_K)
    names = tuple(dict.fromkeys(name_of(solid, y) for solid, y in active))
    return Invariant(
        kind="eutectic" if len(active) >= len(x) else "minimum",
        salts=system.salts,
        fractions=tuple(x.tolist()),
        T_K=T_K,
        sigma_K=invariant_sigma(system, x, T_K, active),
        solids=names,
        status=system.status_of(names),
        sources=system.sources,
    )


def _active(system: SaltSystem, x: np.ndarray, T_K: float) -> list[Part]:
    """The solids that freeze from the melt x at T, the sides of a solid solution apart."""
    melts, found = Melts(system, x[None, :]), []
    for solid, near in all_sides(system):
        T, y = melts.solid_temperature(solid, near)
        own = None if y is None else y[0]
        if T[0] > T_K - 0.5 and not any(
            other is solid and (own is None or np.abs(own - seen).max() < _APART) for other, seen in found
        ):
            found.append((solid, own))
    return found
