"""Which measurement would settle each pair that rests on the rules of size alone: data/fitted/estimated_pairs.csv.

The computed liquidus of the pair has errors J e, e the errors of its parameters with covariance C, J the derivative of
its temperature on a grid of compositions. One liquidus temperature measured to R = 5 K at grid
point j takes from the variance at i
    (J C J')_ij^2 / ((J C J')_jj + R^2)                                            (one linear step, Gauss & Markov)
and the point is named after which the mean standard deviation of all is least.
Limits: linear; errors of the pure salts and a solid nobody named left out; melts of unknown freezing are not asked.
Worked value: NaF-LaF3: 55 mol% LaF3, whose freezing point known to 5 K leaves 30 K of 68 over the pair.
"""

import numpy as np

from thermo.equilibrium.freezing.liquidus import WIDEST_K, bottomless
from thermo.equilibrium.system.driving_force import Melts, driving_slope
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.records.fitted import PairModel, pair_fits
from thermo.records.provenance import Origin
from thermo.records.table_text import table_text
from thermo.records.units import celsius

GRID = np.linspace(0.1, 0.9, 17)
READ_K = 5.0  # judgement: what a cooling curve is good to
HEADER = "salt_a,salt_b,x_b,T_C,first_solid,sigma_K,mean_sigma_K,mean_sigma_after_K,origin"


def most_telling(model: PairModel) -> tuple[float, float, str, float, float, float]:
    """x_b, T (K) and first solid there, its sigma (K), the mean sigma over the pair before and after measuring it."""
    system = SaltSystem(model.salts, {frozenset(model.salts): model})
    places, T, solids, rows = [], [], [], []
    for x_b in GRID:
        x = np.array([1 - x_b, x_b])
        melts = Melts(system, x[None, :])
        solid, T_K, y = melts.first_solid()
        if bottomless(T_K):  # nobody knows what freezes there
            continue
        slope = max(-driving_slope(melts, solid, T_K, y), 1.0)
        rows.append(system.parameter_gradient(solid, x, T_K, y)[0] / slope)
        places.append(float(x_b))
        T.append(T_K)
        solids.append(solid.label(y))
    J = np.array(rows)
    sigma = np.sqrt(np.einsum("ij,jk,ik->i", J, model.covariance, J))
    J *= np.minimum(1.0, WIDEST_K / np.maximum(sigma, 1e-9))[:, None]  # wider says only that nothing is known
    errors = J @ model.covariance @ J.T
    before = np.diag(errors)
    after = before[None, :] - errors**2 / (before + READ_K**2)[:, None]  # by point measured, at every point
    best = int(np.sqrt(np.maximum(after, 0.0)).mean(axis=1).argmin())
    means = [float(np.sqrt(np.maximum(v, 0.0)).mean()) for v in (before, after[best])]
    return places[best], T[best], solids[best], float(np.sqrt(before[best])), means[0], means[1]


def regenerate() -> dict[str, str]:
    """Text of data/fitted/estimated_pairs.csv, the least known pair first."""
    found = []
    for model in pair_fits().values():
        if model.status == Origin.ESTIMATED:
            found.append((model.salts, *most_telling(model)))
    found.sort(key=lambda row: -row[-2])
    rows = [
        [*salts, f"{x:.2f}", f"{celsius(T_K):.0f}", solid, *[f"{s:.0f}" for s in sigmas], Origin.ESTIMATED]
        for salts, x, T_K, solid, *sigmas in found
    ]
    return {"fitted/estimated_pairs.csv": table_text(HEADER, rows)}
