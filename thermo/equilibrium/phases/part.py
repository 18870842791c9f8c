"""The phases of a mix at one temperature: while they are being worked out (Part), and as found (Balance of Phases)."""

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import Solid


@dataclass
class Part:
    """A phase while it is being worked out: `kind` counts mixtures first, then solids of fixed composition.

    x: its composition as the mixture counts it, or for a fixed solid what a mole of it counts of the components.
    """

    kind: int
    x: np.ndarray
    amount: float


@dataclass(frozen=True)
class Phase:
    """One phase of a mix: `solid` None is the liquid; `amount` moles of salt formulas a mole of the mix.

    composition (n,): a mole of it in the components; own: as the phase itself counts (the liquid's ions where there are
    two anions, a solid solution's members; else the same).
    """

    solid: Solid | None
    composition: np.ndarray
    own: np.ndarray
    amount: float

    @property
    def members(self) -> np.ndarray | None:
        """Composition of a solid solution over its own members, None for the others."""
        return self.own if isinstance(self.solid, SolutionSolid) else None


@dataclass(frozen=True)
class SolidPhase(Phase):
    """A phase that is no liquid."""

    solid: Solid


@dataclass(frozen=True)
class Balance:
    """The phases of one mix at T and the components' chemical potentials, counted from the solid salts, J/mol.

    answer: how these phases answer to what they miss (newton.Answer), for the next balance nearby; None: not known.
    """

    T_K: float
    phases: tuple[Phase, ...]
    potentials: np.ndarray
    answer: Any = field(default=None, repr=False, compare=False)

    @property
    def liquid(self) -> Phase | None:
        """All liquid taken together, None where there is none."""
        parts = [p for p in self.phases if p.solid is None]
        if not parts:
            return None
        amount = sum(p.amount for p in parts)
        composition = np.sum([p.amount * p.composition for p in parts], axis=0) / amount
        own = np.sum([p.amount * p.own for p in parts], axis=0) / amount
        return Phase(None, composition, own, amount)

    @property
    def solids(self) -> tuple[SolidPhase, ...]:
        """The solid phases."""
        return tuple(p for p in self.phases if isinstance(p, SolidPhase))
