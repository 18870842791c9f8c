"""Which anions sit next to which cation in a melt of fluoride and chloride: the balance of cation-anion pairs.

Each cation has Z neighbouring anions; q_i is the share of fluoride among those of cation i, r_i = 1 - q_i. Pairs trade
places, M_i-F + M_j-Cl = M_i-Cl + M_j-F, until no trade gains (quasi-chemical balance: Guggenheim 1952; reciprocal
melts: Blander & Braunstein, Ann. N. Y. Acad. Sci. 79 (1960) 838; per cation, charges free: this project's own form).
    w_i = (e_i + z_i theta) / Z,   q_i = 1 / (1 + exp(w_i - t)),   e_i = E_i / RT,   E_i = G_iF - G_iCl
    sum X_i q_i = b = 1 / (1 + exp(-t)),        sum z_i X_i q_i = zbar Y_F
X_i cation fractions, z_i charges, zbar = sum X_i z_i, E_i energy of exchange of the pure liquid salts; the unknowns are
theta, the potential of a charge of fluoride less chloride, and t = ln(b / (1 - b)).
Solution: at given t the first condition has one theta, bracketed by -max and -min of e_i / z_i (each q_i falls
with it); along it the logit of sum z_i X_i q_i / zbar rises with t at a slope near 1, however strong the order. With
equal charges t = ln(Y_F / Y_Cl) at once. Ratios are carried as logarithms, so a trace of an anion loses no digit.
Derivatives of t and theta by e_i (`answer`), from the two conditions differentiated:
    A t' - A1 theta' = sum z_i X_i eta_i e_i' / Z,    C t' - A theta' = sum X_i eta_i e_i',      eta_i = q_i r_i
    A = sum z_i X_i eta_i,  A1 = sum z_i^2 X_i eta_i / Z,  C = -Z sum X_i (q_i - b)^2,  det = A1 C - A^2 < 0
Limits: fluoride and chloride, both present if only as 1e-30; Z of one value for all cations.
Worked value: two cations of charge 1, half and half, e = (0, 7), Y_F = 1/2, Z = 3.5: w = (-1, 1), q = (0.731, 0.269).
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import expit

ABSENT = 1e-30  # stands for a share of zero in a logarithm
_CLOSE = 1e-6  # in theta and t: what a Newton step this short leaves is its square
_TOGETHER = 12
_SETTLED = 1e-9
_STEPS = 80
_LARGEST = 3.0  # longest step


@dataclass(frozen=True)
class Ions:
    """Cation fractions X (N, c), anion shares Y_F and Y_Cl (N,), charges z (c,) of melts.

    Both shares are kept: 1 - Y_F would lose a trace of chloride.
    """

    X: np.ndarray
    fluoride: np.ndarray
    chloride: np.ndarray
    z: np.ndarray

    @property
    def mean_charge(self) -> np.ndarray:
        """Anions per cation (N,)."""
        return self.X @ self.z

    def rows(self, rows) -> "Ions":
        """The melts at these positions."""
        return Ions(self.X[rows], self.fluoride[rows], self.chloride[rows], self.z)


@dataclass(frozen=True)
class Neighbours:
    """Shares q of fluoride and r of chloride around each cation (N, c), b and 1 - b of all neighbours (N,), and w, t.

    theta (N,); A, A1, C and det (N,) are the sums of the module's text.
    """

    q: np.ndarray
    r: np.ndarray
    b: np.ndarray
    rest: np.ndarray
    w: np.ndarray
    t: np.ndarray
    theta: np.ndarray
    away: np.ndarray  # q - b, (N, c)
    A: np.ndarray
    A1: np.ndarray
    C: np.ndarray
    eta: np.ndarray

    @property
    def det(self) -> np.ndarray:
        """Determinant of the two conditions (N,), negative."""
        return self.A1 * self.C - self.A**2

    def answer(self, ions: Ions, e_slope: np.ndarray, Z: float) -> tuple[np.ndarray, np.ndarray]:
        """t' and theta' (N,) while e changes at the rate e' (N, c)."""
        first = (ions.z * ions.X * self.eta * e_slope).sum(axis=1) / Z
        second = (ions.X * self.eta * e_slope).sum(axis=1)
        return (self.A1 * second - self.A * first) / self.det, (self.A * second - self.C * first) / self.det


def ions_of(fractions: np.ndarray, cation: np.ndarray, is_fluoride: np.ndarray, z: np.ndarray) -> Ions:
    """Ions of melts given as mole fractions of salts (N, n); `cation` (n,) positions, `is_fluoride` (n,) booleans."""
    X = fractions @ (cation[:, None] == np.arange(len(z)))
    anions = fractions * z[cation]
    fluoride, chloride = anions @ is_fluoride, anions @ ~is_fluoride
    total = fluoride + chloride
    return Ions(X, np.maximum(fluoride / total, ABSENT), np.maximum(chloride / total, ABSENT), z)


def neighbours(ions: Ions, e: np.ndarray, Z: float, near: tuple[np.ndarray, np.ndarray] | None = None) -> Neighbours:
    """The balance of pairs of melts with exchange energies e = E / RT (N, c); near: t and theta (N,) to start from."""
    wanted = np.log(ions.fluoride / ions.chloride)
    alike = bool((ions.z == ions.z[0]).all())
    t, theta = (wanted, -np.einsum("nc,nc->n", ions.X, e) / ions.mean_charge) if near is None else near
    if alike:
        t = wanted
    t, theta, left = _together(_Sums(ions, e, Z), wanted, t, theta, alike)
    if len(left):
        hard = ions.rows(left)
        start = wanted[left]  # what ran away is no start
        t[left], theta[left] = _in_turn(hard, e[left], Z, wanted[left], start, alike)
    return neighbours_at(ions, e, Z, t, theta)


class _Sums:
    """The sums over cations that a step needs, for melts with exchange energies e (N, c)."""

    def __init__(self, ions: Ions, e: np.ndarray, Z: float):
        self.X, self.z, self.e, self.Z = ions.X, ions.z, e, Z
        self.weights = ions.X[:, :, None] * ions.z[:, None] ** np.arange(3)

    def rows(self, rows: np.ndarray) -> "_Sums":
        """Of the melts at these positions."""
        part = object.__new__(_Sums)
        part.X, part.z, part.e, part.Z = self.X[rows], self.z, self.e[rows], self.Z
        part.weights = self.weights[rows]
        return part

    def __call__(self, t: np.ndarray, theta: np.ndarray, spread: bool = True):
        """Sums over cations of X, z X, z^2 X times q, r and q r: (N, 3, 3), and -C of the module's text (N,).

        spread: whether -C is wanted; nothing stands for it where it is not.
        """
        u = t[:, None] - (self.e + self.z * theta[:, None]) / self.Z
        shares = np.empty((len(t), 3, len(self.z)))
        q, r = shares[:, 0], shares[:, 1]
        expit(u, out=q)
        expit(-u, out=r)
        np.multiply(q, r, out=shares[:, 2])
        sums = shares @ self.weights
        if not spread:
            return sums, 0.0
        away = np.where((t < 0)[:, None], q - sums[:, 0, :1], sums[:, 1, :1] - r)
        return sums, self.Z * np.einsum("nc,nc,nc->n", self.X, away, away)


def _together(
    law: _Sums, wanted: np.ndarray, t: np.ndarray, theta: np.ndarray, alike: bool
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """t and theta by Newton's rule in both at once, and the positions of melts that have not converged."""
    active, goal = np.arange(len(t)), wanted
    whole = True  # all melts are active: no copies of some of their rows are needed
    for _ in range(_TOGETHER):
        at, on = (t, theta) if whole else (t[active], theta[active])
        by_t, by_theta = _newton(law, goal, at, on, alike)
        size = np.maximum(np.maximum(np.abs(by_t), np.abs(by_theta)), 1e-300)
        cut = np.minimum(1.0, _LARGEST / size)
        if whole:
            t, theta = at + cut * by_t, on + cut * by_theta
        else:
            t[active], theta[active] = at + cut * by_t, on + cut * by_theta
        rough = ~(size < _CLOSE)
        left = np.count_nonzero(rough)
        if not left:
            return t, theta, active[:0]
        if left < 0.8 * len(rough):
            active, goal, law, whole, rough = active[rough], goal[rough], law.rows(rough), False, rough[rough]
    return t, theta, active[rough]


def _newton(law: _Sums, goal: np.ndarray, t: np.ndarray, theta: np.ndarray, alike: bool):
    """The steps of Newton's rule in t and in theta; with equal charges t is known."""
    sums, spread = law(t, theta, not alike)
    (B1, F, _), (B0, Cl, _), (_, A, A1) = sums.transpose(1, 2, 0)
    more = t - np.log(B1 / B0)
    if alike:
        return 0.0, -more * B1 * B0 / np.maximum(A / law.Z, 1e-300)
    A1 = A1 / law.Z
    first = (goal - np.log(F / Cl)) * F * Cl / (F + Cl)
    second = more * law.Z * B1 * B0
    det = np.minimum(-(A**2 + A1 * spread), -1e-300)
    return (A1 * second - A * first) / det, (A * second + spread * first) / det


def _in_turn(ions: Ions, e: np.ndarray, Z: float, wanted: np.ndarray, t: np.ndarray, alike: bool):
    """t and theta of melts by the way of the module's text: slower, and sure."""
    X, z = ions.X, ions.z
    low, high = -(e / z).max(axis=1), -(e / z).min(axis=1)
    theta = _theta(X, z, e, Z, t, 0.5 * (low + high), low, high)
    for _ in range(0 if alike else _STEPS):
        now = neighbours_at(ions, e, Z, t, theta)
        fluoride, chloride = ((z * X * share).sum(axis=1) for share in (now.q, now.r))
        missed = wanted - np.log(fluoride / chloride)
        along = np.maximum(now.C / np.maximum(now.A, 1e-300), -1e6)  # dtheta/dt
        slope = (now.A - now.A1 * along) * (fluoride + chloride) / (fluoride * chloride)
        step = np.clip(missed / np.maximum(slope, 1e-3), -_LARGEST, _LARGEST)
        if np.abs(step).max() < _SETTLED:
            break
        t = t + step
        theta = _theta(X, z, e, Z, t, np.clip(theta + step * along, low, high), low, high)
    return t, theta


def _theta(X, z, e, Z, t, theta, low, high) -> np.ndarray:
    """theta (N,) at which all neighbours together have the share of t: Newton's rule inside the bracket."""
    low, high = low.copy(), high.copy()
    for _ in range(_STEPS):
        u = t[:, None] - (e + z * theta[:, None]) / Z
        q, r = expit(u), expit(-u)
        fluoride, chloride = (X * q).sum(axis=1), (X * r).sum(axis=1)
        over = np.log(fluoride / chloride) - t  # too much fluoride: theta must rise
        low, high = np.where(over > 0, theta, low), np.where(over < 0, theta, high)
        slope = (z * X * q * r).sum(axis=1) / (Z * fluoride * chloride)
        moved = theta + over / np.maximum(slope, 1e-300)
        moved = np.where((moved >= low) & (moved <= high), moved, 0.5 * (low + high))
        settled = np.abs(moved - theta) < _SETTLED
        theta = moved
        if settled.all():
            break
    return theta


def neighbours_at(ions: Ions, e: np.ndarray, Z: float, t: np.ndarray, theta: np.ndarray) -> Neighbours:
    """The shares that t and theta (N,) stand for, whether or not they balance."""
    X, z = ions.X, ions.z
    w = (e + z * theta[:, None]) / Z
    u = t[:, None] - w
    q, r, b, rest = expit(u), expit(-u), expit(t), expit(-t)
    away = np.where((t < 0)[:, None], q - b[:, None], rest[:, None] - r)
    eta = q * r
    A, A1 = (X * eta) @ z, (X * eta) @ (z * z) / Z
    return Neighbours(q, r, b, rest, w, t, theta, away, A, A1, -Z * np.einsum("nc,nc,nc->n", X, away, away), eta)
