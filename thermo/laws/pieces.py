"""A Gibbs energy in pieces by temperature, the form of every generated file of data/gibbs/.

    G(T) = c0 + c1 T + c2 T ln T + c3 T^2 + c4 T^3 + c5/T     J/mol, T in K;  S = -dG/dT
A piece is valid from its own T_lo_K up to that of the next; the first and the last go on outside.
Limits: those of the rows, which the caller knows and checks. Source of the form: the usual heat capacity
Cp = a + b T + c T^2 + d/T^2, integrated twice. Worked value: c1 = -10, c2 = -20 at 1000 K: -148155 J/mol.
"""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

COEFFICIENTS = ("c0_J_mol", "c1_J_mol_K", "c2_J_mol_K", "c3_J_mol_K2", "c4_J_mol_K3", "c5_J_K_mol")


def coefficients(row: dict[str, str]) -> tuple[float, ...]:
    """c0 ... c5 of one row."""
    return tuple(float(row[name]) for name in COEFFICIENTS)


def energy_and_slope(c, T, log_T):
    """G (J/mol) and dG/dT (J/(mol K)) of one piece c = (c0, ..., c5): of numbers, or of arrays of one shape."""
    c0, c1, c2, c3, c4, c5 = c
    per_T = c5 / T
    energy = c0 + T * (c1 + c2 * log_T + T * (c3 + c4 * T)) + per_T
    return energy, c1 + c2 * (1 + log_T) + T * (2 * c3 + 3 * c4 * T) - per_T / T


@dataclass(frozen=True)
class Pieces:
    """Pieces as arrays: breaks (K-1,) in K, coefficients (K, 6); piece k is valid from breaks[k-1] up to breaks[k]."""

    breaks: np.ndarray
    coefficients: np.ndarray

    @classmethod
    def of(cls, pieces: Iterable[tuple[float, tuple[float, ...]]]) -> "Pieces":
        """From (T_lo_K, coefficients) of each piece, low to high."""
        starts, rows = zip(*pieces, strict=True)
        return cls(np.array(starts[1:]), np.array(rows))

    @classmethod
    def of_rows(cls, rows: list[dict[str, str]]) -> "Pieces":
        """From the rows of one phase or species, low to high."""
        return cls.of((float(row["T_lo_K"]), coefficients(row)) for row in rows)

    def __call__(self, T: np.ndarray, log_T: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """G (J/mol) and dG/dT (J/(mol K)) at T, same shape."""
        if not len(self.breaks):
            return energy_and_slope(self.coefficients[0], T, log_T)
        return energy_and_slope(self.coefficients.T[:, np.searchsorted(self.breaks, T, side="right")], T, log_T)

    @cached_property
    def plain(self) -> tuple[list[float], list[list[float]]]:
        """Breaks and coefficients as plain numbers: at one temperature piece bisect_right(breaks, T) is valid."""
        return self.breaks.tolist(), self.coefficients.tolist()

    def at(self, T: float, log_T: float) -> tuple[float, float]:
        """The same at one temperature, of plain numbers."""
        breaks, pieces = self.plain
        return energy_and_slope(pieces[bisect_right(breaks, T)], T, log_T)

    def minus(self, other: "Pieces") -> "Pieces":
        """The difference of two curves, on the union of their breaks."""
        breaks = np.union1d(self.breaks, other.breaks)
        inside = np.concatenate([breaks - 1e-6, [np.inf]]) if len(breaks) else np.array([np.inf])
        mine = self.coefficients[np.searchsorted(self.breaks, inside)]
        return Pieces(breaks, mine - other.coefficients[np.searchsorted(other.breaks, inside)])
