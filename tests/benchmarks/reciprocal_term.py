"""Would a term of its own for every pair of cations better the melts of two anions? Points, sources, systems left out.

    G = sum over pairs of cations of L_ij X_i X_j s(q_i, q_j),   L_ij ~ N(0, s_L),   zero with one anion or one cation
`local`: s = q_i r_j + q_j r_i, how often neighbours of i and j differ; `order`: s = q_i - q_j, an energy of exchange of
the pair's own; `own`: s = q_i r_i + q_j r_j; `mean`: p (1 - p) of p = (q_i + q_j) / 2; `plain`: Y_F Y_Cl of the melt.
D is linear in L (the pairs follow the pure salts). L is updated by the published melts of its pair; s_L, what the law
misses of an energy of exchange and a floor of what neighbours disagree by: by marginal likelihood. Noise: the fitted
pairs (shared by melts of one system), the tabulated energies, Z, and the published temperature and place.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from scipy.optimize import OptimizeResult, minimize

from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.ion_slopes import MeltAt
from thermo.equilibrium.system.solids import solid_weights
from thermo.equilibrium.system.two_anions import NEIGHBOURS_SIGMA, ReciprocalSystem
from thermo.fitting.two_anion_error import Residual, mean_square_root, residuals, solid_called, system_of, with_spreads
from thermo.laws import two_anions

SHAPES = ("local", "order", "own", "mean", "plain")
SEVERAL_MELTS = ("Li,Na", "Li,K", "Na,K", "Li,Ca", "Li,Na,K")
_STARTS = ((8.0, 7.0, 6.0), (9.0, 4.0, 6.0), (7.0, 2.0, 5.0))  # logs of s_L and the two errors, J/mol


@dataclass(frozen=True)
class Row:
    """One named solid: where it stands, dD/dL by shape and pair of cations, dD by all fitted things with their C."""

    residual: Residual
    system: ReciprocalSystem
    by_L: dict[tuple[str, frozenset], float]
    vector: dict[Hashable, float]

    @property
    def melt(self) -> Hashable:
        """What its errors of temperature are shared with."""
        return self.residual.melt.salts, self.residual.melt.fractions, self.residual.melt.T_K


def _shape(system: ReciprocalSystem, melt: MeltAt, pair: tuple[int, int], shape: str) -> tuple[float, float, float]:
    """s and its derivatives by q_i and q_j."""
    (i, j), q, r = pair, melt.around.q[0], melt.around.r[0]
    if shape == "local":
        return q[i] * r[j] + q[j] * r[i], r[j] - q[j], r[i] - q[i]
    if shape == "order":
        preference = system.exchange_energies(1000.0) / melt.laws.z
        sign = float(np.sign(preference[j] - preference[i]))
        return sign * (q[i] - q[j]), sign, -sign
    if shape == "own":
        return q[i] * r[i] + q[j] * r[j], r[i] - q[i], r[j] - q[j]
    p = 0.5 * (q[i] + q[j])
    return p * (1 - p), 0.5 - p, 0.5 - p


def gradient(system: ReciprocalSystem, melt: MeltAt, weights: np.ndarray, pair: tuple[int, int], shape: str) -> float:
    """d(weights . mu)/dL of these cations."""
    ions, (i, j) = melt.ions, pair
    X, z, F, Cl = ions.X[0], ions.z, ions.fluoride[0], ions.chloride[0]
    s, by_i, by_j = (F * Cl, 0.0, 0.0) if shape == "plain" else _shape(system, melt, pair, shape)
    own = np.full(len(z), -X[i] * X[j] * s)
    own[[i, j]] += X[[j, i]] * s
    if shape == "plain":
        trade = X[i] * X[j] * (Cl - F) * z / (X @ z)
        return float(weights @ np.concatenate([own + trade * Cl, own - trade * F]))
    slope, none = np.zeros((2, 1, len(z)))
    slope[0, i], slope[0, j] = X[j] * by_i, X[i] * by_j
    return float(
        (two_anions.interactions(ions, melt.around, none, none, own[None, :], slope, melt.laws.Z) @ weights)[0]
    )


def _row(one: Residual) -> Row:
    system, x, T_K = system_of(one.melt.salts), np.array(one.melt.fractions), one.melt.T_K
    called = solid_called(system, one.solid)
    if called is None:
        raise ValueError(one.solid)
    _, _, y = Melts(system, x[None, :]).driving_force(called[0], np.array([T_K]), near=called[1])
    own = None if y is None else y[0]
    melt, weights = (
        MeltAt(system.laws, system.ions(x[None, :]), T_K),
        solid_weights(called[0], len(system.constituents), own),
    )
    by_L = {
        (shape, frozenset(system.cations[k] for k in pair)): gradient(system, melt, weights, pair, shape)
        for pair in combinations(range(len(system.cations)), 2)
        for shape in SHAPES
    }
    gradients = system.parameter_gradient(called[0], x, T_K, own)
    vector = system.vector(gradients, system.fusion_errors(called[0], T_K, own)).tolist()
    return Row(one, system, by_L, dict(zip(system.keys, vector, strict=True)))


class Trial:
    """All named solids, left out of all fits, with the covariance of their noise (k, k)."""

    def __init__(self) -> None:
        self.rows = [_row(one) for one in with_spreads(residuals())]
        self.D = np.array([row.residual.D for row in self.rows])
        self.pairs = list(dict.fromkeys(pair for row in self.rows for _, pair in row.by_L))
        cations = list(dict.fromkeys(c for row in self.rows for c in row.system.cations))
        by_E, self.by_charge = np.zeros((2, len(self.rows), len(cations)))
        for n, row in enumerate(self.rows):
            at = [cations.index(c) for c in row.system.cations]
            by_E[n, at], self.by_charge[n, at] = row.residual.by_E, row.residual.by_charge
        by_Z = NEIGHBOURS_SIGMA * np.array([row.residual.by_Z for row in self.rows])
        place = np.array([row.residual.by_place for row in self.rows])
        self.known = by_E @ by_E.T + np.outer(by_Z, by_Z) + np.diag(place**2)
        for a, b in np.ndindex(self.known.shape):
            self.known[a, b] += self._shared(self.rows[a], self.rows[b])

    @staticmethod
    def _shared(a: Row, b: Row) -> float:
        """Covariance by the fitted pairs and the published temperature."""
        both = 0.0
        if a.melt == b.melt:
            both += a.residual.slope * b.residual.slope * a.residual.melt.T_sigma_K**2
        if set(a.vector) == set(b.vector):
            keys = a.system.keys
            first, second = (np.array([row.vector[key] for key in keys]) for row in (a, b))
            both += float(first @ a.system._together @ second)
        return both

    def gradients(self, shape: str, without: str) -> np.ndarray:
        """dD/dL (k, pairs), nothing by the pair `without`."""
        left = frozenset(without.split(","))
        return np.array([[row.by_L.get((shape, p), 0.0) * (p != left) for p in self.pairs] for row in self.rows])

    def noise(self, exchange_J_mol: float, floor_J_mol: float) -> np.ndarray:
        """Covariance of D with these errors of the law."""
        law = exchange_J_mol**2 * self.by_charge @ self.by_charge.T
        return self.known + law + floor_J_mol**2 * np.eye(len(self.D))

    def best(self, G: np.ndarray) -> OptimizeResult:
        """Logs of s_L and of the two errors by marginal likelihood; fun: minus its logarithm, but for a constant."""

        def minus(logs: np.ndarray) -> float:
            total = self.noise(*np.exp(logs[1:])) + np.exp(2 * logs[0]) * G @ G.T
            return 0.5 * float(np.linalg.slogdet(total)[1] + self.D @ np.linalg.solve(total, self.D))

        found = [minimize(minus, start, method="Nelder-Mead", options={"maxiter": 3000}) for start in _STARTS]
        return min(found, key=lambda one: one.fun)

    def left(self, G: np.ndarray, sizes: np.ndarray, groups: Sequence[Hashable]) -> list[Residual]:
        """D after the update, that of the rows of each group from all other rows; a group of None from all."""
        s_L, noise, after = sizes[0], self.noise(*sizes[1:]), self.D.copy()
        for group in dict.fromkeys(groups):
            of = np.array([own == group for own in groups])
            use = np.full(len(of), True) if group is None else ~of
            g = G[use]
            L = s_L**2 * g.T @ np.linalg.solve(s_L**2 * g @ g.T + noise[np.ix_(use, use)], -self.D[use])
            after[of] += G[of] @ L
        return [replace(row.residual, D=float(D)) for row, D in zip(self.rows, after, strict=True)]


def show() -> None:
    """The table."""
    trial = Trial()
    melts = [row.residual.melt for row in trial.rows]
    ways: dict[str, list] = {
        "as fitted": [None] * len(melts),
        "points left out": [row.melt for row in trial.rows],
        "sources": [(melt.system, melt.source) for melt in melts],
        "systems": [melt.system for melt in melts],
    }
    nothing = trial.best(trial.gradients("none", "")).fun
    print(f"a term for each pair of cations, rms of D, J/mol; without "
          f"{mean_square_root([row.residual for row in trial.rows]):.0f}")  # fmt: skip
    for shape in SHAPES:
        for without in ("", "Na,K"):
            G = trial.gradients(shape, without)
            best = trial.best(G)
            print(f"  {shape}{f', none for {without}' if without else ''}: s_L {np.exp(best.x[0]):.0f}, "
                  f"logarithm of the likelihood {nothing - best.fun:+.1f}")  # fmt: skip
            for words, groups in ways.items():
                left = trial.left(G, np.exp(best.x), groups)
                by_system = {name: [one for one in left if one.melt.system == name] for name in SEVERAL_MELTS}
                own = ", ".join(f"{name} {mean_square_root(rows) / 1000:.2f}" for name, rows in by_system.items())
                print(f"    {words}: {mean_square_root(left):.0f} ({own})")
