"""How much of each fluoride stays dissolved in a bath with chlorides at the working temperature.

The fluoride weighed in is varied, the rest of the bath kept in proportion; where the first solid that holds fluoride
comes into balance, D(x) = 0, lies what dissolves. That solid need not be the one weighed in: CaF2 in a bath of
magnesium chloride is cut short by MgF2. The band is where D = -sigma_D and +sigma_D: the branches of dilute fluorides
are steep, so a band in K is wide where the amount is well known, and lopsided where the amount is not.
Limits: melts of fluoride with chloride; solids of the data. Worked value: CaF2 in NaCl at 790 deg C: some 5 mol%.
"""

from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.interface import System
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.laws.solids import Solid
from thermo.records.composition import Composition, formula_mass
from thermo.records.substances import salt

_SMALLEST = 1e-6  # mole fraction of the fluoride where the search begins, and of the rest where it ends
_POINTS = 400


@dataclass(frozen=True)
class Dissolved:
    """What dissolves of one fluoride, mass% of the bath, and the solid that comes out beyond.

    low and high: one standard deviation either way, None where that way has no end. mass_percent None: no solid with
    fluoride comes out however much is added; 0: one does with the rest of the bath alone.
    """

    salt: str
    solid: str | None
    T_K: float
    mass_percent: float | None
    low_mass_percent: float | None
    high_mass_percent: float | None
    in_the_bath_mass_percent: float

    @property
    def sigma_mass_percent(self) -> float | None:
        """Half of the band, or twice its known half's width."""
        if self.mass_percent is None:
            return None
        ends = [abs(end - self.mass_percent) for end in (self.low_mass_percent, self.high_mass_percent)
                if end is not None]  # fmt: skip
        return sum(ends) / len(ends) if ends else None


def dissolves(composition: Composition, T_K: float) -> tuple[Dissolved, ...]:
    """What dissolves of every fluoride weighed in, at T; empty where the bath has one anion."""
    melt = composition.present
    system = salt_system(melt.salts)
    if not isinstance(system, ReciprocalSystem):
        return ()
    fluorides = [f for f in melt.salts if f in system.constituents[: len(system.cations)]]
    return tuple(_dissolved(system, melt, f, T_K) for f in fluorides)


def holds_fluoride(system: System, solid: Solid) -> bool:
    """Whether every salt of a solid, or one of a compound, is a fluoride."""
    return any(salt(system.constituents[i]).anion == "F" for i in solid.indices)


def _dissolved(system: ReciprocalSystem, melt: Composition, formula: str, T_K: float) -> Dissolved:
    own = melt.salts.index(formula)
    rest = np.where(np.arange(len(melt.salts)) == own, 0.0, melt.array)
    rest /= rest.sum()
    logit = np.linspace(np.log(_SMALLEST), -np.log(_SMALLEST), _POINTS)
    share = 1 / (1 + np.exp(-logit))
    x = (1 - share)[:, None] * rest + share[:, None] * np.eye(len(rest))[own]
    solids = [solid for solid in system.solids if holds_fluoride(system, solid)]
    melts, T = Melts(system, x), np.full(len(x), T_K)
    D = np.array([melts.driving_force(solid, T)[0] for solid in solids])
    best = D.max(axis=0)
    mass = np.array([formula_mass(f) for f in melt.salts])
    percent = 100 * x[:, own] * mass[own] / (x @ mass)

    def first(level: float) -> float | None:
        over = np.flatnonzero(best > level)
        if not len(over):
            return None
        at = int(over[0])
        if at == 0:
            return 0.0
        part = (level - best[at - 1]) / (best[at] - best[at - 1])
        return float(percent[at - 1] ** (1 - part) * percent[at] ** part)

    found, present = first(0.0), melt.mass_percent[formula]
    if found is None:
        return Dissolved(formula, None, T_K, None, None, None, present)
    at = int(np.flatnonzero(best > 0)[0])
    solid = solids[int(D[:, at].argmax())]
    sigma, name = _force_sigma(system, solid, x[at], T_K)
    return Dissolved(formula, name, T_K, found, first(-sigma), first(sigma), present)


def _force_sigma(system: ReciprocalSystem, solid: Solid, x: np.ndarray, T_K: float) -> tuple[float, str]:
    """Standard deviation of a solid's driving force at one melt, J/mol, and its name there."""
    _, _, members = Melts(system, x[None, :]).driving_force(solid, np.array([T_K]))
    y = None if members is None else members[0]
    variance = system.variance(system.parameter_gradient(solid, x, T_K, y), system.fusion_errors(solid, T_K, y))
    return float(np.sqrt(variance + system.model_variance(solid, x, T_K, y))), solid.label(y)
