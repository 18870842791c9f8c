"""Which phases cannot form beside a balance, by bounds that need no search.

With d_i = pi_i - G_i the driving forces of the solid salts at the potentials of a balance:
    solid of fixed composition     its own driving force
    solid solution                 D <= the ideal solution's and what attraction adds; else the highest D that steps
                                   find from wherever on its grid it may be above 0 (laws/one_solution)
    melt that is there             no other hollow: the energy of melts bends up everywhere at this temperature, or
                                   every start of a search lies on a slope that leads back to it
What is not excluded is searched as everywhere (balance).
Limits: a melt that is there is judged by its grid. Worked value: CaCl2 beside NaCl-CaCl2 above its liquidus: D < 0.
"""

from collections.abc import Sequence

import numpy as np

from thermo.equilibrium.phases.conserved import Components
from thermo.equilibrium.phases.mixture import TOLERANCE, Mixture
from thermo.equilibrium.phases.part import Part
from thermo.equilibrium.system.one_melt import Fixed
from thermo.laws.one_solution import OneSolution, one_solution
from thermo.laws.solids import FixedSolid

_SAFE = 1.05  # between grid compositions the energy may bend a little less


class Bounds:
    """The bounds of one system's phases: mixtures (liquid last), solids of fixed composition, what is conserved."""

    def __init__(
        self, components: Components, mixtures: Sequence[Mixture], fixed: Sequence[FixedSolid], weights: np.ndarray
    ):
        """weights (solids, n): what a mole of each solid of fixed composition counts of the components."""
        self.components, self.mixtures = components, mixtures
        self._fixed = [Fixed(solid, *solid.energy_and_slope(0.0)) for solid in fixed]
        self._weights = weights
        self._solutions = [one_solution(mixture.solid) for mixture in mixtures if mixture.solid is not None]

    def look(
        self, parts: Sequence[Part], potentials: np.ndarray, T_K: float, mixtures: int
    ) -> tuple[Part | None, list[int]]:
        """A solid that is more stable than these parts, the most stable seen; and mixtures that may have such a phase.

        potentials (n,) of the components in balance with the parts; mixtures: how many of them there may be, from the
        first on.
        """
        d = (self.components.rows @ potentials - self.components.levels(T_K)).tolist()
        best, forms = TOLERANCE, None
        for k, solid in enumerate(self._fixed):
            if (D := solid.most(d, T_K)) > best:
                best, forms = D, Part(len(self.mixtures) + k, self._weights[k], 0.0)
        own: dict[int, list[np.ndarray]] = {}
        for part in parts:
            own.setdefault(part.kind, []).append(part.x)
        left = []
        for kind, mixture in enumerate(self.mixtures[:mixtures]):
            there = own.get(kind, [])
            if mixture.solid is None:
                if not there or mixture.search_downhill or not self._one_hollow(mixture, there, potentials, T_K):
                    left.append(kind)
                continue
            highest = self._highest(self._solutions[kind], there, d, T_K)
            if highest is None:
                left.append(kind)
            elif highest[0] > best:
                best, forms = highest[0], Part(kind, np.array(highest[1]), 0.0)
        return forms, left

    @staticmethod
    def _highest(
        solution: OneSolution, own: list[np.ndarray], d: list[float], T_K: float
    ) -> tuple[float, list[float]] | None:
        if not own and solution.most(d, T_K) <= 0:
            return -np.inf, []
        return solution.highest([d[i] for i in solution.indices], T_K, 0.0, own)

    @staticmethod
    def _one_hollow(mixture: Mixture, own: list[np.ndarray], potentials: np.ndarray, T_K: float) -> bool:
        """Whether no hill stands halfway from every start to one of its own phases (whose driving force is nothing)."""
        if _SAFE * mixture.one_hollow_above_K < T_K:
            return True
        gains = mixture.grid_gains(potentials, T_K)
        places = mixture.places(gains, own, T_K)
        if not places:
            return True
        return not mixture.over_a_hill(own, mixture.grid[places], potentials, T_K).any()
