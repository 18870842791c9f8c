"""Three coefficients for every three salts: what a melt of three holds beyond its pairs, measured melts tell of.

    G^E(ijk) = x_i x_j x_k (c_i x_i + c_j x_j + c_k x_k)        c J/mol, one a corner of the triangle
Each product of four mole fractions P = x_i x_j x_k x_m, m one of the three, gives to the chemical potentials
    mu_a = dP/dx_a - 3 P                                         (degree four: sum_m x_m dP/dx_m = 4 P)
It is the usual choice for a ternary contribution that may differ from corner to corner (Pelton & Bale, Metall. Trans.
A 17 (1986) 1211, from memory). Limits: one anion; in melts of more salts every three have their own.
Worked value: c_i = c_j = c_k = 27 kJ/mol at x = 1/3 each: G^E = 1 kJ/mol.
"""

from collections.abc import Sequence

import numpy as np


def corner_potentials(x: np.ndarray, triple: Sequence[int], corner: int) -> np.ndarray:
    """What x_i x_j x_k x_corner (coefficient 1) gives to every chemical potential: x (N, n) -> (N, n).

    triple: positions of the three salts; corner: that of one of them.
    """
    powers = {m: 2 if m == corner else 1 for m in triple}
    product = np.prod([x[:, m] ** power for m, power in powers.items()], axis=0)
    potentials = np.repeat(-3 * product[:, None], x.shape[1], axis=1)
    for m, power in powers.items():
        others = np.prod([x[:, other] ** p for other, p in powers.items() if other != m], axis=0)
        potentials[:, m] += power * x[:, m] ** (power - 1) * others
    return potentials


class CornerTerms:
    """All corner terms of a melt of n salts at once: (triple, corner, c in J/mol) each."""

    def __init__(self, count: int, terms: Sequence[tuple[Sequence[int], int, float]]):
        triples = list(dict.fromkeys(tuple(triple) for triple, _, _ in terms))
        self._at = np.array(triples, dtype=int).reshape(-1, 3).T
        self._c = np.zeros((3, len(triples), 1))
        for triple, corner, size in terms:
            self._c[list(triple).index(corner), triples.index(tuple(triple)), 0] += size
        self._spread = np.hstack([np.eye(count)[:, at] for at in self._at])  # (n, 3 triples)

    def potentials(self, x: np.ndarray) -> np.ndarray:
        """x (N, n) -> (N, n), J/mol."""
        if not self._at.size:
            return np.zeros_like(x, dtype=float)
        x_i, x_j, x_k = corners = x.T[self._at]
        product = x_i * x_j * x_k
        weight = (self._c * corners).sum(axis=0)
        slopes = np.stack([x_j * x_k, x_i * x_k, x_i * x_j]) * weight + product * self._c
        return (self._spread @ slopes.reshape(-1, x.shape[0]) - 3 * (product * weight).sum(axis=0)).T
