"""Melts of two anions as a liquid (system/liquid): the law of laws/two_anions fed with the interactions of one system.

At every temperature the pairs are balanced anew (laws/ion_pairs), from where they stood at the last one, and the
interactions are taken at the cations that then sit around each anion. The slope in T of the pairs is in closed form,
that of the interactions a difference along the shares' own slope. Each melt remembers its last temperature: all solids
of a melt are asked there, and within REUSED_K its potentials are straight to 1e-5 J/mol.
Limits: fluoride and chloride. Worked value: NaF-NaCl half and half as if ideal, 1000 K: -5763 J/mol each.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from thermo.equilibrium.system.liquid import ALL
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.laws import ion_pairs, two_anions
from thermo.laws.ion_pairs import Ions, Neighbours
from thermo.records.units import R

REUSED_K = 0.003
_STEP_K = 0.002  # of the difference along the slope
_WARMEST_K = 1000.0  # where the search for the pairs begins


@dataclass(frozen=True)
class IonLaws:
    """What the law needs of a system: charges z (c,), E = h + s T by rows (c, 2), melts of one anion, anion terms.

    parts: the melts of fluorides and of chlorides; anion_terms: (position of the cation, order, a, b) each; Z.
    """

    z: np.ndarray
    exchange: np.ndarray
    parts: tuple[SaltSystem, SaltSystem]
    anion_terms: Sequence[tuple[int, int, float, float]]
    Z: float

    @cached_property
    def _by_order(self) -> dict[int, np.ndarray]:
        """a and b of the anion terms of each order (2, c)."""
        found: dict[int, np.ndarray] = {}
        for cation, order, a, b in self.anion_terms:
            found.setdefault(order, np.zeros((2, len(self.z))))[:, cation] += a, b
        return found

    def reduced(self, T_K: np.ndarray) -> np.ndarray:
        """e = E / RT (N, c) at T (N,)."""
        h, s = self.exchange.T
        return (h / T_K[:, None] + s) / R

    def potentials(self, ions: Ions, T_K: np.ndarray, shifts: np.ndarray | float = 0.0) -> np.ndarray:
        """Potentials (N, 2 c) of melts at T (N,), the exchange energies moved by `shifts` (N, c), J/mol."""
        around = ion_pairs.neighbours(ions, self.reduced(T_K) + shifts / (R * T_K[:, None]), self.Z)
        return self.potentials_with(ions, T_K, around)

    def potentials_with(self, ions: Ions, T_K: np.ndarray, around: Neighbours) -> np.ndarray:
        """Potentials (N, 2 c) with these neighbours."""
        logs = R * two_anions.pair_logs(ions, around, self.Z)
        return T_K[:, None] * logs + self.interactions(ions, around, T_K)

    def interactions(self, ions: Ions, around: Neighbours, T_K: np.ndarray) -> np.ndarray:
        """What all interactions give to the potentials (N, 2 c), J/mol."""
        T = T_K[:, None]
        if len(self.z) == 1:
            of_F = of_Cl = np.zeros_like(ions.X)
        else:
            local = two_anions.local_cations(ions, around)
            melts = (part.melt_energies(X) for part, X in zip(self.parts, local, strict=True))
            of_F, of_Cl = (A + T * B for A, B in melts)
        h, slope = np.zeros((2, *around.q.shape))
        for order, (a, b) in self._by_order.items():
            size = a + T * b
            shape, rise = two_anions.anion_shape(around, order)
            h += size * shape
            slope += size * rise
        return two_anions.interactions(ions, around, of_F, of_Cl, h, slope, self.Z)


class IonLiquid:
    """Melts given by their ions, at one temperature after another."""

    def __init__(self, laws: IonLaws, ions: Ions):
        self.laws, self.ions, self._lower = laws, ions, 0.0
        count = len(ions.X)
        self.near = (
            np.log(ions.fluoride / ions.chloride),
            -(ions.X @ laws.reduced(np.array([_WARMEST_K]))[0]) / ions.mean_charge,
        )
        self._T = np.full(count, np.nan)
        self._mu, self._slope = np.empty((2, count, 2 * len(ions.z)))

    def diluted(self, logs: float) -> "IonLiquid":
        """The same melts with every potential lower by R T logs."""
        other = IonLiquid(self.laws, self.ions)
        other._lower = self._lower + R * logs
        return other

    def at(self, T_K: np.ndarray, rows=ALL) -> tuple[np.ndarray, np.ndarray]:
        """Potentials and slopes (M, 2 c) of the melts `rows` at T (M,): see Liquid."""
        away = T_K - self._T[rows]
        stale = ~(np.abs(away) <= REUSED_K)
        if stale.any():
            at = np.arange(len(self._T))[rows][stale]
            self._T[at] = T_K[stale]
            self._mu[at], self._slope[at] = self._solved(at, T_K[stale])
            away = np.where(stale, 0.0, away)
        return self._mu[rows] + away[:, None] * self._slope[rows], self._slope[rows]

    def potentials(self, T_K: float) -> np.ndarray:
        """Potentials (N, 2 c) of all melts at one T, without slopes."""
        T = np.full(len(self._T), T_K)
        around = self._settled(self.ions, ALL, T)
        return self.laws.potentials_with(self.ions, T, around) - T_K * self._lower

    def _settled(self, ions: Ions, at, T_K: np.ndarray) -> Neighbours:
        t, theta = self.near
        around = ion_pairs.neighbours(ions, self.laws.reduced(T_K), self.laws.Z, (t[at], theta[at]))
        t[at], theta[at] = around.t, around.theta
        return around

    def _solved(self, at: np.ndarray, T_K: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        laws, T = self.laws, T_K[:, None]
        ions = self.ions if len(at) == len(self._T) else self.ions.rows(at)
        around = self._settled(ions, at, T_K)
        e_slope = -laws.exchange[:, 0] / (R * T**2)
        by_T = around.answer(ions, e_slope, laws.Z)
        later_K = T_K + _STEP_K
        ahead = (value + _STEP_K * slope for value, slope in zip((around.t, around.theta), by_T, strict=True))
        later = ion_pairs.neighbours_at(ions, laws.reduced(later_K), laws.Z, *ahead)
        logs = R * two_anions.pair_logs(ions, around, laws.Z) - self._lower
        logs_slope = R * two_anions.pair_slopes(ions, around, e_slope, laws.Z)
        felt = laws.interactions(ions, around, T_K)
        rise = (laws.interactions(ions, later, later_K) - felt) / _STEP_K
        return T * logs + felt, logs + T * logs_slope + rise
