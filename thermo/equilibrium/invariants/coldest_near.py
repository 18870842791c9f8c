"""The coldest melt near one that was weighed: what a eutectic meant, or a scale off by a little, may come to.

At a eutectic the liquidus is the highest of several uncertain surfaces, so the computed value of a published eutectic
lies too high on average (+23 K over 45 of them) although the computed eutectic is right: it lies a few mol% beside.
The coldest melt within 3 mol% of the melt is found by going down from it within that box (invariants/descent).
No mole fraction differs by more than WITHIN, and none becomes more than MOST times what it was: who weighed a trace did
not mean 3 mol%, and the reading does not jump where a salt begins.
Limits: a salt that is absent stays absent; one minimum (the surface is nearly always a valley at this size).
Worked value: LiCl-KCl with 61 mol% LiCl: the eutectic at 59, 354 deg C.
"""

from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.invariants.descent import EDGE, descend, solids_at
from thermo.equilibrium.invariants.forces import Forces
from thermo.equilibrium.invariants.sigma import invariant_sigma
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.interface import System

WITHIN, MOST = 0.03, 2.0
_RUNS = 4


@dataclass(frozen=True)
class Coldest:
    """The coldest melt of a neighbourhood: mole fractions (n,) and its liquidus."""

    x: np.ndarray
    T_K: float


def coldest_near(system: System, x: np.ndarray, within: float = WITHIN, most: float = MOST) -> Coldest:
    """Coldest melt with no mole fraction further than `within` from x (n,), all positive, nor over `most` times it."""
    low, high = np.maximum(x - within, np.minimum(x, EDGE)), np.minimum(np.minimum(x + within, most * x), 1.0)
    found = descend(Forces(system), x, float(Melts(system, x[None, :]).liquidus()[0][0]), _RUNS, low, high)
    return Coldest(*found)


def coldest_sigma(system: System, found: Coldest) -> float:
    """Standard deviation (K) of the coldest melt: that of all solids within half a kelvin of freezing from it."""
    return float(invariant_sigma(system, found.x, found.T_K, solids_at(Forces(system), found.x, found.T_K)))
