"""A phase of free composition at one temperature: its potentials, its energies, how they answer to composition.

mu_i counted from the solid salts (conserved). Derivatives by ln x_j in closed form (system/bends), failing that as
differences of potentials; for a mixture with mu = R T ln x they are R T times the unit matrix, and Gibbs and Duhem's
rule makes x_i dmu_i/dlnx_j symmetric. Its members' rows say what a composition counts of the components; a melt of two
anions overrides what differs (ion_melt). The laws themselves are in system and thermo.laws.
Limits: every fraction above zero.
Worked value: an ideal solid solution, half and half, 1000 K: both potentials R T ln 0.5 = -5763 J/mol.
"""

from collections.abc import Callable, Sequence
from functools import cached_property, partial
from operator import mul

import numpy as np

from thermo.equilibrium.phases.conserved import IonComponents, SaltComponents
from thermo.equilibrium.system.bends import slopes_of_one
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.laws.one_solution import one_solution
from thermo.laws.solid_solution import SolutionSolid, simplex_grid
from thermo.records.units import R

_GRID_STEPS = {1: 1, 2: 60, 3: 30, 4: 16, 5: 10, 6: 8}
NUDGE = 1e-5  # relative step of a difference
_FEW = 3  # compositions that are quicker one by one


class MixtureLaws:
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
        self._surroundings: dict[int, np.ndarray] = {}  # of grid compositions, as they are asked for
        self._levels = (np.nan, np.empty(0))  # the last T and its levels: a balance asks a hundred times at one T

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
            return parts.potentials(T_K) + self.levels(T_K)
        return parts[0] + T_K * parts[1] + self.levels(T_K)

    def levels(self, T_K: float) -> np.ndarray:
        """What the energies of the pure members (m,) are counted from: of the melt the pure liquids, J/mol."""
        if self._levels[0] != T_K:
            self._levels = (T_K, self._levels_at(T_K))
        return self._levels[1]

    def _levels_at(self, T_K: float) -> np.ndarray:
        if self.solid is None:
            return self.components.system.fusion(tuple(self.indices)).energy_and_slope(np.array([T_K]))[0][0]
        return self.solid.of_members(self.components.levels(T_K)[self.indices])

    def potentials(self, x: np.ndarray, T_K: float) -> np.ndarray:
        """mu_i at compositions x (N, m) over the members, all > 0, from the solid salts' levels: J/mol, (N, m)."""
        if len(x) == 1 and self._plain is not None:
            return (np.array(self._plain(x[0].tolist(), T_K)) + self.levels(T_K))[None, :]
        return self._at(self._parts(x), T_K)

    @cached_property
    def _plain(self) -> Callable[[list[float], float], list[float]] | None:
        """mu_i of one composition less `levels`, by plain numbers; None where there is no such way."""
        if self.solid is not None:
            return one_solution(self.solid).potentials
        system = self.components.system
        return partial(_plain_melt, system) if isinstance(system, SaltSystem) else None

    def energies(self, x: np.ndarray, T_K: float) -> np.ndarray:
        """Gibbs energy less that of the pure solids, J/mol: (N,)."""
        if len(x) <= _FEW and self._plain is not None:
            found = [sum(map(mul, row, self._plain(row, T_K))) for row in x.tolist()]
            return np.array(found) + x @ self.levels(T_K)
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

    def grid_energies(self, T_K: float) -> np.ndarray:
        """`energies` of every grid composition."""
        energy, slope = self._grid_line
        return energy + T_K * slope + self.grid @ self.levels(T_K)

    def grid_gains(self, potentials: np.ndarray, T_K: float) -> np.ndarray:
        """Driving forces of the grid at potentials (n,) of the components, J/mol."""
        return self.grid_energies(T_K) - self.grid_spread @ potentials

    @cached_property
    def _grid_line(self) -> tuple[np.ndarray, np.ndarray]:
        """Energies of the grid at 0 K less `levels`, and their slopes in T: straight lines with one anion."""
        parts = self._parts(self.grid)
        A, B = (parts.liquid.A, parts.liquid.slope) if self.solid is None else parts
        return (self.grid * A).sum(axis=1), (self.grid * B).sum(axis=1)

    def potentials_and_slopes(self, x: np.ndarray, T_K: float) -> tuple[np.ndarray, np.ndarray]:
        """Potentials (N, m) and dmu_i/dlnx_j (N, m, m), J/mol, of mu as a function of moles, not of fractions."""
        if len(x) == 1 and (slopes := slopes_of_one(self.components.system, self.solid, x[0], T_K)) is not None:
            return self.potentials(x, T_K), slopes[None, :, :]
        return self._differences(x, T_K, self._parts(self._nudged(x)))

    def slopes_at(self, x: np.ndarray, temperatures_K: Sequence[float]) -> list[np.ndarray]:
        """dmu_i/dlnx_j (N, m, m) at each of these temperatures."""
        parts = self._parts(self._nudged(x))
        return [self._differences(x, T_K, parts)[1] for T_K in temperatures_K]

    def _nudged(self, x: np.ndarray) -> np.ndarray:
        return self.normalised(x[:, None, :] * self._nudges).reshape(-1, x.shape[1])

    def _differences(self, x: np.ndarray, T_K: float, parts) -> tuple[np.ndarray, np.ndarray]:
        count, m = len(x), len(self._nudges) - 1
        mu = self._at(parts, T_K).reshape(count, m + 1, m)
        slopes = (mu[:, 1:] - mu[:, :1]).transpose(0, 2, 1) / NUDGE
        # normalising took R T x_j from the ideal part of every column: with it back the matrix can be inverted
        return mu[:, 0], slopes + R * T_K * self.scale[:, None] * self.weigh(x)[:, None, :]

    def member_potentials(self, potentials: np.ndarray) -> np.ndarray:
        """Potentials (m,) of the variables from those of the components (n,)."""
        return self.rows @ potentials

    def weigh(self, x: np.ndarray) -> np.ndarray:
        """Share of each variable in the mole that is counted."""
        return x

    def amount_slopes(self, x: np.ndarray) -> np.ndarray:
        """Derivatives (m, m) of the amounts of one composition by ln x."""
        return np.diag(x)

    @cached_property
    def grid_spread(self) -> np.ndarray:
        """The grid as what it counts of the components (N, n)."""
        return self.spread(self.grid)

    def spread(self, x: np.ndarray) -> np.ndarray:
        """Compositions (N, m) as what they count of the components (N, n)."""
        return x[:, : len(self.rows)] @ self.rows


def _plain_melt(system: SaltSystem, x: list[float], T_K: float) -> list[float]:
    """mu_i - mu_i(pure liquid) of one melt (n,)."""
    A, slope = system.line(x)
    return [a + T_K * s for a, s in zip(A, slope, strict=True)]
