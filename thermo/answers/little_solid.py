"""A bath of fluoride with chloride that holds a little solid fluoride is not frozen: what lies in it, and how far down.

Magnesium and flux baths are run with some undissolved fluoride on the floor. Where at the working temperature the only
solids are fluorides, under 2 mass% of the bath (common practice, no source), the melt above them is what the cell runs
in. Its window ends below where one of two things happens on cooling,
    a salt without fluoride comes out: the melt itself freezes (superheat counts from there), or
    the solid fluoride reaches 2 mass%.
Both from the phases of lowest Gibbs energy at T (equilibrium/phases).
Limits: equilibrium; the bands are those of the liquidus. Worked value: NaCl 40, KCl 36, MgCl2 20, CaF2 4 mass% at 690
deg C: under 1 mass% of MgF2 in a melt that freezes near 630.
"""

from dataclasses import dataclass

import numpy as np

from thermo.answers.dissolves import holds_fluoride
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.freezing.solidus import counted, phase_names
from thermo.equilibrium.phases.balance import Balance, PhaseBalance, phase_balance
from thermo.equilibrium.system.driving_force import LOWEST_K
from thermo.equilibrium.system.solids import solid_weights
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.records.composition import Composition, formula_mass

LITTLE_MASS_PERCENT = 2.0  # common practice, no source
_STRIDE_K, _CLOSE_K = 25.0, 0.5


@dataclass(frozen=True)
class LittleSolid:
    """Undissolved fluoride at T_K: mass percent of the bath by solid, and where the window of the melt above it ends.

    freezes_K: where the melt freezes itself, a salt without fluoride; too_much_K: where the solid fluoride reaches
    2 mass%; None for what does not come first.
    """

    T_K: float
    solids: tuple[tuple[str, float], ...]
    freezes_K: float | None
    too_much_K: float | None

    @property
    def mass_percent(self) -> float:
        """All solids together."""
        return sum(percent for _, percent in self.solids)

    @property
    def words(self) -> str:
        """The solids with their shares."""
        return ", ".join(f"{name} {percent:.1f} mass%" for name, percent in self.solids)


def little_solid(composition: Composition, T_K: float) -> LittleSolid | None:
    """The little solid fluoride in a bath at T; None where there is none, more than 2 mass% or another solid."""
    melt = counted(composition)
    phases = phase_balance(melt.salts)
    if not isinstance(phases.system, ReciprocalSystem) or liquidus(melt).T_K <= T_K:
        return None
    mix = phases.mix(melt)
    here = phases.at(mix, T_K)
    if not _fit(phases, here):
        return None
    names = phase_names(here.solids)
    shares = tuple((name, _percent(phases, here, [phase])) for name, phase in zip(names, here.solids, strict=True))
    warm, cold = T_K, T_K - _STRIDE_K
    while cold > LOWEST_K and _fit(phases, phases.at(mix, cold)):
        warm, cold = cold, cold - _STRIDE_K
    while warm - cold > _CLOSE_K:
        middle = 0.5 * (warm + cold)
        warm, cold = (middle, cold) if _fit(phases, phases.at(mix, middle)) else (warm, middle)
    too_much = _only_fluorides(phases, phases.at(mix, cold))
    return LittleSolid(T_K, shares, None if too_much else warm, warm if too_much else None)


def _fit(phases: PhaseBalance, balance: Balance) -> bool:
    little = _percent(phases, balance, balance.solids) < LITTLE_MASS_PERCENT
    return balance.liquid is not None and little and _only_fluorides(phases, balance)


def _only_fluorides(phases: PhaseBalance, balance: Balance) -> bool:
    return all(phase.solid is None or holds_fluoride(phases.system, phase.solid) for phase in balance.phases)


def _percent(phases: PhaseBalance, balance: Balance, wanted) -> float:
    """Mass percent of these phases of a balance."""
    own = np.array([formula_mass(f) for f in phases.system.constituents])

    def grams(phase) -> float:
        if phase.solid is None:
            return phase.amount * float(phases.liquid.fractions(phase.own) @ own)
        return phase.amount * float(solid_weights(phase.solid, len(own), phase.members) @ own)

    total = sum(grams(phase) for phase in balance.phases)
    return 100 * sum(grams(phase) for phase in wanted) / total
