"""The solid in balance with the melt all along a pair's liquidus, and the points where one solid gives way to another.

`liquidus` gives T and the solid on a fine grid of melts x; a solid solution brings its own composition y, and T against
y is the solidus. Where the solid changes, melt and two solids have equal potentials,
    mu_i(melt, x) = mu_i(solid, y)  for each salt a solution contains,   D = 0  for a solid of fixed composition
solved together for x, T and the y (scipy root, started from the grid); sigma_T: `sigma`. A melt between its two
solids (all lever weights positive) is a eutectic, one outside them a peritectic.
Limits: stable melt; a field narrower than a step of the grid is not seen.
Worked value: LiCl-KCl: one meeting, 41 mol% KCl and 353 deg C, of LiCl and KCl.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.optimize import root

from thermo.equilibrium.invariants.sigma import Part, invariant_sigma
from thermo.equilibrium.invariants.solid_chain import pair_solution
from thermo.equilibrium.system.driving_force import LOWEST_K, Melts
from thermo.equilibrium.system.interface import System
from thermo.equilibrium.system.solids import solid_weights
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import FixedSolid, Solid
from thermo.records.units import R

GRID = 801
_SMALLEST = 1e-12  # mole fraction at which a start is kept off the pure salts
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

    @property
    def names(self) -> tuple[str, str]:
        """A solid solution is named by its chief member, the two sides of a gap by one salt each."""
        one, other = self.solids
        if one is other and isinstance(one, SolutionSolid):
            first, second = one.formulas
        else:
            first, second = (name_beside(*end) for end in zip(self.solids, self.shares, strict=True))
        return first, second


class SolidusCurve:
    """The liquidus of one pair on a grid, and the solids along it."""

    def __init__(self, system: System):
        self.system, self.x = system, np.linspace(0.0, 1.0, GRID)
        melts = Melts(system, np.column_stack([1 - self.x, self.x]))
        found = [melts.solid_temperature(solid) for solid in system.solids]
        curves = np.stack([T for T, _ in found])
        self.first, self.T = curves.argmax(axis=0), curves.max(axis=0)
        self.y, second = np.empty(GRID), system.own[1]
        for s, (solid, (_, y)) in enumerate(zip(system.solids, found, strict=True)):
            at = self.first == s
            self.y[at] = solid_weights(solid, 2, None)[second] if y is None else y[at, 1]
        self._mixings = {s: pair_solution(n) for s, n in enumerate(system.solids) if isinstance(n, SolutionSolid)}

    def runs(self) -> list[Run]:
        """From left to right."""
        edges = [0] + [i + 1 for i in range(GRID - 1) if self._changes(i)] + [GRID]
        return [Run(self.system.solids[self.first[i]], i, j - 1) for i, j in pairwise(edges)]

    def _changes(self, i: int) -> bool:
        """Whether the first solid, or the side of its gap, changes between grid points i and i + 1."""
        if self.first[i] != self.first[i + 1]:
            return True
        low, high = sorted((self.y[i], self.y[i + 1]))
        if high - low < _JUMP or self.first[i] not in self._mixings:
            return False
        return any(low < 0.5 * (l + r) < high for l, r in self._mixings[self.first[i]].gaps(self.T[i]))

    def meetings(self) -> list[Meeting | None]:
        """One between each run and the next; None where the laws let no solid form or no balance was found."""
        return [self._meeting(before, after) for before, after in pairwise(self.runs())]

    def stretches(self) -> list[tuple[int, int]]:
        """Grid positions (start, stop) over which one solid freezes first without a meeting of two sides of it."""
        runs = self.runs()
        found: list[tuple[int, int]] = []
        for run, meeting in zip(runs, [None, *self.meetings()], strict=True):
            if found and meeting is None and run.solid is self.system.solids[self.first[found[-1][1]]]:
                found[-1] = found[-1][0], run.stop
            else:
                found.append((run.start, run.stop))
        return found

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
        strayed = not self.x[i] - _STRAY < x < self.x[j] + _STRAY
        if strayed or np.abs(misfit(found)).max() > _SOLVED or abs(y[1] - y[0]) < _JUMP:
            return None
        parts = [composed(solid, share) for solid, share in zip(solids, y, strict=True)]
        sigma = invariant_sigma(self.system, np.array([1 - x, x]), T_K, parts)
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
            elif isinstance(solid, FixedSolid):
                formation = solid.energy_and_slope(T)[0][0]
                left.append(float(solid_weights(solid, 2, None) @ forces - formation / (R * T_K)))
        return left


def composed(solid: Solid, share: float) -> Part:
    """A solid with its composition: share of the second salt, which says nothing new of one of fixed composition."""
    return solid, np.array([1 - share, share]) if isinstance(solid, SolutionSolid) else None


def name_beside(solid: Solid, share: float) -> str:
    """Name of a solid beside another: a solid solution's chief member."""
    return solid.chief(np.array([1 - share, share]))


def _logit(x: float) -> float:
    x = min(max(x, _SMALLEST), 1 - _SMALLEST)
    return float(np.log(x / (1 - x)))


def _share(z: float) -> float:
    return float(1 / (1 + np.exp(-z)))
