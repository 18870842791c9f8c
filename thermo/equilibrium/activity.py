"""Activities of the salts in a melt, with their covariance.

    R T ln a_i = R T ln x_i + mu^E_i               standard state: the pure liquid, undercooled where need be
mu^E_i: excess chemical potentials of thermo.laws.mixing with the fitted interactions. Covariance of R T ln a: that of
the fitted coefficients, pair by pair, through their (linear) gradients; what uncertain fusion energies do to those
coefficients; and the model error of three and more salts (data/model_error.csv), independent from salt to salt.
Limits: one anion, a single liquid. Worked value: a melt of one salt has activity 1 and spread 0.
"""

from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.system import SaltSystem, model_error_J_mol, salt_system
from thermo.laws.solids import PureSolid
from thermo.records.composition import Composition, one_anion
from thermo.records.units import R


@dataclass(frozen=True)
class Activities:
    """Activities of the salts present, shape (n,); covariance of R T ln a, (n, n), (J/mol)^2."""

    salts: tuple[str, ...]
    T_K: float
    fractions: np.ndarray
    values: np.ndarray
    covariance_J2_mol2: np.ndarray
    status: str
    sources: tuple[str, ...]

    @property
    def coefficients(self) -> np.ndarray:
        """Activity coefficients a_i / x_i."""
        return self.values / self.fractions

    @property
    def sigma_ln(self) -> np.ndarray:
        """Standard deviation of ln a_i."""
        return np.sqrt(np.diag(self.covariance_J2_mol2)) / (R * self.T_K)


def activities(composition: Composition, T_K: float, system: SaltSystem | None = None) -> Activities:
    """Activities of the salts that are present; `system` replaces the fitted one (its salts in the melt's order).

    InputError for a melt of two anions.
    """
    melt = composition.present
    one_anion(melt, "activities in")
    system = salt_system(melt.salts) if system is None else system
    x = melt.array
    values = x * np.exp(system.excess_potentials(x[None, :], T_K)[0] / (R * T_K))
    return Activities(melt.salts, T_K, x, values, _covariance(system, x, T_K), system.status, system.sources)


def _covariance(system: SaltSystem, x: np.ndarray, T_K: float) -> np.ndarray:
    """Covariance of R T ln a_i, (n, n): the potential of salt i is the driving force of pure solid i but a constant."""
    count = len(x)
    total = np.eye(count) * model_error_J_mol(x) ** 2 if count > 2 else np.zeros((count, count))
    rows = [system.parameter_gradient(PureSolid(formula, i), x, T_K, None) for i, formula in enumerate(system.salts)]
    fusion = np.zeros((count, count))  # response of each potential (row) to one sigma of each salt's fusion (column)
    for p, pair in enumerate(system.pairs):
        gradient = np.array([row[p] for row in rows])
        total += gradient @ pair.covariance @ gradient.T
        fusion[:, [system.salts.index(formula) for formula in pair.salts]] += gradient @ pair.fusion_response.T
    return total + fusion @ fusion.T


def ln_activities(salts: tuple[str, ...], fractions: np.ndarray, T_K: float) -> np.ndarray:
    """ln a of every salt in N melts at one temperature: fractions (N, n) to (N, n); -inf where a salt is absent."""
    fractions = np.asarray(fractions, dtype=float)
    excess = salt_system(tuple(salts)).excess_potentials(fractions, T_K)
    with np.errstate(divide="ignore"):
        return np.log(fractions) + excess / (R * T_K)
