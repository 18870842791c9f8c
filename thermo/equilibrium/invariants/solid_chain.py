"""Which solids of a pair lie side by side at one temperature, without any melt, and where that changes with T.

At T the solids of lowest Gibbs energy form a chain over composition: pure and double salts are points, a solid solution
a curve, and neighbours share a straight line (laws/unmixing). Heated or cooled, the chain changes where a double salt
forms from or falls apart into its neighbours, and where a solid solution's gap closes (its critical point).
Changes are found on even levels and then by halving.
Limits: one gap a solid solution; a chain that changes and changes back between two levels goes unseen.
Worked value: NaCl-KCl at 400 deg C: one line, from 10.8 to 76.6 mol% KCl.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from thermo.equilibrium.system.interface import System
from thermo.equilibrium.system.solids import solid_weights
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import FixedSolid, Solid
from thermo.laws.unmixing import PairSolution, ties

_LEVELS = 97  # some 8 K apart
_HALVINGS = 20  # of one step: to 1e-5 K
_NEAR = 1e-6  # of the whole span: beside a change
_MOST = 8  # changes between two levels


@dataclass(frozen=True)
class Line:
    """Two solids sharing a straight line: positions in the system's solids and compositions (second salt's share)."""

    solids: tuple[int, int]
    left: float
    right: float


@dataclass(frozen=True)
class Stretch:
    """One line from low_K to high_K. closes: the gap of a solid solution ends at high_K in its critical point."""

    solids: tuple[int, int]
    low_K: float
    high_K: float
    closes: bool


@dataclass(frozen=True)
class Change:
    """Where a solid enters or leaves the chain: the three solids from left to right, and whether the middle one is
    stable above (a eutectoid) or below (a peritectoid)."""

    T_K: float
    solids: tuple[int, int, int]
    xs: tuple[float, float, float]
    stable_above: bool


def pair_solution(solid: SolutionSolid) -> PairSolution:
    """The solid solution of two salts with its coefficients in the order of its members."""
    terms = dict.fromkeys(range(2), (0.0, 0.0))
    for (i, j, k), a, b in zip(solid.terms, solid.a, solid.b, strict=True):
        sign = (-1) ** k if i > j else 1
        terms[k] = (terms[k][0] + sign * a, terms[k][1] + sign * b)
    first, second = solid.lattice_energies.tolist()
    return PairSolution.from_terms(terms, (first, second))


class SolidChain:
    """The chain of one pair's solids at any temperature."""

    def __init__(self, system: System):
        self.solids: tuple[Solid, ...] = system.solids
        self.mixings = {n: pair_solution(s) for n, s in enumerate(self.solids) if isinstance(s, SolutionSolid)}
        self.places = {
            n: float(solid_weights(solid, 2, None)[system.own[1]])
            for n, solid in enumerate(self.solids)
            if n not in self.mixings
        }

    def _energy(self, n: int, T_K: float) -> tuple[float, float]:
        """Gibbs energy (J/mol) of a solid of fixed composition less that of the pure solid salts; its slope by T."""
        solid = self.solids[n]
        if not isinstance(solid, FixedSolid):
            raise TypeError(f"{solid.name} has no composition of its own")
        return solid.energy_and_slope(T_K)

    def lines(self, T_K: float) -> tuple[Line, ...]:
        """All lines at T from left to right."""
        if not self.places and len(self.mixings) == 1:
            ((n, mixing),) = self.mixings.items()
            return tuple(Line((n, n), *ends) for ends in mixing.gaps(T_K))
        phases = [
            self.mixings[n] if n in self.mixings else (self.places[n], self._energy(n, T_K)[0])
            for n in range(len(self.solids))
        ]
        return tuple(Line((tie.first, tie.second), tie.left, tie.right) for tie in ties(phases, T_K))

    def end_moves(self, line: Line, T_K: float, values: np.ndarray, slopes: np.ndarray) -> np.ndarray:
        """How the ends of a line at T move, (2, changes), when changes add `values` to g of its two solids at these
        ends and `slopes` to dg/dx, both (2, changes) in J/mol."""
        along = (values[1] - values[0]) / (line.right - line.left)
        moves = np.zeros_like(values)
        for k, (n, x) in enumerate(zip(line.solids, (line.left, line.right), strict=True)):
            if n in self.mixings:
                moves[k] = (along - slopes[k]) / float(self.mixings[n].curvature(x, T_K))
        return moves

    def end_moves_by_T(self, line: Line, T_K: float) -> np.ndarray:
        """How the ends of a line move with T, (2,), 1/K."""
        ends = zip(line.solids, (line.left, line.right), strict=True)
        found = [self.mixings[n].by_T(x) if n in self.mixings else (self._energy(n, T_K)[1], 0.0) for n, x in ends]
        values, slopes = np.array(found).T
        return self.end_moves(line, T_K, values[:, None], slopes[:, None])[:, 0]

    def _names(self, T_K: float) -> tuple[tuple[int, int], ...]:
        return tuple(line.solids for line in self.lines(T_K))

    def history(self, low_K: float, high_K: float) -> tuple[tuple[Stretch, ...], tuple[Change, ...]]:
        """Every line with the span of temperature it lasts, and the changes, between low_K and high_K."""
        levels = np.linspace(low_K, high_K, _LEVELS).tolist()
        chains = [self._names(T) for T in levels]
        bounds, present, changes = [low_K], [chains[0]], []
        for above, (T_low, T_high) in zip(chains[1:], pairwise(levels), strict=True):
            for _ in range(_MOST):
                if present[-1] == above:
                    break
                T_K = self._edge(T_low, T_high, present[-1])
                T_low = min(T_K + _NEAR * (high_K - low_K), T_high)
                changes += self._change(T_K, _NEAR * (high_K - low_K))
                bounds.append(T_K)
                present.append(self._names(T_low))
        bounds.append(high_K)
        return self._stretches(bounds, present), tuple(changes)

    def _edge(self, low: float, high: float, below: tuple) -> float:
        """The temperature between two levels up to which the chain is `below`; exact for a critical point."""
        for point in (point for mixing in self.mixings.values() for point in mixing.critical_points):
            if low <= point.T_K <= high:
                return point.T_K
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if self._names(middle) == below else (low, middle)
        return 0.5 * (low + high)

    def _change(self, T_K: float, near: float) -> list[Change]:
        """The change at T, if three solids meet there (a gap that closes is none)."""
        below, above = self.lines(T_K - near), self.lines(T_K + near)
        for whole, parts in ((below, above), (above, below)):
            unchanged = {line.solids for line in whole} & {line.solids for line in parts}
            split = [line for line in parts if line.solids not in unchanged]
            single = [line for line in whole if line.solids not in unchanged]
            if len(split) == 2 and len(single) == 1:
                (first, second), (line,) = split, single
                solids = (first.solids[0], first.solids[1], second.solids[1])
                return [Change(T_K, solids, (line.left, first.right, line.right), parts is above)]
        return []

    def _stretches(self, bounds: list[float], chains: list[tuple]) -> tuple[Stretch, ...]:
        found = []
        for key in dict.fromkeys(key for chain in chains for key in chain):
            start = None
            for n, chain in enumerate([*chains, ()]):
                if key in chain and start is None:
                    start = n
                elif key not in chain and start is not None:
                    own = key[0] == key[1]
                    found.append(Stretch(key, bounds[start], bounds[n], own and n < len(chains)))
                    start = None
        return tuple(found)
