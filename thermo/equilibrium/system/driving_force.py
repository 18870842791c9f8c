"""Where a melt starts to freeze, and which solid comes first.

For each solid that the melt could form, Newton's rule finds the temperature where its driving force D(T) (laws/solids)
is zero; the highest wins. D is nearly straight in T (its slope is minus an entropy), so a handful of steps converge to
1e-4 K (0.01 K where a solid solution is nearly critical); the sign of D keeps every step inside a bracket. All
compositions are handled together, in blocks so that memory stays bounded.
sigma_T = sigma_D / |dD/dT|: the fitted parameters' covariance, the pure salts' melting data, and for three or more
salts the model's own error (data/fitted/model_error.csv).
Limits: stable liquid (checked for single melts: `liquid_unmixing`). Worked value: a single salt: its melting point.
"""

from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.interface import System
from thermo.equilibrium.system.liquid import ALL, StraightLiquid
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.equilibrium.system.one_melt import GUESS_K, OneMelt
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import Force, Solid
from thermo.records.units import R

LOWEST_K = 250.0  # nothing in the salt lists melts below; a solid found here simply does not form
HIGHEST_K = 2600.0  # above the hypothetical melting point of AlF3
BLOCK = 20000  # compositions a block: about 50 MB for six salts
_STEP_K = 1e-4
_LAST_K = 0.01  # of Newton's last step: what it leaves is its square, below 1e-5 K
_STEP_Y = 5e-3  # in a solution's composition: second order in D, and flat where steps are slow
_MISSED_J_mol = 1.0  # 0.03 K: a side of a solid solution that would form by more was missed


@dataclass(frozen=True)
class LiquidusField:
    """Liquidus of many compositions: T_K (N,), position of the first solid in `solids` (N,)."""

    T_K: np.ndarray
    solid_index: np.ndarray
    solids: tuple[str, ...]


class Melts:
    """Compositions x (N, n) of one system with what the solvers need of them computed once."""

    def __init__(self, system: System, x: np.ndarray):
        self.system = system
        self.x = np.asarray(x, dtype=float)
        self.liquid = system.liquid(self.x)

    @property
    def alone(self) -> OneMelt | None:
        """The melt in plain numbers where it is the only one, and of one anion."""
        if len(self.x) > 1 or not isinstance(self.liquid, StraightLiquid) or not isinstance(self.system, SaltSystem):
            return None
        return OneMelt(self.system.plain, self.liquid.line(), LOWEST_K, HIGHEST_K)

    def first_solid(self) -> tuple[Solid, float, np.ndarray | None]:
        """What the first melt freezes to, where (K), and a solid solution's composition (m,)."""
        one = self if len(self.x) == 1 else Melts(self.system, self.x[:1])
        found = None if one.alone is None else one.alone.first(one.x[0].tolist())
        if found is not None:
            place, T_K, y = found
            solid = self.system.solids[place]
            return solid, T_K, np.array(y) if isinstance(solid, SolutionSolid) else None
        T, first = one.liquidus()
        solid = self.system.solids[int(first[0])]
        _, _, best = one.driving_force(solid, T)
        return solid, float(T[0]), None if best is None else best[0]

    def salt_forces(self, T_K: np.ndarray, salts: tuple[int, ...], rows=ALL) -> tuple[np.ndarray, np.ndarray]:
        """d_i = mu_i(melt) - G_i(pure solid) of salts at these positions at T (N,), and its slope: (N, len(salts)).

        rows: positions of the melts meant, T having one value for each; all of them when left out.
        """
        index = list(salts)
        energy, slope = self.system.fusion(salts).energy_and_slope(T_K)
        melt, melt_slope = self.liquid.at(T_K, rows)
        return melt[:, index] + energy, melt_slope[:, index] + slope

    def potentials(self, T_K: float) -> np.ndarray:
        """mu_i - mu_i(pure liquid) of every constituent at one T, J/mol: (N, constituents)."""
        return self.liquid.potentials(T_K)

    def solid_temperature(self, solid: Solid, near: int | None = None) -> tuple[np.ndarray, np.ndarray | None]:
        """Temperature (N,) where the solid is in balance with each melt; for a solution also its composition.

        near: keep a solid solution on the side of this member (the two sides of a miscibility gap are two solids).
        """
        start = np.full(len(self.x), self.system.melting_K[list(solid.indices)].max())
        if (one := self.alone) is not None:
            found = one.balance(self.system.solids.index(solid), float(start[0]), LOWEST_K, near=near)
            if found is not None:
                return np.array([found[0]]), np.array([found[1]]) if isinstance(solid, SolutionSolid) else None
        return self.root(solid, start, np.full(len(self.x), LOWEST_K), ALL, near)

    def driving_force(
        self,
        solid: Solid,
        T: np.ndarray,
        rows=ALL,
        y: np.ndarray | None = None,
        near: int | None = None,
        rounds: int = 2,
    ) -> Force:
        """D (N,) of one solid, dD/dT and a solution's best composition, for the melts `rows` at T.

        y: where to look for the composition; without it the whole range (or the side of `near`) is searched. rounds:
        steps from there, none for a first guess.
        """
        return solid.best(*self.salt_forces(T, solid.indices, rows), T, y, near, rounds)

    def root(self, solid: Solid, start: np.ndarray, low: np.ndarray, rows=ALL, near: int | None = None):
        """Temperatures where D = 0 for the melts `rows`, above `low`, from `start`; a solution's composition too."""
        rows = np.arange(len(self.x))[rows]
        T, y, pending = start.copy(), None, np.arange(len(rows))
        for _ in range(4):
            found = self._converge(
                solid, T[pending], low[pending], rows[pending], None if y is None else y[pending], near
            )
            T[pending] = found[0]
            if found[1] is None:
                return T, None
            y = found[1] if y is None else y
            y[pending] = found[1]
            D, _, other = self.driving_force(solid, T[pending], rows[pending], None, near)
            missed = np.greater(D, _MISSED_J_mol)  # another side of a miscibility gap would form here
            if other is None or not missed.any():
                break
            pending = pending[missed]
            y[pending] = other[missed]
        return T, y

    def _converge(self, solid: Solid, T: np.ndarray, low: np.ndarray, rows: np.ndarray, y, near: int | None):
        """Newton steps until every melt of `rows` has converged; those that have are left out of further steps."""
        bracket, active = _Bracket(low), np.arange(len(rows))
        for _ in range(80):
            start = None if y is None else y[active]
            D, slope, best = self.driving_force(solid, T[active], rows[active], start, near)
            moved, straight = bracket.step(active, T[active], D, slope)
            last_K = np.where(straight, _LAST_K, _STEP_K) if best is None else _STEP_K  # a composition wants its steps
            unsettled = np.abs(moved - T[active]) >= last_K
            T[active] = moved
            if best is not None:
                if y is None:
                    y, unsettled = best, unsettled | True
                else:
                    unsettled |= (np.abs(best - y[active]) > _STEP_Y).any(axis=1)
                    y[active] = best
            active = active[unsettled]
            if not len(active):
                break
        return T, y

    def liquidus(self, guess: np.ndarray | None = None) -> tuple[np.ndarray, np.ndarray]:
        """Highest T_s (N,) of all solids and the position of that solid (N,); guess (N,): where to look first, K.

        A solid that would not form at the best temperature so far freezes lower (D falls with T), so each solid is
        solved only where it beats the others.
        """
        if (one := self.alone) is not None and (found := one.first(self.x[0].tolist())) is not None:
            return np.array([found[1]]), np.array([found[0]])
        if guess is None:
            guess = np.clip(self.x @ self.system.melting_K[list(self.system.own)], *GUESS_K)
        d, slopes = self.salt_forces(guess, self._everything)
        estimates = []
        for solid in self.system.solids:
            D, slope, _ = _of(solid, d, slopes, guess, rounds=0)
            estimates.append(guess + D / np.maximum(-slope, 1.0))
        first = np.argmax(estimates, axis=0)
        T = np.full(len(self.x), LOWEST_K)
        pending = [np.flatnonzero(first == s) for s in range(len(self.system.solids))]
        for _ in range(len(self.system.solids) + 1):
            for s, rows in enumerate(pending):
                if len(rows):
                    start = np.maximum(T[rows], np.clip(estimates[s][rows], LOWEST_K, HIGHEST_K))
                    found = self.root(self.system.solids[s], start, T[rows].copy(), rows)[0]
                    first[rows[found > T[rows]]] = s  # another of this round may have come to form above
                    T[rows] = found
            pending = self._beaten(T, first, np.unique(np.concatenate(pending)))
            if not any(len(rows) for rows in pending):
                break
        return T, first

    def _beaten(self, T: np.ndarray, first: np.ndarray, rows: np.ndarray) -> list[np.ndarray]:
        """Of each solid those of the melts `rows` where it would form at T although another was thought to be first."""
        d, slopes = self.salt_forces(T[rows], self._everything, rows)
        found = []
        for s, solid in enumerate(self.system.solids):
            others = np.flatnonzero(first[rows] != s)
            if isinstance(solid, SolutionSolid) and len(others):
                D, _, _ = _of(solid, d[others], slopes[others], T[rows[others]], rounds=0)
                others = others[D + solid.missed_by_grid * R * T[rows[others]] > 0]
            if len(others):
                D, slope, _ = _of(solid, d[others], slopes[others], T[rows[others]])
                others = others[np.greater(D, _STEP_K * np.maximum(-slope, 1.0))]
            found.append(rows[others])
        return found

    @property
    def _everything(self) -> tuple[int, ...]:
        return tuple(range(len(self.system.constituents)))


def _of(solid: Solid, d: np.ndarray, slopes: np.ndarray, T: np.ndarray, rounds: int = 2) -> Force:
    """`driving_force` from the forces of all salts (N, n)."""
    own = list(solid.indices)
    return solid.best(d[:, own], slopes[:, own], T, None, None, rounds)


class _Bracket:
    """Newton steps on D(T) = 0 that never leave the interval in which the sign of D says the root must lie."""

    def __init__(self, low: np.ndarray):
        self.floor, self.low, self.high = low, low.copy(), np.full_like(low, HIGHEST_K)
        self.formed = np.zeros(low.shape, dtype=bool)  # seen to form somewhere: the floor is then no root

    def step(self, at: np.ndarray, T: np.ndarray, D: np.ndarray, slope: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Next T of the melts at these places, and where that is Newton's; a root outside settles on the limit."""
        forms = D > 0  # the solid forms here: the root lies above
        low = self.low[at] = np.where(forms, T, self.low[at])
        high = self.high[at] = np.where(forms, self.high[at], T)
        formed = self.formed[at] = self.formed[at] | forms
        moved = T - D / np.minimum(slope, -1.0)
        straight = (moved >= low) & (moved <= high)
        middle, floor = 0.5 * (low + high), self.floor[at]
        moved = np.where(moved >= low, moved, np.where(formed, middle, floor))
        moved = np.where(moved <= high, moved, np.where(high == HIGHEST_K, HIGHEST_K, middle))
        return np.clip(moved, low, high), straight


def driving_slope(melts: Melts, solid: Solid, T_K: float, y: np.ndarray | None) -> float:
    """dD/dT of one solid at the first melt of `melts`, J/(mol K); negative in a normal melt."""
    _, slopes = melts.salt_forces(np.array([T_K]), solid.indices, slice(0, 1))
    return solid.slope(slopes[0], y)


def liquidus_field(salts: tuple[str, ...], fractions: np.ndarray, system: System | None = None) -> LiquidusField:
    """Liquidus temperature and first solid of many melts of the same salts.

    fractions: (N, n), rows summing to 1, zeros allowed. Raises nothing for extreme compositions: a melt always has a
    liquidus, that of its last salt.
    """
    laws = salt_system(tuple(salts)) if system is None else system
    if len(fractions) == 1 and isinstance(laws, SaltSystem):  # without what arrays of many need
        x = np.asarray(fractions[0], dtype=float).tolist()
        found = OneMelt(laws.plain, laws.line(x), LOWEST_K, HIGHEST_K).first(x)
        if found is not None:
            return LiquidusField(np.array([found[1]]), np.array([found[0]]), laws.plain.names)
    fractions, names = np.asarray(fractions, dtype=float), tuple([solid.name for solid in laws.solids])
    T, first = np.empty(len(fractions)), np.empty(len(fractions), dtype=int)
    for start in range(0, len(fractions), BLOCK):
        block = slice(start, start + BLOCK)
        melts = Melts(laws, fractions[block])
        T[block], first[block] = melts.liquidus()
    return LiquidusField(T, first, names)
