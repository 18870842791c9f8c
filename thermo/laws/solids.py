"""What can freeze out of a melt: pure salts, compounds of two or three salts, and what every solid can say of itself.

Every solid is judged by its driving force D(T), J per mole of salt formulas in it: the Gibbs energy won when it forms
from the melt. With d_i = mu_i(melt) - G_i(stable pure solid) for each salt:
    pure salt i        D = d_i
    double salt        D = (sum nu_i d_i - (dH - T dS)) / sum nu_i      dH, dS: formation from the pure solid salts
    solid solution     see thermo.laws.solid_solution
D = 0 on the liquidus, D > 0 below it. dS is near zero (Neumann & Kopp) unless the measured invariants say otherwise.
Limits: compounds of one composition. Worked value: a double salt AB2 of dH = -9000 J/mol, dS = 0: D = 3000 J/mol where
d_A = d_B = 0.
"""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, replace
from typing import Protocol, TypeVar

import numpy as np

from thermo.records.parameters import Parameter

Force = tuple[np.ndarray, np.ndarray, np.ndarray | None]  # D (N,), dD/dT (N,), a solution's composition (N, members)
ENTROPY_SIGMA = 2.0  # J/(mol K) a salt: how far a compound may miss the rule of Neumann & Kopp (judgement)
_Temperature = TypeVar("_Temperature", float, np.ndarray)


class Solid(Protocol):
    """What every solid can say of itself; y: what a solid solution is made of (members,), None for the others."""

    @property
    def name(self) -> str:
        """Its formula; of a solid solution that of all its members, before anyone knows what is in it."""

    @property
    def indices(self) -> tuple[int, ...]:
        """Positions of the salts it is made of."""

    def shares(self, y: np.ndarray | None) -> np.ndarray:
        """Mole fractions of those salts in it."""

    def label(self, y: np.ndarray | None) -> str:
        """Its name; of a solid solution by what is in it."""

    def chief(self, y: np.ndarray) -> str:
        """Its name beside another solid; of a solid solution that of the salt it mostly is."""

    def best(
        self,
        forces: np.ndarray,
        slopes: np.ndarray,
        T_K: np.ndarray,
        y: np.ndarray | None = None,
        near: int | None = None,
        rounds: int = 2,
    ) -> Force:
        """D (N,) where its salts have the driving forces d (N, members) with these slopes in T, at T (N,).

        For a solid solution y (N, members): where to look for its most stable composition; without it the whole range
        (or the side of the member `near`) is searched, `rounds` steps from there, none for a first guess.
        """

    def slope(self, slopes: np.ndarray, y: np.ndarray | None) -> float:
        """dD/dT in one melt, where the driving forces of its salts have these slopes (members,), J/(mol K)."""

    def share(self, salts: tuple[str, str], parameter: Parameter, T_K: float, y: np.ndarray | None) -> float:
        """dG/d(parameter) of the pair of these salts, per mole of salt formulas."""

    def moved(self, places: int) -> "Solid":
        """The same solid in a longer list of salts, where its own stand so many places further back."""


@dataclass(frozen=True)
class PureSolid:
    """The stable solid of one salt; `index` is its position in the melt."""

    name: str
    index: int

    @property
    def indices(self) -> tuple[int, ...]:
        """See Solid."""
        return (self.index,)

    def shares(self, y: np.ndarray | None = None) -> np.ndarray:
        """See Solid."""
        return np.ones(1)

    def label(self, y: np.ndarray | None = None) -> str:
        """See Solid."""
        return self.name

    def chief(self, y: np.ndarray) -> str:
        """See Solid."""
        return self.name

    def energy_and_slope(self, T_K: _Temperature) -> tuple[_Temperature, float]:
        """Formation Gibbs energy from the pure solid salts and its derivative with T: nothing."""
        return 0.0 * T_K, 0.0

    def best(self, forces, slopes, T_K, y=None, near=None, rounds=2) -> Force:
        """See Solid."""
        return forces[:, 0], slopes[:, 0], None

    def slope(self, slopes: np.ndarray, y: np.ndarray | None = None) -> float:
        """See Solid."""
        return float(slopes[0])

    def share(self, salts: tuple[str, str], parameter: Parameter, T_K: float, y: np.ndarray | None = None) -> float:
        """See Solid: nothing."""
        return 0.0

    def moved(self, places: int) -> "PureSolid":
        """See Solid."""
        return replace(self, index=self.index + places)


@dataclass(frozen=True)
class DoubleSolid:
    """A double salt of fixed composition: `counts` formulas of the salts at positions `indices`.

    dH J/mol and dS J/(mol K) of one formula of the double salt from its pure solid salts.
    """

    name: str
    indices: tuple[int, ...]
    counts: tuple[int, ...]
    dH: float
    dS: float

    @property
    def weights(self) -> np.ndarray:
        """Mole fractions of the salts in the double salt."""
        return np.array(self.counts) / sum(self.counts)

    def shares(self, y: np.ndarray | None = None) -> np.ndarray:
        """See Solid."""
        return self.weights

    def label(self, y: np.ndarray | None = None) -> str:
        """See Solid."""
        return self.name

    def chief(self, y: np.ndarray) -> str:
        """See Solid."""
        return self.name

    def energy_and_slope(self, T_K: _Temperature) -> tuple[_Temperature, float]:
        """Formation Gibbs energy per mole of salt formulas, J/mol, and its derivative with T."""
        return (self.dH - T_K * self.dS) / sum(self.counts), -self.dS / sum(self.counts)

    def best(self, forces, slopes, T_K, y=None, near=None, rounds=2) -> Force:
        """See Solid."""
        formation, formation_slope = self.energy_and_slope(T_K)
        return forces @ self.weights - formation, slopes @ self.weights - formation_slope, None

    def slope(self, slopes: np.ndarray, y: np.ndarray | None = None) -> float:
        """See Solid."""
        return float(slopes @ self.weights) + self.dS / sum(self.counts)

    def share(self, salts: tuple[str, str], parameter: Parameter, T_K: float, y: np.ndarray | None = None) -> float:
        """See Solid."""
        return parameter.factor(T_K) / sum(self.counts) if parameter.phase == self.name else 0.0

    def moved(self, places: int) -> "DoubleSolid":
        """See Solid."""
        return replace(self, indices=tuple(i + places for i in self.indices))


@dataclass(frozen=True, eq=False)  # equal and hashed as a double salt is: its mappings cannot be hashed
class TripleSolid(DoubleSolid):
    """A compound of three salts whose energy was computed from the melt it forms at (records/triple_salts).

    T_K: that temperature. energy_sigma: what its energy does not share with the melt there, J/mol of the formula.
    answers, fusion, melt: how the energy moves with the pairs' parameters, with one sigma of each salt's energy of
    melting (in the order of `indices`) and with one sigma of each error of the melt's laws.
    """

    T_K: float
    energy_sigma: float
    answers: Mapping[tuple[frozenset, Parameter | str], float]
    fusion: tuple[float, ...]
    melt: Mapping[Hashable, float]

    def share(self, salts: tuple[str, str], parameter: Parameter, T_K: float, y: np.ndarray | None = None) -> float:
        """See Solid."""
        return self.answers.get((frozenset(salts), parameter), 0.0) / sum(self.counts)

    def sigma(self, T_K: float) -> float:
        """Its own standard deviation at T, J per mole of salt formulas: the entropy (Neumann & Kopp) is not exact."""
        away = ENTROPY_SIGMA * sum(self.counts) * (T_K - self.T_K)
        return float(np.hypot(self.energy_sigma, away)) / sum(self.counts)


FixedSolid = PureSolid | DoubleSolid  # of one composition
