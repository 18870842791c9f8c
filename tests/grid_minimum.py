"""The smallest Gibbs energy of a mix found in another way: finer and finer grids, a library's linear programme.

Shares with the package only the laws (excess potentials, fusion energies, coefficients). No Newton's rule, no prices
that find compositions, no merging: every phase is a cloud of points, the programme (HiGHS) picks among them, and new
clouds gather around what it picked or nearly picked. What it finds lies above the true minimum by the error of its
grid: some 0.1 J/mol, 0.01 K for a driving force with a slope of 10 J/(mol K), in a quick search; in a patient one 100
times less.
"""

from itertools import product

import numpy as np
from scipy.optimize import linprog

from thermo.equilibrium.system import SaltSystem, salt_system
from thermo.laws.gibbs import fusion_gibbs
from thermo.laws.solids import DoubleSolid, SolutionSolid, simplex_grid
from thermo.records.units import R

QUICK = 11, 0.55, 12  # rounds, shrinking of the step each round, points a phase that get a new cloud
PATIENT = 24, 0.75, 40
STEPS = {2: 100, 3: 30, 4: 14, 5: 9, 6: 7}
LIQUID = 0  # position of the liquid among the clouds


class GridMinimum:
    """Minimises the Gibbs energy of mixes of one system at fixed temperature."""

    def __init__(self, salts: tuple[str, ...], system: SaltSystem | None = None):
        self.system = salt_system(salts) if system is None else system
        self.count = len(salts)
        self.solutions = [s for s in self.system.solids if isinstance(s, SolutionSolid)]
        self.members = [list(range(self.count)), *(list(s.indices) for s in self.solutions)]

    def minimum(self, mix: np.ndarray, T_K: float, effort=QUICK) -> tuple[float, float]:
        """Gibbs energy less that of the pure solids, J/mol, and moles of liquid a mole of mix."""
        rounds, shrink, nearest = effort
        clouds = [simplex_grid(len(at), STEPS[len(at)]) for at in self.members]
        widths = [1 / STEPS[len(at)] for at in self.members]
        for turn in range(rounds):
            columns, energies, owners = self._candidates(clouds, T_K)
            best = linprog(energies / 1000, A_eq=columns.T, b_eq=mix, method="highs")
            assert best.status == 0, best.message
            gains = energies - columns @ best.eqlin.marginals * 1000
            for k, at in enumerate(self.members):
                own = np.flatnonzero(owners == k)
                near = own[np.argsort(gains[own])[:nearest]]
                centres = columns[np.union1d(near, own[best.x[own] > 1e-12])][:, at]
                clouds[k] = _around(centres, widths[k] / 2, 2 * shrink**turn)
                widths[k] *= shrink
        return 1000 * best.fun, float(best.x[owners == LIQUID].sum())

    def _candidates(self, clouds: list[np.ndarray], T_K: float):
        """Compositions (M, n), energies (M,) and owners (M,): -1 for solids of fixed composition."""
        columns, energies = [np.eye(self.count)], [np.zeros(self.count)]
        for solid in self.system.solids:
            if isinstance(solid, DoubleSolid):
                row = np.zeros((1, self.count))
                row[0, list(solid.indices)] = np.array(solid.counts) / sum(solid.counts)
                columns.append(row)
                energies.append(np.array([(solid.dH - T_K * solid.dS) / sum(solid.counts)]))
        owners = [np.full(sum(len(block) for block in columns), -1)]
        for k, (cloud, at) in enumerate(zip(clouds, self.members, strict=True)):
            x = np.clip(cloud, 1e-12, None)
            x /= x.sum(axis=1, keepdims=True)
            full = np.zeros((len(x), self.count))
            full[:, at] = x
            columns.append(full)
            energies.append(self._liquid(x, T_K) if k == LIQUID else _solution(self.solutions[k - 1], x, T_K))
            owners.append(np.full(len(x), k))
        return np.vstack(columns), np.concatenate(energies), np.concatenate(owners)

    def _liquid(self, x: np.ndarray, T_K: float) -> np.ndarray:
        fusion = np.array([fusion_gibbs(formula, T_K) for formula in self.system.salts])
        return (x * (R * T_K * np.log(x) + self.system.excess_potentials(x, T_K) + fusion)).sum(axis=1)


def _solution(solid: SolutionSolid, y: np.ndarray, T_K: float) -> np.ndarray:
    energies = R * T_K * (y * np.log(y)).sum(axis=1)
    for member, energy in solid.strangers:
        energies += y[:, member] * energy
    for (i, j, order), a, b in zip(solid.terms, solid.a, solid.b, strict=True):
        energies += y[:, i] * y[:, j] * (a + b * T_K) * (y[:, i] - y[:, j]) ** order
    return energies


def _around(centres: np.ndarray, step: float, factor: float) -> np.ndarray:
    """The centres, moves of `step` and a third of it from every member to every other, and changes of traces."""
    size = centres.shape[1]
    moves = []
    for i, j in product(range(size), repeat=2):
        if i != j:
            move = np.zeros(size)
            move[i], move[j] = step, -step
            moves += [move, move / 3]
    moved = (centres[:, None, :] + np.array(moves)).reshape(-1, size)
    factors = np.array([sign * factor * row for row in np.eye(size) for sign in (1, -1)])
    scaled = (centres[:, None, :] * np.exp(factors)).reshape(-1, size)
    scaled /= scaled.sum(axis=1, keepdims=True)
    return np.vstack([centres, moved[(moved > 0).all(axis=1)], scaled])
