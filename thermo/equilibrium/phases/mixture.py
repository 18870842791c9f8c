"""A phase of free composition, liquid or solid: where its driving force at given potentials is lowest.

    driving force f(x) = sum x_i (mu_i(x) - pi_i)      J per mole of salt formulas, negative: the phase forms
mu_i counted from the solid salts (conserved). At its lowest every mu_i - pi_i is the same number, f. Newton's rule in
ln x_i, where the potentials are nearly straight (mu_i = R T ln x_i + ...), finds it; a step that would climb is
replaced by the ideal solution's step. What the potentials are and how they answer: mixture_laws.
Limits: the lowest near each start, so starts must be spread where a mixture can split in two.
Worked value: ideal, both potentials 0 above the pure phase, 1000 K: x = (0.5, 0.5), f = -R T ln 2 = -5763 J/mol.
"""

import math
from functools import cached_property

import numpy as np

from thermo.equilibrium.phases.mixture_laws import MixtureLaws
from thermo.laws.one_solution import distances
from thermo.records.units import R

TOLERANCE = 1e-5  # J/mol: a driving force nearer to zero than this is balance
_TRACE = 1e-27  # above what the laws take for zero (1e-30), also after normalising: else no slope is left
HILL = 1e-6  # J/mol: a lower one is rounding
_TWO_K = (800.0, 1200.0)  # temperatures that give a straight line
_QUARTERS = (0.25, 0.5, 0.75, 1.0)
_APART = 0.4  # sum of |differences| in x: another side of a mixture that may have split
_HIGHEST = 3.0  # in R T: no stable phase hides between less stable grid points (150 random systems had none above 2)
_BESIDE = (-0.4, -0.12, 0.12, 0.4)  # largest step in ln x
_BENT = 0.7  # of a parabola: of 120 melts alone none fell below 0.8, one with a twin had 0.45
_SETTLED = 1e-7  # J/mol left to fall
_STEPS = 40
_RISE = 0.1  # traces may rise to this in one step: their potentials are straight in ln x


class Mixture(MixtureLaws):
    """The liquid (`solid` None) or one solid solution, and the way down to where it is most stable."""

    def response(self, x: np.ndarray, T_K: float) -> np.ndarray:
        """dw_i/dpi_j (n, n) of what the most stable composition x (m,) counts as potentials change, mol/J."""
        w = self.spread(x[None, :])[0]
        moves = self.amount_slopes(x) @ self.inverse_slopes(x, T_K)
        return self.rows.T @ moves @ self.rows - np.outer(w, w) / (R * T_K)

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

    def gradient(self, x: np.ndarray, away: np.ndarray, force: np.ndarray) -> np.ndarray:
        """df/dlnx (S, m) from potentials less potentials `away` and driving forces (S, 1)."""
        return x * (away - force)

    def ideal_step(self, x: np.ndarray, down: np.ndarray, T_K: float) -> np.ndarray:
        """Step in ln x that an ideal solution would need to lower its potentials by -`down` (S, m)."""
        return down / (R * T_K)

    def moved(self, x: np.ndarray, step: np.ndarray) -> np.ndarray:
        """Compositions x (..., m) after a step in ln x."""
        return self.normalised(clipped(x, step))

    def way(self, start: np.ndarray, end: np.ndarray) -> np.ndarray:
        """The step in ln x from one composition (m,) to another."""
        return np.log(end / start)

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
        joined = halfway <= 0.5 * (energies[first] + energies[second]) + HILL
        label = np.arange(len(x))
        for i, j in zip(first[joined], second[joined], strict=True):
            label[label == label[j]] = label[i]
        return [list(np.flatnonzero(label == name)) for name in dict.fromkeys(label.tolist())]

    def starts(self, gains: np.ndarray, own: list[np.ndarray], T_K: float, highest: float = _HIGHEST) -> np.ndarray:
        """The compositions at `places`."""
        return self.grid[self.places(gains, own, T_K, highest)]

    def places(self, gains: np.ndarray, own: list[np.ndarray], T_K: float, highest: float = _HIGHEST) -> list[int]:
        """Grid compositions from which a more stable phase may be reached: the lowest, and the lowest far from others.

        gains: driving forces of the grid, J/mol; own: compositions (m,) already in balance, whose surroundings are out
        unless they are more stable; highest: in R T.
        """
        gains = gains.copy()
        for x in own:
            gains[(distances(self.grid, x) < _APART) & (gains > -TOLERANCE)] = np.inf
        found: list[int] = []
        while len(found) < 3:
            best = int(gains.argmin())
            if not gains[best] < highest * R * T_K:
                break
            found.append(best)
            gains[self._around(best)] = np.inf
        return found

    def _around(self, place: int) -> np.ndarray:
        """Which grid compositions are no other side than this one of them: asked for again and again."""
        if place not in self._surroundings:
            self._surroundings[place] = distances(self.grid, self.grid[place]) < _APART
        return self._surroundings[place]

    @cached_property
    def one_hollow_above_K(self) -> float:
        """From where on the energy bends up all over the grid, so that there is one phase; infinite if nowhere.

        Potentials being straight lines in T, sqrt(x_i) dmu_i/dlnx_j / sqrt(x_j) = K + T S is one too: positive above
        the highest T at which it is singular, if S is positive.
        """
        size = np.sqrt(self.grid)
        cold, hot = self.slopes_at(self.grid, _TWO_K)
        scale = size[:, :, None] / size[:, None, :]
        S = scale * (hot - cold) / (_TWO_K[1] - _TWO_K[0])
        S = 0.5 * (S + S.transpose(0, 2, 1))
        K = scale * cold - _TWO_K[0] * S
        rises, ways = np.linalg.eigh(S)
        if rises.min() <= 0:
            return math.inf
        root = ways / np.sqrt(rises)[:, None, :]  # S = (root root')^-1
        return float(np.linalg.eigvalsh(-root.transpose(0, 2, 1) @ (0.5 * (K + K.transpose(0, 2, 1))) @ root).max())

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
        """Which starts (S,) do not simply lead back to a phase in balance: more stable already, or over a hill.

        That is, where the energy bends down on the way to each of them, looked at in quarters: a hill halfway may be
        lower than the start, and two starts without one in between may still lead to two phases.
        """
        ways = [x + part * (starts - x) for x in own for part in _QUARTERS]
        x = np.vstack(ways)
        force = (self.energies(x, T_K) - self.spread(x) @ potentials).reshape(len(own), len(_QUARTERS), -1)
        here = np.zeros((len(own), 1, len(starts)))  # driving forces of phases in balance
        bends = np.diff(np.concatenate([here, force], axis=1), n=2, axis=1)
        return (force[0, -1] < -TOLERANCE) | (bends < -HILL).any(axis=1).all(axis=0)


def clipped(x: np.ndarray, step: np.ndarray) -> np.ndarray:
    """x (..., m) after a step in ln x, not normalised; a fraction rises to _RISE or e times itself at most."""
    highest = np.log(np.maximum(_RISE / x, math.e))
    return np.maximum(x * np.exp(np.maximum(np.minimum(step, highest), -8.0)), _TRACE)
