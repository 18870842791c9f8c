"""What the band of a computed liquidus rests on: which pair, the terms of three salts, the melt itself.

    sigma_T^2 = (v C v + sum e_k^2) / D'^2,     part of some parameters P:  sum over p in P of v_p (C v)_p / D'^2
v: dD by every parameter, C: their covariance after the joint update, e_k: errors of the melt that no parameter carries,
D' = dD/dT, all of the solid that freezes first. The parts add up to the variance; one may be below zero where two
errors work against each other.
Limits: linear. Worked value: of two salts all is their pair and their melting.
"""

from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.freezing.liquidus import bottomless
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts, driving_slope
from thermo.records.composition import Composition
from thermo.records.parameters import Parameter

OWN, TERMS, MELTING = "the melt itself", "terms of three salts", "melting of the salts"


@dataclass(frozen=True)
class SpreadPart:
    """One part of a variance: of two salts, or of OWN, TERMS or MELTING; its share, and it by itself in K."""

    of: tuple[str, ...]
    share: float
    sigma_K: float


def spread_parts(composition: Composition) -> tuple[SpreadPart, ...]:
    """The parts of the variance of the computed liquidus, the largest first; none where no solid forms."""
    melt = composition.present
    system, x = salt_system(melt.salts), melt.array
    melts = Melts(system, x[None, :])
    solid, T_K, y = melts.first_solid()
    if bottomless(T_K):
        return ()
    slope = max(-driving_slope(melts, solid, T_K, y), 1.0)
    parts: dict[tuple[str, ...], float] = {(OWN,): system.model_variance(solid, x, T_K, y)}
    for (owner, term), value in system.shares(
        system.parameter_gradient(solid, x, T_K, y), system.fusion_errors(solid, T_K, y)
    ):
        pair = tuple(sorted(owner, key=system.constituents.index))
        of = pair if isinstance(term, Parameter) else (MELTING,) if len(owner) == 1 else (TERMS,)
        parts[of] = parts.get(of, 0.0) + value
    total = max(sum(parts.values()), 1e-12)
    found = [SpreadPart(of, value / total, float(np.sqrt(max(value, 0.0))) / slope) for of, value in parts.items()]
    return tuple(sorted(found, key=lambda part: -part.share))
