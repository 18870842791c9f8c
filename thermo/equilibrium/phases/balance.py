"""Which phases a mix consists of at one temperature, and how much of each: the smallest Gibbs energy.

    minimise sum_c n_c g_c(T)  with  sum_c n_c w_ci = z_i,  n_c >= 0          (White, Johnson & Dantzig 1958)
over candidate phases c of composition w_c: every pure and double salt, the liquid and each solid solution on a grid.
The conserved components i (n of them) are the salts, or with two anions the ions (conserved.py). g: J per mole of salt
formulas, counted from the solid salts. This is a linear programme: its optimum holds at most n phases (the phase rule),
and its multipliers pi_i are the chemical potentials of the components. Each temperature is solved by itself, so a phase
cannot be missed for not having been there at the last one.
Refinement: candidates of one phase are merged and Newton's rule makes mu_i(phase) = pi_i exact; then every phase is
searched for the composition with the lowest driving force f = g - sum w_i pi_i, and one with f < 0 joins the
candidates. Done when no phase has f < -TOLERANCE.
Limits: phases of thermo.laws; a liquid or a solid solution may split in two.
Worked value: NaCl and KCl half and half, 1000 K: one liquid, pi equal to its potentials; 600 K: two solids.
"""

import numpy as np

from thermo.equilibrium.phases.candidates import Pool
from thermo.equilibrium.phases.conserved import IonComponents, conserved
from thermo.equilibrium.phases.ion_melt import IonMelt
from thermo.equilibrium.phases.mixture import TOLERANCE, Mixture
from thermo.equilibrium.phases.newton import NOTHING, component_amounts, exact_balance, unspanned
from thermo.equilibrium.phases.part import Balance, Part, Phase, SolidPhase
from thermo.equilibrium.phases.simplex import exchange
from thermo.equilibrium.phases.twins import along, parted, united
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.interface import System
from thermo.equilibrium.system.solids import solid_weights
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.laws.compound_solution import CompoundSolution
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import FixedSolid, PureSolid, Solid
from thermo.records.composition import Composition
from thermo.records.remembered import remembered
from thermo.records.substances import salts as known_salts
from thermo.records.units import R

_ROUNDS = 60
_FITS = 30
_REACH = 3.0  # in R T: longest step of an open potential
_TRACE = 1e-12


class PhaseBalance:
    """What finding the phases of one system needs at any temperature and for any mix."""

    def __init__(self, system: System):
        self.system = system = system.of_all_salts if isinstance(system, ReciprocalSystem) else system
        self.components = conserved(system)
        count = len(system.constituents)
        solutions = [s for s in system.solids if isinstance(s, SolutionSolid)]
        ions = self.components if isinstance(self.components, IonComponents) else None
        melt = Mixture(self.components, None) if ions is None else IonMelt(ions)
        self.mixtures: list[Mixture] = [*(Mixture(self.components, s) for s in solutions), melt]  # the liquid last
        self.fixed = [s for s in system.solids if isinstance(s, FixedSolid)]
        self._weights = np.array([solid_weights(s, count, None) for s in self.fixed]).reshape(-1, count)
        of_salts = [(k, s) for k, s in enumerate(solutions) if not isinstance(s, CompoundSolution)]
        home = {s.indices[m]: k for k, s in of_salts for m in s.natives}
        home |= {s.index: len(self.mixtures) + k for k, s in enumerate(self.fixed) if isinstance(s, PureSolid)}
        # every salt as its own solid comes first: together they make up any mix
        blocks = [
            self.components.rows,
            self._weights @ self.components.rows,
            *(m.spread(m.grid) for m in self.mixtures),
        ]
        kinds = [np.array([home[i] for i in range(count)]), len(self.mixtures) + np.arange(len(self.fixed))]
        kinds += [np.full(len(m.grid), k) for k, m in enumerate(self.mixtures)]
        self.columns, self.kinds = np.vstack(blocks), np.concatenate(kinds).astype(int)

    def mix(self, composition: Composition) -> np.ndarray:
        """What a melt of these salts holds of the components (n,), a mole of it."""
        at = [self.system.constituents.index(f) for f in composition.salts]
        return composition.array @ self.components.rows[at]

    def at(self, mix: np.ndarray, T_K: float, liquid: bool = True, melts: np.ndarray | None = None) -> Balance:
        """Phases of the mix (n,), every component > 0, at T; without `liquid` the best that solids alone can do.

        melts (S, k): liquids to try besides the grid, where they are already known to be near the answer.
        """
        self.liquid.forget()
        pool = Pool(self, T_K, liquid)
        if melts is not None:
            pool.add(len(self.mixtures) - 1, self.liquid.spread(melts), self.liquid.energies(melts, T_K))
        basis = self.components.start(mix)
        for _ in range(_ROUNDS):
            basis, amounts, potentials = exchange(pool.columns, pool.energies, mix, basis)
            parts = self._merged(pool, basis, amounts, T_K)
            converged = self._converged_with_all(pool, parts, mix, potentials, T_K)
            if converged is not None:
                parts, potentials = converged
                break
            worst, _ = self._add_more_stable(pool, [], potentials, T_K)
            if worst >= -TOLERANCE:
                break
        return Balance(T_K, tuple(self._phase(part) for part in parts), potentials)

    def _phase(self, part: Part) -> Phase:
        solid, composition = self._solid(part.kind), component_amounts(self.mixtures, part)
        if solid is None:
            return Phase(None, composition, part.x, float(part.amount))
        return SolidPhase(solid, composition, part.x, float(part.amount))

    def _converged_with_all(
        self, pool: Pool, parts: list[Part], mix: np.ndarray, potentials: np.ndarray, T_K: float
    ) -> tuple[list[Part], np.ndarray] | None:
        """Exact balance in which no phase has a negative driving force, letting in those that do; None without one."""
        fixed = self.fixed_energies(T_K)
        for turn in range(2 * len(mix)):
            tried = [parts, parted(self.mixtures, parts) if turn else united(parts)]
            found = (exact_balance(self.mixtures, some, mix, potentials, T_K, fixed) for some in tried)
            converged = next((one for one in found if one is not None), None)
            held = unspanned(self.mixtures, parts if converged is None else converged[0])
            if converged is None and not (len(held) and all(p.kind >= len(self.mixtures) for p in parts)):
                return None
            parts, potentials = (parts, potentials) if converged is None else converged
            if len(held) and pool.mixtures == len(self.mixtures):
                return self._with_open_potentials(pool, parts, potentials, held, T_K)
            worst, most_stable = self._add_more_stable(pool, parts, potentials, T_K)
            if worst >= -TOLERANCE:
                return parts, potentials
            parts = [*parts, most_stable]
            self._add_found(pool, parts, T_K)
        return None

    def _add_found(self, pool: Pool, parts: list[Part], T_K: float) -> None:
        """What was in balance joins the candidates, as all does between it and its near twin, the last part.

        Beside what is more stable it may be half of the answer.
        """
        found = [(part.kind, part.x[None, :]) for part in parts[:-1] if part.kind < len(self.mixtures)]
        between = along(self.mixtures, parts)
        for kind, x in found if between is None else [*found, between]:
            pool.add(kind, self.mixtures[kind].spread(x), self.mixtures[kind].energies(x, T_K))

    def _with_open_potentials(
        self, pool: Pool, parts: list[Part], potentials: np.ndarray, held: np.ndarray, T_K: float
    ) -> tuple[list[Part], np.ndarray] | None:
        """These solids with potentials that leave no phase more stable; None where one is, which joins the candidates.

        Solids that cannot move in the directions `held` leave potentials open; only a melt they can make up may form.
        """
        if self._add_more_stable(pool, parts, potentials, T_K)[0] >= -TOLERANCE:
            return parts, potentials
        x, force, potentials = self.fitting_liquid(potentials, held, T_K)
        if force < -TOLERANCE:
            pool.add(len(self.mixtures) - 1, self.liquid.spread(x[None, :]), self.liquid.energies(x[None, :], T_K))
            return None
        return (parts, potentials) if self._add_more_stable(pool, parts, potentials, T_K)[0] >= -TOLERANCE else None

    @property
    def liquid(self) -> Mixture:
        """The melt as a phase of free composition."""
        return self.mixtures[-1]

    def first_liquid(
        self, potentials: np.ndarray, T_K: float, near: np.ndarray | None = None
    ) -> tuple[np.ndarray, float]:
        """The most stable melt at these potentials (n,): its own composition (k,) and driving force, J/mol.

        Searched from the whole grid, or by two steps from the melt `near`.
        """
        if near is not None:
            x, force, fall = self.liquid.step(self.liquid.step(near[None, :], potentials, T_K)[0], potentials, T_K)
            return x[0], float(force[0] - fall[0])
        gains = self.liquid.grid_energies(T_K) - self.liquid.spread(self.liquid.grid) @ potentials
        x, force = self.liquid.most_stable(self.liquid.starts(gains, [], T_K, np.inf), potentials, T_K)
        best = int(force.argmin())
        return x[best], float(force[best])

    def fitting_liquid(
        self, potentials: np.ndarray, held: np.ndarray, T_K: float, near: np.ndarray | None = None
    ) -> tuple[np.ndarray, float, np.ndarray]:
        """Most stable melt that has none of the directions `held` (q, n), its driving force and potentials (n,).

        Where q > 0 the solids leave potentials open along `held`; they are moved there until the melt fits (Newton).
        """
        x, force = self.first_liquid(potentials, T_K, near)
        for _ in range(_FITS if len(held) else 0):
            away = held @ self.liquid.spread(x[None, :])[0]
            if np.abs(away).max() < 1e-8:
                break
            step = np.linalg.solve(held @ self.liquid.response(x, T_K) @ held.T, away)
            potentials = potentials - min(1.0, _REACH * R * T_K / np.abs(step).max()) * step @ held
            x, force = self.first_liquid(potentials, T_K, x)
        return x, force, potentials

    def unspanned(self, solids: tuple[Phase, ...]) -> np.ndarray:
        """Directions (q, n) of composition in which these solids together cannot move: q = 0 for n different ones."""
        own = {id(m.solid): k for k, m in enumerate(self.mixtures)}
        parts = [Part(own.get(id(p.solid), len(self.mixtures)), p.composition, p.amount) for p in solids]
        return unspanned(self.mixtures, parts)

    def _solid(self, kind: int) -> Solid | None:
        count = len(self.mixtures)
        return self.mixtures[kind].solid if kind < count else self.fixed[kind - count]

    def fixed_energies(self, T_K: float) -> np.ndarray:
        """Gibbs energy of every solid of fixed composition, J/mol, from the levels of the solid salts."""
        own = [s.energy_and_slope(T_K)[0] for s in self.fixed]
        return np.array(own) + self._weights @ self.components.levels(T_K)

    def _merged(self, pool: Pool, basis: np.ndarray, amounts: np.ndarray, T_K: float) -> list[Part]:
        """Phases from candidates: those of one mixture with no hill between them are one phase."""
        parts = []
        held = amounts > NOTHING
        for kind in dict.fromkeys(pool.kinds[basis[held]].tolist()):
            rows = np.flatnonzero(held & (pool.kinds[basis] == kind))
            if kind >= len(self.mixtures):
                parts.append(Part(kind, pool.columns[basis[rows[0]]], float(amounts[rows].sum())))
                continue
            mixture = self.mixtures[kind]
            x = mixture.normalised(np.maximum(mixture.from_kept(pool.columns[basis[rows]]), 1e-9))
            for group in mixture.split(x, pool.energies[basis[rows]], T_K):
                n = amounts[rows[group]]
                parts.append(Part(kind, n @ x[group] / n.sum(), float(n.sum())))
        return parts

    def _add_more_stable(self, pool: Pool, parts: list[Part], potentials: np.ndarray, T_K: float) -> tuple[float, Part]:
        """Adds phases of negative driving force to the pool; the lowest driving force (J/mol) and its phase.

        Of a mixture with `search_downhill` the best start from which a phase in balance lies downhill is tried last,
        then what lies beside such a phase.
        """
        gains = pool.energies - pool.columns @ potentials
        best = int(gains.argmin())
        found = float(gains[best]), self._part(int(pool.kinds[best]), pool.columns[best])
        downhill = []
        for kind, mixture in enumerate(self.mixtures[: pool.mixtures]):
            own = [p.x for p in parts if p.kind == kind]
            start, stop = pool.blocks[kind]
            starts = mixture.starts(gains[start:stop], own, T_K)
            if own and len(starts):
                apart = mixture.over_a_hill(own, starts, potentials, T_K)
                downhill += [(kind, starts[~apart][:1])] if mixture.search_downhill else []
                starts = starts[apart]
            found = self._more_stable_of(pool, kind, starts, potentials, T_K, found)
        if found[0] >= -TOLERANCE:
            for kind, starts in downhill:
                found = self._more_stable_of(pool, kind, starts, potentials, T_K, found)
        for part in parts:
            if found[0] >= -TOLERANCE and part.kind < pool.mixtures and self.mixtures[part.kind].search_downhill:
                starts = self.mixtures[part.kind].beside(part.x, potentials, T_K)
                found = self._more_stable_of(pool, part.kind, starts, potentials, T_K, found)
        return found

    def _more_stable_of(
        self, pool: Pool, kind: int, starts: np.ndarray, potentials: np.ndarray, T_K: float, found: tuple[float, Part]
    ) -> tuple[float, Part]:
        """`found`, or what is more stable still: the best that this mixture reaches from the starts (S, m)."""
        if not len(starts):
            return found
        mixture, (worst, most_stable) = self.mixtures[kind], found
        x, force = mixture.most_stable(starts, potentials, T_K)
        full = mixture.spread(x)
        pool.add(kind, full, force + full @ potentials)
        if force.min() < worst or most_stable.kind == kind:
            return float(force.min()), Part(kind, x[force.argmin()], 0.0)
        return found

    def _part(self, kind: int, w: np.ndarray) -> Part:
        """A phase that is about to come in, from what it counts of the components (n,)."""
        if kind >= len(self.mixtures):
            return Part(kind, w, 0.0)
        mixture = self.mixtures[kind]
        return Part(kind, mixture.normalised(np.maximum(mixture.from_kept(w[None, :]), _TRACE))[0], 0.0)


@remembered
def phase_balance(salts: tuple[str, ...]) -> PhaseBalance:
    """The phases of these salts from the fitted files, put together once; of two anions once for the same ions."""
    system = salt_system(salts)
    if not isinstance(system, ReciprocalSystem):
        return PhaseBalance(system)
    cations = [f for f in known_salts() if f in system.constituents]
    everything = tuple(f for anion in ("F", "Cl") for f in cations if known_salts()[f].anion == anion)
    return _of_ions(everything)


@remembered
def _of_ions(salts: tuple[str, ...]) -> PhaseBalance:
    """The phases of all these salts of two anions; more may be named here than anyone can weigh in."""
    return PhaseBalance(ReciprocalSystem(salts))
