"""A phase of free composition, liquid or solid: where its driving force at given potentials is lowest.

    driving force f(x) = sum x_i (mu_i(x) - pi_i)      J per mole of salt formulas, negative: the phase forms
mu_i counted from the solid salts (conserved). At its lowest every mu_i - pi_i is the same number, f. Newton's rule in
ln x_i, where the potentials are nearly straight (mu_i = R T ln x_i + ...), finds it; a step that would climb is
replaced by the ideal solution's step. Its members' rows say what a composition counts of the components; a melt of two
anions overrides what differs (ion_melt).
Derivatives by ln x_j are differences of potentials; for a mixture with mu = R T ln x they are R T times the unit
matrix, and Gibbs and Duhem's rule makes x_i dmu_i/dlnx_j symmetric.
Limits: the lowest near each start, so starts must be spread where a mixture can split in two.
Worked value: ideal, both potentials 0 above the pure phase, 1000 K: x = (0.5, 0.5), f = -R T ln 2 = -5763 J/mol.
"""

import math
from functools import cached_property

import numpy as np

from thermo.equilibrium.phases.conserved import IonComponents, SaltComponents
from thermo.equilibrium.system.driving_force import Melts
from thermo.laws.solid_solution import SolutionSolid, simplex_grid
from thermo.records.units import R

TOLERANCE = 1e-5  # J/mol: a driving force nearer to zero than this is balance
_GRID_STEPS = {1: 1, 2: 60, 3: 30, 4: 16, 5: 10, 6: 8}
NUDGE = 1e-5  # relative step of a difference
_TRACE = 1e-27  # above what the laws take for zero (1e-30), also after normalising: else no slope is left
_APART = 0.4  # sum of |differences| in x: another side of a mixture that may have split
_HIGHEST = 3.0  # in R T: no stable phase hides between less stable grid points (150 random systems had none above 2)
_BESIDE = (-0.4, -0.12, 0.12, 0.4)  # largest step in ln x
_BENT = 0.7  # of a parabola: of 120 melts alone none fell below 0.8, one with a twin had 0.45
_SETTLED = 1e-7  # J/mol left to fall
_STEPS = 40
_RISE = 0.1  # traces may rise to this in one step: their potentials are straight in ln x


class Mixture:
    """The liquid (`solid` None) or one solid solution; `indices`: positions of its salts.

    rows (m, n): what each of its m variables counts of the n conserved amounts; scale (m,): 1 for variables that
    grow with the amount of the phase. Both are plain for salts; `grid` holds compositions all over the range, with
    `smallest` of what they lack.
    """

    smallest = 1e-6
    search_downhill = False  # whether a more stable phase may lie downhill of one in balance

    def __init__(self, components: SaltComponents | IonComponents, solid: SolutionSolid | None):
        self.components, self.solid = components, solid
        self.indices = list(range(len(components.rows))) if solid is None else list(solid.indices)
        members = len(self.indices) if solid is None else len(solid.formulas)
        if solid is None and "AlF3" in components.system.constituents:  # of 40 random mixes two hid a second liquid
            self.search_downhill = True
        rows = components.rows[self.indices]
        self.rows = rows if solid is None else solid.of_members(rows)
        self.scale = np.ones(members)
        self._nudges = 1 + NUDGE * np.vstack([np.zeros(members), np.eye(members)])
        self.grid = self.normalised(np.clip(self._grid(), self.smallest, None))
        self._grid_parts = self._parts(self.grid)

    def _grid(self) -> np.ndarray:
        return simplex_grid(len(self.scale), _GRID_STEPS[len(self.scale)])

    def forget(self) -> None:
        """Drop what was kept of the last compositions."""

    def normalised(self, x: np.ndarray) -> np.ndarray:
        """Compositions of one mole, from any amounts x (..., m) of the members."""
        return x / x.sum(axis=-1, keepdims=True)

    def fractions(self, x: np.ndarray) -> np.ndarray:
        """A melt's mole fractions over the constituents."""
        return x

    def from_kept(self, w: np.ndarray) -> np.ndarray:
        """Compositions (N, m) from what they count of the components, w (N, n)."""
        return w @ self._of_kept

    @cached_property
    def _of_kept(self) -> np.ndarray:
        return np.linalg.pinv(self.rows)

    def _parts(self, x: np.ndarray):
        """What the potentials at x (N, m) need besides T, so that a grid is worked out once for all temperatures."""
        if self.solid is None:
            return Melts(self.components.system, x)
        return self.solid.energies(x)

    def _at(self, parts, T_K: float) -> np.ndarray:
        if self.solid is None:
            fusion = self.components.system.fusion(tuple(self.indices)).energy_and_slope(np.array([T_K]))[0]
            return parts.potentials(T_K) + fusion
        levels = self.solid.of_members(self.components.levels(T_K)[self.indices])
        return parts[0] + T_K * parts[1] + levels

    def potentials(self, x: np.ndarray, T_K: float) -> np.ndarray:
        """mu_i at compositions x (N, m) over the members, all > 0, from the solid salts' levels: J/mol, (N, m)."""
        return self._at(self._parts(x), T_K)

    def energies(self, x: np.ndarray, T_K: float) -> np.ndarray:
        """Gibbs energy less that of the pure solids, J/mol: (N,)."""
        mu = self.potentials(x, T_K)
        return (x[:, : mu.shape[1]] * mu).sum(axis=1)

    def energy_slope(self, x: np.ndarray, T_K: float) -> float:
        """dG/dT of one composition x (m,) less that of the pure solids, J/(mol K)."""
        parts, half = self._parts(x[None, :]), 0.005
        rise = (self._at(parts, T_K + half) - self._at(parts, T_K - half))[0]
        return float(x[: len(rise)] @ rise) / (2 * half)

    def inverse_slopes(self, x: np.ndarray, T_K: float) -> np.ndarray:
        """dlnx_i/dmu_j (m, m) at one composition x (m,), mol/J."""
        return np.linalg.inv(self.potentials_and_slopes(x[None, :], T_K)[1][0])

    def response(self, x: np.ndarray, T_K: float) -> np.ndarray:
        """dw_i/dpi_j (n, n) of what the most stable composition x (m,) counts as potentials change, mol/J."""
        w = self.spread(x[None, :])[0]
        moves = self.amount_slopes(x) @ self.inverse_slopes(x, T_K)
        return self.rows.T @ moves @ self.rows - np.outer(w, w) / (R * T_K)

    def grid_energies(self, T_K: float) -> np.ndarray:
        """`energies` of every grid composition."""
        mu = self._at(self._grid_parts, T_K)
        return (self.grid[:, : mu.shape[1]] * mu).sum(axis=1)

    def potentials_and_slopes(self, x: np.ndarray, T_K: float) -> tuple[np.ndarray, np.ndarray]:
        """Potentials (N, m) and dmu_i/dlnx_j (N, m, m), J/mol, of mu as a function of moles, not of fractions."""
        count, m = len(x), len(self._nudges) - 1
        nudged = self.normalised(x[:, None, :] * self._nudges)
        mu = self.potentials(nudged.reshape(-1, x.shape[1]), T_K).reshape(count, m + 1, m)
        slopes = (mu[:, 1:] - mu[:, :1]).transpose(0, 2, 1) / NUDGE
        # normalising took R T x_j from the ideal part of every column: with it back the matrix can be inverted
        return mu[:, 0], slopes + R * T_K * self.scale[:, None] * self.weigh(x)[:, None, :]

    def step(self, x: np.ndarray, potentials: np.ndarray, T_K: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """One step down from x (S, m) at potentials (n,): next x, f at x (S,) and the fall Newton's rule expects.

        A fall below zero tells of a hill or saddle: there the step is half the ideal solution's.
        """
        mu, slopes = self.potentials_and_slopes(x, T_K)
        away = mu - self.member_potentials(potentials)
        force = (x[:, : mu.shape[1]] * away).sum(axis=1, keepdims=True)
        down = force * self.scale - away
        step = np.linalg.solve(slopes, down[:, :, None])[:, :, 0]
        fall = -0.5 * (self.gradient(x, away, force) * step).sum(axis=1)
        step = np.where(fall[:, None] < -_SETTLED, 0.5 * self.ideal_step(x, down, T_K), step)
        return self.moved(x, step), force[:, 0], fall

    def member_potentials(self, potentials: np.ndarray) -> np.ndarray:
        """Potentials (m,) of the variables from those of the components (n,)."""
        return self.rows @ potentials

    def weigh(self, x: np.ndarray) -> np.ndarray:
        """Share of each variable in the mole that is counted."""
        return x

    def amount_slopes(self, x: np.ndarray) -> np.ndarray:
        """Derivatives (m, m) of the amounts of one composition by ln x."""
        return np.diag(x)

    def gradient(self, x: np.ndarray, away: np.ndarray, force: np.ndarray) -> np.ndarray:
        """df/dlnx (S, m) from potentials less potentials `away` and driving forces (S, 1)."""
        return x * (away - force)

    def ideal_step(self, x: np.ndarray, down: np.ndarray, T_K: float) -> np.ndarray:
        """Step in ln x that an ideal solution would need to lower its potentials by -`down` (S, m)."""
        return down / (R * T_K)

    def moved(self, x: np.ndarray, step: np.ndarray) -> np.ndarray:
        """Compositions x (..., m) after a step in ln x."""
        return self.normalised(clipped(x, step))

    def most_stable(self, starts: np.ndarray, potentials: np.ndarray, T_K: float) -> tuple[np.ndarray, np.ndarray]:
        """Lowest driving force reached from each start (S, m) at the potentials (n,) of all salts: x (S, m), f (S,).

        Stops early where the rest of the way down is too short for any start to come below zero.
        """
        x, back, before = starts, starts, np.full(len(starts), np.inf)
        for _ in range(_STEPS):
            following, force, fall = self.step(x, potentials, T_K)
            straight = (following / x).max(axis=1) < math.e  # no trace is about to grow: the fall can be trusted
            if ((np.abs(fall) < _SETTLED) | (fall > 0) & (force > 6 * fall) & straight).all():
                break
            too_far = force > before + _SETTLED  # up again, where two steps may go round for ever
            back, before = np.where(too_far[:, None], back, x), np.where(too_far, before, force)
            x = np.where(too_far[:, None], self.normalised(np.sqrt(back * x)), following)
        else:  # still on its way: the last step's driving force is not yet that of where it led
            force = self.energies(x, T_K) - self.spread(x) @ potentials
        return x, force

    def split(self, x: np.ndarray, energies: np.ndarray, T_K: float) -> list[list[int]]:
        """Which compositions x (N, m) of these energies (N,) are one phase: groups of rows with no hill halfway."""
        if len(x) == 1:
            return [[0]]
        first, second = np.triu_indices(len(x), 1)
        halfway = self.energies(0.5 * (x[first] + x[second]), T_K)
        joined = halfway <= 0.5 * (energies[first] + energies[second]) + 1e-6
        label = np.arange(len(x))
        for i, j in zip(first[joined], second[joined], strict=True):
            label[label == label[j]] = label[i]
        return [list(np.flatnonzero(label == name)) for name in dict.fromkeys(label.tolist())]

    def starts(self, gains: np.ndarray, own: list[np.ndarray], T_K: float, highest: float = _HIGHEST) -> np.ndarray:
        """Grid compositions from which a more stable phase may be reached: the lowest, and the lowest far from others.

        gains: driving forces of the grid, J/mol; own: compositions (m,) already in balance, whose surroundings are out
        unless they are more stable; highest: in R T.
        """
        near = np.zeros(len(gains), dtype=bool)
        for x in own:
            near |= np.abs(self.grid - x).sum(axis=1) < _APART
        gains = np.where(near & (gains > -TOLERANCE), np.inf, gains)
        found = []
        for _ in range(3):
            best = int(gains.argmin())
            if not gains[best] < highest * R * T_K:
                break
            found.append(best)
            gains = np.where(np.abs(self.grid - self.grid[best]).sum(axis=1) < _APART, np.inf, gains)
        return self.grid[found]

    def beside(self, x: np.ndarray, potentials: np.ndarray, T_K: float) -> np.ndarray:
        """Starts (S, k) on both sides of a phase x (k,) in balance, where its energy bends down the way it rises least.

        Two liquids may differ by 0.3 mol%, with a hill between them that no grid shows.
        """
        _, slopes = self.potentials_and_slopes(x[None, :], T_K)
        amounts = self.amount_slopes(x)
        size = np.sqrt(np.diag(amounts))
        curved = amounts.T @ slopes[0] / np.outer(size, size)
        rises, ways = np.linalg.eigh(0.5 * (curved + curved.T))
        way = ways[:, 0] / size
        longest = np.abs(way).max()
        starts = np.array([self.moved(x, step * way / longest) for step in _BESIDE])
        parabola = 0.5 * rises[0] * np.square(_BESIDE) / longest**2
        return starts[self.energies(starts, T_K) - self.spread(starts) @ potentials < _BENT * parabola]

    def over_a_hill(self, own: list[np.ndarray], starts: np.ndarray, potentials: np.ndarray, T_K: float) -> np.ndarray:
        """Which starts (S,) do not simply lead back to a phase in balance: more stable already, or over a hill."""
        x = np.vstack([*own, starts])
        energies = self.energies(x, T_K)
        more_stable = energies - self.spread(x) @ potentials < -TOLERANCE
        for group in self.split(x, energies, T_K):
            if min(group) >= len(own):
                more_stable[group] = True
        return more_stable[len(own) :]

    def spread(self, x: np.ndarray) -> np.ndarray:
        """Compositions (N, m) as what they count of the components (N, n)."""
        return x[:, : len(self.rows)] @ self.rows


def clipped(x: np.ndarray, step: np.ndarray) -> np.ndarray:
    """x (..., m) after a step in ln x, not normalised; a fraction rises to _RISE or e times itself at most."""
    return np.maximum(x * np.exp(np.clip(step, -8.0, np.log(np.maximum(_RISE / x, math.e)))), _TRACE)
