"""The lowest melt by the curves T_s(x) of every solid, each solved at every step: slow, kept to check the quick way.

SLSQP on the smallest T with T >= T_s(x), from the four best points of a grid that are no neighbours.
"""

import numpy as np
from scipy.optimize import minimize

from thermo.equilibrium.invariants.forces import all_sides, full_fractions
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.laws.solid_solution import simplex_grid

_GRID_STEPS = {3: 40, 4: 20, 5: 12, 6: 9}
_STARTS = 4
_DX = 1e-5


def lowest_by_curves(salts: tuple[str, ...]) -> tuple[np.ndarray, float]:
    """Composition (n,) and temperature (K) of the lowest melt of three to six salts."""
    system = salt_system(salts)
    grid = simplex_grid(len(salts), _GRID_STEPS[len(salts)])
    grid = np.clip(grid, 1e-4, None)
    grid /= grid.sum(axis=1, keepdims=True)
    melts = Melts(system, grid)
    T = np.stack([melts.solid_temperature(solid)[0] for solid in system.solids]).max(axis=0)
    candidates = [_descend(system, grid[i]) for i in _spread_starts(grid, T)]
    return min(candidates, key=lambda found: found[1])


def _spread_starts(grid: np.ndarray, T: np.ndarray) -> list[int]:
    """The lowest grid points that are not neighbours of a lower one."""
    starts: list[int] = []
    for i in np.argsort(T):
        if all(np.abs(grid[i] - grid[j]).sum() > 0.2 for j in starts):
            starts.append(int(i))
        if len(starts) == _STARTS:
            break
    return starts


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
