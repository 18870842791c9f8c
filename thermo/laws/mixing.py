"""Gibbs energy of a common-anion melt: ideal mixing of the cations plus pair interactions.

    G/mol = sum x_i G_i(liquid) + R T sum x_i ln x_i + G^E
    G^E   = sum over pairs x_i x_j sum_k (a_k + b_k T) ((s_i - s_j) / (s_i + s_j))^k        (Redlich & Kister 1948)

x mole fraction of salt formulas with one cation each (so x is the cation fraction: Temkin 1945), a_k J/mol,
b_k J/(mol K). s says at what composition a pair is taken inside a melt of several salts: s_i = x_i (Kohler 1960), or,
where salts i and j belong to different groups, s_i = sum of the fractions of all salts of the group of i (Toop 1965;
groups as in Chartrand & Pelton 2000), or (s_i - s_j)/(s_i + s_j) replaced by x_i - x_j (Muggianu 1975). In a binary
all agree.
The chemical potential is the derivative, mu_i = G + dG/dx_i - sum_m x_m dG/dx_m, taken once by sympy for one pair
(laws/mixing_derivatives, a generated module). All pairs of a melt are summed at once: the polynomial of each by
Horner's rule, then two products of matrices, so the number of salts is free.
Three salts together get one more term, with no coefficient of their own:
    G^E(ijk) = -w tanh(c w / R T_0) x_i x_j x_k,   w = |L_ik - L_jk|,   T_0 = 900 K
A cation k between two kinds of neighbours i and j sits with the one it prefers, so the melt lies below what its pairs
average to. For a weak preference that is c w^2 / R T, the first correction of any lattice theory to random mixing (for
reciprocal salts: Blander & Yosim, J. Chem. Phys. 39 (1963) 2610), with c = 1/(2 z) for z neighbours; a strong one
saturates at w. k is the salt whose group stands apart; of three alike the mean of the three
choices is taken. L: regular interaction a_0 + b_0 T at T_0. c is one number for all melts
(data/fitted/model_error.csv).
AlF3 orders so strongly that this term does not describe it; its triples have coefficients of their own (s J/mol;
fitted, or as `expected_terms` has them):
    G^E(ijk) = s_1 x_i x_j x_k + s_2 x_i x_j x_k (x_Al - x_alkali / 3)
x_alkali being all alkali fluorides of the melt together: the second is zero on the section of the cryolites and says
how the interaction of a third salt changes with an excess of AlF3 or of alkali fluoride.
Limits: one common anion; 0 < x; coefficients as good as the pair's data.
Worked value: L_0 = -12 kJ/mol, x = 0.5: G^E = -3000 J/mol, excess potential of each salt -3000 J/mol.
"""

from collections.abc import Iterable, Sequence
from functools import cached_property

import numpy as np

from thermo.laws import mixing_derivatives as derivatives
from thermo.records.remembered import remembered
from thermo.records.units import R

REFERENCE_K = 900.0  # T_0
Row = tuple[tuple[int, int], tuple[tuple[int, ...], tuple[int, ...]] | None, complex, tuple[complex, ...]]
METHODS = ("group", "kohler", "muggianu")
_SMALLEST = 1e-14  # keeps (s_i - s_j)/(s_i + s_j) defined where both salts are absent; the term itself is then 0
_FEW_PAIRS = 3  # quicker one by one
_BENT_BY = [tuple(words.split()) for words in derivatives.BENT_BY]
_CACHED = 1024  # melts at a time: their arrays stay in the processor's cache


def preference_strength(difference_J_mol: float, c: float) -> float:
    """Coefficient of x_i x_j x_k, J/mol (never positive), from the difference of the two interactions, J/mol."""
    return -difference_J_mol * float(np.tanh(c * difference_J_mol / (R * REFERENCE_K)))


def triple_potentials(x: np.ndarray, i: int, j: int, k: int, alkalis: Sequence[int] = ()) -> np.ndarray:
    """What x_i x_j x_k (coefficient 1) gives to every chemical potential: x (N, n) -> (N, n).

    alkalis: positions of all alkali fluorides of the melt, k being AlF3: then of x_i x_j x_k (x_k - a / 3).
    """
    at, others = (i, j, k), list(alkalis)
    law = derivatives.balance_triple if others else derivatives.plain_triple
    rest, *slopes, by_total = law(x[:, i], x[:, j], x[:, k], x[:, others].sum(axis=1))
    potentials = np.repeat(rest[:, None], x.shape[1], axis=1)
    for m, slope in zip(at, slopes, strict=True):
        potentials[:, m] += slope
    if others:
        potentials[:, others] += np.reshape(by_total, (-1, 1))
    return potentials


def add_triple(found: list, x: Sequence[float], at: Sequence[int], size: float, alkalis: Sequence[int] = ()) -> float:
    """`triple_potentials` of one melt x (n,) times `size`, without arrays.

    Adds the slopes to the potentials `found` and returns the rest, which all of them get.
    """
    i, j, k = at
    law = derivatives.balance_triple if alkalis else derivatives.plain_triple
    rest, by_i, by_j, by_k, by_total = law(x[i], x[j], x[k], sum([x[m] for m in alkalis]))
    found[i] += size * by_i
    found[j] += size * by_j
    found[k] += size * by_k
    for m in alkalis:
        found[m] += size * by_total
    return size * rest


def _horner(polynomial, u):
    """Value, slope and second derivative at u of a polynomial, its highest coefficient first: of numbers or arrays."""
    p, *lower = polynomial
    dp = ddp = 0.0 * p
    for coefficient in lower:
        ddp = ddp * u + 2 * dp
        dp = dp * u + p
        p = p * u + coefficient
    return p, dp, ddp


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
        self.pairs = tuple(dict.fromkeys((i, j) for i, j, _ in terms))
        self._orders = 1 + max((order for *_, order in terms), default=0)
        self._i, self._j = np.array(self.pairs, dtype=int).reshape(-1, 2).T
        sides = [(self._side(i, j, groups), self._side(j, i, groups)) for i, j in self.pairs]
        one = np.eye(len(self.salts))
        self._sides = [(tuple(side_i), tuple(side_j)) for side_i, side_j in sides]
        self._sums = np.zeros((2 * len(self.pairs), len(self.salts)))  # which fractions make up s_i, then s_j
        for p, (side_i, side_j) in enumerate(sides):
            self._sums[p, side_i] = self._sums[len(self.pairs) + p, side_j] = 1.0
        self._spread = np.hstack([one[:, self._i], one[:, self._j], self._sums.T])  # of four derivatives over n salts
        muggianu = method == "muggianu"
        self._difference = derivatives.muggianu_difference if muggianu else derivatives.group_difference
        self._pair = derivatives.muggianu_pair if muggianu else derivatives.group_pair
        self._bends = derivatives.muggianu_bends if muggianu else derivatives.group_bends

    def _side(self, i: int, j: int, groups: Sequence[str]) -> list[int]:
        """Positions of the salts whose fractions make up s_i in the pair (i, j)."""
        if self.method == "group" and groups[i] != groups[j]:
            return [m for m, group in enumerate(groups) if group == groups[i]]
        return [i]

    def table(self, *coefficients: np.ndarray) -> np.ndarray:
        """Coefficients of the terms, one array (terms,) each, as polynomials: (orders, arrays, pairs, 1)."""
        table = np.zeros((self._orders, len(coefficients), len(self.pairs), 1))
        for (i, j, order), *values in zip(self.terms, *coefficients, strict=True):
            table[order, :, self.pairs.index((i, j)), 0] += values
        return table

    def evaluate(self, x: np.ndarray, table: np.ndarray) -> np.ndarray:
        """Excess potentials for each array of coefficients in a table: x (N, n) -> (arrays, N, n)."""
        arrays = table.shape[1]
        found = np.zeros((arrays, *x.shape))
        for start in range(0, len(x) if self.pairs else 0, _CACHED):
            self._evaluate(x[start : start + _CACHED], table, found[:, start : start + _CACHED])
        return found

    def _evaluate(self, x: np.ndarray, table: np.ndarray, found: np.ndarray) -> None:
        x = x.T
        x_i, x_j = np.maximum(x[self._i], _SMALLEST), np.maximum(x[self._j], _SMALLEST)
        s_i, s_j = np.maximum(self._sums @ x, _SMALLEST).reshape(2, len(self.pairs), -1)
        u = self._difference(s_i, s_j)
        p, dp = table[-1], np.zeros_like(table[-1])
        for coefficients in table[-2::-1]:  # Horner, the slope along with the value
            dp = dp * u + p
            p = p * u + coefficients
        rest, *slopes = self._pair(x_i, x_j, s_i, s_j, p, dp)
        for part in range(len(found)):
            of_part = np.concatenate([slope[part] for slope in slopes])
            found[part] = (self._spread @ of_part + rest[part].sum(axis=0)).T

    def bends(self, x: np.ndarray, table: np.ndarray, T_K: float) -> np.ndarray:
        """Second derivatives (n, n) of G^E by the mole fractions of one melt x (n,), with a table of a and b.

        G^E being taken as the function of all n of them that the module's text gives.
        """
        if not self.pairs:
            return np.zeros((len(x), len(x)))
        coefficients = table[::-1, 0, :, 0] + T_K * table[::-1, 1, :, 0]
        if len(self.pairs) <= _FEW_PAIRS:
            return self._bends_of_few(x.tolist(), coefficients.T.tolist())
        x_i, x_j = np.maximum(x[self._i], _SMALLEST), np.maximum(x[self._j], _SMALLEST)
        s_i, s_j = np.maximum(self._sums @ x, _SMALLEST).reshape(2, -1)
        left, right = self._bent
        size = np.concatenate(self._bends(x_i, x_j, s_i, s_j, *_horner(coefficients, self._difference(s_i, s_j))))
        half = (left * size) @ right
        return half + half.T

    def _bends_of_few(self, x: list[float], coefficients: list[list[float]]) -> np.ndarray:
        """`bends` of one pair after another, in plain numbers; coefficients of each pair, the highest order first."""
        half = [[0.0] * len(x) for _ in x]
        for (i, j), (side_i, side_j), polynomial in zip(self.pairs, self._sides, coefficients, strict=True):
            x_i, x_j = max(x[i], _SMALLEST), max(x[j], _SMALLEST)
            s_i, s_j = (max(sum([x[m] for m in side]), _SMALLEST) for side in (side_i, side_j))
            found = self._bends(x_i, x_j, s_i, s_j, *_horner(polynomial, self._difference(s_i, s_j)))
            parts = {"x_i": (i,), "x_j": (j,), "s_i": side_i, "s_j": side_j}
            for (v, w), size in zip(_BENT_BY, found, strict=True):
                for m in parts[v]:
                    for n in parts[w]:
                        half[m][n] += 0.5 * size if v == w else size
        both = np.array(half)
        return both + both.T

    @cached_property
    def _bent(self) -> tuple[np.ndarray, np.ndarray]:
        """Which fractions the variables of each second derivative are made of, (n, 8 P) and (8 P, n).

        What is taken twice by one variable counts half, as both matrices are added the other way round.
        """
        one = np.eye(len(self.salts))
        s_i, s_j = np.split(self._sums.T, 2, axis=1)
        parts = {"x_i": one[:, self._i], "x_j": one[:, self._j], "s_i": s_i, "s_j": s_j}
        left = [parts[v] * (0.5 if v == w else 1.0) for v, w in _BENT_BY]
        return np.hstack(left), np.hstack([parts[w] for _, w in _BENT_BY]).T

    def rows(self, a: Sequence[float], b: Sequence[float]) -> list[Row]:
        """The coefficients of every pair for `add_to`, a and b one a term: a + b T is kept as a + i b."""
        table = self.table(np.array(a), np.array(b))
        both = (table[::-1, 0, :, 0] + 1j * table[::-1, 1, :, 0]).T.tolist()
        return [self._row(p, row[next(k for k, c in enumerate(row) if c) :]) for p, row in enumerate(both) if any(row)]

    def _row(self, p: int, polynomial: Sequence[complex]) -> Row:
        sides = None if max(map(len, self._sides[p])) == 1 else self._sides[p]  # each salt stands for itself
        return self.pairs[p], sides, polynomial[0], tuple(polynomial[1:])

    def add_to(self, found: list, x: Sequence[float], rows: Iterable[Row]) -> complex:
        """Adds the slopes of one melt x (n,) to the potentials `found`; returns the rest, which all of them get.

        Without arrays: the same derivatives, one pair after another. They are linear in the coefficients, so the one
        number a + i b carries A + i B through all of them.
        """
        total, own = 0j, [part if part > _SMALLEST else _SMALLEST for part in x]
        for (i, j), sides, value, lower in rows:
            if sides is None:
                s_i, s_j = own[i], own[j]
            else:
                s_i, s_j = (max(sum([x[m] for m in side]), _SMALLEST) for side in sides)
            u, slope = self._difference(s_i, s_j), 0j
            for coefficient in lower:
                slope = slope * u + value
                value = value * u + coefficient
            rest, by_i, by_j, by_s_i, by_s_j = self._pair(own[i], own[j], s_i, s_j, value, slope)
            total += rest
            if sides is None:
                found[i] += by_i + by_s_i
                found[j] += by_j + by_s_j
                continue
            found[i] += by_i
            found[j] += by_j
            for side, by_s in zip(sides, (by_s_i, by_s_j), strict=True):
                for m in side:
                    found[m] += by_s
        return total

    def term_potentials(self, x: np.ndarray, term: int) -> np.ndarray:
        """Contribution of one term (coefficient 1) to every excess chemical potential.

        x: mole fractions (N, n), rows summing to 1. Returns (N, n), dimensionless.
        """
        return self.evaluate(x, self._ones[:, term : term + 1])[0]

    @cached_property
    def _ones(self) -> np.ndarray:
        """The table of every term alone with coefficient 1."""
        return self.table(*np.eye(len(self.terms)))

    def matrix(self, x: np.ndarray) -> np.ndarray:
        """All terms' contributions at once: (N, n, number of terms)."""
        if not self.terms:
            return np.zeros((*x.shape, 0))
        if len(x) == 1:
            return np.array([[self._alone(x[0].tolist(), row) for row in self._unit_rows]]).transpose(0, 2, 1)
        return np.moveaxis(self.evaluate(x, self._ones), 0, 2)

    @cached_property
    def _unit_rows(self) -> list[Row]:
        """Every term alone with coefficient 1, for one melt."""
        return [self._row(self.pairs.index((i, j)), [1.0] + [0.0] * order) for i, j, order in self.terms]

    def _alone(self, x: list[float], row: Row) -> list[float]:
        found: list[float] = [0.0] * len(x)
        rest = self.add_to(found, x, (row,)).real
        return [value.real + rest for value in found]

    def potentials(self, x: np.ndarray, a: np.ndarray, b: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Excess chemical potentials as A + B T.

        x (N, n), a J/mol and b J/(mol K) one a term. Returns A (N, n) J/mol and B (N, n) J/(mol K).
        """
        A, B = self.evaluate(x, self.table(a, b))
        return A, B


@remembered
def pair_basis(
    salts: tuple[str, ...], groups: tuple[str, ...], terms: tuple[tuple[int, int, int], ...], method: str
) -> PairBasis:
    """The basis of these terms, made once: a fit asks for the same one with other coefficients again and again."""
    return PairBasis(salts, groups, terms, method)
