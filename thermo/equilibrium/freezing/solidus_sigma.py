"""How sure a solidus is: what the last liquid freezes to, and how that balance depends on the fitted parameters.

The solids take up a little of the last liquid x as changes dn_k of what each contains, sum_k dn_k = x. At the solidus
    f = sum_i x_i mu_i(liquid) - sum_k sum_i dn_ki mu_i(solid k) = 0
and because liquid and solids are at their lowest energy a change of parameters moves f at fixed x, dn and compositions:
    sigma_T = sigma(f) / |df/dT|
Solids of fixed composition: dn_k = c_k w_k with x = sum c_k w_k. A solid solution also shifts its composition y, by
    sum_k [N_k y (J_k^-1 dpi) + dN_k y] = x,  y . dpi = 0 in every solid      N_k amounts, J_k = dmu/dlny
so that its share is dN_k F(y) + N_k dF/dy dy for a quantity F per mole of solid (driving force and its derivatives).
Written for one anion; with two, x, w and y stand for what they count of the components (conserved).
Limits: linear. Worked value: at a binary eutectic c_1 and c_2 are the mole fractions of the last liquid.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np

from thermo.equilibrium.freezing.liquidus import WIDEST_K
from thermo.equilibrium.phases.balance import PhaseBalance
from thermo.equilibrium.phases.part import SolidPhase
from thermo.equilibrium.system.driving_force import Melts, driving_slope
from thermo.equilibrium.system.solids import solid_weights
from thermo.laws.solids import Solid

_NUDGE = 1e-3  # of the way to where a solid solution would run out of a member


@dataclass(frozen=True)
class Uptake:
    """What a mole of the last liquid does to one solid: dN moles more of it, and N dy (m,), which sums to 0.

    shift (n,): N dy in the components.
    """

    phase: SolidPhase
    more: float
    shift: np.ndarray
    members: np.ndarray

    def per_mole(self, quantity: Callable[[np.ndarray | None], np.ndarray]) -> np.ndarray:
        """dN F + N dF/dy dy for F(members' composition)."""
        y = self.phase.members
        total = self.more * quantity(y)
        if y is not None and np.abs(self.shift).max() > 0:
            h = _NUDGE / float(np.max(np.abs(self.members) / y))
            total = total + (quantity(y + h * self.members) - quantity(y - h * self.members)) / (2 * h)
        return total


def uptakes(phases: PhaseBalance, solids: tuple[SolidPhase, ...], x: np.ndarray, T_K: float) -> list[Uptake]:
    """How these solids would take up a liquid of x (n,) of the components."""
    n = len(x)
    system = np.zeros((n + len(solids), n + len(solids)))
    shifts = []
    for k, phase in enumerate(solids, n):
        system[:n, k] = system[k, :n] = phase.composition
        shift, rows = np.zeros((0, n)), np.zeros((0, n))
        if phase.members is not None:
            mixture = next(m for m in phases.mixtures if m.solid is phase.solid)
            rows = mixture.rows
            shift = phase.amount * phase.members[:, None] * mixture.inverse_slopes(phase.members, T_K) @ rows
            system[:n, :n] += rows.T @ shift
        shifts.append((shift, rows))
    # scaled so that potentials (J/mol) and amounts weigh alike; least squares where the solids leave potentials open
    scale = np.concatenate([np.full(n, 1e4), np.ones(len(solids))])
    found = scale * np.linalg.lstsq(system * scale, np.concatenate([x, np.zeros(len(solids))]), rcond=1e-12)[0]
    return [
        Uptake(phase, float(found[n + k]), rows.T @ (shift @ found[:n]), shift @ found[:n])
        for k, (phase, (shift, rows)) in enumerate(zip(solids, shifts, strict=True))
    ]


def solidus_sigma(phases: PhaseBalance, solids: tuple[SolidPhase, ...], own: np.ndarray, T_K: float) -> float:
    """Standard deviation (K) of the temperature T where these solids leave no liquid but a trace of `own` (k,).

    own: the liquid as its phase counts it. Energies of exchange are the same for all solids, the model's error is not.
    """
    system, x = phases.system, phases.liquid.fractions(own)
    melts = Melts(system, x[None, :])
    sizes = [len(part) for part in system.flat()]
    gradient, fusion, slope, model = np.zeros(sum(sizes)), np.zeros(len(x)), 0.0, 0.0
    shared = np.zeros(len(system.exchange_errors(x, x, T_K)))

    def exchange_of(solid: Solid, y: np.ndarray | None) -> np.ndarray:
        return system.exchange_errors(x, solid_weights(solid, len(x), y), T_K)

    def gradient_of(solid: Solid, y: np.ndarray | None) -> np.ndarray:
        return np.concatenate(system.parameter_gradient(solid, x, T_K, y))

    def fusion_of(solid: Solid, y: np.ndarray | None) -> np.ndarray:
        return system.fusion_errors(solid, T_K, y)

    def slope_of(solid: Solid, y: np.ndarray | None) -> np.ndarray:
        return np.array(driving_slope(melts, solid, T_K, y))

    for uptake in uptakes(phases, solids, phases.liquid.spread(own[None, :])[0], T_K):
        solid, y = uptake.phase.solid, uptake.phase.members
        exchange = exchange_of(solid, y)
        shared += uptake.per_mole(partial(exchange_of, solid))
        gradient += uptake.per_mole(partial(gradient_of, solid))
        fusion += uptake.per_mole(partial(fusion_of, solid))
        slope += float(uptake.per_mole(partial(slope_of, solid)))
        model += uptake.more**2 * (system.model_variance(solid, x, T_K, y) - float(exchange @ exchange))
    gradients = np.split(gradient, np.cumsum(sizes)[:-1])
    variance = system.variance(gradients, fusion) + model + float(shared @ shared)
    return min(float(np.sqrt(variance)) / max(-slope, 1.0), WIDEST_K)
