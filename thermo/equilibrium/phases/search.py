"""All phases that one system can have, and which of them would be more stable than what is there.

Every phase is searched for the composition with the lowest driving force f = g - sum w_i pi_i at given potentials pi of
the components; g and w_i: Gibbs energy and what a mole of it counts of the components (balance, conserved).
Limits: phases of thermo.laws; a search starts from a grid.
Worked value: at the potentials of liquid NaCl-KCl half and half at 1000 K no phase has f < 0.
"""

from collections.abc import Sequence
from functools import cached_property

import numpy as np

from thermo.equilibrium.phases.bounds import Bounds
from thermo.equilibrium.phases.candidates import Pool
from thermo.equilibrium.phases.conserved import IonComponents, conserved
from thermo.equilibrium.phases.ion_melt import IonMelt
from thermo.equilibrium.phases.mixture import TOLERANCE, Mixture
from thermo.equilibrium.phases.newton import component_amounts, unspanned
from thermo.equilibrium.phases.part import Part, Phase, SolidPhase
from thermo.equilibrium.system.interface import System
from thermo.equilibrium.system.solids import solid_weights
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.laws.compound_solution import CompoundSolution
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import FixedSolid, PureSolid, Solid
from thermo.records.composition import Composition

_TRACE = 1e-12


class PhaseSearch:
    """The phases of one system at any temperature and potentials."""

    def __init__(self, system: System):
        self.system = system = system.of_all_salts if isinstance(system, ReciprocalSystem) else system
        self.components = conserved(system)
        count = len(system.constituents)
        solutions = [s for s in system.solids if isinstance(s, SolutionSolid)]
        ions = self.components if isinstance(self.components, IonComponents) else None
        melt = Mixture(self.components, None) if ions is None else IonMelt(ions)
        self.mixtures: list[Mixture] = [*(Mixture(self.components, s) for s in solutions), melt]  # the liquid last
        self.fixed = [s for s in system.solids if isinstance(s, FixedSolid)]
        self._weights = np.array([solid_weights(s, count, None) for s in self.fixed]).reshape(-1, count)
        of_salts = [(k, s) for k, s in enumerate(solutions) if not isinstance(s, CompoundSolution)]
        home = {s.indices[m]: k for k, s in of_salts for m in s.natives}
        home |= {s.index: len(self.mixtures) + k for k, s in enumerate(self.fixed) if isinstance(s, PureSolid)}
        # every salt as its own solid comes first: together they make up any mix
        blocks = [
            self.components.rows,
            self._weights @ self.components.rows,
            *(m.grid_spread for m in self.mixtures),
        ]
        kinds = [np.array([home[i] for i in range(count)]), len(self.mixtures) + np.arange(len(self.fixed))]
        kinds += [np.full(len(m.grid), k) for k, m in enumerate(self.mixtures)]
        self._kinds = {id(s): k for k, s in enumerate([*(m.solid for m in self.mixtures), *self.fixed])}
        self.columns, self.kinds = np.vstack(blocks), np.concatenate(kinds).astype(int)

    def mix(self, composition: Composition) -> np.ndarray:
        """What a melt of these salts holds of the components (n,), a mole of it."""
        at = [self.system.constituents.index(f) for f in composition.salts]
        return composition.array @ self.components.rows[at]

    @property
    def liquid(self) -> Mixture:
        """The melt as a phase of free composition."""
        return self.mixtures[-1]

    def kind(self, phase: Phase) -> int:
        """Which of the mixtures, then of the solids of fixed composition, this phase is."""
        return self._kinds[id(phase.solid)]

    @cached_property
    def bounds(self) -> Bounds:
        """What tells without a search which phases cannot form."""
        return Bounds(self.components, self.mixtures, self.fixed, self._weights @ self.components.rows)

    def phase(self, part: Part) -> Phase:
        """A phase as found, from what it was worked out as."""
        solid, composition = self._solid(part.kind), component_amounts(self.mixtures, part)
        if solid is None:
            return Phase(None, composition, part.x, float(part.amount))
        return SolidPhase(solid, composition, part.x, float(part.amount))

    def _solid(self, kind: int) -> Solid | None:
        count = len(self.mixtures)
        return self.mixtures[kind].solid if kind < count else self.fixed[kind - count]

    def fixed_energies(self, T_K: float) -> np.ndarray:
        """Gibbs energy of every solid of fixed composition, J/mol, from the levels of the solid salts."""
        own = [s.energy_and_slope(T_K)[0] for s in self.fixed]
        return np.array(own) + self._weights @ self.components.levels(T_K)

    def unspanned(self, solids: tuple[Phase, ...]) -> np.ndarray:
        """Directions (q, n) of composition in which these solids together cannot move: q = 0 for n different ones."""
        return unspanned(self.mixtures, [Part(self.kind(p), p.composition, p.amount) for p in solids])

    def add_more_stable(
        self, pool: Pool, parts: list[Part], potentials: np.ndarray, T_K: float, kinds: Sequence[int] | None = None
    ) -> tuple[float, Part]:
        """Adds phases of negative driving force to the pool; the lowest driving force (J/mol) and its phase.

        kinds: those of the mixtures that are searched, all of them when left out.
        Of a mixture with `search_downhill` the best start from which a phase in balance lies downhill is tried last,
        then what lies beside such a phase.
        """
        gains = pool.energies - pool.columns @ potentials
        best = int(gains.argmin())
        found = float(gains[best]), self._part(int(pool.kinds[best]), pool.columns[best])
        downhill = []
        for kind in range(pool.mixtures) if kinds is None else kinds:
            mixture = self.mixtures[kind]
            own = [p.x for p in parts if p.kind == kind]
            start, stop = pool.blocks[kind]
            starts = mixture.starts(gains[start:stop], own, T_K)
            if own and len(starts):
                apart = mixture.over_a_hill(own, starts, potentials, T_K)
                downhill += [(kind, starts[~apart][:1])] if mixture.search_downhill else []
                starts = starts[apart]
            found = self._more_stable_of(pool, kind, starts, potentials, T_K, found)
        if found[0] >= -TOLERANCE:
            for kind, starts in downhill:
                found = self._more_stable_of(pool, kind, starts, potentials, T_K, found)
        for part in parts:
            if found[0] >= -TOLERANCE and part.kind < pool.mixtures and self.mixtures[part.kind].search_downhill:
                starts = self.mixtures[part.kind].beside(part.x, potentials, T_K)
                found = self._more_stable_of(pool, part.kind, starts, potentials, T_K, found)
        return found

    def _more_stable_of(
        self, pool: Pool, kind: int, starts: np.ndarray, potentials: np.ndarray, T_K: float, found: tuple[float, Part]
    ) -> tuple[float, Part]:
        """`found`, or what is more stable still: the best that this mixture reaches from the starts (S, m)."""
        if not len(starts):
            return found
        mixture, (worst, most_stable) = self.mixtures[kind], found
        x, force = mixture.most_stable(starts, potentials, T_K)
        full = mixture.spread(x)
        pool.add(kind, full, force + full @ potentials)
        if force.min() < worst or most_stable.kind == kind:
            return float(force.min()), Part(kind, x[force.argmin()], 0.0)
        return found

    def _part(self, kind: int, w: np.ndarray) -> Part:
        """A phase that is about to come in, from what it counts of the components (n,)."""
        if kind >= len(self.mixtures):
            return Part(kind, w, 0.0)
        mixture = self.mixtures[kind]
        return Part(kind, mixture.normalised(np.maximum(mixture.from_kept(w[None, :]), _TRACE))[0], 0.0)
