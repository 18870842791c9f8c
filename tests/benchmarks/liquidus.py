"""How fast the liquidus of a whole triangle is: against a scalar root finder, and against one evaluation of the laws.

    python -m tests.benchmarks.liquidus          exit code 1 where a demand is missed

For each triangle all 5151 compositions of a 1 % grid in one call. Demands: at least 100 times faster a composition than
scipy's brentq on the same laws, and at most 10 times one evaluation of all chemical potentials on the same array.
"""

import sys

import numpy as np
from scipy.optimize import brentq

from tests.benchmarks.clock import best_seconds, use_one_thread, verdict
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import HIGHEST_K, LOWEST_K, Melts, liquidus_field
from thermo.equilibrium.system.solids import solid_weights
from thermo.laws.solid_solution import SolutionSolid, simplex_grid
from thermo.laws.solids import DoubleSolid

TRIANGLES = [
    ("LiF", "NaF", "CaF2"),  # pure solids
    ("LiCl", "KCl", "CaCl2"),  # pure solids and a double salt
    ("NaCl", "KCl", "MgCl2"),  # double salts and a solid solution
    ("NaCl", "CaCl2", "MgCl2"),
    ("LiCl", "NaCl", "KCl"),  # one solid solution with a miscibility gap
    ("LiF", "NaF", "KF"),
    ("CaCl2", "SrCl2", "BaCl2"),
]
SAMPLE = 50


def driving_force(melts: Melts, solid, T_K: float) -> float:
    """D of one solid in one melt, J/mol: what a scalar root finder needs."""
    T, count = np.array([T_K]), len(melts.system.salts)
    if isinstance(solid, SolutionSolid):
        forces = melts.salt_forces(T, solid.indices)[0]
        y = solid.refine(solid.grid_start(forces, T), forces, T, 20)
        return float(solid.driving_force(y, forces, T)[0][0])
    D = melts.salt_forces(T, tuple(range(count)))[0][0] @ solid_weights(solid, count, None)
    return float(D - solid.energy_and_slope(T)[0][0]) if isinstance(solid, DoubleSolid) else float(D)


def scalar_liquidus(system, x: np.ndarray) -> float:
    """Liquidus of one melt by brentq, K."""
    melts = Melts(system, x[None, :])
    found = [LOWEST_K]
    for solid in system.solids:
        if driving_force(melts, solid, LOWEST_K) > 0:
            found.append(brentq(lambda T, s=solid: driving_force(melts, s, T), LOWEST_K, HIGHEST_K, xtol=1e-4))
    return max(found)


def measure(triangle: tuple[str, ...]) -> bool:
    """Times one triangle and prints its two ratios."""
    system, x = salt_system(triangle), simplex_grid(3, 100)
    T = np.full(len(x), 1000.0)
    field, once = best_seconds(
        lambda: liquidus_field(triangle, x),
        lambda: Melts(system, x).salt_forces(T, (0, 1, 2)),
    )
    some = np.random.default_rng(1).choice(len(x), SAMPLE, replace=False)
    (scalar,) = best_seconds(lambda: [scalar_liquidus(system, x[i]) for i in some], runs=2)
    alone = np.array([scalar_liquidus(system, x[i]) for i in some])
    apart = np.abs(liquidus_field(triangle, x).T_K[some] - alone).max()
    print(f"{'-'.join(triangle)}: {len(system.solids)} solids, {1000 * field:.1f} ms for {len(x)} compositions, "
          f"one evaluation {1000 * once:.1f} ms, brentq {1000 * scalar / SAMPLE:.2f} ms a composition, "
          f"largest difference {apart:.3f} K")  # fmt: skip
    faster = verdict("times faster than brentq", (scalar / SAMPLE) / (field / len(x)), 100, more_is_better=True)
    cheap = verdict("times one evaluation", field / once, 10)
    return faster and cheap


if __name__ == "__main__":
    use_one_thread()
    met = [measure(triangle) for triangle in TRIANGLES]
    sys.exit(0 if all(met) else 1)
