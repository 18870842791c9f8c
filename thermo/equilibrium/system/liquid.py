"""The chemical potentials of a melt against temperature, which is all that solvers ask of it.

A liquid holds N melts x (N, n) of one system and gives, at a temperature for each, mu_i - mu_i(pure liquid) of every
constituent and its slope in T:
    at(T_K (M,), rows) -> potentials (M, constituents) J/mol, slopes (M, constituents) J/(mol K)
With one anion both are straight lines, mu = A + T (R ln x + B); with two they are not (system/two_anions).
Limits: one liquid. Worked value: NaCl-KCl half and half as if ideal, 1000 K: -5763 J/mol each, slope -5.763.
"""

from functools import cached_property
from typing import Protocol

import numpy as np

from thermo.records.units import R

ALL = slice(None)


class Liquid(Protocol):
    """Melts whose potentials are wanted at one temperature after another."""

    def at(self, T_K: np.ndarray, rows=ALL) -> tuple[np.ndarray, np.ndarray]:
        """Potentials and slopes (M, constituents) of the melts `rows` at T (M,)."""

    def potentials(self, T_K: float) -> np.ndarray:
        """Potentials (N, constituents) of all melts at one T."""

    def diluted(self, logs: float) -> "Liquid":
        """The same melts with every potential lower by R T logs."""


class StraightLiquid:
    """Potentials A + T slope, both (N, n): arrays, or for one melt rows of plain numbers."""

    def __init__(self, A: np.ndarray | list[list[float]], slope: np.ndarray | list[list[float]]):
        self._given = A, slope

    @cached_property
    def A(self) -> np.ndarray:
        """Potentials at 0 K."""
        return np.asarray(self._given[0])

    @cached_property
    def slope(self) -> np.ndarray:
        """Their slopes in T."""
        return np.asarray(self._given[1])

    def at(self, T_K: np.ndarray, rows=ALL) -> tuple[np.ndarray, np.ndarray]:
        """See Liquid."""
        slope = self.slope[rows]
        return self.A[rows] + T_K[:, None] * slope, slope

    def potentials(self, T_K: float) -> np.ndarray:
        """See Liquid."""
        return self.A + T_K * self.slope

    def line(self) -> tuple[list[float], list[float]]:
        """A and slope of the first melt as plain numbers."""
        A, slope = (part[0] if isinstance(part, list) else part[0].tolist() for part in self._given)
        return A, slope

    def diluted(self, logs: float) -> "StraightLiquid":
        """See Liquid."""
        return StraightLiquid(self.A, self.slope - R * logs)
