"""The coldest melt near one that was weighed: what a eutectic meant, or a scale off by a little, may come to.

At a eutectic the liquidus is the highest of several uncertain surfaces, so the computed value of a published eutectic
lies too high on average (+23 K over 45 of them) although the computed eutectic is right: it lies a few mol% beside.
The coldest melt within 3 mol% of the melt is the smallest T with T >= T_s(x) for every solid s; each T_s is replaced by
its tangent plane at the best melt so far, and the linear programme is solved in a box that shrinks where the planes
promised more than the curves kept (trust region).
Limits: no mole fraction differs by more than WITHIN; a salt that is absent stays absent; one minimum (the surface is
nearly always a valley at this size). Worked value: LiCl-KCl with 61 mol% LiCl: the eutectic at 59, 354 deg C.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import linprog

from thermo.equilibrium.invariants.forces import all_sides
from thermo.equilibrium.invariants.sigma import Part, invariant_sigma
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.one_anion import SaltSystem

WITHIN = 0.03
SHARED_K = 0.5  # a solid that freezes within this of the coldest melt's liquidus freezes there
_APART = 0.02  # two sides of a solid solution are two solids when they differ by this
_DX = 1e-5
_ROUNDS = 12
_SETTLED_K, _SMALLEST = 0.02, 1e-4


@dataclass(frozen=True)
class Coldest:
    """The coldest melt of a neighbourhood: mole fractions (n,) and its liquidus."""

    x: np.ndarray
    T_K: float


def coldest_near(system: SaltSystem, x: np.ndarray, within: float = WITHIN) -> Coldest:
    """Coldest melt with no mole fraction further than `within` from x (n,), all positive, of one anion."""
    sides = all_sides(system)
    low, high = np.maximum(x - within, np.minimum(x, 1e-5)), np.minimum(x + within, 1.0)
    at, T, slopes = x, *_curves(system, sides, x)
    reach = within
    for _ in range(_ROUNDS):
        step, promised = _linear_step(T, slopes, np.maximum(low - at, -reach), np.minimum(high - at, reach))
        moved = at + step
        there, new_slopes = _curves(system, sides, moved)
        kept, hoped = T.max() - there.max(), T.max() - promised
        if hoped < _SETTLED_K:
            break
        if kept > 0:
            at, T, slopes = moved, there, new_slopes
        if kept < 0.5 * hoped:
            reach = max(0.4 * float(np.abs(step).max()), _SMALLEST)
        if reach <= _SMALLEST:
            break
    return Coldest(at, float(T.max()))


def coldest_sigma(system: SaltSystem, found: Coldest) -> float:
    """Standard deviation (K) of the coldest melt: that of all solids within SHARED_K of freezing from it."""
    melts, active = Melts(system, found.x[None, :]), []
    for solid, near in all_sides(system):
        T, y = melts.solid_temperature(solid, near)
        part: Part = (solid, None if y is None else y[0])
        twin = any(solid is other and np.abs(part[1] - seen).max() < _APART for other, seen in active if y is not None)
        if T[0] > found.T_K - SHARED_K and not twin:
            active.append(part)
    return float(invariant_sigma(system, found.x, found.T_K, active))


def _curves(system: SaltSystem, sides, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """T_s (K) of every side at x, and their slopes by all fractions but the last, (sides, n - 1)."""
    free = len(x) - 1
    steps = np.vstack([np.zeros(len(x)), np.column_stack([_DX * np.eye(free), -_DX * np.ones(free)])])
    melts = Melts(system, np.clip(x + steps, 1e-9, 1.0))
    T = np.stack([melts.solid_temperature(*side)[0] for side in sides])
    return T[:, 0], (T[:, 1:] - T[:, :1]) / _DX


def _linear_step(T: np.ndarray, slopes: np.ndarray, least: np.ndarray, most: np.ndarray) -> tuple[np.ndarray, float]:
    """Change of x (n,) within the box that makes the highest tangent plane lowest, and that height (K)."""
    free = slopes.shape[1]
    planes = np.hstack([slopes, -np.ones((len(T), 1))])
    last = np.append(np.ones(free), 0.0)  # the last fraction makes up the rest
    A, b = np.vstack([planes, last, -last]), np.concatenate([-T, [-least[-1], most[-1]]])
    bounds = [*zip(least[:-1], most[:-1], strict=True), (None, None)]
    found = linprog(np.append(np.zeros(free), 1.0), A_ub=A, b_ub=b, bounds=bounds)
    if found.x is None:
        return np.zeros(free + 1), float(T.max())
    step = found.x[:-1]
    return np.append(step, -step.sum()), float(found.x[-1])
