"""Would the published melts of two anions better the tabulated energies of exchange? Each system left out in turn.

The step is that of the joint update (records/joint), with the energies of exchange E_k as unknowns, each within its
tabulated standard deviation; noise of each driving force: the pairs, the published temperature, Z, and FLOOR_J_mol of
what neighbours disagree by. Each system of cations counts once. It pays if systems left out are met better.
"""

from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.system.two_anions import NEIGHBOURS_SIGMA
from thermo.fitting.two_anion_error import Residual, residuals, system_of, with_spreads

FLOOR_J_mol = 400.0


@dataclass(frozen=True)
class Trial:
    """Root mean square of D by system, kJ/mol: nothing fitted, the system left out, all fitted; shifts of E, kJ/mol."""

    by_system: dict[str, tuple[float, float, float]]
    shifts: dict[str, tuple[float, float]]

    @property
    def all(self) -> np.ndarray:
        """The three over all systems, each counting once."""
        return np.sqrt(np.mean(np.square(list(self.by_system.values())), axis=0))


def _equations(found: list[Residual]) -> tuple[np.ndarray, dict[str, float]]:
    """dD/dE by residual and cation, and the tabulated standard deviation of every cation's energy, J/mol."""
    own = [(system.cations, system.formation_sigmas()) for system in (system_of(one.melt.salts) for one in found)]
    sigma = {c: float(s) for cations, sigmas in own for c, s in zip(cations, sigmas, strict=True)}
    place = list(sigma)
    G = np.zeros((len(found), len(place)))
    for row, one, (cations, sigmas) in zip(G, found, own, strict=True):
        row[[place.index(c) for c in cations]] = np.array(one.by_E) / sigmas
    return G, sigma


def trial() -> Trial:
    """The step with all systems, and with each left out."""
    found = with_spreads(residuals())
    G, sigma = _equations(found)
    D = np.array([one.D for one in found])
    names = [one.melt.system for one in found]
    systems = list(dict.fromkeys(names))
    of = np.array([systems.index(name) for name in names])
    noise = [one.sigma**2 + (NEIGHBOURS_SIGMA * one.by_Z) ** 2 + (one.slope * one.melt.T_sigma_K) ** 2 for one in found]
    noise = (np.array(noise) + FLOOR_J_mol**2) * np.bincount(of)[of]
    before = np.diag(np.square(list(sigma.values())))

    def step(use: np.ndarray) -> np.ndarray:
        g = G[use]
        return before @ g.T @ np.linalg.solve(g @ before @ g.T + np.diag(noise[use]), -D[use])

    whole = step(np.full(len(D), True))
    by_system = {}
    for n, name in enumerate(systems):
        at = of == n
        columns = (D, D + G @ step(~at), D + G @ whole)
        nothing, left, fitted = (float(np.sqrt(np.mean(column[at] ** 2))) / 1000 for column in columns)
        by_system[name] = (nothing, left, fitted)
    shifts = {c: (float(v) / 1000, s / 1000) for (c, s), v in zip(sigma.items(), whole, strict=True)}
    return Trial(by_system, shifts)


def show() -> None:
    """The table."""
    found = trial()
    print("energies of exchange updated by the published melts, rms of D, kJ/mol: nothing fitted, left out, fitted")
    for name, row in found.by_system.items():
        print(f"  {name:9s} " + "".join(f"{value:7.2f}" for value in row))
    print("  all       " + "".join(f"{value:7.2f}" for value in found.all))
    print("  shifts, kJ/mol:", ", ".join(f"{c} {v:+.1f} ({s:.1f})" for c, (v, s) in found.shifts.items()))
