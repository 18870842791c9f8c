"""A bath of an aluminium cell: name, freezing, working temperature, density, and whether aluminium lies under it.

Superheat is counted from the bath's own freezing point, dissolved alumina included. Density with alumina (mass% w):
    1 / rho = (1 - w / 100) / rho(salts) + (w / 100) / rho(Al2O3),   rho(Al2O3) = 1.395 + 0.0217 w g/cm3
the density that dissolved alumina seems to have in cryolite (data/alumina.csv, from NSRDS-NBS 61 Part IV, system 139).
Published melts lead as they do for a melt (evidence/start_of_freezing): the salts alone start to freeze where they
were seen to, less what the law says alumina lowers it; where a bath with alumina itself was published within 3 mol%
(evidence/with_alumina), that leads. Of 14 sure melts with NaF and AlF3 that no term was fitted to eight lie 11 to 44 K
off the computed bath (NaF-AlF3-CaF2 675 deg C for 699 +- 4), and of eight with alumina seven 113 to 258, all where the
equation of saturation is carried far below 850 deg C.
Limits: baths with NaF and AlF3, at most 50 mol% AlF3, alumina up to saturation; what is not dissolved sinks and does
not count. Worked value: cryolite with 5 mass% alumina at 1300 K: 2.04 g/cm3, 0.04 less than cryolite.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import ndtr

from thermo.answers.evidence.start_of_freezing import BOTH, COMPUTED, MEASURED, led_by, start_of_freezing
from thermo.answers.evidence.with_alumina import measured_with_alumina
from thermo.answers.flotation import verdict_of
from thermo.equilibrium.freezing.cryolite import BathLiquidus, alumina_saturation, alumina_value, bath_liquidus
from thermo.laws.density import Density, melt_density
from thermo.laws.metal_density import metal_density
from thermo.records.baths import BathName
from thermo.records.composition import Composition
from thermo.records.units import celsius

SUPERHEAT_K = 10.0  # what most cells run at: common practice, no source
EQUATION_SOURCE = "janz_tomkins1981"


@dataclass(frozen=True)
class BathAnswer:
    """One bath: its salts and name, where it freezes, and at the working temperature what it weighs against Al.

    liquidus leads; computed: the laws' alone; rests_on: computed, measured or both, as of a melt.
    """

    composition: Composition
    name: BathName
    liquidus: BathLiquidus
    computed: BathLiquidus
    rests_on: str
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


def bath_start(composition: Composition, alumina_pct: float = 0.0) -> tuple[BathLiquidus, str]:
    """Where a bath starts to freeze, with what was measured in the lead, and what it rests on; errors as bath_liquidus.

    Alumina that does not dissolve comes out first wherever the salts would; only a measured bath with alumina says
    otherwise.
    """
    melt = composition.present
    start = start_of_freezing(melt)
    leads = None if start.measured is None else (start.T_K, start.sigma_K)
    found, rests_on = bath_liquidus(melt, alumina_pct, leads), start.rests_on
    said = measured_with_alumina(melt, alumina_pct) if alumina_pct else None
    if found.first_solid == "Al2O3":
        rests_on = COMPUTED
    elif start.measured is not None:
        apart = start.apart if alumina_pct == 0 else tuple(f"without alumina: {line}" for line in start.apart)
        found = replace(found, sources=_joined(found.sources, start.sources), notes=(*apart, *found.notes))
    if said is None:
        return found, rests_on
    T_K, sigma_K = led_by(said, found.T_K, found.sigma_K)
    seen, computed = (f"{celsius(value):.0f}" for value in (said.T_K, found.T_K))
    line = f"published baths with alumina near this one start to freeze at {seen} deg C, computed {computed}"
    rows = [row.source for row in said.rows]
    leading = replace(found, T_K=T_K, sigma_K=sigma_K, sources=_joined(found.sources, rows), notes=(line, *found.notes))
    return leading, MEASURED if said.weight >= 1 else BOTH


def _joined(*keys: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(key for own in keys for key in own))


def describe_bath(composition: Composition, alumina_pct: float = 0.0, superheat_K: float = SUPERHEAT_K) -> BathAnswer:
    """Everything about one bath; alumina_pct mass% of the whole bath. InputError where it is no cryolite bath."""
    mix = composition.present
    liquidus, rests_on = bath_start(mix, alumina_pct)
    T_K = liquidus.T_K + superheat_K
    density, aluminium = bath_density(mix, alumina_pct, T_K), metal_density("Al", T_K)
    difference = density.value_g_cm3 - aluminium.value_g_cm3
    sigma = float(np.hypot(density.sigma_g_cm3, aluminium.sigma_g_cm3))
    p_float = float(ndtr(difference / sigma))
    saturation = alumina_saturation(liquidus.name, T_K)
    computed = bath_liquidus(mix, alumina_pct)
    return BathAnswer(mix, liquidus.name, liquidus, computed, rests_on, superheat_K, saturation, density, aluminium,
                      difference, sigma, p_float, verdict_of(p_float))  # fmt: skip
