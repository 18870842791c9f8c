"""Where a single melt of one anion starts to freeze, in plain numbers: an array of one costs ten times its arithmetic.

The same laws as everywhere, asked for one melt: its potentials are straight lines in T (system/liquid), a fusion energy
is a piece of a curve (laws/pieces), a solid solution takes its own steps (laws/one_solution). The same rule too:
Newton's for D(T) = 0 of the solid that looks first, then whether another would form there (system/driving_force). A
solid solution is looked at on its grid alone wherever the best of that says that it cannot form.
Limits: None is the answer where Newton's rule leaves the bracket that the sign of D gives, or does not end; the slower
way of driving_force finds it then. Worked value: a single salt: its melting point.
"""

import math
from bisect import bisect_right
from collections.abc import Sequence

from thermo.equilibrium.system.interface import System
from thermo.laws.one_solution import SETTLED, OneSolution, ahead, one_solution
from thermo.laws.pieces import energy_and_slope
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import FixedSolid
from thermo.records.units import R

GUESS_K = 600.0, 1600.0  # between which the first look is, at the mean of the melting points
_STEP_K = 0.03  # of the last Newton step: what is left is its square, below 1e-5 K
_ALIKE_K = 1e-4  # two solids that form so near each other form together
_STEPS, _SOLUTION_STEPS, _SIDES = 20, 60, 4
_NEARLY, _SHRUNK = 2e-7, 0.1  # enough where a step has shrunk the last by so much: the next shrinks as much again

Start = tuple[float, float, list[float]]  # D, the part of its slope that is not that of d, the composition (m,)
Balance = tuple[float, list[float]]  # T and the solid's composition (m,)


class Fixed:
    """A solid of fixed composition: positions and mole fractions of its salts, formation energy h + s T."""

    missed = 0.0

    def __init__(self, solid: FixedSolid, h: float, s: float):
        self.indices, self.shares, self.h, self.s = solid.indices, solid.shares(None).tolist(), h, s
        self._parts = list(zip(self.indices, self.shares, strict=True))

    def salts_in(self, y: Sequence[float]) -> Sequence[float]:
        """As OneSolution's."""
        return self.shares

    def start(self, d: Sequence[float], T_K: float) -> Start:
        """As OneSolution's, with nothing to look for."""
        D = -self.h - T_K * self.s
        for share, force in zip(self.shares, d, strict=True):
            D += share * force
        return D, -self.s, self.shares

    def most(self, d: Sequence[float], T_K: float) -> float:
        """D where all salts have the driving forces d (n,)."""
        D = -self.h - T_K * self.s
        for i, share in self._parts:
            D += share * d[i]
        return D


class Terms:
    """What single melts need of their system, as plain numbers: melting points, fusion curves, solids."""

    def __init__(self, system: System):
        self.melting_K, self.names = system.melting_K.tolist(), tuple([solid.name for solid in system.solids])
        self.everything = tuple(range(len(self.melting_K)))
        self.curves = [curve.plain for curve in system.fusion(self.everything).curves]
        self.solids = [
            Fixed(solid, *solid.energy_and_slope(0.0)) if isinstance(solid, FixedSolid) else one_solution(solid)
            for solid in system.solids
            if isinstance(solid, FixedSolid | SolutionSolid)
        ]


class OneMelt:
    """One melt: potentials A + T S of its salts (n,); `lowest_K` and `highest_K`: where a solid is looked for."""

    def __init__(self, terms: Terms, line: tuple[list[float], list[float]], lowest_K: float, highest_K: float):
        self.terms, (self.A, self.S) = terms, line
        self.lowest_K, self.highest_K = lowest_K, highest_K

    def forces(self, T: float, salts: Sequence[int]) -> tuple[list[float], list[float]]:
        """d_i of these salts at T, and their slopes."""
        log_T, curves, A, S = math.log(T), self.terms.curves, self.A, self.S
        d, slopes = [], []
        for i in salts:
            breaks, pieces = curves[i]
            energy, by_T = energy_and_slope(pieces[bisect_right(breaks, T)], T, log_T)
            slope = S[i]
            d.append(A[i] + T * slope + energy)
            slopes.append(slope + by_T)
        return d, slopes

    def first(self, x: Sequence[float]) -> tuple[int, float, list[float]] | None:
        """Position of the solid that forms first, where (K), and its composition; None: not found."""
        solids, T = self.terms.solids, 0.0
        for part, melting_K in zip(x, self.terms.melting_K, strict=True):
            T += part * melting_K
        T = min(max(T, GUESS_K[0]), GUESS_K[1])
        d, slopes = self.forces(T, self.terms.everything)
        (best, *others), look = self._order(T, d)
        found = self._from(best, T, look, slopes, self.lowest_K)
        if found is None:
            return None
        T, y = found
        d, slopes = self.forces(T, self.terms.everything) if others else ([], [])
        for place in others:  # D falls with T: what does not form here will not where another forms earlier
            solid = solids[place]
            if solid.most(d, T) <= 0:
                continue
            look = solid.start([d[i] for i in solid.indices], T)
            if look[0] + solid.missed * R * T <= 0:
                continue
            found = self._from(place, T, look, slopes, T)
            if found is None:
                return None
            if found[0] > T + _ALIKE_K:
                best, (T, y) = place, found
                d, slopes = self.forces(T, self.terms.everything)
        return best, T, y

    def _order(self, T: float, d: Sequence[float]) -> tuple[list[int], Start]:
        """All solids by what D can be at T at the most, but that with the highest first; and `start` of that one."""
        solids = self.terms.solids
        most = [solid.most(d, T) for solid in solids]
        order = sorted(range(len(most)), key=most.__getitem__, reverse=True)
        best, look = -1, (-math.inf, 0.0, [0.0])
        for place in order:
            if most[place] <= look[0]:
                break
            own = solids[place].start([d[i] for i in solids[place].indices], T)
            if own[0] > look[0]:
                best, look = place, own
        order.remove(best)
        return [best, *order], look

    def _from(self, place: int, T: float, look: Start, slopes: Sequence[float], low: float) -> Balance | None:
        """`balance` from where the tangent at T says."""
        D, slope, y = look
        solid = self.terms.solids[place]
        for i, share in zip(solid.indices, solid.salts_in(y), strict=True):
            slope += share * slopes[i]
        return self.balance(place, min(max(T + D / max(-slope, 1.0), low), self.highest_K), low, y)

    def balance(
        self, place: int, T: float, low: float, y: list[float] | None = None, near: int | None = None
    ) -> Balance | None:
        """Where the solid at this place forms, from T and y, above `low`; None: not found, or for a solution lower.

        near: on the side of this member of a solution.
        """
        solid = self.terms.solids[place]
        return self._of_fixed(solid, T, low) if isinstance(solid, Fixed) else self._of_solution(solid, T, y, near)

    def _of_fixed(self, solid: Fixed, T: float, low: float) -> Balance | None:
        high = self.highest_K
        for _ in range(_STEPS):
            d, slopes = self.forces(T, solid.indices)
            D, slope, shares = solid.start(d, T)
            for share, by_T in zip(shares, slopes, strict=True):
                slope += share * by_T
            if D > 0:
                low = T
            else:
                high = T
            moved = T - D / min(slope, -1.0)
            if not low <= moved <= high:
                return None
            if abs(moved - T) < _STEP_K:
                return moved, shares
            T = moved
        return None

    def _of_solution(
        self, solid: OneSolution, T: float, y: list[float] | None, near: int | None = None
    ) -> Balance | None:
        """From everywhere: where another side of a miscibility gap would form, from there again."""
        if y is None:
            y = solid.start(self.forces(T, solid.indices)[0], T, near)[2]
        found = self._one_side(solid, T, y)
        for _ in range(_SIDES):
            if found is None:
                return None
            T, y = found
            D, _, other = solid.start(self.forces(T, solid.indices)[0], T, near)
            if D + solid.missed * R * T <= 0 or sum([abs(a - b) for a, b in zip(y, other, strict=True)]) < solid.beside:
                break
            found = self._one_side(solid, T, other)
            if found is not None and found[0] <= T:
                break
        return T, y

    def _one_side(self, solid: OneSolution, T: float, y: list[float]) -> Balance | None:
        """Newton's rule in T along with the solution's own steps, hastened every other time as in solid_solution."""
        before: list[float] | None = None
        last = 0.0
        for _ in range(_SOLUTION_STEPS):
            d, slopes = self.forces(T, solid.indices)
            D, slope, following = solid.step(y, d, T)
            change, size = [], 0.0
            for share, by_T in zip(solid.salts_in(following), slopes, strict=True):
                slope += share * by_T
            for old, new in zip(y, following, strict=True):
                step = math.log(new / old)
                size += new * step * step
                change.append(step)
            moved = T - D / min(slope, -1.0)
            if not self.lowest_K < moved < self.highest_K:
                return None
            settled = size < SETTLED or (size < _NEARLY and size < _SHRUNK * last)
            near, T = abs(moved - T) < _STEP_K, moved
            if near and settled:
                return T, following
            if before is None:
                y, before, last = following, change, size
            else:
                y, before, last = ahead(following, before, change), None, 0.0
        return None
