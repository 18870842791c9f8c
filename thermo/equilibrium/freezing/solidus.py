"""How a melt freezes: solid fraction and phases against temperature, and the solidus, below which nothing is liquid.

At every temperature the phases are those of lowest Gibbs energy (phases/balance), each on its own, so the amounts obey
the lever rule: equilibrium freezing. The solidus is the temperature where the driving force for the first liquid of a
mix of its own solids is zero,
    f(T) = min over x of sum x_i (mu_i(liquid, x, T) - pi_i(T)) = 0      pi: potentials in the solids alone
Newton's rule comes down to it from the liquidus (f is concave in T where the solids stay the same, so the highest root
is met first) and two full balances, half a step above and below, confirm it; where it runs away it starts again from
the last of strides of full balances that has liquid, and failing that "liquid present" is found by halves.
Uncertainty: solidus_sigma; more where the last solids are known to mix and are taken apart for want of a law.
Limits: no segregation. In a real pot solids do not follow the melt they came from: the last liquid persists below the
solidus, down to the lowest eutectic it can reach. Less than 1e-9 mol of liquid a mole counts as none.
Worked value: any mix of NaCl and CaCl2 has the temperature of their eutectic as its solidus.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from thermo.equilibrium.freezing.liquidus import liquidus, pair_notes
from thermo.equilibrium.freezing.solidus_sigma import solidus_sigma
from thermo.equilibrium.phases.balance import PhaseBalance, phase_balance
from thermo.equilibrium.phases.part import Balance, Phase, SolidPhase
from thermo.equilibrium.system.driving_force import LOWEST_K, liquidus_field
from thermo.equilibrium.system.interface import System
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import DoubleSolid
from thermo.records.composition import Composition
from thermo.records.compound_solutions import unmodelled
from thermo.records.reported_gaps import gap_in_print
from thermo.records.substances import double_salts
from thermo.records.triple_salts import triple_salts
from thermo.records.units import NINETY, celsius

STEP_K = 1e-3  # the solidus is found to this
PRESENT = 1e-9  # moles of liquid a mole of mix
_STRAIGHT_K = 1.0  # a shorter step changes the slope by some 1e-3 of itself
_STRIDE_K = 50.0
_NEWTON_STEPS = 40
_AGREES = 1e-3  # J/mol, some 5e-5 K
_COLDEST, _APART = 3, 0.4  # melts from which the coldest is looked for, and how far apart (sum of |differences|)
_COLD_K = 450.0  # chloride melts with zinc and caesium freeze somewhat above; no melt of these salts below is known
SEGREGATION = (
    "equilibrium freezing (lever rule): cooled in practice, liquid persists below the solidus, down to the lowest "
    "eutectic it can reach"
)


@dataclass(frozen=True)
class Solidus:
    """Where the last liquid freezes: T and one standard deviation, the solids it leaves, the last liquid.

    last_liquid: mole fractions of the melt's salts; with two anions moles a mole of cations of each of `ions`, cations
    first (salts trade ions, so the salts weighed in need not be able to make it up); `ions` is empty with one anion.
    T_K and sigma_K are None, solids and last_liquid empty where there is none; the first note says why.
    """

    T_K: float | None
    sigma_K: float | None
    solids: tuple[str, ...]
    last_liquid: tuple[float, ...]
    notes: tuple[str, ...]
    ions: tuple[str, ...] = ()


def solidus(composition: Composition, system: System | None = None) -> Solidus:
    """Solidus of one melt with its standard deviation and the solids below it.

    `system` replaces the fitted one (its salts in the melt's order, all present).
    """
    melt = counted(composition)
    if len(melt.salts) == 1:
        found = liquidus(melt)
        return Solidus(found.T_K, found.sigma_K, melt.salts, melt.fractions, ())
    phases = phase_balance(melt.salts) if system is None else PhaseBalance(system)
    mix = phases.mix(melt)
    top = float(liquidus_field(melt.salts, melt.array[None, :], system).T_K[0])
    notes = (*pair_notes(phases.system), *missing_solids(phases.system), SEGREGATION)
    end = _solidus_temperature(phases, mix, top)
    if end is None:
        unknown = (
            f"no solidus: the computed melt has some liquid down to {celsius(LOWEST_K):.0f} deg C; it will freeze "
            "as double salts for which there are no data"
        )
        return Solidus(None, None, (), (), (unknown, *notes))
    T_K, x = end.T_K, end.x
    if not end.alone:
        parting = f"just above the solidus the computed melt separates into two liquids ({gap_in_print(melt.salts)})"
        notes = (f"{parting}: do not trust what it says there", *notes)
    below = phases.at(mix, T_K - STEP_K / 2, liquid=False) if end.balance is None else end.balance
    solids = below.solids
    if T_K < _COLD_K:
        notes = (f"a solidus below {celsius(_COLD_K):.0f} deg C is lower than that of any melt known: doubt it", *notes)
    sigma = float(np.hypot(solidus_sigma(phases, solids, x, T_K), _as_one_crystal(solids, top - T_K)))
    ions = (*phases.system.cations, "F", "Cl") if isinstance(phases.system, ReciprocalSystem) else ()
    return Solidus(T_K, sigma, tuple(dict.fromkeys(phase_names(solids))), tuple(x.tolist()), notes, ions)


def counted(composition: Composition) -> Composition:
    """The melt without salts of which there is PRESENT or less: the liquid that they could leave counts as none."""
    melt = composition.present
    kept = [(f, x) for f, x in zip(melt.salts, melt.fractions, strict=True) if x > PRESENT]
    if len(kept) == len(melt.salts):
        return melt
    total = sum(x for _, x in kept)
    return Composition(tuple(f for f, _ in kept), tuple(x / total for _, x in kept))


def coldest_solidus_K(salts: tuple[str, ...]) -> float | None:
    """How far down (K) some melt of the ions of these salts stays partly liquid; None where one never is wholly solid.

    The lowest solidus of the three coldest melts of a grid: where no solid dissolves another, that of an invariant.
    """
    phases = phase_balance(salts)
    melt = phases.liquid
    T_K = liquidus_field(phases.system.salts, melt.fractions(melt.grid), phases.system).T_K
    found, left = [], T_K.copy()
    for _ in range(_COLDEST):
        best = int(left.argmin())
        if not np.isfinite(left[best]):
            break
        end = _solidus_temperature(phases, melt.spread(melt.grid[[best]])[0], float(T_K[best]))
        if end is None:
            return None
        found.append(float(end.T_K))
        left[np.abs(melt.grid - melt.grid[best]).sum(axis=1) < _APART] = np.inf
    return min(found)


def missing_solids(system: System) -> list[str]:
    """A line on compounds of these salts that are known or suspected but take no part for want of energies."""
    here = {solid.name for solid in system.solids if isinstance(solid, DoubleSolid)}
    here |= {f for solid in system.solids if isinstance(solid, SolutionSolid) for f in solid.formulas}
    known = {f: compound.stoichiometry for f, compound in double_salts().items()}
    known |= {f: compound.stoichiometry for f, compound in triple_salts().items()}
    apart = [name for name, members in unmodelled() if members <= here]
    missing = [f for f, parts in known.items() if set(parts) <= set(system.constituents) and f not in here]
    named = [f"{f} (suspected)" if f in triple_salts() and triple_salts()[f].suspected else f for f in missing]
    left_out = f"left out for want of data, the real solidus may be higher: {', '.join(named)}"
    mixed = f"taken as separate crystals for want of a law, the real solidus may be higher: {', '.join(apart)}"
    return [line for line, told in ((left_out, missing), (mixed, apart)) if told]


def _as_one_crystal(solids: tuple[SolidPhase, ...], below_K: float) -> float:
    """How much higher a mix may end freezing whose last solids are known to mix and do not here, K.

    As one crystal without a gap it would end anywhere up to where it starts: that is the 90 % end.
    """
    names = {phase.solid.name for phase in solids}
    return max(below_K, 0.0) / NINETY if any(members <= names for _, members in unmodelled()) else 0.0


def lacks_compounds(system: System) -> bool:
    """Whether a compound of three of these salts takes no part for want of an energy."""
    here = {solid.name for solid in system.solids}
    return any(set(c.stoichiometry) <= set(system.constituents) and f not in here for f, c in triple_salts().items())


class _End(NamedTuple):
    """Where a mix turns wholly solid, its last liquid (k,), whether that is one melt, the solids there if known."""

    T_K: float
    x: np.ndarray
    alone: bool = True
    balance: Balance | None = None


def _solidus_temperature(phases: PhaseBalance, mix: np.ndarray, top: float) -> _End | None:
    """The highest temperature below `top` where the mix turns wholly solid.

    None where it never does, or where liquid comes back further down (laws used beyond their span).
    """
    alone = _by_newton(phases, mix, top, phases.liquid.from_kept(mix[None, :])[0])
    found = _by_strides(phases, mix, top) if alone is None else alone
    if found is None or found.T_K > _COLD_K:
        return found
    colder = np.arange(LOWEST_K, found.T_K - STEP_K, _STRIDE_K)
    return None if any(_liquid_at(phases, mix, float(T_K)) for T_K in colder) else found


def _by_newton(phases: PhaseBalance, mix: np.ndarray, top: float, x: np.ndarray, low: float = LOWEST_K) -> _End | None:
    """Root of f(T) approached from `top`, and the last liquid; None where it runs away or full balances disagree.

    x: a liquid (k,) to look from; low: how far down it may be looked for.
    """
    T_K, step, slope = top, np.inf, 0.0
    last: tuple[Balance, ...] = ()
    for _ in range(_NEWTON_STEPS):
        solids = phases.at(mix, T_K, liquid=False, near=last)
        held = phases.unspanned(tuple(p for p in solids.phases if p.amount > PRESENT))
        x, force, _ = phases.fitting_liquid(solids.potentials, held, T_K, x)
        if abs(step) > _STRAIGHT_K:  # nearer to the root the slope is what it was
            if (rise := phases.rise(solids, mix)) is None:
                return None
            slope = phases.liquid.energy_slope(x, T_K) - phases.liquid.spread(x[None, :])[0] @ rise
        if slope > -0.1:  # J/(mol K): melting that takes no entropy is a sign of laws used beyond their span
            return None
        step, last = -force / slope, (solids,)
        T_K += step
        if not low < T_K < top + 1.0:
            return None
        if abs(step) > STEP_K / 20:
            continue
        if len(held):  # potentials are not unique: only a full balance knows whether another solid stands in the way
            above, below = (_liquid_at(phases, mix, T_K + way * STEP_K / 2, x) for way in (1, -1))
            return _End(T_K, x) if above and not below else None
        other, force = phases.first_liquid(solids.potentials, T_K)
        if force > -_AGREES:
            return _End(T_K, x, balance=solids)  # less than STEP_K away
        x, step = other, np.inf  # the search from everywhere knows a melt that forms first
    return None


def _liquid_at(phases: PhaseBalance, mix: np.ndarray, T_K: float, last: np.ndarray | None = None) -> bool:
    return bool(_melts_at(phases, mix, T_K, last))


def _melts_at(phases: PhaseBalance, mix: np.ndarray, T_K: float, last: np.ndarray | None = None) -> list[Phase]:
    """The liquids of the mix, the largest first; none where there is less than PRESENT of them."""
    found = phases.at(mix, T_K, melts=None if last is None else last[None, :])
    if found.liquid is None or found.liquid.amount <= PRESENT:
        return []
    return sorted((p for p in found.phases if p.solid is None), key=lambda p: -p.amount)


def _by_strides(phases: PhaseBalance, mix: np.ndarray, top: float) -> _End | None:
    """The same from full balances: downwards in strides, and in the last one by Newton's rule or by halves."""
    above = low = top + STEP_K
    melts, last = _melts_at(phases, mix, low), phases.liquid.from_kept(mix[None, :])[0]
    while melts:
        above, low, last = low, low - _STRIDE_K, melts[0].own
        if low < LOWEST_K:
            return None
        melts = _melts_at(phases, mix, low, last)
    found = _by_newton(phases, mix, above, last, low - _STRIDE_K)
    if found is None or low > found.T_K:
        return _by_halves(phases, mix, low, above)
    melts = _melts_at(phases, mix, found.T_K + STEP_K / 2, found.x)
    return found._replace(x=melts[0].own if melts else found.x, alone=len(melts) < 2)


def _by_halves(phases: PhaseBalance, mix: np.ndarray, low: float, above: float) -> _End:
    """Between a temperature without liquid and one with it."""
    while above - low > STEP_K:
        middle = 0.5 * (above + low)
        above, low = (middle, low) if _liquid_at(phases, mix, middle) else (above, middle)
    if not (melts := _melts_at(phases, mix, above)):
        return _End(0.5 * (above + low), phases.liquid.from_kept(mix[None, :])[0])
    # two liquids are each in balance with the solids, their mean is not
    return _End(0.5 * (above + low), melts[0].own, len(melts) == 1)


def phase_names(solids: tuple[SolidPhase, ...]) -> list[str]:
    """Names of solids present together: two sides of one solid solution are named by their chief members."""
    own = [p.solid for p in solids]
    names = []
    for phase in solids:
        if not isinstance(phase.solid, SolutionSolid):
            names.append(phase.solid.name)
        elif own.count(phase.solid) > 1:
            names.append(phase.solid.formulas[int(phase.own.argmax())])
        else:
            names.append(phase.solid.label(phase.own))
    return names
