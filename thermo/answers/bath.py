"""A bath of an aluminium cell: name, freezing, working temperature, density, and whether aluminium lies under it.

Superheat is counted from the bath's own freezing point, dissolved alumina included. Density with alumina (mass% w):
    1 / rho = (1 - w / 100) / rho(salts) + (w / 100) / rho(Al2O3),   rho(Al2O3) = 1.395 + 0.0217 w g/cm3
the density that dissolved alumina seems to have in cryolite (data/alumina.csv, from NSRDS-NBS 61 Part IV, system 139).
Published melts do not lead here as they do for a melt (evidence/start_of_freezing): those near cryolite baths are
points of the equations that fitted or hold the terms, and alumina, which lowers each, is not in their count.
Limits: baths with NaF and AlF3, at most 50 mol% AlF3, alumina up to saturation; what is not dissolved sinks and does
not count. Worked value: cryolite with 5 mass% alumina at 1300 K: 2.04 g/cm3, 0.04 less than cryolite.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from thermo.answers.flotation import verdict_of
from thermo.equilibrium.freezing.cryolite import BathLiquidus, alumina_saturation, alumina_value, bath_liquidus
from thermo.laws.density import Density, melt_density
from thermo.laws.metal_density import metal_density
from thermo.records.baths import BathName
from thermo.records.composition import Composition

SUPERHEAT_K = 10.0  # what most cells run at: common practice, no source
EQUATION_SOURCE = "janz_tomkins1981"


@dataclass(frozen=True)
class BathAnswer:
    """One bath: its salts and name, where it freezes, and at the working temperature what it weighs against Al."""

    composition: Composition
    name: BathName
    liquidus: BathLiquidus
    superheat_K: float
    saturation_pct: float
    density: Density
    aluminium_density: Density
    difference_g_cm3: float
    sigma_g_cm3: float
    p_float: float
    verdict: str

    @property
    def T_K(self) -> float:
        """Working temperature: the freezing point and the superheat."""
        return self.liquidus.T_K + self.superheat_K


def bath_density(composition: Composition, alumina_pct: float, T_K: float) -> Density:
    """Density of the salts with alumina_pct mass% of dissolved alumina (of the whole bath) at T_K.

    RangeError above 50 mol% AlF3.
    """
    salts = melt_density(composition, T_K)
    if not alumina_pct:
        return salts
    w = alumina_pct / 100
    own = alumina_value("apparent_density") + alumina_value("apparent_density_slope") * alumina_pct
    value = 1 / ((1 - w) / salts.value_g_cm3 + w / own)
    of_salts = (1 - w) * salts.sigma_g_cm3 / salts.value_g_cm3**2
    of_alumina = w * alumina_value("apparent_density_sigma") / own**2
    caveats = (*salts.caveats, "dissolved alumina: density from cryolite with 5, 10 and 15 mass%")
    sources = tuple(dict.fromkeys((*salts.sources, EQUATION_SOURCE)))
    return Density(value, value**2 * float(np.hypot(of_salts, of_alumina)), caveats, sources, salts.origin)


def describe_bath(composition: Composition, alumina_pct: float = 0.0, superheat_K: float = SUPERHEAT_K) -> BathAnswer:
    """Everything about one bath; alumina_pct mass% of the whole bath. InputError where it is no cryolite bath."""
    mix = composition.present
    liquidus = bath_liquidus(mix, alumina_pct)
    T_K = liquidus.T_K + superheat_K
    density, aluminium = bath_density(mix, alumina_pct, T_K), metal_density("Al", T_K)
    difference = density.value_g_cm3 - aluminium.value_g_cm3
    sigma = float(np.hypot(density.sigma_g_cm3, aluminium.sigma_g_cm3))
    p_float = float(ndtr(difference / sigma))
    saturation = alumina_saturation(liquidus.name, T_K)
    return BathAnswer(mix, liquidus.name, liquidus, superheat_K, saturation, density, aluminium, difference, sigma,
                      p_float, verdict_of(p_float))  # fmt: skip
