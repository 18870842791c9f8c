"""Gibbs energy of a common-anion melt: ideal mixing of the cations plus pair interactions.

    G/mol = sum x_i G_i(liquid) + R T sum x_i ln x_i + G^E
    G^E   = sum over pairs x_i x_j sum_k (a_k + b_k T) ((s_i - s_j) / (s_i + s_j))^k        (Redlich & Kister 1948)

x mole fraction of salt formulas with one cation each (so x is the cation fraction: Temkin 1945), a_k J/mol,
b_k J/(mol K). s decides how a pair speaks inside a melt of several salts: s_i = x_i (Kohler 1960), or, where salts i
and j belong to different groups, s_i = sum of the fractions of all salts of the group of i (Toop 1965; groups as in
Chartrand & Pelton 2000), or (s_i - s_j)/(s_i + s_j) replaced by x_i - x_j (Muggianu 1975). In a binary all agree.
The chemical potential is the derivative, mu_i = G + dG/dx_i - sum_m x_m dG/dx_m, taken once by sympy for one term
and compiled to numpy; the sum over terms is plain array work, so the number of salts is free.
Three salts together get one more term, with no coefficient of their own:
    G^E(ijk) = -w tanh(c w / R T_0) x_i x_j x_k,   w = |L_ik - L_jk|,   T_0 = 900 K
A cation k between two kinds of neighbours i and j sits with the one it prefers, so the melt lies below what its pairs
average to. For a weak preference that is c w^2 / R T, the first correction of any lattice theory to random mixing (for
reciprocal salts: Blander & Yosim, J. Chem. Phys. 39 (1963) 2610), with c = 1/(2 z) for z neighbours; a strong one is
satisfied once and gains w, no more. k is the salt whose group stands apart; of three alike the mean of the three
choices is taken. L: regular interaction a_0 + b_0 T at T_0. c is one number for all melts
(data/fitted/model_error.csv).
AlF3 orders so strongly that no preference is left over; its triples have coefficients of their own instead (s J/mol;
fitted, or as `expected_terms` has them):
    G^E(ijk) = s_1 x_i x_j x_k + s_2 x_i x_j x_k (x_Al - x_alkali / 3)
x_alkali being all alkali fluorides of the melt together: the second is zero on the section of the cryolites and says
how a third salt answers to AlF3 or alkali fluoride in excess.
Limits: one common anion; 0 < x; coefficients as good as the pair's data.
Worked value: L_0 = -12 kJ/mol, x = 0.5: G^E = -3000 J/mol, excess potential of each salt -3000 J/mol.
"""

from collections.abc import Sequence
from functools import cache

import numpy as np

from thermo.records.units import R

REFERENCE_K = 900.0  # T_0
METHODS = ("group", "kohler", "muggianu")
_SMALLEST = 1e-14  # keeps (s_i - s_j)/(s_i + s_j) defined where both salts are absent; the term itself is then 0


@cache
def pair_term(order: int, method: str = "group"):
    """Compiled derivatives of one pair term x_i x_j u^order.

    Returns f(x_i, x_j, s_i, s_j) -> (g, dg/dx_i, dg/dx_j, dg/ds_i, dg/ds_j), all arrays of the input's shape.
    """
    import sympy  # a third of a second, only when a melt is computed

    x_i, x_j, s_i, s_j = sympy.symbols("x_i x_j s_i s_j", positive=True)
    u = s_i - s_j if method == "muggianu" else (s_i - s_j) / (s_i + s_j)
    g = x_i * x_j * u**order
    expressions = [sympy.factor(e) for e in (g, *(sympy.diff(g, v) for v in (x_i, x_j, s_i, s_j)))]
    return sympy.lambdify((x_i, x_j, s_i, s_j), expressions, modules="numpy", cse=True)


def preference_strength(difference_J_mol: float, c: float) -> float:
    """Coefficient of x_i x_j x_k, J/mol (never positive), from the difference of the two interactions, J/mol."""
    return -difference_J_mol * float(np.tanh(c * difference_J_mol / (R * REFERENCE_K)))


@cache
def triple_term(balance: bool):
    """Compiled derivatives of g = x_i x_j x_k: f(x_i, x_j, x_k, a) -> (g, dg/dx_i, dg/dx_j, dg/dx_k, dg/da).

    balance: of x_i x_j x_k (x_k - a / 3), a the alkali fluorides together and k AlF3.
    """
    import sympy

    x = sympy.symbols("x_i x_j x_k a", positive=True)
    g = sympy.prod(x[:3]) * ((x[2] - x[3] / 3) if balance else 1)
    return sympy.lambdify(x, [g, *(sympy.diff(g, v) for v in x)], modules="numpy")


def triple_potentials(x: np.ndarray, i: int, j: int, k: int, alkalis: Sequence[int] = ()) -> np.ndarray:
    """Contribution of triple_term (coefficient 1) to every chemical potential: x (N, n) -> (N, n).

    alkalis: positions of all alkali fluorides of the melt, for the balance term; without them it is the plain one.
    """
    at, others = (i, j, k), list(alkalis)
    total = x[:, others].sum(axis=1)
    g, *slopes, by_total = triple_term(bool(others))(*(x[:, m] for m in at), total)
    common = g - sum(x[:, m] * slope for m, slope in zip(at, slopes, strict=True)) - total * by_total
    potentials = np.repeat(common[:, None], x.shape[1], axis=1)
    for m, slope in zip(at, slopes, strict=True):
        potentials[:, m] += slope
    if others:
        potentials[:, others] += np.reshape(by_total, (-1, 1))
    return potentials


class PairBasis:
    """Excess chemical potentials of a melt as linear combinations of fixed functions of composition.

    salts: formulas; groups: one group name a salt (see the module's s); terms: (i, j, order) a term, i and j positions
    in salts. A term multiplies one coefficient a + b T.
    """

    def __init__(
        self, salts: Sequence[str], groups: Sequence[str], terms: Sequence[tuple[int, int, int]], method: str = "group"
    ):
        if method not in METHODS:
            raise ValueError(f"method {method!r}: allowed are {', '.join(METHODS)}")
        self.salts = tuple(salts)
        self.terms = tuple(terms)
        self.method = method
        self._members = {
            (i, j): (self._side(i, j, groups), self._side(j, i, groups)) for i, j in {(i, j) for i, j, _ in terms}
        }

    def _side(self, i: int, j: int, groups: Sequence[str]) -> list[int]:
        """Positions of the salts whose fractions make up s_i in the pair (i, j)."""
        if self.method == "group" and groups[i] != groups[j]:
            return [m for m, group in enumerate(groups) if group == groups[i]]
        return [i]

    def term_potentials(self, x: np.ndarray, term: int) -> np.ndarray:
        """Contribution of one term (coefficient 1) to every excess chemical potential.

        x: mole fractions (N, n), rows summing to 1. Returns (N, n), dimensionless.
        """
        i, j, order = self.terms[term]
        side_i, side_j = self._members[i, j]
        x_i, x_j = np.maximum(x[:, i], _SMALLEST), np.maximum(x[:, j], _SMALLEST)
        s_i = np.maximum(x[:, side_i].sum(axis=1), _SMALLEST)
        s_j = np.maximum(x[:, side_j].sum(axis=1), _SMALLEST)
        g, by_x_i, by_x_j, by_s_i, by_s_j = pair_term(order, self.method)(x_i, x_j, s_i, s_j)
        common = g - (x_i * by_x_i + x_j * by_x_j + s_i * by_s_i + s_j * by_s_j)
        potentials = np.empty_like(x, dtype=float)
        potentials[:] = common[:, None]
        potentials[:, i] += by_x_i
        potentials[:, j] += by_x_j
        if order:
            potentials[:, side_i] += np.reshape(by_s_i, (-1, 1))
            potentials[:, side_j] += np.reshape(by_s_j, (-1, 1))
        return potentials

    def matrix(self, x: np.ndarray) -> np.ndarray:
        """All terms' contributions at once: (N, n, number of terms)."""
        if not self.terms:
            return np.zeros((*x.shape, 0))
        return np.stack([self.term_potentials(x, t) for t in range(len(self.terms))], axis=2)

    def potentials(self, x: np.ndarray, a: np.ndarray, b: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Excess chemical potentials as A + B T.

        x (N, n), a J/mol and b J/(mol K) one a term. Returns A (N, n) J/mol and B (N, n) J/(mol K).
        """
        A, B = np.zeros(x.shape), np.zeros(x.shape)
        for t in range(len(self.terms)):
            if a[t] or b[t]:
                share = self.term_potentials(x, t)
                A += a[t] * share
                B += b[t] * share
        return A, B
