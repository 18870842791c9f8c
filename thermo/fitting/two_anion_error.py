"""How far the law of cation-anion pairs strays from published melts of fluoride with chloride, left out of all fits.

At a published melt each solid that is named there is in balance: its driving force D (J/mol of salt formulas) should be
zero. D shows too much solubility as well as too little, which a difference of temperatures does not: above its liquidus
a dilute melt of a high-melting fluoride meets the pure salt's own melting point first.
Z, the neighbours of a cation, is the one that makes the root mean square of D smallest, each system of ions counting
once; `chosen` leaves each system out in turn. The spread of the energies of exchange is the least step of 250 J a
charge with which 90 % of |D| lie inside 1.645 standard deviations whichever system is left out, counting only systems
whose pairs were all measured (`measured`): estimated ones leave so much open by themselves that they always do.
Worked value: data/DECISIONS.md has the table.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.solids import solid_weights
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import Solid
from thermo.records.compound_solutions import solution_called
from thermo.records.fitted import PairModel, moved_models
from thermo.records.joint import shifts_of
from thermo.records.published import melting_points, ternary_points
from thermo.records.reference import Reference
from thermo.records.remembered import remembered
from thermo.records.substances import salt, salts

_UNNAMED = "recl3_ref3_jacers"  # printed as eutectics of two salts, without naming the solids: those two are meant
COVERED = 0.90
MEASURED_TWICE = 0.015  # mole fraction, as in the joint update
_DX = 1e-4


@dataclass(frozen=True)
class NamedMelt:
    """One published melt of two anions and several cations: salts, fractions, T, the solids named there.

    x_sigma: of the fractions, as printed, or what a melt measured twice disagrees by; none along a measured curve.
    """

    salts: tuple[str, ...]
    fractions: tuple[float, ...]
    x_sigma: float
    T_K: float
    T_sigma_K: float
    kind: str
    solids: tuple[str, ...]
    reference: Reference

    @property
    def source(self) -> str:
        """Key in data/sources.csv."""
        return self.reference.source

    @property
    def system(self) -> str:
        """Its cations, in the order of the list of salts."""
        order = [s.cation for s in salts().values()]
        return ",".join(sorted({salt(f).cation for f in self.salts}, key=order.index))


@dataclass(frozen=True)
class Residual:
    """Driving force of one named solid at one published melt, J/mol, its slope in T, and its sigma.

    sigma: of the fitted parts alone; by_place: what one sigma of the published composition does to D; by_E: what one
    sigma of each tabulated exchange energy and by_charge 1 J/mol a charge of each does; by_Z: what Z + 1 does.
    """

    melt: NamedMelt
    solid: str
    D: float
    slope: float
    sigma: float = 0.0
    by_E: tuple[float, ...] = ()
    by_charge: tuple[float, ...] = ()
    by_Z: float = 0.0
    by_place: float = 0.0

    def spread(self, exchange_J_mol: float, neighbours: float) -> float:
        """Standard deviation of D with these errors of the law; the published temperature's and place's counted too."""
        law = float(np.sum(np.square(self.by_E)) + exchange_J_mol**2 * np.sum(np.square(self.by_charge)))
        law += (neighbours * self.by_Z) ** 2 + (self.slope * self.melt.T_sigma_K) ** 2 + self.by_place**2
        return float(np.sqrt(self.sigma**2 + law))


def _two_anions_of_several(names: Sequence[str]) -> bool:
    known = salts()
    if not all(f in known for f in names):
        return False
    return len({known[f].anion for f in names}) == 2 and len({known[f].cation for f in names}) > 1


@remembered
def named_melts() -> tuple[NamedMelt, ...]:
    """Every published melt of two anions and several cations with its solids; unsure rows left out."""
    found = []
    for row in melting_points():
        x_b, T_K = row.x_b, row.T_K
        if not _two_anions_of_several(row.pair) or row.unsure or T_K is None or x_b is None:
            continue
        solids = row.pair if row.source == _UNNAMED else row.solids
        x_sigma = 0.0 if row.kind == "liquidus" else MEASURED_TWICE if row.x_b_sigma is None else row.x_b_sigma
        found.append(
            NamedMelt(row.pair, (1 - x_b, x_b), x_sigma, T_K, row.T_sigma_K or 5.0, row.kind, solids, row.reference)
        )
    for melt in ternary_points():
        if _two_anions_of_several(melt.salts) and not melt.unsure and melt.fractions:
            x = tuple(f / sum(melt.fractions) for f in melt.fractions)
            own = (melt.T_K, melt.T_sigma_K, melt.kind, melt.solids, melt.reference)
            found.append(NamedMelt(melt.salts, x, MEASURED_TWICE, *own))
    return tuple(found)


def solid_called(system: ReciprocalSystem, name: str) -> tuple[Solid, int | None] | None:
    """The solid of a published name and, of a solid solution, the member whose side is meant; None without data."""
    for solid in system.solids:
        if isinstance(solid, SolutionSolid):
            members = solution_called(name) or _members(name)
            if name.startswith("(") and all(f in solid.formulas for f in members):
                return solid, None
            if name in solid.formulas and solid.formulas.index(name) in solid.natives:
                return solid, solid.formulas.index(name)
        elif solid.name == name:
            return solid, None
    return None


def _members(name: str) -> list[str]:
    """(Na,K)Cl -> NaCl, KCl."""
    inside, _, anion = name[1:].partition(")")
    return [f"{cation}{anion}" for cation in inside.split(",")]


@remembered
def _models_left_out() -> Mapping[frozenset, PairModel]:
    """The pairs without what the published melts of two anions add to them."""
    known = salts()

    def of_one_anion(row: Mapping[str, str]) -> bool:
        return len({known[f].anion for n in range(1, 5) if (f := row[f"salt{n}"])}) == 1

    return moved_models(shifts_of(of_one_anion))


def system_of(names: tuple[str, ...], Z: float | None = None, *, left_out: bool = True) -> ReciprocalSystem:
    """The system of these salts, with its own Z if given; `left_out`: as if no melt of two anions had moved a pair."""
    system = ReciprocalSystem(names)
    if left_out and system.estimated:
        system = ReciprocalSystem(names, _models_left_out())
    if Z is not None:
        system.laws = replace(system.laws, Z=Z)
    return system


def residuals(
    Z: float | None = None, melts: Sequence[NamedMelt] | None = None, *, left_out: bool = True
) -> list[Residual]:
    """Driving force of every named solid at every published melt, left out of what moves a pair, or as fitted."""
    found = []
    for melt in named_melts() if melts is None else melts:
        system = system_of(melt.salts, Z, left_out=left_out)
        here = Melts(system, np.array([melt.fractions]))
        for name in melt.solids:
            called = solid_called(system, name)
            if called is not None:
                D, slope, _ = here.driving_force(called[0], np.array([melt.T_K]), near=called[1])
                found.append(Residual(melt, name, float(D[0]), float(slope[0])))
    return found


def with_spreads(found: Sequence[Residual]) -> list[Residual]:
    """The same with what fits, tabulated energies and the law's own constants leave open."""
    complete = []
    for one in found:
        system = system_of(one.melt.salts)
        called = solid_called(system, one.solid)
        if called is None:
            raise ValueError(f"{'-'.join(one.melt.salts)}: no solid called {one.solid}")
        solid, near = called
        x = np.array(one.melt.fractions)
        _, _, y = Melts(system, x[None, :]).driving_force(solid, np.array([one.melt.T_K]), near=near)
        own = None if y is None else y[0]
        weights = solid_weights(solid, len(system.constituents), own)
        gradients = system.parameter_gradient(solid, x, one.melt.T_K, own)
        variance = system.variance(gradients, system.fusion_errors(solid, one.melt.T_K, own))
        by_unit, by_Z = system.law_slopes(x, weights, one.melt.T_K)
        tabulated = system.formation_sigmas()
        complete.append(
            replace(
                one,
                sigma=float(np.sqrt(variance)),
                by_E=tuple((by_unit * tabulated).tolist()),
                by_charge=tuple((by_unit * system.charges).tolist()),
                by_Z=by_Z,
                by_place=_by_place(system, solid, near, one.melt),
            )
        )
    return complete


def _by_place(system: ReciprocalSystem, solid: Solid, near: int | None, melt: NamedMelt) -> float:
    """What one sigma of a published composition does to a driving force, J/mol: all changes of one fraction alike.

    Of two salts the first gives what the second takes; of more each is off by itself, the rest in proportion.
    """
    x = np.array(melt.fractions)
    away = (np.eye(len(x)) - x) / (1 - x[:, None])
    steps = np.vstack([x + _DX * away, x - _DX * away])
    D, _, _ = Melts(system, steps).driving_force(solid, np.full(len(steps), melt.T_K), near=near)
    slopes = (D[: len(x)] - D[len(x) :]) / (2 * _DX)
    size = np.abs(slopes[-1]) if len(x) == 2 else np.sqrt(np.mean(slopes**2) * (len(x) - 1))
    return float(melt.x_sigma * size)


def mean_square_root(found: Sequence[Residual], without: str = "") -> float:
    """Root mean square of D, J/mol, each system of cations counting once."""
    systems = dict.fromkeys(one.melt.system for one in found)
    squares = [np.mean([one.D**2 for one in found if one.melt.system == name]) for name in systems if name != without]
    return float(np.sqrt(np.mean(squares)))


def chosen(values: Sequence[float]) -> tuple[float, dict[str, float]]:
    """The Z of these with the smallest root mean square of D, and the same with each system left out."""
    by_Z = {Z: residuals(Z) for Z in values}
    systems = dict.fromkeys(melt.system for melt in named_melts())

    def best(without: str) -> float:
        return min(values, key=lambda Z: mean_square_root(by_Z[Z], without))

    return best(""), {name: best(name) for name in systems}


def measured(found: Sequence[Residual]) -> list[Residual]:
    """Those of systems whose pairs all have points of their own."""
    return [one for one in found if not system_of(one.melt.salts).estimated]


def covered_without_each(found: Sequence[Residual], exchange_J_mol: float, neighbours: float) -> dict[str, float]:
    """`covered` with each system of cations left out."""
    systems = dict.fromkeys(one.melt.system for one in found)
    rest = {name: [one for one in found if one.melt.system != name] for name in systems}
    return {name: covered(own, exchange_J_mol, neighbours) for name, own in rest.items()}


def covered(found: Sequence[Residual], exchange_J_mol: float, neighbours: float) -> float:
    """The quantile COVERED of |D| / sigma; 1.645 where the spread is right."""
    ratios = [abs(one.D) / one.spread(exchange_J_mol, neighbours) for one in found]
    return float(np.quantile(ratios, COVERED))
