"""How the chemical potentials of a melt or a solid solution of one composition answer to its fractions, in closed form.

With H the second derivatives of G^E by all n mole fractions and mu_i = G^E + dG^E/dx_i - sum_m x_m dG^E/dx_m,
    dmu_i/dlnn_j = R T (delta_ij - x_j) + x_j (H_ij - h_i - h_j + x.h)        h = H x, n_j the moles of j
R T x_j is added to every row: with it an ideal mixture's are R T times the unit matrix, which can be inverted.
Limits: one anion, no terms of AlF3 (None: differences then).
Worked value: a regular pair, G^E = W x_1 x_2, half and half: mu_1 by ln n_1 R T - W/4, by ln n_2 W/4.
"""

import numpy as np

from thermo.equilibrium.system.interface import System
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.laws.compound_solution import CompoundSolution
from thermo.laws.solid_solution import SolutionSolid
from thermo.records.units import R


def slopes_of_one(system: System, solid: SolutionSolid | None, x: np.ndarray, T_K: float) -> np.ndarray | None:
    """dmu_i/dlnn_j (m, m) + R T x_j of one solid solution x (m,), or of the melt (None), J/mol; None: no closed form.

    Of double salts per mole of salts: their cations are `exchanged` of it.
    """
    share, energies = 1.0, None
    if solid is not None:
        energies = solid.basis.bends(x, solid.table, T_K)
        share = solid.exchanged if isinstance(solid, CompoundSolution) else 1.0
    elif isinstance(system, SaltSystem):
        energies = system.bends(x, T_K)
    if energies is None:
        return None
    slopes = share * _by_moles(energies, x) + (1 - share) * R * T_K * x
    slopes.flat[:: len(x) + 1] += share * R * T_K
    return slopes


def _by_moles(H: np.ndarray, x: np.ndarray) -> np.ndarray:
    """The part of the excess energies, from their second derivatives by fractions."""
    h = H @ x
    return (H - h[:, None] - h + x @ h) * x
