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

from collections.abc import Sequence

import numpy as np

from thermo.equilibrium.phases.candidates import Pool
from thermo.equilibrium.phases.mixture import TOLERANCE
from thermo.equilibrium.phases.newton import NOTHING, Answer, exact_balance, unspanned
from thermo.equilibrium.phases.part import Balance, Part, Phase
from thermo.equilibrium.phases.search import PhaseSearch
from thermo.equilibrium.phases.simplex import exchange
from thermo.equilibrium.phases.twins import along, parted, united
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.records.remembered import remembered
from thermo.records.substances import salts as known_salts
from thermo.records.units import R

_ROUNDS = 60
_FITS = 30
_LET_IN = 3  # phases that may come in from one temperature to another before all are looked for anew
_TANGENT_K = 0.01
_REACH = 3.0  # in R T: longest step of an open potential


class PhaseBalance(PhaseSearch):
    """What finding the phases of one system needs at any temperature and for any mix."""

    def at(
        self,
        mix: np.ndarray,
        T_K: float,
        liquid: bool = True,
        melts: np.ndarray | None = None,
        near: Sequence[Balance] = (),
    ) -> Balance:
        """Phases of the mix (n,), every component > 0, at T; without `liquid` the best that solids alone can do.

        melts (S, k): liquids to try besides the grid, where they are already known to be near the answer. near:
        balances of the same mix whose phases may be the answer; they save time, the search is as wide as without them.
        """
        self.liquid.forget()
        for balance in near:
            if (found := self._from(balance, mix, T_K, liquid)) is not None:
                return found
        pool = Pool(self, T_K, liquid)
        if liquid and (beside := [b.liquid.own for b in near if b.liquid is not None]):
            melts = np.array(beside)
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
            worst, _ = self.add_more_stable(pool, [], potentials, T_K)
            if worst >= -TOLERANCE:
                break
        return Balance(T_K, tuple(self.phase(part) for part in parts), potentials)

    def _from(self, near: Balance, mix: np.ndarray, T_K: float, liquid: bool) -> Balance | None:
        """The balance of the phases that another temperature has, if with at most a few more nothing can form."""
        parts = [Part(self.kind(p), p.own, p.amount) for p in near.phases if liquid or p.solid is not None]
        fixed, potentials, mixtures = self.fixed_energies(T_K), near.potentials, len(self.mixtures) - (not liquid)
        pool: Pool | None = None
        answer = near.answer
        for _ in range(_LET_IN):
            found = exact_balance(self.mixtures, parts, mix, potentials, T_K, fixed, answer)
            if found is None or len(unspanned(self.mixtures, found[0])):
                return None
            parts, potentials, answer = found
            forms, left = self.bounds.look(parts, potentials, T_K, mixtures)
            if forms is None and left:
                pool = Pool(self, T_K, liquid) if pool is None else pool
                worst, most_stable = self.add_more_stable(pool, parts, potentials, T_K, left)
                forms = most_stable if worst < -TOLERANCE else None
            if forms is not None:
                parts = [*parts, forms]
                continue
            return Balance(T_K, tuple(self.phase(part) for part in parts), potentials, answer)
        return None

    def rise(self, balance: Balance, mix: np.ndarray, exact: bool = True) -> np.ndarray | None:
        """How the potentials (n,) change with temperature beside these phases, J/(mol K), by a tangent; None: unknown.

        Not exact: by how the phases answered where that was last worked out.
        """
        parts = [Part(self.kind(p), p.own, p.amount) for p in balance.phases]
        near = balance.T_K + _TANGENT_K
        answer = balance.answer
        if exact or answer is None:
            answer, _ = Answer.at(self.mixtures, parts, len(mix), balance.T_K)
        if answer is None:
            return None
        step, _ = answer.step(parts, mix, balance.potentials, near, self.fixed_energies(near))
        return R * near * step[: len(mix)] / _TANGENT_K

    def forms_K(self, phase: Phase, balance: Balance, mix: np.ndarray) -> float | None:
        """Where this phase, as it is, would be in balance with these others, by a tangent in T; None: unknown."""
        T_K = balance.T_K
        if (rise := self.rise(balance, mix, exact=False)) is None:
            return None
        here, there = (self._energy(phase, T) for T in (T_K, T_K + _TANGENT_K))
        slope = (there - here) / _TANGENT_K - phase.composition @ rise
        return None if slope == 0 else float(T_K - (here - phase.composition @ balance.potentials) / slope)

    def _energy(self, phase: Phase, T_K: float) -> float:
        """Gibbs energy of a phase, J per mole of salt formulas."""
        kind = self.kind(phase)
        if kind >= len(self.mixtures):
            return float(self.fixed_energies(T_K)[kind - len(self.mixtures)])
        return float(self.mixtures[kind].energies(phase.own[None, :], T_K)[0])

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
            parts, potentials = (parts, potentials) if converged is None else converged[:2]
            if len(held) and pool.mixtures == len(self.mixtures):
                return self._with_open_potentials(pool, parts, potentials, held, T_K)
            alone = pool.mixtures < len(self.mixtures)  # bounds of a melt are dear the first time
            if alone and self.bounds.look(parts, potentials, T_K, pool.mixtures) == (None, []):
                return parts, potentials
            worst, most_stable = self.add_more_stable(pool, parts, potentials, T_K)
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
        if self.add_more_stable(pool, parts, potentials, T_K)[0] >= -TOLERANCE:
            return parts, potentials
        x, force, potentials = self.fitting_liquid(potentials, held, T_K)
        if force < -TOLERANCE:
            pool.add(len(self.mixtures) - 1, self.liquid.spread(x[None, :]), self.liquid.energies(x[None, :], T_K))
            return None
        return (parts, potentials) if self.add_more_stable(pool, parts, potentials, T_K)[0] >= -TOLERANCE else None

    def first_liquid(
        self, potentials: np.ndarray, T_K: float, near: np.ndarray | None = None
    ) -> tuple[np.ndarray, float]:
        """The most stable melt at these potentials (n,): its own composition (k,) and driving force, J/mol.

        Searched from the whole grid, or by two steps from the melt `near`.
        """
        if near is not None:
            x, force, fall = self.liquid.step(self.liquid.step(near[None, :], potentials, T_K)[0], potentials, T_K)
            return x[0], float(force[0] - fall[0])
        gains = self.liquid.grid_gains(potentials, T_K)
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
