"""How sure an invariant temperature is: several solids in balance with one melt.

At an invariant the liquidus temperatures T_s(x) of its solids meet. With weights l_s chosen so that
    sum l_s grad_x T_s = 0,  sum l_s = 1        (positive at a lowest point, of mixed sign at a peritectic)
a small change of the parameters moves the invariant by dT = sum l_s dT_s (x held), dT_s = -(dD_s/d theta) / (dD_s/dT).
Limits: linear. Worked value: a eutectic of two equally steep branches has l = (1/2, 1/2).
"""

from collections.abc import Sequence

import numpy as np

from thermo.equilibrium.freezing_point import WIDEST_K
from thermo.equilibrium.liquidus import Melts, driving_slope
from thermo.equilibrium.system import SaltSystem, Solid, solid_weights

_DX = 1e-5
_RIDGE = 1e-4  # keeps the weights of solids that meet nearly tangentially finite
Side = tuple[Solid, int | None]  # a solid and, for one side of a solid solution, that side's member


def composition_slopes(system: SaltSystem, x: np.ndarray, sides: Sequence[Side]) -> np.ndarray:
    """dT_s/dx_m at constant sum, x_last balancing: shape (solids, n - 1), K per mole fraction."""
    count = len(x)
    steps = []
    for m in range(count - 1):
        for sign in (1, -1):
            moved = x.copy()
            moved[m] += sign * _DX
            moved[-1] -= sign * _DX
            steps.append(moved)
    if not steps:
        return np.zeros((len(sides), 0))
    melts = Melts(system, np.clip(np.array(steps), 1e-9, 1.0))
    rows = []
    for solid, near in sides:
        T = melts.solid_temperature(solid, near)[0].reshape(count - 1, 2)
        rows.append((T[:, 0] - T[:, 1]) / (2 * _DX))
    return np.array(rows)


def _meeting_weights(slopes: np.ndarray) -> np.ndarray:
    """The weights l_s from slopes (solids, n - 1); two solids with one and the same slope share equally."""
    count = len(slopes)
    scaled = slopes / max(np.abs(slopes).max(), 1.0) if slopes.size else slopes
    weights = np.linalg.solve(scaled @ scaled.T + _RIDGE * np.eye(count), np.ones(count))
    return weights / weights.sum()


def invariant_sigma(system: SaltSystem, x: np.ndarray, sides: Sequence[Side]) -> float:
    """Standard deviation (K) of the temperature where these solids and the melt x (n,) meet."""
    weights = _meeting_weights(composition_slopes(system, x, sides))
    melts = Melts(system, x[None, :])
    gradients = [np.zeros(len(pair.parameters)) for pair in system.pairs]
    fusion = np.zeros(len(system.constituents))
    model = 0.0
    for weight, (solid, near) in zip(weights, sides, strict=True):
        T, y = melts.solid_temperature(solid, near)
        T_K, y = float(T[0]), None if y is None else y[0]
        factor = weight / max(-driving_slope(melts, solid, T_K, y), 1.0)
        for total, row in zip(gradients, system.parameter_gradient(solid, x, T_K, y), strict=True):
            total += factor * row
        fusion += factor * system.fusion_errors(solid, T_K, y)
        model += factor**2 * system.model_variance(x, solid_weights(solid, len(system.constituents), y))
    return min(float(np.sqrt(system.variance(gradients, fusion) + model)), WIDEST_K)
