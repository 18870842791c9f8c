"""Three coefficients for every three salts: what a melt of three holds beyond its pairs, measured melts tell of.

    G^E(ijk) = x_i x_j x_k (c_i x_i + c_j x_j + c_k x_k)        c J/mol, one a corner of the triangle
Each product of four mole fractions P = x_i x_j x_k x_m, m one of the three, gives to the chemical potentials
    mu_a = dP/dx_a - 3 P                                         (degree four: sum_m x_m dP/dx_m = 4 P)
It is the usual choice for a ternary contribution that may differ from corner to corner (Pelton & Bale, Metall. Trans.
A 17 (1986) 1211, from memory). Limits: one anion; in melts of more salts every three have their own.
Worked value: c_i = c_j = c_k = 27 kJ/mol at x = 1/3 each: G^E = 1 kJ/mol.
"""

from collections.abc import Sequence
from functools import cached_property

import numpy as np


def corner_slopes(x_i, x_j, x_k, c_i, c_j, c_k):
    """What three corners give to all potentials, and then besides to each of the three: of numbers or arrays."""
    product, weight = x_i * x_j * x_k, c_i * x_i + c_j * x_j + c_k * x_k
    by_i, by_j, by_k = x_j * x_k * weight, x_i * x_k * weight, x_i * x_j * weight
    return -3 * product * weight, by_i + product * c_i, by_j + product * c_j, by_k + product * c_k


def corner_potentials(x: np.ndarray, triple: Sequence[int], corner: int) -> np.ndarray:
    """What x_i x_j x_k x_corner (coefficient 1) gives to every chemical potential: x (N, n) -> (N, n).

    triple: positions of the three salts; corner: that of one of them.
    """
    i, j, k = triple
    rest, *slopes = corner_slopes(x[:, i], x[:, j], x[:, k], *(float(m == corner) for m in triple))
    potentials = np.repeat(rest[:, None], x.shape[1], axis=1)
    for m, slope in zip(triple, slopes, strict=True):
        potentials[:, m] += slope
    return potentials


def add_corners(found: list, x: Sequence[float], at: Sequence[int], sizes: Sequence[float]) -> float:
    """Adds the slopes of three corners in one melt x (n,) to the potentials `found`; returns the rest all of them get.

    Without arrays.
    """
    i, j, k = at
    rest, by_i, by_j, by_k = corner_slopes(x[i], x[j], x[k], *sizes)
    found[i] += by_i
    found[j] += by_j
    found[k] += by_k
    return rest


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
        rest, *slopes = corner_slopes(*x.T[self._at], *self._c)
        return (self._spread @ np.concatenate(slopes) + rest.sum(axis=0)).T

    def bends(self, x: np.ndarray) -> np.ndarray:
        """Second derivatives (n, n) of the energy by the mole fractions of one melt x (n,), J/mol.

        P = x_i x_j x_k and w = sum c x: by i and i 2 c_i x_j x_k, by i and j x_k (w + c_i x_i + c_j x_j).
        """
        (x_i, x_j, x_k), (c_i, c_j, c_k) = x[self._at], self._c[:, :, 0]
        w_i, w_j, w_k = c_i * x_i, c_j * x_j, c_k * x_k
        w = w_i + w_j + w_k
        mixed = [x_k * (w + w_i + w_j), x_j * (w + w_i + w_k), x_i * (w + w_j + w_k)]
        left, right = self._bent
        half = (left * np.concatenate([*mixed, c_i * x_j * x_k, c_j * x_i * x_k, c_k * x_i * x_j])) @ right
        return half + half.T

    @cached_property
    def _bent(self) -> tuple[np.ndarray, np.ndarray]:
        """Which fractions each of them is taken by: ij, ik, jk, and half of ii, jj, kk (half is added twice)."""
        i, j, k = np.split(self._spread, 3, axis=1)
        return np.hstack([i, i, j, i, j, k]), np.hstack([j, k, k, i, j, k]).T

    @cached_property
    def _rows(self) -> list[tuple[tuple[int, ...], tuple[float, ...]]]:
        places, sizes = self._at.T.tolist(), self._c[:, :, 0].T.tolist()
        return list(zip(map(tuple, places), map(tuple, sizes), strict=True))

    def add_to(self, found: list, x: Sequence[float]) -> float:
        """As `add_corners`, of all terms."""
        return sum([add_corners(found, x, at, sizes) for at, sizes in self._rows])
