"""When a solution of two salts splits in two, liquid or solid: spinodal, critical point and the gap between.

    g(x, T) = R T (x ln x + (1 - x) ln(1 - x)) + x (1 - x) sum_k (a_k + b_k T) (1 - 2x)^k          J/mol
x: mole fraction of the second salt; coefficients as in thermo.laws.mixing (Redlich & Kister 1948).
    spinodal     d2g/dx2 = 0, a closed form in T:  T_s(x) = -A'' / (R / (x (1 - x)) + B''),  A'', B'': second
                 derivatives of the a and the b part. One phase is unstable below T_s (above it where the divisor is
                 negative: the repulsion then outgrows the entropy on heating).
    critical     an extremum of T_s against x.
    gap          one straight line touches g at both ends l < r: both salts have equal potentials there (Gibbs 1876).
                 Found on the lower convex hull of g, where no second gap can hide, and made exact by Newton's rule.
How the ends answer a change dG^E(x) of the excess energy, from the same two equations: with F1 = dG^E'(l) - dG^E'(r)
and F2 = (dG^E - l dG^E')(l) - (dG^E - r dG^E')(r),  dr = -(F2 + l F1) / ((r - l) g''(r)), dl = -(F2 + r F1) / ((r - l)
g''(l)).
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
    """Two solids side by side: compositions, and which fixed solid each is (None: the solution)."""

    left: float
    right: float
    first: int | None
    second: int | None


@dataclass(frozen=True)
class PairSolution:
    """A solution of two salts: coefficients a (J/mol) and b (J/(mol K)) by order."""

    a: tuple[float, ...]
    b: tuple[float, ...]

    @classmethod
    def from_terms(cls, terms: dict[int, tuple[float, float]]) -> "PairSolution":
        """From {order: (a, b)}, orders left out being zero."""
        orders = range(max(terms, default=0) + 1)
        return cls(*(tuple(terms.get(k, (0.0, 0.0))[part] for k in orders) for part in (0, 1)))

    @cached_property
    def _excess(self) -> tuple[tuple[Polynomial, Polynomial], ...]:
        """G^E and its first two derivatives by x as polynomials in u: ((A, B), (A', B'), (A'', B''))."""
        parts = [_ENTROPY_PARABOLA * Polynomial(c) for c in (self.a, self.b)]
        return tuple(tuple((-2.0) ** n * part.deriv(n) if n else part for part in parts) for n in range(3))

    def excess(self, x: np.ndarray, T_K, derivative: int = 0) -> np.ndarray:
        """G^E or a derivative of it by x (0, 1 or 2), J/mol; x and T broadcast."""
        A, B = self._excess[derivative]
        u = 1 - 2 * np.asarray(x, dtype=float)
        return A(u) + np.asarray(T_K) * B(u)

    def energy(self, x: np.ndarray, T_K) -> np.ndarray:
        """g: Gibbs energy of mixing, J/mol, for 0 < x < 1."""
        x = np.asarray(x, dtype=float)
        return R * np.asarray(T_K) * (x * np.log(x) + (1 - x) * np.log1p(-x)) + self.excess(x, T_K)

    def slope(self, x: np.ndarray, T_K) -> np.ndarray:
        """dg/dx = mu_2 - mu_1 less that of the pure phases, J/mol."""
        x = np.asarray(x, dtype=float)
        return R * np.asarray(T_K) * (np.log(x) - np.log1p(-x)) + self.excess(x, T_K, 1)

    def curvature(self, x: np.ndarray, T_K) -> np.ndarray:
        """d2g/dx2, J/mol: negative inside the spinodal."""
        x = np.asarray(x, dtype=float)
        return R * np.asarray(T_K) / (x * (1 - x)) + self.excess(x, T_K, 2)

    def spinodal_temperature(self, x: np.ndarray) -> np.ndarray:
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
            if j - i > 1 and (ends := self._touching(_GRID[i], _GRID[j], T_K)) is not None
        ]
        for first, second in zip(turns[::2], turns[1::2], strict=False):
            if not any(l < first and second < r for l, r in found):  # too narrow for the grid
                wider = (_CUBIC - 1) / 2 * (second - first)
                ends = self._touching(first - wider, second + wider, T_K)
                found += [ends] if ends is not None else []
        return tuple(sorted(found))

    def _touching(self, left: float, right: float, T_K: float) -> tuple[float, float] | None:
        """Ends of the common tangent near (left, right) by Newton's rule in ln(x / (1 - x)); None without one."""
        ends = np.array([left, right])
        z = np.log(ends / (1 - ends))
        for _ in range(_NEWTON_STEPS):
            (l, r), width = ends, ends * (1 - ends)
            slope, bend = self.slope(ends, T_K), self.curvature(ends, T_K)
            touch = self.energy(ends, T_K) - ends * slope
            if (bend <= 0).any() or r - l < _TOGETHER:
                return None
            F1, F2 = slope[0] - slope[1], touch[0] - touch[1]
            step = -np.array([F2 + r * F1, F2 + l * F1]) / ((r - l) * bend * width)
            z = z + np.clip(step, -0.5, 0.5)
            ends = 1 / (1 + np.exp(-z))
            if np.abs(step).max() < _SETTLED:
                return float(ends[0]), float(ends[1])
        return None

    def end_response(self, l: float, r: float, T_K: float) -> tuple[np.ndarray, np.ndarray]:
        """How the ends of the gap (l, r) at T move: by the coefficients (a_0, a_1 ... b_0, b_1 ...), and by T.

        Returns (2, 2 K) in 1/(J/mol) and 1/(J/(mol K)), and (2,) in 1/K.
        """
        ends = np.array([l, r])

        def answer(change: np.ndarray, change_slope: np.ndarray) -> np.ndarray:
            touch = change - ends * change_slope
            F1, F2 = change_slope[0] - change_slope[1], touch[0] - touch[1]
            return -np.array([F2 + r * F1, F2 + l * F1]) / ((r - l) * self.curvature(ends, T_K))

        by_order = np.stack([answer(*(P(1 - 2 * ends) for P in unit)) for unit in self._units], axis=1)
        return np.hstack([by_order, T_K * by_order]), answer(*self._by_T(ends))

    def touch_response(self, x: float, w: float, T_K: float) -> tuple[np.ndarray, float, float]:
        """How the composition x beside a solid of fixed composition w moves.

        By the coefficients (2 K,), by the solid's energy (1/(J/mol)), and by T with that energy held (1/K).
        """
        scale = -1 / ((w - x) * self.curvature(x, T_K))
        by_order = scale * np.array([value(1 - 2 * x) + (w - x) * slope(1 - 2 * x) for value, slope in self._units])
        by_T = [float(part) for part in self._by_T(x)]
        return np.concatenate([by_order, T_K * by_order]), float(-scale), float(scale * (by_T[0] + (w - x) * by_T[1]))

    @cached_property
    def _units(self) -> list[tuple[Polynomial, Polynomial]]:
        """Value and slope by x of each order's term with coefficient 1, as polynomials in u."""
        terms = [_ENTROPY_PARABOLA * Polynomial([0.0] * k + [1.0]) for k in range(len(self.a))]
        return [(term, -2.0 * term.deriv()) for term in terms]

    def _by_T(self, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """dg/dT and d2g/dTdx, J/(mol K)."""
        B, B_slope = (self._excess[n][1](1 - 2 * np.asarray(x)) for n in (0, 1))
        entropy = R * (x * np.log(x) + (1 - x) * np.log1p(-x))
        return entropy + B, R * (np.log(x) - np.log1p(-x)) + B_slope

    def critical_response(self, point: CriticalPoint) -> np.ndarray:
        """How a critical temperature moves by the coefficients (2 K,), K/(J/mol) and K/(J/(mol K)).

        At an extremum of T_s against x a shift of x does not matter, so dT/da_k = -P_k'' / (R / (x (1 - x)) + B'').
        """
        u = 1 - 2 * point.x
        bends = np.array([-2.0 * slope.deriv()(u) for _, slope in self._units])
        by_a = -bends / (R / (point.x * (1 - point.x)) + self._excess[2][1](u))
        return np.concatenate([by_a, point.T_K * by_a])

    def ties(self, T_K: float, points: Sequence[tuple[float, float]]) -> list[Tie]:
        """Straight lines of lowest energy over the solution and solids of fixed composition, from left to right.

        points: (w, g_w) of the fixed solids, 0 < w < 1, J/mol; one above the line through its neighbours is in none.
        """
        x = np.concatenate([_GRID, [w for w, _ in points]])
        g = np.concatenate([self.energy(_GRID, T_K), [g_w for _, g_w in points]])
        order = np.argsort(x, kind="stable")
        own = np.where(order < len(_GRID), order, -1)
        found = []
        for i, j in pairwise(lower_hull(x[order], g[order])):
            first, second = (None if own[k] >= 0 else int(order[k]) - len(_GRID) for k in (i, j))
            ends = float(x[order[i]]), float(x[order[j]])
            if first is None and second is None:
                ends = self._touching(*ends, T_K) if own[j] - own[i] > 1 else None
            elif first is None:
                ends = self._through(ends[0], *points[second], T_K), ends[1]
            elif second is None:
                ends = ends[0], self._through(ends[1], *points[first], T_K)
            if ends is not None:
                found.append(Tie(*ends, first, second))
        return found

    def _through(self, x: float, w: float, g_w: float, T_K: float) -> float:
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
