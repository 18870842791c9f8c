"""Candidate phases at one temperature and the phases made of them, while a balance is being worked out.

Candidates are, in this order: every salt as its own solid, solids of fixed composition, the grids of the mixtures
(liquid last), and whatever refinement adds. Each is a row of what it counts of the components (conserved).
Worked value: NaCl-KCl: two salts, one solid solution on 61 and one liquid on 61 compositions.
"""

from typing import Protocol

import numpy as np

from thermo.equilibrium.phases.conserved import Components
from thermo.equilibrium.phases.mixture import Mixture
from thermo.laws.solids import FixedSolid


class Phases(Protocol):
    """What the candidates are made from: mixtures (liquid last), solids of fixed composition, what is conserved."""

    mixtures: list[Mixture]
    fixed: list[FixedSolid]
    components: Components
    columns: np.ndarray
    kinds: np.ndarray

    def fixed_energies(self, T_K: float) -> np.ndarray:
        """Gibbs energies of the solids of fixed composition at T, J/mol."""


class Pool:
    """Candidate compositions at one temperature, with their energies; grows while they are refined."""

    def __init__(self, balance: Phases, T_K: float, liquid: bool):
        self.mixtures = len(balance.mixtures) - (not liquid)
        energies = [balance.components.levels(T_K), balance.fixed_energies(T_K)]
        start = len(energies[0])
        start += len(balance.fixed)
        self.blocks = []
        for mixture in balance.mixtures[: self.mixtures]:
            self.blocks.append((start, start := start + len(mixture.grid)))
            energies.append(mixture.grid_energies(T_K))
        self.energies = np.concatenate(energies)
        self.columns, self.kinds = balance.columns[:start], balance.kinds[:start]

    def add(self, kind: int, w: np.ndarray, energies: np.ndarray) -> None:
        """More compositions of one mixture, by what they count of the components (N, n), with energies (N,), J/mol."""
        self.columns = np.vstack([self.columns, w])
        self.energies = np.concatenate([self.energies, energies])
        self.kinds = np.concatenate([self.kinds, np.full(len(w), kind)])
