"""Activities of the salts in a melt, with their covariance.

    R T ln a_i = R T ln x_i + mu^E_i               standard state: the pure liquid, undercooled where need be
mu^E_i: excess chemical potentials of thermo.laws.mixing with the fitted interactions. With two anions x_i is the ideal
activity of two lattices (laws/two_anions), and the salts are the chlorides of all cations, weighed in or not: an anode
discharges chloride before fluoride. Covariance of R T ln a: that of the fitted coefficients, pair by pair, through
their (linear) gradients; what uncertain fusion energies do to those coefficients; with two anions the energies of
exchange; and the model error of several salts (data/fitted/model_error.csv), independent from salt to salt.
Limits: a single liquid. Worked value: a melt of one salt has activity 1 and spread 0.
"""

from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.interface import System
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.equilibrium.system.propagation import SEVERAL
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.laws.solids import PureSolid
from thermo.records.composition import Composition
from thermo.records.provenance import InputError, Origin
from thermo.records.units import R


@dataclass(frozen=True)
class Activities:
    """Activities of the salts present, shape (n,); covariance of R T ln a, (n, n), (J/mol)^2.

    salts: those weighed in, or with two anions the chloride of every cation. fractions: mole fractions, or with two
    anions cation fractions times the share of chloride. ln_fluorides: with two anions ln a of each cation's fluoride.
    """

    salts: tuple[str, ...]
    T_K: float
    fractions: np.ndarray
    values: np.ndarray
    covariance_J2_mol2: np.ndarray
    status: Origin
    sources: tuple[str, ...]
    ln_fluorides: np.ndarray | None = None

    @property
    def coefficients(self) -> np.ndarray:
        """Activity coefficients a_i / x_i."""
        return self.values / self.fractions

    @property
    def sigma_ln(self) -> np.ndarray:
        """Standard deviation of ln a_i."""
        return np.sqrt(np.diag(self.covariance_J2_mol2)) / (R * self.T_K)


def activities(composition: Composition, T_K: float, system: SaltSystem | ReciprocalSystem | None = None) -> Activities:
    """Activities of the salts that are present; `system` replaces the fitted one (its salts in the melt's order)."""
    melt = composition.present
    system = salt_system(melt.salts) if system is None else system
    x = melt.array
    if isinstance(system, ReciprocalSystem):
        return _of_chlorides(system, x, T_K)
    values = x * np.exp(system.excess_potentials(x[None, :], T_K)[0] / (R * T_K))
    return Activities(melt.salts, T_K, x, values, _covariance(system, x, T_K), system.status, system.sources)


def _of_chlorides(system: ReciprocalSystem, x: np.ndarray, T_K: float) -> Activities:
    count = len(system.cations)
    logs = Melts(system, x[None, :]).potentials(T_K)[0] / (R * T_K)
    ions = system.ions(x[None, :])
    fractions, own = ions.X[0] * ions.chloride[0], tuple(range(count, 2 * count))
    covariance = _shared(system, x, T_K, own)
    for row, i in enumerate(own):
        covariance[row, row] += system.melt_errors(x, np.eye(2 * count)[i], T_K)[SEVERAL] ** 2
    exchange = np.array([system.exchange_errors(x, np.eye(2 * count)[i], T_K) for i in own])
    chlorides = tuple(system.constituents[i] for i in own)
    return Activities(chlorides, T_K, fractions, np.exp(logs[count:]), covariance + exchange @ exchange.T,
                      system.status, system.sources, logs[:count])  # fmt: skip


def _covariance(system: SaltSystem, x: np.ndarray, T_K: float) -> np.ndarray:
    """Covariance of R T ln a_i, (n, n), with the model's error of three and more salts."""
    count = len(x)
    errors = [sum(e**2 for e in system.melt_errors(x, w, T_K).values()) for w in np.eye(count)]
    return np.diag(errors) + _shared(system, x, T_K, tuple(range(count)))


def _shared(system: System, x: np.ndarray, T_K: float, own: tuple[int, ...]) -> np.ndarray:
    """Covariance of R T ln a of the constituents at `own` by the pairs' parameters.

    The potential of salt i is the driving force of pure solid i but for a constant.
    """
    names = [system.constituents[i] for i in own]
    rows = [system.parameter_gradient(PureSolid(f, i), x, T_K, None) for f, i in zip(names, own, strict=True)]
    return system.covariance(rows, np.zeros((len(own), len(system.constituents))))


def ln_activities(salts: tuple[str, ...], fractions: np.ndarray, T_K: float | np.ndarray) -> np.ndarray:
    """ln a of every salt in N melts of one anion: fractions (N, n) to (N, n); -inf where a salt is absent.

    T_K: one temperature, or one for each melt (N, 1). InputError for two anions.
    """
    fractions = np.asarray(fractions, dtype=float)
    system = salt_system(tuple(salts))
    if isinstance(system, ReciprocalSystem):
        raise InputError(f"activities of {', '.join(salts)} at once: allowed are salts of one anion")
    excess = system.excess_potentials(fractions, T_K)
    with np.errstate(divide="ignore"):
        return np.log(fractions) + excess / (R * T_K)
