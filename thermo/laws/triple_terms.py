"""Plain terms of three salts, all those of a melt at once: what a cation between two kinds of neighbours prefers.

    G^E(ijk) = s x_i x_j x_k,   s J/mol      (where s comes from: laws/mixing, after Blander & Yosim 1963)
Second derivatives: s x_k by i and j, and so round.
Limits: one anion. Worked value: s = -2700 J/mol, x = 1/3 each: G^E = -100 J/mol.
"""

from collections.abc import Sequence
from functools import cached_property

import numpy as np

from thermo.laws import mixing_derivatives as derivatives


class TripleTerms:
    """Plain terms of three salts, x_i x_j x_k each with its own coefficient, J/mol, as potentials of n salts."""

    def __init__(self, count: int, terms: Sequence[tuple[tuple[int, int, int], float]]):
        """count: number n of salts; terms: (positions, coefficient) each."""
        self._at = np.array([at for at, _ in terms], dtype=int).reshape(-1, 3).T
        self._sizes = np.array([size for _, size in terms])
        self._spread = np.hstack([np.eye(count)[:, at] * self._sizes for at in self._at])  # (n, 3 terms)

    def potentials(self, x: np.ndarray) -> np.ndarray:
        """x (N, n) -> (N, n), J/mol."""
        if not len(self._sizes):
            return np.zeros_like(x, dtype=float)
        first, second, third = x.T[self._at]
        rest, *slopes, _ = derivatives.plain_triple(first, second, third, 0.0)
        return (self._spread @ np.concatenate(slopes) + self._sizes @ rest).T

    def bends(self, x: np.ndarray) -> np.ndarray:
        """Second derivatives (n, n) of the energy by the mole fractions of one melt x (n,), J/mol."""
        first, second, third = x[self._at]
        left, right = self._bent
        half = (left * np.concatenate([third, second, first])) @ right
        return half + half.T

    @cached_property
    def _bent(self) -> tuple[np.ndarray, np.ndarray]:
        """As PairBasis has them, of x_k by x_i and x_j, and so round."""
        i, j, k = np.split(self._spread, 3, axis=1)
        one = [part != 0 for part in (j, k, k)]
        return np.hstack([i, i, j]), np.hstack(one).T.astype(float)

    @cached_property
    def _rows(self) -> list[tuple[tuple[int, int, int], float]]:
        return list(zip(zip(*self._at.tolist(), strict=True), self._sizes.tolist(), strict=True))

    def add_to(self, found: list, x: Sequence[float]) -> float:
        """Adds the slopes of one melt x (n,) to the potentials `found`; returns the rest, which all of them get."""
        total = 0.0
        for (i, j, k), size in self._rows:
            rest, by_i, by_j, by_k, _ = derivatives.plain_triple(x[i], x[j], x[k], 0.0)
            total += size * rest
            found[i] += size * by_i
            found[j] += size * by_j
            found[k] += size * by_k
        return total
