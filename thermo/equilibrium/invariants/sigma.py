"""How sure an invariant temperature is: several solids in balance with one melt.

Where a melt x is in balance with solids of composition w_k every driving force D_k is zero. With weights c_k such that
    x = sum c_k w_k,   sum c_k = 1       (the lever rule: all positive at a eutectic, of mixed sign at a peritectic)
the melt parts of sum c_k D_k cancel against its own change of composition, and those of the solids are at their
lowest, so a small change of the parameters moves the invariant by
    dT = -sum c_k dD_k / sum c_k dD_k/dT,        sigma_T = sigma(sum c_k D_k) / |sum c_k dD_k/dT|
What the melt's laws miss at x is one error of the melt, shared by all solids there.
The composition of a solid solution is an argument: the two sides of a gap are two solids of the same name.
Limits: linear. Worked value: a eutectic half way between two pure salts has c = (1/2, 1/2).
"""

from collections.abc import Hashable, Iterable, Sequence

import numpy as np

from thermo.equilibrium.freezing.liquidus import WIDEST_K
from thermo.equilibrium.system.driving_force import Melts, driving_slope
from thermo.equilibrium.system.interface import System
from thermo.equilibrium.system.solids import solid_weights
from thermo.laws.solids import Solid

FLATTEST = 0.1  # J/(mol K): solids that meet in less entropy than this meet nowhere in particular
Part = tuple[Solid, np.ndarray | None]  # a solid and, of a solid solution, the composition over its members


def lever_weights(system: System, x: np.ndarray, solids: Sequence[Part]) -> np.ndarray:
    """The weights c_k of these solids at the melt x (n,); least squares where there are fewer or more than salts."""
    own = list(system.own)
    rows = [solid_weights(solid, len(system.constituents), y)[own] for solid, y in solids]
    A = np.vstack([np.array(rows).T, np.ones(len(rows))])
    weights = np.linalg.lstsq(A, np.append(x, 1.0), rcond=1e-9)[0]
    return weights / weights.sum()


def balance_sigma(system: System, x: np.ndarray, T_K: float, solids: Sequence[Part], weights: Iterable[float]) -> float:
    """Standard deviation (K) of the temperature where the weighted sum of these driving forces is zero at the melt x.

    x (n,): mole fractions of the system's salts, with every solid of `solids` in balance at T_K.
    """
    melts = Melts(system, x[None, :])
    gradients = system.flat()
    fusion, slope = np.zeros(len(system.constituents)), 0.0
    errors: dict[Hashable, float] = {}
    for weight, (solid, y) in zip(weights, solids, strict=True):
        for total, row in zip(gradients, system.parameter_gradient(solid, x, T_K, y), strict=True):
            total += weight * row
        fusion += weight * system.fusion_errors(solid, T_K, y)
        slope += weight * driving_slope(melts, solid, T_K, y)
        for name, error in system.model_errors(solid, x, T_K, y).items():
            errors[name] = errors.get(name, 0.0) + weight * error
    variance = system.variance(gradients, fusion) + sum(error**2 for error in errors.values())
    return min(float(np.sqrt(variance)) / max(abs(slope), FLATTEST), WIDEST_K)


def invariant_sigma(system: System, x: np.ndarray, T_K: float, solids: Sequence[Part]) -> float:
    """Standard deviation (K) of the temperature T_K where these solids and the melt x (n,) meet."""
    return balance_sigma(system, x, T_K, solids, lever_weights(system, x, solids))
