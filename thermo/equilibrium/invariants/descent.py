"""The way down from one melt to the coldest near it: the smallest T at which no solid forms.

T is minimised over (x, T) under D_s(x, T) <= 0 for every solid s (scipy's SLSQP on the forces and slopes of
invariants/forces). No run leaves a box around its start: far out the slopes say nothing.
Limits: one hollow; x > 1e-6. Worked value: LiCl-KCl from 50 mol%: 59 mol% LiCl, 354 deg C.
"""

import numpy as np
from scipy.optimize import minimize

from thermo.equilibrium.invariants.forces import Forces, full_fractions
from thermo.equilibrium.invariants.sigma import Part
from thermo.equilibrium.system.driving_force import HIGHEST_K, LOWEST_K, Melts

EDGE = 1e-5  # least mole fraction: a salt that is not there at all has no driving force
FAR = 0.15  # mole fraction (and 2 x 150 K) that one run may move
_SETTLED_K = 0.01
_TOGETHER_K = 0.5
_APART = 0.02  # two sides of a solid solution are two solids when they differ by this


def descend(
    forces: Forces,
    start: np.ndarray,
    T_K: float,
    runs: int,
    low: np.ndarray | None = None,
    high: np.ndarray | None = None,
) -> tuple[np.ndarray, float]:
    """Coldest melt (n,) and its liquidus (K), from `start` (n,) whose liquidus is T_K, in at most so many runs.

    low, high (n,): mole fractions that may not be passed (default: EDGE and 1). A run that found nothing colder is the
    last.
    """
    low = np.full(len(start), EDGE) if low is None else low
    high = np.ones(len(start)) if high is None else high
    best, best_K = start, T_K
    for _ in range(runs):  # each forgets the curvature learnt on the other side of a valley
        x = _run(forces, best, best_K, low, high)
        reached = float(Melts(forces.system, x[None, :]).liquidus()[0][0])
        gain = best_K - reached
        if gain > 0:
            best, best_K = x, reached
        if gain < _SETTLED_K:
            break
    return best, best_K


def _run(forces: Forces, x: np.ndarray, T_K: float, low: np.ndarray, high: np.ndarray) -> np.ndarray:
    """Where one minimisation from the melt x (n,) ends."""
    v, up = np.append(x[:-1], T_K / 1000), np.append(np.zeros(len(x) - 1), 1.0)
    floor = np.append(np.maximum(x[:-1] - FAR, low[:-1]), max(v[-1] - 2 * FAR, LOWEST_K / 1000))
    top = np.append(np.minimum(x[:-1] + FAR, high[:-1]), min(v[-1] + 2 * FAR, HIGHEST_K / 1000))
    rest = np.array([up - 1.0, 1.0 - up])  # slopes of the last fraction and of what it may still take
    found = minimize(
        lambda v: v[-1],
        v,
        jac=lambda v: up,
        method="SLSQP",
        bounds=list(zip(floor.tolist(), top.tolist(), strict=True)),
        constraints=[
            {"type": "ineq", "fun": lambda v: forces(v)[0], "jac": lambda v: forces(v)[1]},
            {
                "type": "ineq",
                "fun": lambda v: np.array([1 - v[:-1].sum() - low[-1], high[-1] - 1 + v[:-1].sum()]),
                "jac": lambda v: rest,
            },
        ],
        options={"maxiter": 60, "ftol": 1e-8},
    )
    return full_fractions(found.x[None, :-1])[0]


def solids_at(forces: Forces, x: np.ndarray, T_K: float) -> list[Part]:
    """The solids that freeze from the melt x at T or within half a kelvin of it, sides of a solid solution apart."""
    D, by_T = forces.at(Melts(forces.system, x[None, :]), T_K)
    found: list[Part] = []
    above = D / np.maximum(-by_T, 1.0)  # K from T to where each solid would freeze
    for n in np.flatnonzero(above > above.max() - _TOGETHER_K):
        solid, y = forces.sides[n][0], forces.members[n]
        own = None if y is None else y[0]
        if not any(other is solid and (own is None or np.abs(own - seen).max() < _APART) for other, seen in found):
            found.append((solid, own))
    return found
