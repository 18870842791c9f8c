"""Which phases a mix consists of at one temperature, and how much of each: the smallest Gibbs energy.

    minimise sum_c n_c g_c(T)  with  sum_c n_c w_ci = z_i,  n_c >= 0          (White, Johnson & Dantzig 1958)
over candidate compositions w_c: every pure and double salt, the liquid and each solid solution on a grid. g: J per
mole of salt formulas, counted from the stable pure solid salts. A linear programme: its optimum holds at most one
phase a salt, and its prices pi_i are the chemical potentials of the salts. No path is followed from temperature to
temperature, so nothing can be missed because it was not there before.
Refinement: candidates of one phase are merged and Newton's rule makes mu_i(phase) = pi_i exact; then every phase looks
for the composition where it is cheapest at these prices, and whatever still costs less than it is worth joins the
candidates. Done when nothing is cheaper by more than TOLERANCE.
Limits: one anion, phases of thermo.laws; a liquid or a solid solution may split in two.
Worked value: NaCl and KCl half and half, 1000 K: one liquid, prices equal to its potentials; 600 K: two solids.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np

from thermo.equilibrium.mixture import TOLERANCE, Mixture
from thermo.equilibrium.phase_exchange import exchange
from thermo.equilibrium.system import SaltSystem, Solid, salt_system, solid_weights
from thermo.laws.solids import DoubleSolid, PureSolid, SolutionSolid

_NOTHING = 1e-12  # amounts below are rounding
_ROUNDS = 60
_NEWTON_STEPS = 25
_CLOSED = 1e-7  # last step in mole fractions and moles: what is left is its square


@dataclass(frozen=True)
class Phase:
    """One phase of a mix: `solid` None is the liquid; composition (n,); moles of salt formulas a mole of the mix."""

    solid: Solid | None
    composition: np.ndarray
    amount: float

    @property
    def members(self) -> np.ndarray | None:
        """Composition of a solid solution over its own members, None for the others."""
        return self.composition[list(self.solid.indices)] if isinstance(self.solid, SolutionSolid) else None


@dataclass(frozen=True)
class Balance:
    """The phases of one mix at T, the prices (chemical potentials less pure solids, J/mol)."""

    T_K: float
    phases: tuple[Phase, ...]
    prices: np.ndarray

    @property
    def liquid(self) -> Phase | None:
        """All liquid taken together, None where there is none."""
        parts = [p for p in self.phases if p.solid is None]
        if not parts:
            return None
        amount = sum(p.amount for p in parts)
        return Phase(None, sum(p.amount * p.composition for p in parts) / amount, amount)

    @property
    def solids(self) -> tuple[Phase, ...]:
        """The solid phases."""
        return tuple(p for p in self.phases if p.solid is not None)


@dataclass
class _Part:
    """A phase while it is being worked out: `kind` counts mixtures first, then solids of fixed composition."""

    kind: int
    x: np.ndarray
    amount: float


class PhaseBalance:
    """What finding the phases of one system needs at any temperature and for any mix."""

    def __init__(self, system: SaltSystem):
        self.system = system
        count = len(system.salts)
        solutions = [s for s in system.solids if isinstance(s, SolutionSolid)]
        self.mixtures = [*(Mixture(system, s) for s in solutions), Mixture(system, None)]  # the liquid comes last
        self.fixed = [s for s in system.solids if not isinstance(s, SolutionSolid)]
        self._weights = np.array([solid_weights(s, count, None) for s in self.fixed]).reshape(-1, count)
        home = {s.indices[m]: k for k, s in enumerate(solutions) for m in s.natives}
        home |= {s.index: len(self.mixtures) + k for k, s in enumerate(self.fixed) if isinstance(s, PureSolid)}
        # every salt as its own solid comes first: together they make up any mix
        blocks = [np.eye(count), self._weights, *(m.spread(m.grid) for m in self.mixtures)]
        kinds = [[home[i] for i in range(count)], len(self.mixtures) + np.arange(len(self.fixed))]
        kinds += [np.full(len(m.grid), k) for k, m in enumerate(self.mixtures)]
        self._columns, self._kinds = np.vstack(blocks), np.concatenate(kinds).astype(int)

    def at(self, mix: np.ndarray, T_K: float, liquid: bool = True, melts: np.ndarray | None = None) -> Balance:
        """Phases of the mix (n,), all fractions > 0, at T; without `liquid` the best that solids alone can do.

        melts (S, n): liquids to try besides the grid, where they are already known to be near the answer.
        """
        pool = _Pool(self, T_K, liquid)
        if melts is not None:
            pool.add(len(self.mixtures) - 1, melts, self.liquid.energies(melts, T_K))
        basis = np.arange(len(mix))
        for _ in range(_ROUNDS):
            basis, amounts, prices = exchange(pool.columns, pool.energies, mix, basis)
            parts = self._merged(pool, basis, amounts, T_K)
            settled = self._settled_with_all(pool, parts, mix, prices, T_K)
            if settled is not None:
                parts, prices = settled
                break
            worst, _ = self._bring_cheaper(pool, [], prices, T_K)
            if worst >= -TOLERANCE:
                break
        phases = tuple(Phase(self._solid(p.kind), p.x, float(p.amount)) for p in parts)
        return Balance(T_K, phases, prices)

    def _settled_with_all(
        self, pool: "_Pool", parts: list[_Part], mix: np.ndarray, prices: np.ndarray, T_K: float
    ) -> tuple[list[_Part], np.ndarray] | None:
        """Exact balance in which no phase is cheaper than its price, letting in those that are; None without one."""
        for _ in range(2 * len(mix)):
            settled = self._settled(parts, mix, prices, T_K)
            if settled is None:
                return None
            parts, prices = settled
            worst, cheapest = self._bring_cheaper(pool, parts, prices, T_K)
            if worst >= -TOLERANCE:
                return parts, prices
            parts = [*parts, cheapest]
        return None

    @property
    def liquid(self) -> Mixture:
        """The melt as a phase of free composition."""
        return self.mixtures[-1]

    def first_liquid(self, prices: np.ndarray, T_K: float, near: np.ndarray | None = None) -> tuple[np.ndarray, float]:
        """The melt that is cheapest at these prices (n,): its mole fractions (n,) and driving force, J/mol.

        Searched from the whole grid, or by two steps from the melt `near`.
        """
        if near is not None:
            x, force, fall = self.liquid.step(self.liquid.step(near[None, :], prices, T_K)[0], prices, T_K)
            return x[0], float(force[0] - fall[0])
        gains = self.liquid.grid_energies(T_K) - self.liquid.grid @ prices
        x, force = self.liquid.cheapest(self.liquid.starts(gains, [], T_K, np.inf), prices, T_K)
        best = int(force.argmin())
        return x[best], float(force[best])

    def unspanned(self, solids: tuple[Phase, ...]) -> np.ndarray:
        """Directions (q, n) of composition in which these solids together cannot move: q = 0 for n different ones."""
        spans = [p.composition[None, :] if p.members is None else np.eye(len(p.composition))[list(p.solid.indices)]
                 for p in solids]  # fmt: skip
        _, sizes, directions = np.linalg.svd(np.vstack(spans))
        return directions[int((sizes > 1e-9).sum()) :]

    def _solid(self, kind: int) -> Solid | None:
        count = len(self.mixtures)
        return self.mixtures[kind].solid if kind < count else self.fixed[kind - count]

    def fixed_energies(self, T_K: float) -> np.ndarray:
        """Gibbs energy of every solid of fixed composition less its pure solid salts, J/mol."""
        return np.array([float(s.energy_and_slope(T_K)[0]) if isinstance(s, DoubleSolid) else 0.0 for s in self.fixed])

    def _merged(self, pool: "_Pool", basis: np.ndarray, amounts: np.ndarray, T_K: float) -> list[_Part]:
        """Phases from candidates: those of one mixture with no hill between them are one phase."""
        parts = []
        held = amounts > _NOTHING
        for kind in dict.fromkeys(pool.kinds[basis[held]].tolist()):
            rows = np.flatnonzero(held & (pool.kinds[basis] == kind))
            if kind >= len(self.mixtures):
                parts.append(_Part(kind, pool.columns[basis[rows[0]]], float(amounts[rows].sum())))
                continue
            mixture = self.mixtures[kind]
            x = np.maximum(pool.columns[basis[rows]][:, mixture.indices], 1e-9)
            x /= x.sum(axis=1, keepdims=True)
            for group in mixture.split(x, pool.energies[basis[rows]], T_K):
                n = amounts[rows[group]]
                parts.append(_Part(kind, mixture.spread((n @ x[group])[None, :] / n.sum())[0], float(n.sum())))
        return parts

    def _settled(
        self, parts: list[_Part], mix: np.ndarray, prices: np.ndarray, T_K: float
    ) -> tuple[list[_Part], np.ndarray] | None:
        """Exact balance of these phases by Newton's rule, dropping any used up; None where there is none."""
        fixed = self.fixed_energies(T_K)
        while parts and any(p.kind < len(self.mixtures) for p in parts):
            parts = [_Part(p.kind, p.x.copy(), p.amount) for p in parts]
            found = self._newton(parts, mix, prices.copy(), T_K, fixed)
            if found is None or _twins(parts):
                return None
            least = min(parts, key=lambda p: p.amount)
            if least.amount > _NOTHING:
                return parts, found
            parts = [p for p in parts if p is not least]
        return None

    def _newton(
        self, parts: list[_Part], mix: np.ndarray, prices: np.ndarray, T_K: float, fixed: np.ndarray
    ) -> np.ndarray | None:
        """Changes `parts` in place until mu_i = pi_i in every phase and the amounts make up the mix; the prices."""
        n, count = len(mix), len(self.mixtures)
        for _ in range(_NEWTON_STEPS):
            system, right = np.zeros((n + len(parts), n + len(parts))), np.zeros(n + len(parts))
            right[:n] = mix - sum(p.amount * p.x for p in parts)
            solved = []
            for k, part in enumerate(parts, n):
                system[:n, k] = system[k, :n] = part.x
                if part.kind >= count:
                    right[k] = fixed[part.kind - count] - part.x @ prices
                    continue
                at = self.mixtures[part.kind].indices
                mu, slopes = self.mixtures[part.kind].potentials_and_slopes(part.x[None, at], T_K)
                inverse = np.linalg.inv(slopes[0])
                away = inverse @ (prices[at] - mu[0])
                solved.append((part, at, inverse, away))
                held = max(part.amount, 0.0) * part.x[at]
                system[np.ix_(at, at)] += held[:, None] * inverse
                right[at] -= held * away
                right[k] = part.x[at] @ (mu[0] - prices[at])
            change = _solve(system, right)
            if change is None:
                return None
            prices += change[:n]
            for k, part in enumerate(parts, n):
                part.amount += change[k]
            moved = [0.0]
            for part, at, inverse, away in solved:
                before = part.x[at]
                part.x[at] = Mixture.moved(before, away + inverse @ change[at])
                moved.append(float(np.abs(part.x[at] - before).max()))
            if max(*moved, np.abs(right[:n]).max(), np.abs(change[n:]).max()) < _CLOSED:
                return prices
        return None

    def _bring_cheaper(self, pool: "_Pool", parts: list[_Part], prices: np.ndarray, T_K: float) -> tuple[float, _Part]:
        """Adds to the pool what is cheaper than its price; lowest driving force (J/mol) and the phase that has it."""
        gains = pool.energies - pool.columns @ prices
        best = int(gains.argmin())
        worst, cheapest = float(gains[best]), _Part(int(pool.kinds[best]), pool.columns[best], 0.0)
        for kind, mixture in enumerate(self.mixtures[: pool.mixtures]):
            own = [p.x[mixture.indices] for p in parts if p.kind == kind]
            start, stop = pool.blocks[kind]
            starts = mixture.starts(gains[start:stop], own, T_K)
            if own and len(starts):
                starts = mixture.over_a_hill(own, starts, prices, T_K)
            if not len(starts):
                continue
            x, force = mixture.cheapest(starts, prices, T_K)
            full = mixture.spread(x)
            pool.add(kind, full, force + full @ prices)
            if force.min() < worst or cheapest.kind == kind:
                worst, cheapest = float(force.min()), _Part(kind, mixture.spread(x[[force.argmin()]])[0], 0.0)
        return worst, cheapest


def _solve(system: np.ndarray, right: np.ndarray) -> np.ndarray | None:
    """Solution of the linear system; None where phases depend on each other."""
    try:
        found = np.linalg.solve(system, right)
    except np.linalg.LinAlgError:
        return None
    return found if np.abs(found).max() < 1e7 else None


def _twins(parts: list[_Part]) -> bool:
    """Whether two phases have become one and the same."""
    return any(a.kind == b.kind and np.abs(a.x - b.x).max() < 1e-6 for i, a in enumerate(parts) for b in parts[i + 1 :])


class _Pool:
    """Candidate compositions at one temperature, with their energies; grows while they are refined."""

    def __init__(self, balance: PhaseBalance, T_K: float, liquid: bool):
        self.mixtures = len(balance.mixtures) - (not liquid)
        start = len(balance.system.salts)
        energies = [np.zeros(start), balance.fixed_energies(T_K)]
        start += len(balance.fixed)
        self.blocks = []
        for mixture in balance.mixtures[: self.mixtures]:
            self.blocks.append((start, start := start + len(mixture.grid)))
            energies.append(mixture.grid_energies(T_K))
        self.energies = np.concatenate(energies)
        self.columns, self.kinds = balance._columns[:start], balance._kinds[:start]

    def add(self, kind: int, x: np.ndarray, energies: np.ndarray) -> None:
        """More compositions x (N, n) of one mixture, with their energies (N,), J/mol."""
        self.columns = np.vstack([self.columns, x])
        self.energies = np.concatenate([self.energies, energies])
        self.kinds = np.concatenate([self.kinds, np.full(len(x), kind)])


@cache
def phase_balance(salts: tuple[str, ...]) -> PhaseBalance:
    """The phases of these salts from the fitted files, put together once."""
    return PhaseBalance(salt_system(salts))
