"""A solid solution beside a single melt, in plain numbers: the laws of solid_solution without arrays of one.

Its steps are those of the iteration there, y_i proportional to exp((d_i - mu^E_i(y)) / R T); the sum they are divided
by gives the driving force on the way,
    D = R T ln sum_i exp((d_i - mu^E_i(y)) / R T)
which is D at its maximum, and there stationary in y (Gibbs & Duhem), so an error of y counts by its square.
Limits: as solid_solution.
Worked value: an ideal solution with d_1 = d_2 = 0 at 1000 K: D = R T ln 2 = 5763 J/mol, y = (0.5, 0.5).
"""

import math
from collections.abc import Sequence

import numpy as np

from thermo.laws.compound_solution import CompoundSolution
from thermo.laws.solid_solution import SolutionSolid
from thermo.records.units import R

SETTLED = 3e-8  # sum of y (dln y)^2: D is then within 1e-4 J/mol
_STEADIEST = 0.99  # steps that shrink by less tell nothing of where they end
_CLOSELY = 1e-10  # of the same sum: D is then within 1e-6 J/mol
_STEPS, _HOLLOWS = 30, 3
_APART = 0.4  # sum of |differences| in y: another hollow


class OneSolution:
    """A solid solution of m members; `missed` in R T: no D is higher than the grid's best by more.

    beside: sum of |differences| of y within which a grid point lies; a_mole: moles of members a mole of salts.
    """

    a_mole = 1.0

    def __init__(self, solid: SolutionSolid):
        self.indices, self.basis = solid.indices, solid.basis
        self._rows = solid.basis.rows(solid.a, solid.b)
        self._energies = solid.lattice_energies.tolist()
        self._compositions, self._parts = solid.grid
        self._grid, self._slopes = self._compositions.tolist(), self._parts[-2].tolist()
        pairs: dict[tuple[int, int], list[float]] = {}
        for (i, j, order), a, b in zip(solid.terms, solid.a, solid.b, strict=True):
            low = pairs.setdefault((i, j), [0.0, 0.0])
            low[0] += abs(a) if order else -a
            low[1] += abs(b) if order else -b
        self._lows = list(pairs.values())
        self.missed, self.beside = solid.missed_by_grid, solid.grid_step

    def salts_in(self, y: Sequence[float]) -> Sequence[float]:
        """Mole fractions of the salts at `indices` in the solution y (m,)."""
        return y

    def most(self, d: Sequence[float], T_K: float) -> float:
        """More than D can be where all salts of the melt have the driving forces d (n,).

        An ideal solution's D, and the most that interactions which attract can add, y_i y_j being at most 1/4.
        """
        return self._most([d[i] for i in self.indices], T_K)

    def _most(self, d: Sequence[float], T_K: float) -> float:
        """The same of the members' own driving forces d (m,)."""
        RT, own = R * T_K, [force - energy for force, energy in zip(d, self._energies, strict=True)]
        top, attracted, total = max(own), 0.0, 0.0
        for force in own:
            total += math.exp((force - top) / RT)
        for a, b in self._lows:
            attracted += max(0.0, a + b * T_K)
        return top + RT * math.log(total) + 0.25 * attracted

    def start(self, d: Sequence[float], T_K: float, near: int | None = None) -> tuple[float, float, list[float]]:
        """The best of the grid for driving forces d (m,): D, the part of its slope that is not theirs, where (m,).

        near: on this member's side.
        """
        D = np.array([*d, T_K, 1.0]) @ self._parts
        if near is not None:
            D = np.where(self._parts[near] >= 0.5, D, -np.inf)
        best = int(D.argmax())
        return float(D[best]), self._slopes[best], self._grid[best]

    def highest(
        self, d: Sequence[float], T_K: float, enough: float, known: Sequence[np.ndarray] = ()
    ) -> tuple[float, list[float]] | None:
        """The highest D (J/mol) and where, for driving forces d (m,), from all of the grid where it may reach `enough`.

        Minus infinity where none may. known: compositions (m,) whose surroundings are left out. None where steps do not
        settle or lead on too many ways.
        """
        D = (np.array([*self._forces(d, T_K), T_K, 1.0]) @ self._parts) * self.a_mole
        D[D + self.missed * R * T_K <= enough] = -np.inf
        for composition in known:
            D[distances(self._compositions, composition) < _APART] = -np.inf
        found: tuple[float, list[float]] = (-math.inf, [])
        for _ in range(_HOLLOWS):
            best = int(D.argmax())
            if D[best] == -np.inf:
                return found
            top = self._climbed(self._grid[best], d, T_K)
            if top is None:
                return None
            found = max(found, top)
            for y in (self._grid[best], top[1]):
                D[distances(self._compositions, np.array(y)) < _APART] = -np.inf
        return None

    def _climbed(self, y: list[float], d: Sequence[float], T_K: float) -> tuple[float, list[float]] | None:
        """D and y where the steps from y end, hastened every other time as in solid_solution; None: they do not."""
        before: list[float] | None = None
        for _ in range(_STEPS):
            D, _, following = self.step(y, d, T_K)
            change = [math.log(new / old) for old, new in zip(y, following, strict=True)]
            if sum([new * step * step for new, step in zip(following, change, strict=True)]) < _CLOSELY:
                return D, following
            y, before = (following, change) if before is None else (ahead(following, before, change), None)
        return None

    def _forces(self, d: Sequence[float], T_K: float) -> Sequence[float]:
        """Driving forces of the members (m,) from those of the salts at `indices`."""
        return d

    def potentials(self, y: Sequence[float], T_K: float) -> list[float]:
        """mu_i of the members at y (m,) above the solid salts, J/mol: as `energies` of solid_solution."""
        excess: list[complex] = [0j] * len(y)
        rest, RT, found = self.basis.add_to(excess, y, self._rows), R * T_K, []
        for part, value, energy in zip(y, excess, self._energies, strict=True):
            value += rest
            found.append(energy + value.real + T_K * value.imag + RT * math.log(part))
        return found

    def step(self, y: Sequence[float], d: Sequence[float], T_K: float) -> tuple[float, float, list[float]]:
        """One step from y (m,): D, the part of its slope that is not that of d, the next y."""
        excess: list[complex] = [0j] * len(y)
        rest, RT = self.basis.add_to(excess, y, self._rows), R * T_K
        logs, B = [], []
        for force, value, energy in zip(d, excess, self._energies, strict=True):
            value += rest
            B.append(value.imag)
            logs.append((force - energy - value.real - T_K * value.imag) / RT)
        top = max(logs)
        weights = [math.exp(max(z - top, -50.0)) for z in logs]
        total = sum(weights)
        following = [w / total for w in weights]
        D, slope = top + math.log(total), 0.0
        for share, b, z in zip(following, B, logs, strict=True):
            slope += share * (R * (D - z) - b)
        return RT * D, slope, following


class OneCompoundSolution(OneSolution):
    """A solution of double salts: its members' driving forces from those of the salts, as in compound_solution."""

    def __init__(self, solid: CompoundSolution):
        super().__init__(solid)
        self._parts_of, self.a_mole = solid.parts.tolist(), solid.exchanged
        self._formed = [compound.energy_and_slope(0.0) for compound in solid.compounds]
        self.missed *= self.a_mole

    def _forces(self, d: Sequence[float], T_K: float) -> Sequence[float]:
        found = []
        for parts, (h, s) in zip(self._parts_of, self._formed, strict=True):
            own = -h - T_K * s
            for part, force in zip(parts, d, strict=True):
                own += part * force
            found.append(own / self.a_mole)
        return found

    def _scaled(self, found: tuple[float, float, list[float]]) -> tuple[float, float, list[float]]:
        """Per mole of salts, from what a mole of exchanged cations has."""
        D, slope, y = found
        slope *= self.a_mole
        for share, (_, s) in zip(y, self._formed, strict=True):
            slope -= share * s
        return self.a_mole * D, slope, y

    def salts_in(self, y: Sequence[float]) -> Sequence[float]:
        """See OneSolution."""
        found = [0.0] * len(self.indices)
        for share, parts in zip(y, self._parts_of, strict=True):
            for n, part in enumerate(parts):
                found[n] += share * part
        return found

    def most(self, d: Sequence[float], T_K: float) -> float:
        """See OneSolution."""
        return self.a_mole * self._most(self._forces([d[i] for i in self.indices], T_K), T_K)

    def start(self, d: Sequence[float], T_K: float, near: int | None = None) -> tuple[float, float, list[float]]:
        """See OneSolution; d of the salts at `indices`."""
        return self._scaled(super().start(self._forces(d, T_K), T_K, near))

    def potentials(self, y: Sequence[float], T_K: float) -> list[float]:
        """See OneSolution; per mole of salts."""
        own = super().potentials(y, T_K)
        return [h + T_K * s + self.a_mole * mu for (h, s), mu in zip(self._formed, own, strict=True)]

    def step(self, y: Sequence[float], d: Sequence[float], T_K: float) -> tuple[float, float, list[float]]:
        """See OneSolution; d of the salts at `indices`."""
        return self._scaled(super().step(y, self._forces(d, T_K), T_K))


def one_solution(solid: SolutionSolid) -> OneSolution:
    """The solution in plain numbers, of salts or of double salts."""
    return OneCompoundSolution(solid) if isinstance(solid, CompoundSolution) else OneSolution(solid)


def ahead(y: list[float], first: Sequence[float], second: Sequence[float]) -> list[float]:
    """y carried on to where its steps in ln y, shrinking by their own ratio, would end (Aitken 1926)."""
    both = own = 0.0
    for one, two in zip(first, second, strict=True):
        both += one * two
        own += one * one
    if not 0 < both < _STEADIEST * own:
        return y
    far_on = both / (own - both)
    far = [part * math.exp(min(max(step * far_on, -1.0), 1.0)) for part, step in zip(y, second, strict=True)]
    total = sum(far)
    return [part / total for part in far]


def distances(grid: np.ndarray, x: np.ndarray) -> np.ndarray:
    """Sum of |differences| between each composition of a grid (N, m) and x (m,): as a product, for speed."""
    return np.abs(grid - x) @ np.ones(len(x))
