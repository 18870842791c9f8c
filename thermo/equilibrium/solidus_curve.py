"""The solid in balance with the melt all along a pair's liquidus, and the points where one solid gives way to another.

`liquidus` gives T and the solid on a fine grid of melts x; a solid solution brings its own composition y, and T against
y is the solidus. Where the solid changes, melt and two solids have equal potentials,
    mu_i(melt, x) = mu_i(solid, y)  for each salt a solution contains,   D = 0  for a solid of fixed composition
solved together for x, T and the y (scipy root, started from the grid). With c the lever weights, x = sum c_k w_k, the
melt parts of sum c_k D_k cancel against each other's composition changes, so
    sigma_T = sigma(sum c_k D_k) / |sum c_k dD_k/dT|
A melt between its two solids (both c > 0) is a eutectic, one outside them a peritectic.
Limits: stable melt; a field narrower than a step of the grid is not seen.
Worked value: LiCl-KCl: one meeting, 41 mol% KCl and 353 deg C, of LiCl and KCl.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.optimize import root

from thermo.equilibrium.freezing_point import WIDEST_K
from thermo.equilibrium.invariants import GRID
from thermo.equilibrium.liquidus import LOWEST_K, Melts, driving_slope
from thermo.equilibrium.solid_chain import pair_solution
from thermo.equilibrium.system import SaltSystem, Solid, solid_weights
from thermo.laws.solids import DoubleSolid, SolutionSolid
from thermo.records.units import R

_SMALLEST = 1e-12  # mole fraction at which a start is kept off the pure salts
_FLATTEST = 0.1  # J/(mol K): solids that meet in less entropy than this meet nowhere in particular
_STEP_K = 1.0  # a liquidus this near LOWEST_K is that of no solid
_STRAY = 2 / GRID  # a meeting lies between its grid points, or this near them
_SOLVED = 1e-6  # in R T
_JUMP = 0.003  # a solid solution's composition moving by less between neighbours has stayed on its side


@dataclass(frozen=True)
class Run:
    """Neighbouring melts with one first solid (one side of it, where it has a gap): grid positions start..stop."""

    solid: Solid
    start: int
    stop: int


@dataclass(frozen=True)
class Meeting:
    """A melt in balance with two solids: x, T, the solids and their compositions (second salt's share), left first."""

    x: float
    T_K: float
    sigma_K: float
    solids: tuple[Solid, Solid]
    shares: tuple[float, float]

    @property
    def kind(self) -> str:
        """'eutectic' where the melt lies between its solids, else 'peritectic'."""
        return "eutectic" if min(self.shares) < self.x < max(self.shares) else "peritectic"


class SolidusCurve:
    """The liquidus of one pair on a grid, and the solids along it."""

    def __init__(self, system: SaltSystem):
        self.system, self.x = system, np.linspace(0.0, 1.0, GRID)
        melts = Melts(system, np.column_stack([1 - self.x, self.x]))
        found = [melts.solid_temperature(solid) for solid in system.solids]
        curves = np.stack([T for T, _ in found])
        self.first, self.T = curves.argmax(axis=0), curves.max(axis=0)
        self.y, second = np.empty(GRID), system.own[1]
        for s, (solid, (_, y)) in enumerate(zip(system.solids, found, strict=True)):
            at = self.first == s
            self.y[at] = solid_weights(solid, 2, None)[second] if y is None else y[at, 1]
        solutions = [s for s in system.solids if isinstance(s, SolutionSolid)]
        self._gap = pair_solution(solutions[0]).gaps if solutions else None

    def runs(self) -> list[Run]:
        """From left to right."""
        edges = [0] + [i + 1 for i in range(GRID - 1) if self._changes(i)] + [GRID]
        return [Run(self.system.solids[self.first[i]], i, j - 1) for i, j in pairwise(edges)]

    def _changes(self, i: int) -> bool:
        """Whether the first solid, or the side of its gap, changes between grid points i and i + 1."""
        if self.first[i] != self.first[i + 1]:
            return True
        low, high = sorted((self.y[i], self.y[i + 1]))
        if high - low < _JUMP or not isinstance(self.system.solids[self.first[i]], SolutionSolid):
            return False
        return any(low < 0.5 * (l + r) < high for l, r in self._gap(self.T[i]))

    def meetings(self) -> list[Meeting | None]:
        """One between each run and the next; None where the laws let no solid form or no balance was found."""
        return [self._meeting(before, after) for before, after in pairwise(self.runs())]

    def _meeting(self, before: Run, after: Run) -> Meeting | None:
        i, j = before.stop, after.start
        if min(self.T[i], self.T[j]) < LOWEST_K + _STEP_K:
            return None
        solids, start_y = (before.solid, after.solid), (self.y[i], self.y[j])
        free = [k for k in (0, 1) if isinstance(solids[k], SolutionSolid)]
        start = [_logit(0.5 * (self.x[i] + self.x[j])), self.T[i : j + 1].min() / 1000]
        start += [_logit(start_y[k]) for k in free]

        def shares(v: np.ndarray) -> tuple[float, float]:
            first, second = (_share(v[2 + free.index(k)]) if k in free else float(start_y[k]) for k in (0, 1))
            return first, second

        def misfit(v: np.ndarray) -> list[float]:
            return self._misfit(_share(v[0]), 1000 * v[1], solids, shares(v))

        found = root(misfit, start, method="hybr", tol=1e-12).x
        x, T_K, y = _share(found[0]), 1000 * float(found[1]), shares(found)
        if not self.x[i] - _STRAY < x < self.x[j] + _STRAY or np.abs(misfit(found)).max() > _SOLVED:
            return None
        lever = (y[1] - x) / (y[1] - y[0])
        sigma = balance_sigma(self.system, x, T_K, list(zip(solids, y, strict=True)), (lever, 1 - lever))
        ordered = sorted(zip(y, solids, strict=True), key=lambda end: end[0])
        return Meeting(x, T_K, sigma, (ordered[0][1], ordered[1][1]), (ordered[0][0], ordered[1][0]))

    def _misfit(self, x: float, T_K: float, solids: tuple[Solid, Solid], shares: tuple[float, float]) -> list[float]:
        """Potentials of the melt less those of both solids, in R T."""
        T, left = np.array([T_K]), []
        forces = Melts(self.system, np.array([[1 - x, x]])).salt_forces(T, (0, 1))[0][0] / (R * T_K)
        for solid, share in zip(solids, shares, strict=True):
            if isinstance(solid, SolutionSolid):
                y = np.array([[1 - share, share]])
                A, B = solid.excess_potentials(y)
                left += list(forces - np.log(y[0]) - (A[0] / T_K + B[0]) / R)
            else:
                formation = solid.energy_and_slope(T)[0][0] if isinstance(solid, DoubleSolid) else 0.0
                left.append(float(solid_weights(solid, 2, None) @ forces - formation / (R * T_K)))
        return left


def _logit(x: float) -> float:
    x = min(max(x, _SMALLEST), 1 - _SMALLEST)
    return float(np.log(x / (1 - x)))


def _share(z: float) -> float:
    return float(1 / (1 + np.exp(-z)))


def balance_sigma(
    system: SaltSystem, x: float, T_K: float, solids: Sequence[tuple[Solid, float]], weights: Sequence[float]
) -> float:
    """Standard deviation (K) of the temperature where sum of weights times driving forces of these solids is zero.

    solids: each with its composition (fraction of the second salt), beside the melt x.
    """
    melt = np.array([1 - x, x])
    melts = Melts(system, melt[None, :])
    gradients = [np.zeros(len(pair.parameters)) for pair in system.pairs]
    fusion, slope = np.zeros(2), 0.0
    for weight, (solid, share) in zip(weights, solids, strict=True):
        y = np.array([1 - share, share]) if isinstance(solid, SolutionSolid) else None
        for total, row in zip(gradients, system.parameter_gradient(solid, melt, T_K, y), strict=True):
            total += weight * row
        fusion += weight * system.fusion_errors(solid, T_K, y)
        slope += weight * driving_slope(melts, solid, T_K, y)
    return min(float(np.sqrt(system.variance(gradients, fusion))) / max(abs(slope), _FLATTEST), WIDEST_K)
