"""Driving forces of all solids at one melt and temperature with their slopes by composition and temperature.

    D_s(x, T) with dD_s/dx = sum_i w_i dmu_i/dx and dD_s/dT        w: mole fractions of the salts in the solid
A solid solution takes its best composition at each point, so that D needs no dw/dx (envelope theorem); each salt whose
crystal it is gives a side of its own, since the two sides of a miscibility gap are two solids.
dmu/dx by differences of 1e-7 in x: good to 1e-4 J. Limits: x > 1e-6.
Worked value: pure NaCl at 1000 K, below its melting point of 1073.8 K: D = 1923 J/mol, dD/dT = -25.8 J/(mol K).
"""

import numpy as np

from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.interface import System
from thermo.equilibrium.system.solids import solid_weights
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import FixedSolid, Solid

_DX = 1e-7
_FIRST_FORCE = 30.0  # J/(mol K): entropy of a solid whose slope is not known to be larger
_ROUNDS = 12  # at most, of the composition of a solid solution
Side = tuple[Solid, int | None]  # a solid and, for one side of a solid solution, that side's member


def all_sides(system: System) -> list[Side]:
    """Every solid of the system, a solution once for each salt whose crystal it is: each side is a smooth T_s(x)."""
    sides: list[Side] = []
    for solid in system.solids:
        if isinstance(solid, SolutionSolid) and len(solid.natives) > 1:
            sides += [(solid, member) for member in solid.natives]
        else:
            sides.append((solid, None))
    return sides


class Forces:
    """Driving forces of all sides and their slopes at v = (x_1 ... x_(n-1), T / 1000 K), for a search for T."""

    def __init__(self, system: System):
        self.system, self.sides = system, all_sides(system)
        count, solids = len(system.constituents), [solid for solid, _ in self.sides]
        self._all = tuple(range(count))
        mixed = dict.fromkeys(solid for solid in system.solids if isinstance(solid, SolutionSolid))
        self._solutions = [(solid, [n for n, other in enumerate(solids) if other is solid]) for solid in mixed]
        self._weights = np.zeros((len(solids), count))  # mole fractions of the salts in each side
        self._formed = np.zeros((2, len(solids)))  # energy of formation at 0 K and its slope, a mole of salts
        for n, solid in enumerate(solids):
            if isinstance(solid, FixedSolid):
                self._weights[n] = solid_weights(solid, count, None)
                self._formed[:, n] = solid.energy_and_slope(0.0)
        self.members: list[np.ndarray | None] = [None] * len(solids)  # composition of each solution
        self._scale: np.ndarray | None = None
        self._seen: dict[bytes, tuple[np.ndarray, np.ndarray]] = {}

    def __call__(self, v: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """-D (sides,) and its slopes by v (sides, n), each over an entropy of its own and 1000 K."""
        key = v.tobytes()
        if key not in self._seen:
            self._seen = {key: self._computed(v)}
        return self._seen[key]

    def _computed(self, v: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        T_K, free = 1000 * v[-1], v[:-1]
        melts = Melts(self.system, full_fractions(np.vstack([free, free + _DX * np.eye(len(free))])))
        D, by_T = self.at(melts, T_K)
        mu = melts.potentials(T_K)
        by_x = self._weights @ ((mu[1:] - mu[0]) / _DX).T
        if self._scale is None:
            self._scale = 1000 * np.maximum(-by_T, _FIRST_FORCE)
        return -D / self._scale, -np.column_stack([by_x, 1000 * by_T]) / self._scale[:, None]

    def at(self, melts: Melts, T_K: float) -> tuple[np.ndarray, np.ndarray]:
        """D (J/mol) and dD/dT of every side at the first melt of `melts`; sets what the solutions are made of."""
        T = np.array([T_K])
        forces, slopes = (part[0] for part in melts.salt_forces(T, self._all, slice(0, 1)))
        formed, formed_slope = self._formed
        D = self._weights @ forces - formed - T_K * formed_slope
        by_T = self._weights @ slopes - formed_slope
        for solid, sides in self._solutions:
            D[sides], by_T[sides] = self._solution(solid, sides, forces, slopes, T)
        return D, by_T

    def _solution(
        self, solid: SolutionSolid, sides: list[int], forces: np.ndarray, slopes: np.ndarray, T: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """Of all sides of one solution at once: an array of one costs as much as one of three."""
        index, count = list(solid.indices), len(sides)
        members = solid.member_forces(forces[None, index], T)
        start = np.vstack([solid.grid_start(members, T, self.sides[n][1]) for n in sides])
        own, by_T = (np.repeat(part[None, index], count, axis=0) for part in (forces, slopes))
        D, slope, y = solid.best(own, by_T, np.repeat(T, count), start, None, _ROUNDS)
        for n, composition in zip(sides, start if y is None else y, strict=True):
            self.members[n], self._weights[n, index] = composition[None, :], solid.shares(composition)
        return D, slope


def full_fractions(free: np.ndarray) -> np.ndarray:
    """All mole fractions (N, n) from the first n - 1 (N, n - 1), kept inside the triangle."""
    x = np.clip(np.column_stack([free, 1 - free.sum(axis=1)]), 1e-7, 1.0)
    return x / x.sum(axis=1, keepdims=True)
