"""Solid solutions of double salts: compounds of one build in which one salt stands for another, as (Na,K)MgF3.

Members hold the same salts in the same numbers but for one of each, m of them among the N salts of a formula, and it is
their m cations that mix at random. With d the driving forces of the solid salts and g of formation, per mole of salts:
    f_k = N / m (sum_i w_ki d_i - g_k)                       member k by itself, per mole of exchanged cations
    D = m / N max over y of [sum y_k f_k - R T sum y_k ln y_k - sum_(k<l) W_kl y_k y_l]
that is, laws/solid_solution with compounds for salts. W_kl is a ternary term of its three salts (records/ternary_terms)
by the name of its two members, and the published melts move it.
Source of the form: random mixing on one site, as for salts (Temkin 1945). Limits: one kind of site; an ordered member
(K2NaAlF6 between K3AlF6 and Na3AlF6) is a compound by itself, not a member.
Worked value: NaMgF3 and KMgF3 with W = 0, both in balance with the melt at 1279 K: D = 1/2 R T ln 2 = 3685 J/mol.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import DoubleSolid, Force
from thermo.records.parameters import Parameter
from thermo.records.units import R


@dataclass(frozen=True)
class CompoundSolution(SolutionSolid):
    """A solid solution whose members are double salts; `indices` are the positions of all salts in them.

    compounds: the members; cations: what each has where they differ, `exchanged` of it a mole of salts (m / N).
    """

    compounds: tuple[DoubleSolid, ...] = ()
    cations: tuple[str, ...] = ()
    exchanged: float = 1.0

    @cached_property
    def parts(self) -> np.ndarray:
        """Mole fractions of the salts at `indices` in each member (members, salts)."""
        found = np.zeros((len(self.compounds), len(self.indices)))
        for row, compound in zip(found, self.compounds, strict=True):
            row[[self.indices.index(i) for i in compound.indices]] = compound.weights
        return found

    def of_members(self, values: np.ndarray) -> np.ndarray:
        """See SolutionSolid."""
        return self.parts @ values

    def member_forces(self, forces: np.ndarray, T_K: np.ndarray) -> np.ndarray:
        """See SolutionSolid: f_k."""
        formed = [compound.energy_and_slope(T_K)[0] for compound in self.compounds]
        return (forces @ self.parts.T - np.column_stack(formed)) / self.exchanged

    def _member_slopes(self, slopes: np.ndarray) -> np.ndarray:
        formed = [compound.energy_and_slope(0.0)[1] for compound in self.compounds]
        return (slopes @ self.parts.T - formed) / self.exchanged

    def best(self, forces, slopes, T_K, y=None, near=None, rounds=2) -> Force:
        """See Solid."""
        own = self.member_forces(forces, T_K)
        D, slope, y = super().best(own, self._member_slopes(slopes), T_K, y, near, rounds)
        return self.exchanged * D, self.exchanged * slope, y

    def slope(self, slopes: np.ndarray, y: np.ndarray | None) -> float:
        """See Solid."""
        return self.exchanged * super().slope(self._member_slopes(slopes), y)

    def energies(self, y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """See SolutionSolid."""
        A, B = self.excess_potentials(y)
        formed = np.array([(c.dH / sum(c.counts), -c.dS / sum(c.counts)) for c in self.compounds]).T
        return formed[0] + self.exchanged * A, formed[1] + self.exchanged * (R * np.log(y) + B)

    def shares(self, y: np.ndarray | None) -> np.ndarray:
        """See Solid."""
        return self.members(y) @ self.parts

    def share(self, salts: tuple[str, str], parameter: Parameter, T_K: float, y: np.ndarray | None) -> float:
        """See Solid."""
        own = [compound.share(salts, parameter, T_K) for compound in self.compounds]
        return float(self.members(y) @ own)

    def term_share(self, term: str, y: np.ndarray | None) -> float:
        """dG/dW of the ternary term of this name, per mole of salt formulas."""
        y = self.members(y)
        known = [(i, j) for i, j, _ in self.terms if term == term_name(self.formulas[i], self.formulas[j])]
        return self.exchanged * float(sum(y[i] * y[j] for i, j in known))

    def moved(self, places: int) -> "CompoundSolution":
        """See Solid."""
        further = tuple(compound.moved(places) for compound in self.compounds)
        return replace(self, indices=tuple(i + places for i in self.indices), compounds=further)

    def label(self, y: np.ndarray | None) -> str:
        """'NaMgF3' when nearly pure, else '(Na,K)MgF3' with the members above 2 mol%."""
        y = self.members(y)
        present = [m for m in range(len(y)) if y[m] > 0.02]
        if len(present) == 1:
            return self.formulas[present[0]]
        return together([self.formulas[m] for m in present], [self.cations[m] for m in present])


def term_name(first: str, second: str) -> str:
    """What the interaction of two members is called among the ternary terms: NaMgF3+KMgF3."""
    return f"{first}+{second}"


def together(formulas: Sequence[str], cations: Sequence[str]) -> str:
    """One formula for several members: NaMgF3 and KMgF3 with Na and K: (Na,K)MgF3."""
    head, _, tail = formulas[0].partition(cations[0])
    return f"{head}({','.join(cations)}){tail}"
