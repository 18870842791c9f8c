"""A run of a cell as it was set and found, and the numbers every reading of it starts from.

Most metal by Faraday, current efficiency with its spread, liquidus, float or sink, order of deposition, all at the
temperature of the run; shortfall = (NORMAL - efficiency) / SPAN cut to 0..1: a good yield asks for no cause.
NORMAL, SPAN and the spread of a thermocouple are common practice, no source.
Limits: one temperature and one current for the whole run. Worked value: 5 A for 2 h, 0.5 g of magnesium: 11.0 %.
"""

from dataclasses import dataclass

import numpy as np

from thermo.answers.deposition import DepositionOrder, deposition_order
from thermo.answers.drift import Bath, consumed_salt
from thermo.answers.evidence.start_of_freezing import FreezingStart, start_of_freezing
from thermo.answers.flotation import FloatOrSink, float_or_sink
from thermo.answers.window import check_atmosphere
from thermo.laws.faraday import BALANCE_SIGMA_G, CHARGE_SIGMA, charge_Ah, metal_g_per_Ah, positive
from thermo.records.composition import Composition
from thermo.records.provenance import InputError
from thermo.records.substances import Metal, metal, salt
from thermo.records.vessels import vessel_named

NORMAL = 0.85  # current efficiency that a careful laboratory run reaches
SPAN = 0.5  # shortfall at which a loss counts in full
FORM = 0.4  # strength that a cause of bad form keeps when the yield is good but something was seen
READING_K = 10.0  # standard deviation of a furnace thermocouple against the melt at the cathode


@dataclass(frozen=True)
class Run:
    """What was set and found: T in K, A h, grams; None where not told. hydrates: salts brought as hydrates."""

    composition: Composition
    symbol: str
    T_K: float
    charge_Ah: float
    weighed_g: float
    bath_g: float | None = None
    volts: float | None = None
    vessel: str | None = None
    atmosphere: str = "inert"
    hydrates: tuple[str, ...] = ()

    @property
    def own_salt(self) -> str | None:
        """The salt that gives the metal, with chloride where there is any; None where the melt does not hold it."""
        held = self.symbol in [salt(formula).cation for formula in self.composition.salts]
        return consumed_salt(self.composition, self.symbol) if held else None


@dataclass(frozen=True)
class Facts:
    """A run with what every cause needs computed once; bath: as the weighed metal consumed it; seen: anything told."""

    run: Run
    element: Metal
    most_g: float
    efficiency: float
    efficiency_sigma: float
    freezing: FreezingStart
    verdict: FloatOrSink
    order: DepositionOrder
    bath: Bath | None
    seen: bool = False

    @property
    def form(self) -> float:
        """Share of its strength that a cause of bad form keeps: all for a poor yield, FORM for a good one if seen."""
        return self.shortfall + (1 - self.shortfall) * (FORM if self.seen else 0.0)

    @property
    def shortfall(self) -> float:
        """0 (as good as can be asked) to 1."""
        return float(np.clip((NORMAL - self.efficiency) / SPAN, 0.0, 1.0))

    @property
    def too_much(self) -> bool:
        """Whether more was weighed than the charge can make, by more than two standard deviations."""
        return self.efficiency > 1 + 2 * self.efficiency_sigma

    @property
    def missing_g(self) -> float:
        """Metal that the charge could have made and that was not weighed, g."""
        return max(self.most_g - self.run.weighed_g, 0.0)

    @property
    def lost_Ah(self) -> float:
        """Charge that did not end as metal weighed, A h."""
        return self.run.charge_Ah * max(1 - self.efficiency, 0.0)


@dataclass(frozen=True)
class Cause:
    """One possible cause: its key in the tables, itself in words, the number for it, its strength 0..1, what to do."""

    key: str
    cause: str
    evidence: str
    strength: float
    remedy: str


def run_of(
    composition: Composition,
    symbol: str,
    T_K: float,
    amps: float,
    hours: float,
    weighed_g: float,
    bath_g: float | None = None,
    volts: float | None = None,
    vessel: str | None = None,
    atmosphere: str = "inert",
    hydrates: tuple[str, ...] = (),
) -> Run:
    """A run from current and time; InputError for anything out of range or not in the tables."""
    metal(symbol)
    if not (np.isfinite(weighed_g) and weighed_g >= 0):
        raise InputError(f"weighed metal {weighed_g:g} g: allowed is zero or more")
    if bath_g is not None:
        positive(bath_g, "mass of the bath", "g")
    if volts is not None:
        positive(volts, "cell voltage", "V")
    check_atmosphere(atmosphere)
    melt = composition.present
    for formula in hydrates:
        if formula not in melt.salts:
            raise InputError(f"{formula} as hydrate: it is not in the mix (allowed: {', '.join(melt.salts)})")
    name = None if vessel is None else vessel_named(vessel).name
    charge = charge_Ah(amps, hours)
    return Run(melt, symbol, T_K, charge, float(weighed_g), bath_g, volts, name, atmosphere, tuple(hydrates))


def facts_of(run: Run, seen: bool = False) -> Facts:
    """Everything the causes need, seen: whether anything was seen; InputError for more metal than the bath held."""
    most = metal_g_per_Ah(run.symbol) * run.charge_Ah
    efficiency = run.weighed_g / most
    return Facts(
        run,
        metal(run.symbol),
        most,
        efficiency,
        float(np.hypot(BALANCE_SIGMA_G / most, efficiency * CHARGE_SIGMA)),
        start_of_freezing(run.composition),
        float_or_sink(run.composition, run.symbol, run.T_K),
        deposition_order(run.composition, run.T_K),
        _bath(run, min(efficiency, 1.0)),
        seen,
    )


def _bath(run: Run, efficiency: float) -> Bath | None:
    """None without the bath's mass, without the metal's salt, or where nothing was won."""
    if run.bath_g is None or run.own_salt is None or efficiency <= 0:
        return None
    bath = Bath(run.composition, run.symbol, run.bath_g, efficiency)
    bath.check(run.charge_Ah)
    return bath
