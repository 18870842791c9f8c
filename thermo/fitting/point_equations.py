"""Published points as linear equations for the fit.

At a measured balance of melt and solid the driving force is zero, D(x, T; theta) = 0, and D is linear in the fitted
parameters theta (once the composition y of a solid solution is known), so a point gives g theta = -(D - g theta) with
g = dD/d(theta). Enthalpies of mixing and activities of the melt are linear as they stand.
An invariant of two solids gives two such equations that share the errors of its T and x:
    covariance = s_T^2 (dD/dT)(dD/dT)' + s_x^2 (dD/dx)(dD/dx)' + floor^2,      equations are whitened with its root.
An invariant published without composition takes the x where both its solids come nearest, with a wide s_x.
A congruent minimum of a solid solution has y = x: two equations, one for each salt.
Units: J/mol, K. Limits: pairs of one anion.
Worked value: LiCl-KCl, 354 deg C, x(KCl) = 0.41, LiCl + KCl: two equations, each uncertain by about 40 J/mol.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.system.driving_force import Melts, driving_slope
from thermo.equilibrium.system.interface import System
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.fitting.lines import Lines
from thermo.laws.gibbs import fusion_sigma
from thermo.laws.mixing import PairBasis
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import DoubleSolid, FixedSolid, Solid
from thermo.records.parameters import LATTICE, LIQUID
from thermo.records.published import MixingPoint, PublishedInvariant, PublishedPoint
from thermo.records.units import R, celsius

FLOOR_J_mol = 25.0  # a point is never better than this: rounding of printed T and x
UNKNOWN_X_SIGMA = 0.15  # of an unprinted composition, mole fraction: judgement, wide enough to say hardly more than T
UNSTATED_X_SIGMA = 0.01  # of an invariant printed without one: common practice, no source
READ_X_SIGMA = 0.003  # of a melt as weighed in: common practice, no source
END_SHARE = 0.35  # judgement: a melt with less than this of one salt is taken to freeze the other first
FALLS_APART_K = 15.0  # judgement: so far below its own melting point a double salt may fall apart
LOW_WEIGHT = 2.0  # factor on the sigmas of rows marked `low`: a quarter of the weight
_DX = 1e-4


@dataclass(frozen=True)
class Equations:
    """Whitened equations of one observation: design (rows, parameters) times theta = target (rows,), unit variance.

    fusion (rows, 2): how much each row's driving force moves when the fusion energy of a salt is one sigma higher.
    """

    label: str
    design: np.ndarray
    target: np.ndarray
    fusion: np.ndarray
    kelvin: (
        np.ndarray
    )  # (rows, rows): times whitened misfits gives K at the published x; nan where it is no temperature


class PairObserver:
    """Turns published points of one pair into equations, given the pair's current parameter values."""

    def __init__(self, system: System, lines: Lines | None = None):
        """lines: of the pair's fit as far as known."""
        self.system, self.lines = system, Lines() if lines is None else lines
        (self.pair,) = system.pairs
        self.theta = self.pair.values

    @property
    def basis(self) -> PairBasis:
        """The melt's terms as functions of composition; ValueError for two anions, whose terms move with T."""
        if not isinstance(self.system, SaltSystem):
            raise ValueError(f"{'-'.join(self.pair.salts)}: mixing values and minima are fitted with one anion only")
        return self.system.basis

    def solid(self, name: str) -> tuple[Solid, int | None] | None:
        """The solid of this name, and for one side of a solid solution that side's member; None if not modelled."""
        for solid in self.system.solids:
            if isinstance(solid, SolutionSolid):
                own = [m for m in solid.natives if solid.formulas[m] == name]
                if own or name.startswith("("):
                    return solid, own[0] if own and len(solid.natives) > 1 else None
            elif solid.name == name:
                return solid, None
        return None

    def balance(self, solid: Solid, near: int | None, x: np.ndarray, T_K: float):
        """D (N,) of one solid at melts x (N,) (fraction of the second salt), the melts, and a solution's y (N, 2)."""
        melts = Melts(self.system, np.column_stack([1 - x, x]))
        T = np.full(len(x), T_K)
        if isinstance(solid, SolutionSolid):
            forces, _ = melts.salt_forces(T, solid.indices)
            y = solid.refine(solid.grid_start(forces, T, near), forces, T, rounds=25)
            return solid.driving_force(y, forces, T)[0], melts, y
        return melts.driving_force(solid, T)[0], melts, None

    def slopes(self, solid: Solid, near: int | None, x: np.ndarray, T_K: float):
        """D (N,) of one solid at melts x (N,); at the first of them dD/dT, dD/d(theta) and dD by the fusion errors."""
        if isinstance(solid, FixedSolid):
            line = self.lines.of(self.system, solid, x, T_K)
            return line.force(self.theta), line.slope(self.theta), line.rows[0], line.fusion
        values, melts, y = self.balance(solid, near, x, T_K)
        own = None if y is None else y[0]
        row = self.system.parameter_gradient(solid, melts.x[0], T_K, own)[0]
        return values, driving_slope(melts, solid, T_K, own), row, self.system.fusion_errors(solid, T_K, own)

    def forces(self, solid: Solid, near: int | None, x: np.ndarray, T_K: float) -> np.ndarray:
        """D (N,) of one solid at melts x (N,)."""
        if isinstance(solid, FixedSolid):
            return self.lines.of(self.system, solid, x, T_K).force(self.theta)
        return self.balance(solid, near, x, T_K)[0]

    def coexistence(
        self, label: str, solids: list, x: float | None, x_sigma: float, T_K: float, T_sigma: float, kind: str = ""
    ):
        """Equations of a melt in balance with one or more solids at (x, T); kind of the invariant where x is None."""
        if x is None:
            x, x_sigma = self.nearest_x(solids, T_K, kind), UNKNOWN_X_SIGMA
        x = min(max(x, 1e-3), 1 - 1e-3)
        D, by_T, by_x, rows, fusion = [], [], [], [], []
        for solid, near in solids:
            values, slope, row, errors = self.slopes(solid, near, np.array([x, x + _DX, x - _DX]), T_K)
            D.append(values[0])
            by_T.append(slope)
            by_x.append((values[1] - values[2]) / (2 * _DX))
            rows.append(row)
            fusion.append(errors)
        spread = (np.array(by_T), T_sigma, np.array(by_x), x_sigma)
        return self._whiten(label, np.array(D), np.array(rows), np.array(fusion), spread)

    def _whiten(self, label: str, D: np.ndarray, rows: np.ndarray, fusion: np.ndarray, errors) -> Equations:
        by_T, T_sigma, by_x, x_sigma = errors
        covariance = (
            T_sigma**2 * np.outer(by_T, by_T) + x_sigma**2 * np.outer(by_x, by_x) + FLOOR_J_mol**2 * np.eye(len(D))
        )
        root = np.linalg.cholesky(covariance)
        white = np.linalg.solve(root, np.column_stack([rows, rows @ self.theta - D, fusion]))
        count = rows.shape[1]
        design, target = white[:, :count], white[:, count]
        kelvin = root / np.maximum(-by_T, 1.0)[:, None]
        if x_sigma >= UNKNOWN_X_SIGMA:
            kelvin = np.full_like(kelvin, np.nan)
        return Equations(label, design, target, white[:, count + 1 :], kelvin)

    def nearest_x(self, solids: list, T_K: float, kind: str) -> float:
        """Where these solids are nearest to balance with a melt of T: the place of an invariant printed without one.

        The melt of a eutectic lies between its two solids, that of a peritectic beside them.
        """
        grid = np.linspace(0.02, 0.98, 49)
        at = [own for solid, near in solids if (own := self._own_x(solid, near)) is not None]
        if len(at) == len(solids) == 2 and kind in ("eutectic", "peritectic"):
            between = (grid > min(at)) & (grid < max(at))
            grid = grid[between if kind == "eutectic" else ~between]
        misfit = sum(self.forces(solid, near, grid, T_K) ** 2 for solid, near in solids)
        return float(grid[int(np.argmin(misfit))])

    @staticmethod
    def _own_x(solid: Solid, near: int | None) -> float | None:
        """Fraction of the second salt in a solid; of a solid solution the member it is near to."""
        if isinstance(solid, SolutionSolid):
            return None if near is None else float(solid.indices[near])
        return float(solid.shares(None) @ np.array(solid.indices))  # positions are 0 and 1

    def congruent_minimum(
        self, label: str, solution: SolutionSolid, x: float, x_sigma: float, T_K: float, T_sigma: float
    ) -> Equations:
        """Equations of a solid solution and a melt of the same composition x at T: one for each salt."""

        def misfit(x_here: float) -> tuple[np.ndarray, np.ndarray]:
            melts = Melts(self.system, np.array([[1 - x_here, x_here]]))
            forces, slopes = melts.salt_forces(np.array([T_K]), (0, 1))
            y = np.array([[1 - x_here, x_here]])
            A, B = solution.excess_potentials(y)
            own = R * np.log(y[0]) + B[0]
            return forces[0] - A[0] - T_K * own, slopes[0] - own

        D, by_T = misfit(x)
        by_x = (misfit(x + _DX)[0] - misfit(x - _DX)[0]) / (2 * _DX)
        melt = self.basis.matrix(np.array([[1 - x, x]]))[0]
        y = np.array([1 - x, x])
        rows = [self._potential_row(melt[i], T_K) - self.solid_row(solution, y, i, T_K) for i in (0, 1)]
        fusion = np.diag([fusion_sigma(f, T_K) for f in self.system.salts])
        return self._whiten(label, D, np.stack(rows), fusion, (by_T, T_sigma, by_x, x_sigma))

    def _potential_row(self, melt: np.ndarray, T_K: float | None) -> np.ndarray:
        """Design row of a potential of the melt; T_K None asks for an enthalpy (a terms only)."""
        row = np.zeros(len(self.theta))
        for n, parameter in enumerate(self.pair.parameters):
            if parameter.phase == LIQUID:
                row[n] = melt[parameter.order] * parameter.factor(0.0 if T_K is None else T_K)
        return row

    def solid_row(self, solution: SolutionSolid, y: np.ndarray, member: int, T_K: float) -> np.ndarray:
        """Design row of the potential of one member of a solid solution at composition y (2,)."""
        phase, terms = solution.phase_of(self.pair.salts), solution.basis.matrix(y[None, :])[0, member]
        strange = float(member not in solution.natives)
        row = np.zeros(len(self.theta))
        for n, parameter in enumerate(self.pair.parameters):
            if parameter.phase == phase:
                shape = strange if parameter.term == LATTICE else terms[parameter.order]
                row[n] = shape * parameter.factor(T_K)
        return row

    def invariant(self, point: PublishedInvariant) -> Equations | None:
        """Equations of a published invariant; None when none of its solids is part of the model."""
        if point.T_K is None or point.T_sigma_K is None:
            return None
        scale = LOW_WEIGHT if point.use == "low" else 1.0
        T_K, T_sigma = point.T_K, scale * point.T_sigma_K
        label = f"{point.kind} {celsius(point.T_K):.0f} C {point.source}"
        x = point.x_b
        names = point.solids or self._end_solid(x)
        solids = [found for name in names if (found := self.solid(name))]
        if point.kind == "minimum":
            if x is None or not solids or not isinstance(solids[0][0], SolutionSolid):
                return None
            x_sigma = scale * (point.x_b_sigma or UNSTATED_X_SIGMA)
            return self.congruent_minimum(label, solids[0][0], x, x_sigma, T_K, T_sigma)
        if point.kind in ("congruent", "highest"):
            T_sigma = float(np.hypot(T_sigma, FALLS_APART_K)) if point.kind == "highest" else T_sigma
            compound, near = next((s for s in solids if isinstance(s[0], DoubleSolid)), (None, None))
            if not isinstance(compound, DoubleSolid):
                return None
            x = float(compound.weights[compound.indices.index(1)])
            return self.coexistence(label, [(compound, near)], x, 0.0, T_K, T_sigma)
        if not solids or (x is None and len(solids) < 2):
            return None
        x_sigma = scale * (point.x_b_sigma or UNSTATED_X_SIGMA)
        return self.coexistence(label, solids, x, x_sigma, T_K, T_sigma, point.kind)

    def _end_solid(self, x: float | None) -> tuple[str, ...]:
        """The solid to assume where none was published: the salt that makes up at least 65 mol% of the melt."""
        if x is None or END_SHARE < x < 1 - END_SHARE:
            return ()
        return (self.system.salts[int(x > 0.5)],)

    def liquidus_point(self, point: PublishedPoint) -> Equations | None:
        """Equations of one published liquidus point."""
        scale = LOW_WEIGHT if point.use == "low" else 1.0
        solids = [found for name in point.solids if (found := self.solid(name))]
        if not solids:
            return None
        label = f"liquidus {celsius(point.T_K):.0f} C {point.source}"
        return self.coexistence(label, solids, point.x_b, scale * READ_X_SIGMA, point.T_K, scale * point.T_sigma_K)

    def mixing_point(self, point: MixingPoint) -> Equations | None:
        """Equation of one published enthalpy of mixing, excess energy or activity of the melt."""
        scale = LOW_WEIGHT if point.use == "low" else 1.0
        x = point.x_b
        melt = self.basis.matrix(np.array([[1 - x, x]]))[0]
        mean = (1 - x) * melt[0] + x * melt[1]
        value, sigma = point.value, scale * point.sigma
        if point.quantity == "enthalpy_of_mixing_J_mol":
            row = self._potential_row(mean, None)
        elif point.quantity == "excess_gibbs_J_mol":
            row = self._potential_row(mean, point.T_K)
        elif point.quantity.startswith("excess_potential"):
            row = self._potential_row(melt[int(point.quantity.endswith("_b_J_mol"))], point.T_K)
        else:
            second = int("_b" in point.quantity)
            row = self._potential_row(melt[second], point.T_K)
            fraction = x if second else 1 - x
            ideal = 0.0 if "coefficient" in point.quantity else np.log(fraction)
            sigma = R * point.T_K * sigma / value
            value = R * point.T_K * (np.log(value) - ideal)
        sigma = float(np.hypot(sigma, FLOOR_J_mol))
        return free_of_fusion(f"{point.quantity} {point.source}", row[None, :] / sigma, np.array([value / sigma]))


def free_of_fusion(label: str, design: np.ndarray, target: np.ndarray) -> Equations:
    """Equations that no fusion energy enters and that are no temperatures."""
    return Equations(label, design, target, np.zeros((len(target), 2)), np.full((len(target),) * 2, np.nan))


def equations(observer: PairObserver, invariants, points, mixing) -> Iterator[Equations]:
    """All equations of one pair's melt from its published rows (those marked `no` left out); solids: `solid_limits`."""
    for rows, translate in (
        (invariants, observer.invariant),
        (points, observer.liquidus_point),
        (mixing, observer.mixing_point),
    ):
        for row in rows:
            if row.use != "no" and (found := translate(row)) is not None:
                yield found
