"""When a solution of two salts splits in two, liquid or solid: spinodal, critical point and the gap between.

    g(x, T) = R T (x ln x + (1 - x) ln(1 - x)) + x (1 - x) sum_k (a_k + b_k T) (1 - 2x)^k + (1 - x) E_1 + x E_2
J/mol; x: mole fraction of the second salt; coefficients as in thermo.laws.mixing (Redlich & Kister 1948).
    spinodal     d2g/dx2 = 0, a closed form in T:  T_s(x) = -A'' / (R / (x (1 - x)) + B''),  A'', B'': second
                 derivatives of the a and the b part. One phase is unstable below T_s (above it where the divisor is
                 negative: the repulsion then outgrows the entropy on heating).
    critical     an extremum of T_s against x.
    gap          one straight line touches g at both ends l < r: both salts have equal potentials there (Gibbs 1876).
                 Found on the lower convex hull of g, where no second gap can hide, and made exact by Newton's rule.
E_1, E_2: energies of the salts in this kind of crystal above their own (laws/solids), 0 in a melt. Two solids of
different kinds side by side share one straight line that touches both curves, or touches one and ends in a point.
Shift of an end when the curves change by dg: the slope of the line changes by dm = (dg_2(r) - dg_1(l)) / (r - l), and
dl = (dm - dg_1'(l)) / g_1''(l), dr alike (equilibrium/invariants/solid_chain).
Limits: one lattice (or one liquid), formula units as mixing species; the gap below 1e-9 mole fraction is not resolved.
Worked value: regular, a_0 = 20 kJ/mol: top at x = 0.5, T = a_0 / 2R = 1202.7 K; at 1000 K the ends are 0.169, 0.831.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.polynomial import Polynomial
from scipy.optimize import minimize_scalar

from thermo.records.units import R

SMALLEST = 1e-9  # mole fraction of the outermost point looked at
_ENTROPY_PARABOLA = Polynomial([0.25, 0.0, -0.25])  # x (1 - x) in u = 1 - 2x
_EVEN = np.linspace(0.005, 0.995, 199)
_DILUTE = np.geomspace(SMALLEST, 0.0045, 60)
_GRID = np.concatenate([_DILUTE, _EVEN, 1 - _DILUTE[::-1]])
_NEWTON_STEPS = 60
_SETTLED = 1e-9  # in ln(x / (1 - x)); Newton's rule has doubled the digits once more by then
_TOGETHER = 1e-5  # ends nearer than this are one
_CUBIC = 3**0.5  # near a critical point a gap is this much wider than its spinodal


@dataclass(frozen=True)
class CriticalPoint:
    """Where a gap closes: at its top (`upper`, the usual kind) or at its foot (unmixing sets in on heating)."""

    x: float
    T_K: float
    upper: bool


@dataclass(frozen=True)
class Tie:
    """Two solids side by side: compositions, and which of the solids they are."""

    left: float
    right: float
    first: int
    second: int


@dataclass(frozen=True)
class PairSolution:
    """A solution of two salts: coefficients a (J/mol) and b (J/(mol K)) by order; E of each salt, J/mol."""

    a: tuple[float, ...]
    b: tuple[float, ...]
    E: tuple[float, float] = (0.0, 0.0)

    @classmethod
    def from_terms(cls, terms: dict[int, tuple[float, float]], E: tuple[float, float] = (0.0, 0.0)) -> "PairSolution":
        """From {order: (a, b)}, orders left out being zero."""
        orders = range(max(terms, default=0) + 1)
        a, b = (tuple(terms.get(k, (0.0, 0.0))[part] for k in orders) for part in (0, 1))
        return cls(a=a, b=b, E=E)

    @cached_property
    def _excess(self) -> tuple[tuple[Polynomial, Polynomial], ...]:
        """G^E and its first two derivatives by x as polynomials in u: ((A, B), (A', B'), (A'', B''))."""
        parts = [_ENTROPY_PARABOLA * Polynomial(c) for c in (self.a, self.b)]
        parts[0] += Polynomial([0.5 * (self.E[0] + self.E[1]), 0.5 * (self.E[0] - self.E[1])])
        A, B = parts
        return (A, B), *(((-2.0) ** n * A.deriv(n), (-2.0) ** n * B.deriv(n)) for n in (1, 2))

    def excess(self, x: float | np.ndarray, T_K, derivative: int = 0) -> np.ndarray:
        """G^E or a derivative of it by x (0, 1 or 2), J/mol; x and T broadcast."""
        A, B = self._excess[derivative]
        u = 1 - 2 * np.asarray(x, dtype=float)
        return A(u) + np.asarray(T_K) * B(u)

    def energy(self, x: float | np.ndarray, T_K) -> np.ndarray:
        """g: Gibbs energy of mixing, J/mol, for 0 < x < 1."""
        x = np.asarray(x, dtype=float)
        return R * np.asarray(T_K) * (x * np.log(x) + (1 - x) * np.log1p(-x)) + self.excess(x, T_K)

    def slope(self, x: float | np.ndarray, T_K) -> np.ndarray:
        """dg/dx = mu_2 - mu_1 less that of the pure phases, J/mol."""
        x = np.asarray(x, dtype=float)
        return R * np.asarray(T_K) * (np.log(x) - np.log1p(-x)) + self.excess(x, T_K, 1)

    def curvature(self, x: float | np.ndarray, T_K) -> np.ndarray:
        """d2g/dx2, J/mol: negative inside the spinodal."""
        x = np.asarray(x, dtype=float)
        return R * np.asarray(T_K) / (x * (1 - x)) + self.excess(x, T_K, 2)

    def spinodal_temperature(self, x: float | np.ndarray) -> np.ndarray:
        """T_s(x), K; nan where no positive temperature makes the curvature zero."""
        x = np.asarray(x, dtype=float)
        A, B = (part(1 - 2 * x) for part in self._excess[2])
        divisor = R / (x * (1 - x)) + B
        T = -A / np.where(divisor == 0, np.inf, divisor)
        return np.where(T > 0, T, np.nan)

    def spinodal(self, T_K: float) -> np.ndarray:
        """All x with zero curvature at T, ascending: roots of the polynomial R T + x (1 - x) G^E''."""
        A, B = self._excess[2]
        u = (R * T_K + _ENTROPY_PARABOLA * (A + T_K * B)).roots()
        real = u[np.abs(u.imag) < 1e-9].real
        return np.sort((1 - real[np.abs(real) < 1]) / 2)

    @cached_property
    def critical_points(self) -> tuple[CriticalPoint, ...]:
        """Extrema of the spinodal at which a gap closes, in the order of x."""
        x = np.linspace(0.001, 0.999, 999)
        found = []
        for upper, sign in ((True, 1.0), (False, -1.0)):
            reach = R / (x * (1 - x)) + self._excess[2][1](1 - 2 * x)
            T = sign * np.where(sign * reach > 0, self.spinodal_temperature(x), np.nan)
            T = np.where(np.isfinite(T), T, -np.inf)
            for i in np.flatnonzero((T[1:-1] >= T[:-2]) & (T[1:-1] > T[2:])) + 1:
                top = minimize_scalar(
                    lambda y, sign=sign: -sign * float(self.spinodal_temperature(y)),
                    bounds=(x[i - 1], x[i + 1]),
                    method="bounded",
                    options={"xatol": 1e-9},
                )
                found.append(CriticalPoint(float(top.x), float(-sign * top.fun), upper))
        return tuple(sorted(found, key=lambda point: point.x))

    def gaps(self, T_K: float) -> tuple[tuple[float, float], ...]:
        """Ends (l, r) of every gap at T, ascending; those too close to a critical point to tell apart are left out."""
        turns = self.spinodal(T_K)
        if len(turns) < 2:
            return ()
        corners = lower_hull(_GRID, self.energy(_GRID, T_K))
        found = [
            ends
            for i, j in pairwise(corners)
            if j - i > 1 and (ends := touching(self, self, _GRID[i], _GRID[j], T_K)) is not None
        ]
        for first, second in zip(turns[::2], turns[1::2], strict=False):
            if not any(l < first and second < r for l, r in found):  # too narrow for the grid
                wider = (_CUBIC - 1) / 2 * (second - first)
                ends = touching(self, self, first - wider, second + wider, T_K)
                found += [ends] if ends is not None else []
        return tuple(sorted(found))

    def beside(self, x: float, w: float, g_w: float, T_K: float) -> float:
        """The x near the given one whose tangent passes through (w, g_w)."""
        z = np.log(x / (1 - x))
        for _ in range(_NEWTON_STEPS):
            miss = float(self.energy(x, T_K) + (w - x) * self.slope(x, T_K) - g_w)
            step = -miss / float((w - x) * self.curvature(x, T_K) * x * (1 - x))
            z += float(np.clip(step, -0.5, 0.5))
            x = 1 / (1 + np.exp(-z))
            if abs(step) < _SETTLED:
                break
        return float(x)

    def by_T(self, x: float) -> tuple[float, float]:
        """dg/dT and d2g/dTdx, J/(mol K)."""
        B, B_slope = (self._excess[n][1](1 - 2 * np.asarray(x)) for n in (0, 1))
        entropy = R * (x * np.log(x) + (1 - x) * np.log1p(-x))
        return float(entropy + B), float(R * (np.log(x) - np.log1p(-x)) + B_slope)

    def critical_response(self, point: CriticalPoint) -> np.ndarray:
        """How a critical temperature moves by the coefficients (2 K,), K/(J/mol) and K/(J/(mol K)).

        At an extremum of T_s against x a shift of x does not matter, so dT/da_k = -P_k'' / (R / (x (1 - x)) + B'').
        """
        u = 1 - 2 * point.x
        terms = [_ENTROPY_PARABOLA * Polynomial([0.0] * k + [1.0]) for k in range(len(self.a))]
        bends = np.array([4.0 * term.deriv(2)(u) for term in terms])
        by_a = -bends / (R / (point.x * (1 - point.x)) + self._excess[2][1](u))
        return np.concatenate([by_a, point.T_K * by_a])


def ties(phases: Sequence[PairSolution | tuple[float, float]], T_K: float) -> list[Tie]:
    """Straight lines of lowest energy over solutions and solids of fixed composition (w, g_w J/mol), left to right.

    A solid above the line through its neighbours is in none.
    """
    grids = [_GRID if isinstance(phase, PairSolution) else np.array([phase[0]]) for phase in phases]
    energies = [
        phase.energy(grid, T_K) if isinstance(phase, PairSolution) else np.array([phase[1]])
        for phase, grid in zip(phases, grids, strict=True)
    ]
    x, g = np.concatenate(grids), np.concatenate(energies)
    owner = np.concatenate([np.full(len(grid), n) for n, grid in enumerate(grids)])
    place = np.concatenate([np.arange(len(grid)) for grid in grids])
    order = np.lexsort((g, x))
    order = order[np.diff(x[order], prepend=-1.0) > 0]  # of two solids at one composition the better
    found = []
    for i, j in pairwise(order[lower_hull(x[order], g[order])].tolist()):
        if owner[i] == owner[j] and place[j] - place[i] == 1:
            continue
        first, second = phases[owner[i]], phases[owner[j]]
        ends = _tie_ends(first, second, float(x[i]), float(x[j]), T_K)
        if ends is not None:
            found.append(Tie(*ends, int(owner[i]), int(owner[j])))
    return found


def _tie_ends(
    first: PairSolution | tuple[float, float],
    second: PairSolution | tuple[float, float],
    left: float,
    right: float,
    T_K: float,
) -> tuple[float, float] | None:
    """Ends of the tie line near (left, right), the solutions' ends made exact; None where nothing touches."""
    if isinstance(first, PairSolution):
        if isinstance(second, PairSolution):
            return touching(first, second, left, right, T_K)
        w, g_w = second
        return first.beside(left, w, g_w, T_K), right
    if isinstance(second, PairSolution):
        w, g_w = first
        return left, second.beside(right, w, g_w, T_K)
    return left, right


def touching(
    first: PairSolution, second: PairSolution, left: float, right: float, T_K: float
) -> tuple[float, float] | None:
    """Ends of the line that touches both curves near (left, right), or None: Newton's rule in ln(x / (1 - x))."""
    ends, both = np.array([left, right]), (first, second)
    z = np.log(ends / (1 - ends))
    for _ in range(_NEWTON_STEPS):
        (l, r), width = ends, ends * (1 - ends)
        energy, slope, bend = (
            np.array([float(getattr(one, name)(x, T_K)) for one, x in zip(both, ends, strict=True)])
            for name in ("energy", "slope", "curvature")
        )
        touch = energy - ends * slope
        if (bend <= 0).any() or r - l < _TOGETHER:
            return None
        F1, F2 = slope[0] - slope[1], touch[0] - touch[1]
        step = -np.array([F2 + r * F1, F2 + l * F1]) / ((r - l) * bend * width)
        z = z + np.clip(step, -0.5, 0.5)
        ends = 1 / (1 + np.exp(-z))
        if np.abs(step).max() < _SETTLED:
            return float(ends[0]), float(ends[1])
    return None


def lower_hull(x: np.ndarray, g: np.ndarray) -> list[int]:
    """Positions of the corners of the lower convex hull of (x, g), x ascending (Andrew 1979)."""
    x, g = x.tolist(), g.tolist()
    corners: list[int] = []
    for i in range(len(x)):
        while len(corners) > 1:
            first, second = corners[-2:]
            if (g[second] - g[first]) * (x[i] - x[second]) < (g[i] - g[second]) * (x[second] - x[first]):
                break
            corners.pop()
        corners.append(i)
    return corners
