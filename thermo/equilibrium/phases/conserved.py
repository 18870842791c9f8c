"""What stays the same while a melt freezes, and where every solid salt stands: salts of one anion, or ions of two.

With one anion no salt can turn into another: the amounts of the salts are conserved. With two anions salts exchange
ions, so the amounts of the ions are conserved instead: m cations and the fluoride, m + 1 numbers; chloride follows from
the charges. A salt counts by its row,
    MCl_z: one M          MF_z: one M, z F
and the potential of a salt is that of its row: pi(MCl_z) = pi_M, pi(MF_z) = pi_M + z pi_F, with pi_F the potential of a
fluoride in a chloride's place. A mole of salt formulas is a mole of cations.
Solid salts stand at zero where nothing can be exchanged; else, E_i(T) = G(liquid MF_z) - G(liquid MCl_z):
    chloride 0,   fluoride E_i - z_i E_0 - (fusion of MF_z) + (fusion of MCl_z)       E_0 = mean of E_i / z_i
E_0 only moves pi_F.
Limits: up to two anions. Worked value: half a mole each of LiF and KCl: Li 0.5, K 0.5, F 0.5, as of LiCl and KF.
"""

import numpy as np

from thermo.equilibrium.system.interface import System
from thermo.equilibrium.system.two_anions import ReciprocalSystem


class SaltComponents:
    """One anion: every salt is conserved."""

    def __init__(self, system: System):
        self.system = system
        self.rows = np.eye(len(system.salts))

    def levels(self, T_K: float) -> np.ndarray:
        """Gibbs energy of every solid salt (n,), J/mol."""
        return np.zeros(len(self.rows))

    def start(self, mix: np.ndarray) -> np.ndarray:
        """Salts (n,) that make up any mix (n,) with amounts >= 0."""
        return np.arange(len(mix))


class IonComponents:
    """Two anions: cations and fluoride are conserved; `z` charges of the cations."""

    def __init__(self, system: ReciprocalSystem):
        self.system, self.z = system, system.charges
        self._levels = (np.nan, np.empty(0))  # the last T and its levels: a balance asks a hundred times at one T
        count = len(self.z)
        self.rows = np.vstack([np.eye(count), np.eye(count)])
        self.rows = np.hstack([self.rows, np.concatenate([self.z, np.zeros(count)])[:, None]])

    def levels(self, T_K: float) -> np.ndarray:
        """Gibbs energy of every solid salt (2 m,), J/mol: fluorides, then chlorides."""
        if self._levels[0] != T_K:
            self._levels = (T_K, self._levels_at(T_K))
        return self._levels[1]

    def _levels_at(self, T_K: float) -> np.ndarray:
        count = len(self.z)
        everything = tuple(range(2 * count))
        fusion = self.system.fusion(everything).energy_and_slope(np.array([T_K]))[0][0]
        E = self.system.exchange_energies(T_K)
        level = E - self.z * (E / self.z).mean() - fusion[:count] + fusion[count:]
        return np.concatenate([level, np.zeros(count)])

    def start(self, mix: np.ndarray) -> np.ndarray:
        """Salts (m + 1,) that make up the mix (m + 1,): the fluoride goes to the first cations as far as it reaches."""
        count = len(self.z)
        full = min(int(np.searchsorted(np.cumsum(self.z * mix[:count]), mix[count])), count - 1)
        return np.concatenate([np.arange(full + 1), np.arange(count + full, 2 * count)])


Components = SaltComponents | IonComponents


def conserved(system: System) -> Components:
    """The conserved components of a system. `rows` (constituents, n): what each salt counts; mix = fractions @ rows."""
    return IonComponents(system) if isinstance(system, ReciprocalSystem) else SaltComponents(system)
