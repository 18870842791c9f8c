"""What a solver asks of the laws of a set of salts, alike for one anion (one_anion) and for two (two_anions).

A melt is given by the mole fractions x of `salts`, the salts weighed in. Its solids and potentials are those of
`constituents`, all salts that its ions can form; with one anion the two are the same.
Limits: no law here. Worked value: LiF and KCl weighed in have the constituents LiF, KF, LiCl and KCl.
"""

from collections.abc import Hashable, Sequence
from typing import Protocol

import numpy as np

from thermo.equilibrium.system.liquid import Liquid
from thermo.laws.gibbs import Fusion
from thermo.laws.solids import Solid
from thermo.records.fitted import PairModel
from thermo.records.provenance import Origin
from thermo.records.ternary_terms import Key


class System(Protocol):
    """All laws of one set of salts. own: positions of the salts weighed in among the constituents."""

    salts: tuple[str, ...]
    constituents: tuple[str, ...]
    own: tuple[int, ...]
    melting_K: np.ndarray
    pairs: list[PairModel]
    solids: tuple[Solid, ...]

    @property
    def status(self) -> Origin:
        """'fitted' when every pair is, else 'estimated'."""

    @property
    def sources(self) -> tuple[str, ...]:
        """Source keys of all that the laws rest on."""

    def liquid(self, x: np.ndarray) -> Liquid:
        """Melts x (N, n) whose potentials are wanted at one temperature after another."""

    def fusion(self, indices: tuple[int, ...]) -> Fusion:
        """Fusion energies of the constituents at these positions."""

    def status_of(self, solids: Sequence[str]) -> Origin:
        """How well known a balance with these solids is: 'estimated' too where the energy of one of them is."""

    def liquid_terms(self, x: np.ndarray, weights: np.ndarray, T_K: float) -> dict[tuple[int, int], float]:
        """What each liquid term, by (position of its pair, order), gives to weights . mu at one melt x (n,) and T."""

    def parameter_gradient(self, solid: Solid, x: np.ndarray, T_K: float, y: np.ndarray | None) -> list[np.ndarray]:
        """dD/d(parameters) of one solid (a solution's composition y) at one melt x (n,) and T: one array a pair."""

    def fusion_errors(self, solid: Solid, T_K: float, y: np.ndarray | None) -> np.ndarray:
        """What one sigma of each constituent's fusion energy does to D, J/mol, shape (constituents,)."""

    def exchange_errors(self, x: np.ndarray, weights: np.ndarray, T_K: float) -> np.ndarray:
        """What one sigma of each energy of exchange does to weights . mu at one melt x (n,), J/mol."""

    def melt_errors(self, x: np.ndarray, weights: np.ndarray, T_K: float) -> dict[Hashable, float]:
        """What the errors of the melt's laws that no parameter carries do to weights . mu, J/mol, each by itself."""

    def model_errors(self, solid: Solid, x: np.ndarray, T_K: float, y: np.ndarray | None) -> dict[Hashable, float]:
        """Errors of D that no parameter carries, J/mol, each by itself; solids in balance with one melt share them."""

    def model_variance(self, solid: Solid, x: np.ndarray, T_K: float, y: np.ndarray | None) -> float:
        """Variance of D that no parameter carries, (J/mol)^2."""

    def flat(self) -> list[np.ndarray]:
        """The gradient of a constant, in the form of `parameter_gradient`."""

    def covariance(self, rows: Sequence[Sequence[np.ndarray]], fusion_errors: np.ndarray) -> np.ndarray:
        """Covariance (k, k) of k quantities with these gradients and direct fusion errors (k, constituents)."""

    def shares(self, gradients: Sequence[np.ndarray], fusion_errors: np.ndarray) -> list[tuple[Key, float]]:
        """What every parameter, energy of melting and ternary term adds to `variance`."""

    def variance(self, gradients: Sequence[np.ndarray], fusion_errors: np.ndarray) -> float:
        """Variance of a quantity with these derivatives by the pairs' parameters and these direct fusion errors."""
