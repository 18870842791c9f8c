"""What each thing that a melt of two anions rests on does to its potentials, at one melt and temperature.

    d mu / d(term of a pair), d mu / d(ternary term), d mu / dE_i, d mu / dZ          each (2 c,), J/mol a unit
The law is linear in the first two: they are its interactions with a unit in one place. The last two are differences.
Everything is worked out once for all salts of the melt, whatever weights they are then asked with.
Limits: one melt, fluoride and chloride. Worked value: one cation: d mu / dE = 0.
"""

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np

from thermo.equilibrium.system.ion_liquid import IonLaws
from thermo.laws import two_anions
from thermo.laws.ion_pairs import Ions, neighbours

FLUORIDES, CHLORIDES = 0, 1
_NUDGE_J_mol, _NUDGE_Z = 20.0, 0.02


class MeltAt:
    """One melt by its ions (of one row) at one temperature; `local` (2, c): cation fractions around each anion."""

    def __init__(self, laws: IonLaws, ions: Ions, T_K: float):
        self.laws, self.ions, self.T_K = laws, ions, T_K
        self.around = neighbours(ions, laws.reduced(np.array([T_K])), laws.Z)
        self.local = np.vstack(two_anions.local_cations(ions, self.around))

    def of_melts(self, rows: Sequence[tuple[int, np.ndarray]]) -> np.ndarray:
        """What excess potentials (c,) of the melt of one anion, FLUORIDES or CHLORIDES, give to all: (K, 2 c)."""
        of_F, of_Cl, nothing = np.zeros((3, len(rows), len(self.laws.z)))
        for n, (side, row) in enumerate(rows):
            (of_Cl if side else of_F)[n] = row
        return two_anions.interactions(self.ions, self.around, of_F, of_Cl, nothing, nothing, self.laws.Z)

    def of_anions(self, terms: Sequence[tuple[int, int]]) -> np.ndarray:
        """What a unit of these terms of one cation's pair, (position of the cation, order), gives: (K, 2 c)."""
        h, slope, nothing = np.zeros((3, len(terms), len(self.laws.z)))
        for n, (cation, order) in enumerate(terms):
            shape, rise = two_anions.anion_shape(self.around, order)
            h[n, cation], slope[n, cation] = shape[0, cation], rise[0, cation]
        return two_anions.interactions(self.ions, self.around, nothing, nothing, h, slope, self.laws.Z)

    @cached_property
    def by_exchange(self) -> np.ndarray:
        """d mu / dE of every cation (c, 2 c), by differences."""
        count = len(self.laws.z)
        many, T_K = self.ions.rows(np.zeros(2 * count, dtype=int)), np.full(2 * count, self.T_K)
        mu = self.laws.potentials(many, T_K, _NUDGE_J_mol * np.vstack([np.eye(count), -np.eye(count)]))
        return (mu[:count] - mu[count:]) / (2 * _NUDGE_J_mol)

    @cached_property
    def by_neighbours(self) -> np.ndarray:
        """d mu / dZ (2 c,), J/mol, by differences."""
        more, less = (replace(self.laws, Z=self.laws.Z + step) for step in (_NUDGE_Z, -_NUDGE_Z))
        rise, fall = (laws.potentials(self.ions, np.array([self.T_K]))[0] for laws in (more, less))
        return (rise - fall) / (2 * _NUDGE_Z)
