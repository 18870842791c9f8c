"""The smallest Gibbs energy of a mix found in another way: finer and finer grids, a library's linear programme.

Shares with the package only the laws (excess potentials, fusion and exchange energies, coefficients). No Newton's rule,
no potentials that find compositions, no merging: every phase is a cloud of points, the programme (HiGHS) picks,
and new clouds gather around what it picked or nearly picked. With two anions the programme keeps every ion, chloride
too, and the liquid's cloud is one of cations with one of anions. What it finds lies above the true minimum by the error
of its grid: some 0.1 J/mol, 0.01 K for a driving force with a slope of 10 J/(mol K), in a quick search; in a patient
one 100 times less.
"""

from itertools import product

import numpy as np
from scipy.optimize import linprog

from thermo.equilibrium.phases.balance import PhaseBalance, phase_balance
from thermo.equilibrium.phases.part import Balance
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.equilibrium.system.solids import solid_weights
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.laws.compound_solution import CompoundSolution
from thermo.laws.gibbs import fusion_gibbs
from thermo.laws.solid_solution import SolutionSolid, simplex_grid
from thermo.laws.solids import DoubleSolid
from thermo.records.composition import Composition
from thermo.records.substances import salt
from thermo.records.units import R

QUICK = 11, 0.55, 12  # rounds, shrinking of the step each round, points a phase that get a new cloud
PATIENT = 24, 0.75, 40
STEPS = {1: 1, 2: 100, 3: 30, 4: 14, 5: 9, 6: 7}
ION_STEPS = {1: 1, 2: 24, 3: 12, 4: 8, 5: 6, 6: 5}
TRACE = 1e-4  # where the search for an ion that is nearly all in the solids begins
STEP_K = 0.5  # to this the freezing is compared
ALIKE = 1e-3  # moles of liquid: what a grid good to 0.1 J/mol may be off
UNSEEN = 1e-5  # moles of liquid that change the energy by less than a grid can tell
LIQUID = 0  # position of the liquid among the clouds


def disagreements(mix: Composition, solidus_K: float | None, temperatures_K: tuple[float, ...] = ()) -> list[tuple]:
    """Where the phases found for a mix are not those of lowest energy; a coarse answer counts neither for nor against.

    Where even a patient search ends above the energy of the phases, it starts again with them among its points: the
    programme then leaves them wherever anything is lower.
    Half a degree above the solidus there must be liquid, half a degree below none; without a solidus liquid at 300 K.
    At the other temperatures the amount of liquid must be met to what half a degree makes of it.
    """
    phases = phase_balance(mix.salts)
    scan, held = GridMinimum(mix.salts, phases.system), phases.mix(mix)
    if solidus_K is None:
        return [(mix, "no solidus, but no liquid at 300 K")] if scan.minimum(mix, 300.0)[1] < 1e-8 else []
    found = []
    for T_K in (solidus_K + STEP_K, solidus_K - STEP_K, *temperatures_K):
        balance = phases.at(held, T_K)
        own = scan.energy(balance, phases)
        below, above = (_liquid_amount(phases, held, T_K + step) for step in (-STEP_K, STEP_K))
        for effort, seeds in ((QUICK, None), (PATIENT, None), (PATIENT, scan.clouds_of(balance, phases))):
            energy, melt = scan.minimum(mix, T_K, effort, seeds)
            liquid = (melt > 1e-8) == (solidus_K < T_K) or max(melt, above) < UNSEEN
            met = liquid and below - ALIKE < melt < above + ALIKE
            if met and energy - own < 0.1:
                break
        if not met or not -1e-3 < energy - own < 0.1:
            found.append((mix, T_K, solidus_K, melt, (below, above), energy - own))
    return found


def _liquid_amount(phases: PhaseBalance, held: np.ndarray, T_K: float) -> float:
    liquid = phases.at(held, T_K).liquid
    return 0.0 if liquid is None else liquid.amount


class GridMinimum:
    """Minimises the Gibbs energy of mixes of one system at fixed temperature."""

    def __init__(self, salts: tuple[str, ...], system: SaltSystem | None = None):
        system = salt_system(salts) if system is None else system
        self.two_anions = isinstance(system, ReciprocalSystem)
        self.system = system.of_all_salts if self.two_anions else system
        self.count = len(self.system.constituents)
        self.rows = _ion_counts(self.system.constituents) if self.two_anions else np.eye(self.count)
        self.solutions = [s for s in self.system.solids if isinstance(s, SolutionSolid)]
        # every phase is free on one lattice, the liquid of two anions on two
        liquid = [self.count // 2, 2] if self.two_anions else [self.count]
        self.lattices = [liquid, *([len(s.formulas)] for s in self.solutions)]
        self.members = [np.eye(self.count), *(_members(s, self.count) for s in self.solutions)]

    def energy(self, balance: Balance, phases: PhaseBalance) -> float:
        """Gibbs energy of the phases of a balance by the laws used here, J/mol of mix, on the scale of `minimum`."""
        T_K, total, levels = balance.T_K, 0.0, self._levels(balance.T_K)
        for phase in balance.phases:
            if phase.solid is None:
                x = phases.liquid.fractions(phase.own)
                own = self._liquid(x[None, :], T_K)[0]
            else:
                x = solid_weights(phase.solid, self.count, phase.members)
                own = 0.0 if phase.members is None else _solution(phase.solid, phase.members[None, :], T_K)[0]
                if isinstance(phase.solid, DoubleSolid):
                    own = (phase.solid.dH - T_K * phase.solid.dS) / sum(phase.solid.counts)
            total += phase.amount * float(own + x @ levels)
        return total

    def clouds_of(self, balance: Balance, phases: PhaseBalance) -> list[np.ndarray]:
        """The compositions of the phases as points of the clouds, one array a cloud."""
        found = [np.zeros((0, sum(sizes))) for sizes in self.lattices]
        for phase in balance.phases:
            if phase.solid is None:
                x = phases.liquid.fractions(phase.own)
                if self.two_anions:
                    half = self.count // 2
                    x = np.concatenate([x[:half] + x[half:], [x[:half].sum(), x[half:].sum()]])
                found[LIQUID] = np.vstack([found[LIQUID], x])
            elif phase.members is not None:
                k = 1 + next(n for n, solid in enumerate(self.solutions) if solid == phase.solid)
                found[k] = np.vstack([found[k], phase.members])
        return found

    def minimum(self, mix: Composition, T_K: float, effort=QUICK, seeds=None) -> tuple[float, float]:
        """Gibbs energy less that of the pure solids, J/mol, and moles of liquid a mole of mix.

        With two anions less that of the pure solid chlorides, fluorine in them taken at zero. seeds: points to begin
        with besides those all over the range, one array a cloud.
        """
        rounds, shrink, nearest = effort
        held = mix.array @ self.rows[[self.system.constituents.index(f) for f in mix.salts]]
        steps = [ION_STEPS if len(sizes) > 1 else STEPS for sizes in self.lattices]
        clouds = [_everywhere([simplex_grid(m, s[m]) for m in sizes])
                  for sizes, s in zip(self.lattices, steps, strict=True)]  # fmt: skip
        if seeds is not None:
            clouds = [_shares(np.vstack(both), sizes)
                      for *both, sizes in zip(clouds, seeds, self.lattices, strict=True)]  # fmt: skip
        widths = [1 / s[sizes[0]] for sizes, s in zip(self.lattices, steps, strict=True)]
        for turn in range(rounds):
            columns, energies, owners = self._candidates(clouds, T_K)
            best = linprog(energies / 1000, A_eq=columns.T, b_eq=held, method="highs")
            assert best.status == 0, best.message
            gains = energies - columns @ best.eqlin.marginals * 1000
            for k, sizes in enumerate(self.lattices):
                own = np.flatnonzero(owners == k)
                near = own[np.argsort(gains[own])[:nearest]]
                centres = clouds[k][np.union1d(near, own[best.x[own] > 1e-12]) - own[0]]
                clouds[k] = _around(centres, sizes, widths[k] / 2, 2 * shrink**turn)
                widths[k] *= shrink
        return 1000 * best.fun, float(best.x[owners == LIQUID].sum())

    def _candidates(self, clouds: list[np.ndarray], T_K: float):
        """What candidates count (M, n), energies (M,) and owners (M,): -1 for solids of fixed composition."""
        levels = self._levels(T_K)
        columns, energies = [np.eye(self.count)], [levels]
        for solid in self.system.solids:
            if isinstance(solid, DoubleSolid):
                row = np.zeros((1, self.count))
                row[0, list(solid.indices)] = np.array(solid.counts) / sum(solid.counts)
                columns.append(row)
                energies.append((solid.dH - T_K * solid.dS) / sum(solid.counts) + row @ levels)
        owners = [np.full(sum(len(block) for block in columns), -1)]
        for k, (cloud, at) in enumerate(zip(clouds, self.members, strict=True)):
            x = _salts(cloud, self.lattices[k])
            full = x @ at
            columns.append(full)
            own = self._liquid(x, T_K) if k == LIQUID else _solution(self.solutions[k - 1], x, T_K)
            energies.append(own + full @ levels)
            owners.append(np.full(len(x), k))
        return np.vstack(columns) @ self.rows, np.concatenate(energies), np.concatenate(owners)

    def _levels(self, T_K: float) -> np.ndarray:
        """Gibbs energy of every solid salt: zero, but that of a fluoride counted from the chloride of its cation."""
        if not self.two_anions:
            return np.zeros(self.count)
        half = self.count // 2
        fusion = np.array([fusion_gibbs(formula, T_K) for formula in self.system.constituents])
        fluorides = self.system.exchange_energies(T_K) - fusion[:half] + fusion[half:]
        return np.concatenate([fluorides, np.zeros(half)])

    def _liquid(self, x: np.ndarray, T_K: float) -> np.ndarray:
        fusion = np.array([fusion_gibbs(formula, T_K) for formula in self.system.constituents])
        return (x * (self.system.liquid(x).potentials(T_K) + fusion)).sum(axis=1)


def _ion_counts(salts: tuple[str, ...]) -> np.ndarray:
    """Moles of every cation, of fluoride and of chloride in a mole of each salt (2 c, c + 2)."""
    kinds = [*dict.fromkeys(salt(f).cation for f in salts), "F", "Cl"]
    counts = np.zeros((len(salts), len(kinds)))
    for row, formula in zip(counts, salts, strict=True):
        row[kinds.index(salt(formula).cation)] = 1
        row[kinds.index(salt(formula).anion)] = salt(formula).charge
    return counts


def _everywhere(grids: list[np.ndarray]) -> np.ndarray:
    """Every point of the first grid beside every point of the second, if there is one."""
    sizes = [grid.shape[1] for grid in grids]
    if len(grids) == 1:
        return _shares(grids[0], sizes)
    cations, anions = (np.clip(grid, TRACE, None) for grid in grids)
    return _shares(np.hstack([np.repeat(cations, len(anions), axis=0), np.tile(anions, (len(cations), 1))]), sizes)


def _salts(cloud: np.ndarray, sizes: list[int]) -> np.ndarray:
    """Mole fractions of the salts: those of the one lattice, or of each cation with each anion, fluorides first."""
    parts = np.split(cloud, np.cumsum(sizes)[:-1], axis=1)
    return parts[0] if len(parts) == 1 else np.hstack([parts[0] * parts[1][:, [j]] for j in (0, 1)])


def _shares(cloud: np.ndarray, sizes: list[int]) -> np.ndarray:
    """The same points with nothing at zero and a sum of one on every lattice."""
    parts = np.split(np.clip(cloud, 1e-12, None), np.cumsum(sizes)[:-1], axis=1)
    return np.hstack([part / part.sum(axis=1, keepdims=True) for part in parts])


def _members(solid: SolutionSolid, count: int) -> np.ndarray:
    """Mole fractions of the salts in each member (members, count)."""
    if not isinstance(solid, CompoundSolution):
        return np.eye(count)[list(solid.indices)]
    return np.array([solid_weights(compound, count, None) for compound in solid.compounds])


def _solution(solid: SolutionSolid, y: np.ndarray, T_K: float) -> np.ndarray:
    """Gibbs energy over that of the solid salts, J per mole of salts; of compounds by what is exchanged."""
    own = _mixing(solid, y, T_K)
    if isinstance(solid, CompoundSolution):
        formed = [(c.dH - T_K * c.dS) / sum(c.counts) for c in solid.compounds]
        return solid.exchanged * own + y @ np.array(formed)
    return own


def _mixing(solid: SolutionSolid, y: np.ndarray, T_K: float) -> np.ndarray:
    energies = R * T_K * (y * np.log(y)).sum(axis=1)
    for member, energy in solid.strangers:
        energies += y[:, member] * energy
    for (i, j, order), a, b in zip(solid.terms, solid.a, solid.b, strict=True):
        energies += y[:, i] * y[:, j] * (a + b * T_K) * (y[:, i] - y[:, j]) ** order
    return energies


def _around(centres: np.ndarray, sizes: list[int], step: float, factor: float) -> np.ndarray:
    """The centres, moves of `step` and a third of it from every member to every other, and changes of traces.

    Members of one lattice change together; with two lattices each moves alone and both together.
    """
    own = np.split(np.eye(sum(sizes)), np.cumsum(sizes)[:-1])
    alone = [[move for a, b in product(units, repeat=2) if (a != b).any() for move in (a - b, (a - b) / 3)]
             for units in own]  # fmt: skip
    moves = [move for some in alone for move in some]
    if len(sizes) > 1:
        moves += [a + b for a, b in product(*alone)]
    moved = (centres[:, None, :] + step * np.array(moves)).reshape(-1, sum(sizes))
    factors = np.array([sign * factor * row for row in np.eye(sum(sizes)) for sign in (1, -1)])
    if len(sizes) > 1:  # a trace of a cation answers to a trace of an anion
        factors = np.vstack([factors, *(factors + other for other in factors)])
    scaled = (centres[:, None, :] * np.exp(factors)).reshape(-1, sum(sizes))
    return _shares(np.vstack([centres, moved[(moved > 0).all(axis=1)], scaled]), sizes)
