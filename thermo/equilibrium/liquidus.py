"""Where a melt starts to freeze, and which solid comes first.

For each solid that the melt could form, Newton's rule finds the temperature where its driving force D(T) (laws/solids)
is zero; the highest wins. D is nearly straight in T (its slope is minus an entropy), so a handful of steps converge to
1e-4 K; the sign of D keeps every step inside a bracket. All compositions are handled together, in blocks so that memory
stays bounded.
sigma_T = sigma_D / |dD/dT|: the fitted parameters' covariance, the pure salts' melting data, and for three or more
salts the model's own error (data/model_error.csv).
Limits: stable liquid (checked for single melts: `liquid_unmixing`). Worked value: a single salt: its melting point.
"""

from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.system import SaltSystem, Solid, salt_system
from thermo.laws.solids import DoubleSolid, PureSolid, SolutionSolid
from thermo.records.units import R

LOWEST_K = 250.0  # nothing in the salt lists melts below; a solid found here simply does not form
HIGHEST_K = 2400.0
BLOCK = 20000  # compositions a block: about 50 MB for six salts
_STEP_K = 1e-4
_MISSED_J_mol = 1.0  # 0.03 K: a side of a solid solution that would form by more was missed


@dataclass(frozen=True)
class LiquidusField:
    """Liquidus of many compositions: T_K (N,), position of the first solid in `solids` (N,)."""

    T_K: np.ndarray
    solid_index: np.ndarray
    solids: tuple[str, ...]


class Melts:
    """Compositions x (N, n) of one system with what the solvers need of them computed once."""

    def __init__(self, system: SaltSystem, x: np.ndarray):
        self.system = system
        self.x = np.asarray(x, dtype=float)
        self.A, B = system.melt_energies(self.x)
        self.slope = R * system.ideal_logs(self.x) + B

    def salt_forces(self, T_K: np.ndarray, salts: tuple[int, ...]) -> tuple[np.ndarray, np.ndarray]:
        """d_i = mu_i(melt) - G_i(pure solid) of salts at these positions at T (N,), and its slope: (N, len(salts))."""
        index = list(salts)
        energy, slope = self.system.fusion(salts).energy_and_slope(T_K)
        melt_slope = self.slope[:, index]
        return self.A[:, index] + T_K[:, None] * melt_slope + energy, melt_slope + slope

    def potentials(self, T_K: float) -> np.ndarray:
        """mu_i - mu_i(pure liquid) of every constituent at one T, J/mol: (N, constituents)."""
        return self.A + T_K * self.slope

    def solid_temperature(self, solid: Solid, near: int | None = None) -> tuple[np.ndarray, np.ndarray | None]:
        """Temperature (N,) where the solid is in balance with each melt; for a solution also its composition.

        near: keep a solid solution on the side of this member (the two sides of a miscibility gap are two solids).
        """
        if isinstance(solid, SolutionSolid):
            return self._solution_temperature(solid, near)
        if isinstance(solid, PureSolid):
            indices, weights = (solid.index,), np.ones(1)
        else:
            indices, weights = solid.indices, solid.weights
        T = np.full(len(self.x), self.system.melting_K[list(indices)].max())
        bracket = _Bracket(T)
        for _ in range(60):
            forces, slopes = self.salt_forces(T, indices)
            D, slope = forces @ weights, slopes @ weights
            if isinstance(solid, DoubleSolid):
                formation, formation_slope = solid.energy_and_slope(T)
                D, slope = D - formation, slope - formation_slope
            T, done = bracket.step(T, D, slope)
            if done:
                break
        return T, None

    def _solution_temperature(self, solid: SolutionSolid, near: int | None) -> tuple[np.ndarray, np.ndarray]:
        T = np.full(len(self.x), self.system.melting_K[list(solid.indices)].max())
        forces, _ = self.salt_forces(T, solid.indices)
        y = solid.grid_start(forces, T, near)
        for _ in range(4):
            T, y = self._settle(solid, T, y)
            forces, _ = self.salt_forces(T, solid.indices)
            other = solid.grid_start(forces, T, near)
            missed = solid.driving_force(other, forces, T)[0] > _MISSED_J_mol
            if not missed.any():  # no other side of a miscibility gap would form here
                break
            y = np.where(missed[:, None], other, y)
        return T, y

    def _settle(self, solid: SolutionSolid, T: np.ndarray, y: np.ndarray):
        """Newton steps in T with the solution's composition following from y: (T, y) where D = 0."""
        bracket = _Bracket(T)
        forces, slopes = self.salt_forces(T, solid.indices)
        for step in range(60):
            y = solid.refine(y, forces, T, rounds=4)
            D, own_slope = solid.driving_force(y, forces, T)
            T, done = bracket.step(T, D, (y * slopes).sum(axis=1) + own_slope)
            forces, slopes = self.salt_forces(T, solid.indices)
            if done and step > 2:
                break
        return T, y


class _Bracket:
    """Newton steps on D(T) = 0 that never leave the interval in which the sign of D says the root must lie."""

    def __init__(self, T: np.ndarray):
        self.low, self.high = np.full_like(T, LOWEST_K), np.full_like(T, HIGHEST_K)

    def step(self, T: np.ndarray, D: np.ndarray, slope: np.ndarray) -> tuple[np.ndarray, bool]:
        """Next T, and whether all points have settled; a root outside the limits settles on the limit."""
        forms = D > 0  # the solid forms here: the root lies above
        self.low = np.where(forms, T, self.low)
        self.high = np.where(forms, self.high, T)
        moved = T - D / np.minimum(slope, -1.0)
        middle = 0.5 * (self.low + self.high)
        moved = np.where(moved >= self.low, moved, np.where(self.low == LOWEST_K, LOWEST_K, middle))
        moved = np.where(moved <= self.high, moved, np.where(self.high == HIGHEST_K, HIGHEST_K, middle))
        moved = np.clip(moved, self.low, self.high)
        return moved, bool(np.max(np.abs(moved - T)) < _STEP_K)


def driving_slope(melts: Melts, solid: Solid, T_K: float, y: np.ndarray | None) -> float:
    """dD/dT of one solid at the first melt of `melts`, J/(mol K); negative in a normal melt."""
    T = np.array([T_K])
    if isinstance(solid, SolutionSolid):
        forces, slopes = melts.salt_forces(T, solid.indices)
        return float((y * slopes[0]).sum() + solid.driving_force(y[None, :], forces, T)[1][0])
    indices = solid.indices if isinstance(solid, DoubleSolid) else (solid.index,)
    weights = solid.weights if isinstance(solid, DoubleSolid) else np.ones(1)
    slope = float(melts.salt_forces(T, indices)[1][0] @ weights)
    return slope - solid.energy_and_slope(T)[1] if isinstance(solid, DoubleSolid) else slope


def liquidus_field(salts: tuple[str, ...], fractions: np.ndarray, system: SaltSystem | None = None) -> LiquidusField:
    """Liquidus temperature and first solid of many melts of the same salts.

    fractions: (N, n), rows summing to 1, zeros allowed. Raises nothing for extreme compositions: a melt always has a
    liquidus, that of its last salt.
    """
    system = salt_system(tuple(salts)) if system is None else system
    fractions = np.asarray(fractions, dtype=float)
    T, first = np.empty(len(fractions)), np.empty(len(fractions), dtype=int)
    for start in range(0, len(fractions), BLOCK):
        block = slice(start, start + BLOCK)
        melts = Melts(system, fractions[block])
        found = np.stack([melts.solid_temperature(solid)[0] for solid in system.solids])
        first[block] = found.argmax(axis=0)
        T[block] = found.max(axis=0)
    return LiquidusField(T, first, tuple(solid_name(solid) for solid in system.solids))


def solid_name(solid: Solid) -> str:
    """Name of a solid before its composition is known: a formula, or (A,B)Cl for a solid solution."""
    if isinstance(solid, SolutionSolid):
        return solid.label(np.full(len(solid.formulas), 1 / len(solid.formulas)))
    return solid.name
