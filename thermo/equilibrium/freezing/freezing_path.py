"""What freezes when: amounts of liquid and of every solid against temperature, from the liquidus to below the solidus.

At every temperature the balance is found anew (phases/balance). Between two temperatures with different solids the
change is looked for where the new phase comes into balance by tangents, failing that by halves, so that a eutectic or
peritectic stands as a step and not as a slope.
Amounts: moles of salt formulas of one cation each, a mole of mix. Lever rule; see freezing/solidus.
Worked value: NaCl-CaCl2 30/70 mol%: CaCl2 from 632 deg C on, 38 % of the mix just above the eutectic, all at 500.
"""

from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.freezing.solidus import STEP_K, Solidus, counted, solidus
from thermo.equilibrium.phases.balance import PhaseBalance, phase_balance
from thermo.equilibrium.phases.part import Balance
from thermo.equilibrium.system.driving_force import LOWEST_K
from thermo.laws.solid_solution import SolutionSolid
from thermo.records.composition import Composition
from thermo.records.provenance import InputError
from thermo.records.reported_gaps import gap_in_print
from thermo.records.units import celsius

CHANGE_K = 0.2  # a change of phases is placed to this
_TANGENTS, _CLOSE_K = 6, 0.02  # after so many tries by halves; no nearer to where the phases are known already
_BEYOND_K = 5.0  # shown above the liquidus and below the solidus


@dataclass(frozen=True)
class FreezingPath:
    """Phases of one mix on cooling, N temperatures from above the liquidus to below the solidus, n salts.

    T_K (N,) falls. liquid_fraction_mol (N,) of the mix. phases: every solid's name with its amount (N,), moles of salt
    formulas a mole of mix. solidus_K and sigma_solidus_K are None where there is none; the path then ends where the
    computed melt ends.
    """

    salts: tuple[str, ...]
    fractions: tuple[float, ...]
    T_K: np.ndarray
    liquid_fraction_mol: np.ndarray
    phases: tuple[tuple[str, np.ndarray], ...]
    liquidus_K: float
    sigma_liquidus_K: float
    solidus_K: float | None
    solidus_solids: tuple[str, ...]
    sigma_solidus_K: float | None
    notes: tuple[str, ...]


def freezing_path(composition: Composition, points: int = 40) -> FreezingPath:
    """Phases of the melt from the liquidus to the solidus at `points` temperatures and wherever they change.

    InputError for fewer than two points.
    """
    if points < 2:
        raise InputError(f"points {points}: allowed is 2 or more")
    melt = counted(composition)
    start, end = liquidus(melt), solidus(melt)
    phases = phase_balance(melt.salts)
    mix = phases.mix(melt)
    balances: list[Balance] = []
    for T_K in _temperatures(start.T_K, end, points):
        balances.append(_balance(phases, mix, T_K, balances[-1:]))
    balances = _with_changes(phases, mix, balances)
    notes = tuple(dict.fromkeys((*_two_liquids(balances, composition.salts), *start.notes, *end.notes)))
    return FreezingPath(
        salts=melt.salts,
        fractions=melt.fractions,
        T_K=np.array([b.T_K for b in balances]),
        liquid_fraction_mol=np.array([0.0 if b.liquid is None else b.liquid.amount for b in balances]),
        phases=_tracks(balances),
        liquidus_K=start.T_K,
        sigma_liquidus_K=start.sigma_K,
        solidus_K=end.T_K,
        solidus_solids=end.solids,
        sigma_solidus_K=end.sigma_K,
        notes=notes,
    )


def _balance(phases: PhaseBalance, mix: np.ndarray, T_K: float, neighbours: list[Balance]) -> Balance:
    """The balance at T; the neighbours' melts only save time, the search is as wide as without them."""
    return phases.at(mix, T_K, near=neighbours)


def _temperatures(liquidus_K: float, end: Solidus, points: int) -> np.ndarray:
    """Temperatures to look at, falling: an even row between two steps just beside the solidus, and a little beyond."""
    if end.T_K is None:
        return np.linspace(liquidus_K + _BEYOND_K, LOWEST_K, points + 1)
    above, below = end.T_K + STEP_K, end.T_K - STEP_K
    row = np.linspace(max(liquidus_K, above), above, points)
    return np.unique([liquidus_K + _BEYOND_K, *row, below, below - _BEYOND_K])[::-1]


def _two_liquids(balances: list[Balance], salts: tuple[str, ...]) -> list[str]:
    """A note where the melt splits in two, with what print says of it."""
    T_C = [celsius(b.T_K) for b in balances if sum(p.solid is None for p in b.phases) > 1]
    if not T_C:
        return []
    span = f"{max(T_C):.0f} to {min(T_C):.0f} deg C"
    told = gap_in_print(salts)
    return [f"the computed melt separates into two liquids from {span} ({told}): do not trust what it says there"]


def _which(balance: Balance) -> list[tuple[int, int]]:
    """What each phase is, the sides of a split solution apart."""
    own = [p.solid for p in balance.phases]
    sides = [
        int(p.members.argmax()) if p.members is not None and own.count(p.solid) > 1 else -1 for p in balance.phases
    ]
    return [(id(solid), side) for solid, side in zip(own, sides, strict=True)]


def _alike(one: Balance, other: Balance) -> bool:
    return sorted(_which(one)) == sorted(_which(other))


def _with_changes(phases: PhaseBalance, mix: np.ndarray, balances: list[Balance]) -> list[Balance]:
    """The balances with two more, CHANGE_K apart at most, around every change of phases between neighbours."""
    found = [balances[0]]
    for following in balances[1:]:
        found += _between(phases, mix, found[-1], following, 0)
        found.append(following)
    return found


def _between(phases: PhaseBalance, mix: np.ndarray, hot: Balance, cold: Balance, tried: int) -> list[Balance]:
    if hot.T_K - cold.T_K <= CHANGE_K or _alike(hot, cold):
        return []
    T_K = _beside_change(phases, mix, hot, cold) if tried < _TANGENTS else None
    middle = _balance(phases, mix, 0.5 * (hot.T_K + cold.T_K) if T_K is None else T_K, [hot, cold])
    first = _between(phases, mix, hot, middle, tried + 1)
    return [*first, middle, *_between(phases, mix, middle, cold, tried + 1)]


def _beside_change(phases: PhaseBalance, mix: np.ndarray, hot: Balance, cold: Balance) -> float | None:
    """A temperature just above or below a change of phases; None where nothing tells.

    By tangents: where what only the cold mix has comes into balance with the hot one, else the other way round.
    """
    for at, other, first in ((hot, cold, max), (cold, hot, min)):
        there = _which(at)
        new = [p for p, key in zip(other.phases, _which(other), strict=True) if key not in there]
        tangents = [phases.forms_K(p, at, mix) for p in new]
        found = [T for T in tangents if T is not None and cold.T_K - CHANGE_K / 3 < T < hot.T_K + CHANGE_K / 3]
        if found:
            change = first(found)
            beside = (change + way * 0.4 * CHANGE_K for way in (1, -1))
            return next((T for T in beside if cold.T_K + _CLOSE_K < T < hot.T_K - _CLOSE_K), None)
    return None


def _tracks(balances: list[Balance]) -> tuple[tuple[str, np.ndarray], ...]:
    """Name and amounts (N,) of every solid, in the order of appearance on cooling; a split solution's sides apart."""
    split = {p.solid for b in balances for p in b.solids if [q.solid for q in b.solids].count(p.solid) > 1}
    amounts: dict[tuple, np.ndarray] = {}
    widest: dict[tuple, np.ndarray] = {}
    for row, balance in enumerate(balances):
        for phase in balance.solids:
            key = (phase.solid, int(phase.own.argmax()) if phase.solid in split else -1)
            amounts.setdefault(key, np.zeros(len(balances)))[row] += phase.amount
            if phase.members is not None:
                widest[key] = np.maximum(widest.get(key, 0.0), phase.members)
    return tuple((_track_name(key, widest.get(key)), values) for key, values in amounts.items())


def _track_name(key: tuple, widest: np.ndarray | None) -> str:
    solid, side = key
    if not isinstance(solid, SolutionSolid):
        return solid.name
    return solid.formulas[side] if side >= 0 else solid.label(widest)
