"""What the bath becomes as the current eats one of its salts, and when that ends the run.

    n_M(Q) = n_M(0) - eta Q / (z F),  the other salts unchanged
Along that path: liquidus with its band, density and float or sink at the run temperature, decomposition voltage. The
charge at which the liquidus reaches the run temperature is where the bath starts to freeze; its spread is that of the
liquidus over the slope of the path. Only the metal's own salt is taken to be consumed (see the order of deposition);
metal that burns back to salt does not count, hence eta.
Limits: no feed, no loss of vapour, well stirred. Worked value: 30 g LiCl, 30 g KCl, 5 A h of lithium: 56.4 mol% LiCl.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.optimize import brentq
from scipy.special import ndtr

from thermo.answers.evidence.start_of_freezing import leading_field, start_of_freezing
from thermo.answers.flotation import verdict_of
from thermo.equilibrium.freezing.activity import activities
from thermo.laws.density import melt_density, melt_density_field
from thermo.laws.faraday import fraction, positive, salt_g_per_Ah
from thermo.laws.formation import decomposition_voltage
from thermo.laws.metal_density import metal_density
from thermo.records.composition import Composition, formula_mass, halide_at_the_anode, with_chloride_of
from thermo.records.provenance import InputError
from thermo.records.substances import listed_salt_of, metal, salt
from thermo.records.units import F, R

POINTS = 21
GRID = 400
LITTLE_LEFT = 8.0  # mass% of the metal's salt below which the cathode starves: common practice, no source
EMPTY = 0.999  # share of the salt's exhaustion up to which the path is followed
STEP = 1e-3  # of the exhausting charge, for the slope of the liquidus


@dataclass(frozen=True)
class DriftPoint:
    """The bath after a charge: composition, liquidus and first solid, density and verdict at the run temperature."""

    charge_Ah: float
    composition: Composition
    bath_g: float
    liquidus_K: float
    sigma_K: float
    first_solid: str
    melt_g_cm3: float
    sigma_g_cm3: float
    verdict: str | None
    E_V: float
    frozen: bool


@dataclass(frozen=True)
class Freezing:
    """Charge at which the bath starts to freeze at the run temperature, its spread, and the solid that comes."""

    charge_Ah: float
    sigma_Ah: float
    solid: str


@dataclass(frozen=True)
class VerdictChange:
    """Charge at which float or sink changes its verdict."""

    charge_Ah: float
    before: str
    after: str


@dataclass(frozen=True)
class Drift:
    """The path of one bath, and what limits it. feed_g_per_Ah: the metal's dry salt that holds the bath as it is."""

    formula: str
    T_K: float
    points: tuple[DriftPoint, ...]
    freezes: Freezing | None
    changes: tuple[VerdictChange, ...]
    exhausted_Ah: float
    feed_g_per_Ah: float
    notes: tuple[str, ...]

    @property
    def salts(self) -> tuple[str, ...]:
        """The salts by which the bath is named along its way."""
        return self.points[0].composition.salts


class Bath:
    """A bath of given mass and what a charge makes of it; n moles of every salt, one of them consumed."""

    def __init__(self, composition: Composition, symbol: str, bath_g: float, efficiency: float = 1.0):
        """InputError for a metal that no salt holds, a mass or efficiency out of range."""
        metal(symbol)
        self.melt = with_chloride_of(composition, symbol).present
        self.formula = consumed_salt(self.melt, symbol)
        self.index = self.melt.salts.index(self.formula)
        self.efficiency = fraction(efficiency, "current efficiency")
        moles = positive(bath_g, "mass of the bath", "g") / self.melt.mean_formula_mass
        self.moles = moles * self.melt.array
        self.masses = np.array([formula_mass(f) for f in self.melt.salts])
        self.rate = 3600 * self.efficiency / (salt(self.formula).charge * F)  # mol of salt an A h
        self.exhausted_Ah = float(self.moles[self.index] / self.rate)

    def fractions(self, charges: np.ndarray) -> np.ndarray:
        """Mole fractions (N, n) after charges (N,) in A h."""
        moles = np.tile(self.moles, (len(charges), 1))
        moles[:, self.index] -= self.rate * np.asarray(charges)
        return moles / moles.sum(axis=1, keepdims=True)

    def composition(self, charge: float) -> Composition:
        """The bath after one charge."""
        return Composition(self.melt.salts, tuple(self.fractions(np.array([charge]))[0].tolist()))

    def mass_g(self, charge: float) -> float:
        """Mass of salt left after a charge."""
        return float(self.moles @ self.masses) - charge * self.rate * float(self.masses[self.index])

    def check(self, charge: float) -> None:
        """InputError where the charge takes more salt than the bath holds."""
        if charge >= self.exhausted_Ah:
            held = self.moles[self.index] * self.masses[self.index]
            raise InputError(
                f"charge {charge:g} A h takes {charge * self.rate * self.masses[self.index]:.4g} g of {self.formula}: "
                f"the bath holds {held:.4g} g, enough for {self.exhausted_Ah:.4g} A h"
            )


def consumed_salt(melt: Composition, symbol: str) -> str:
    """The salt that gives the metal, with chloride where there is any; InputError where none holds the metal."""
    if symbol in [salt(formula).cation for formula in melt.salts]:
        return listed_salt_of(symbol, halide_at_the_anode(melt))
    held = ", ".join(salt(formula).cation for formula in melt.salts)
    raise InputError(f"metal {symbol!r}: no salt of this bath holds it (allowed: {held})")


def bath_drift(
    composition: Composition,
    symbol: str,
    T_K: float,
    bath_g: float,
    charge_Ah: float,
    efficiency: float = 1.0,
    points: int = POINTS,
) -> Drift:
    """The bath from 0 to charge_Ah. InputError for a bath smaller than the salt consumed."""
    bath = Bath(composition, symbol, bath_g, efficiency)
    bath.check(positive(charge_Ah, "charge", "A h"))
    path = tuple(_point(bath, symbol, float(q), T_K) for q in np.linspace(0.0, charge_Ah, points))
    freezes = freezing_charge(bath, T_K)
    changes = verdict_changes(bath, symbol, T_K)
    feed = salt_g_per_Ah(bath.formula) * bath.efficiency
    return Drift(
        bath.formula,
        T_K,
        path,
        freezes,
        changes,
        bath.exhausted_Ah,
        feed,
        _notes(bath, path, freezes, changes, charge_Ah),
    )


def _point(bath: Bath, symbol: str, charge: float, T_K: float) -> DriftPoint:
    melt = bath.composition(charge)
    freezing = start_of_freezing(melt)
    density = melt_density(melt, T_K)
    vapour = metal(symbol).state(T_K) == "vapour"
    E0 = decomposition_voltage(bath.formula, T_K)
    found = activities(melt, T_K)
    activity = found.values[found.salts.index(bath.formula)]
    E = E0.value_V - R * T_K / (salt(bath.formula).charge * F) * float(np.log(activity))
    return DriftPoint(
        charge,
        melt,
        bath.mass_g(charge),
        freezing.T_K,
        freezing.sigma_K,
        freezing.first_solid,
        density.value_g_cm3,
        density.sigma_g_cm3,
        None if vapour else _verdicts(symbol, T_K, np.array([density.value_g_cm3]), np.array([density.sigma_g_cm3]))[0],
        E,
        freezing.T_K > T_K,
    )


def freezing_charge(bath: Bath, T_K: float) -> Freezing | None:
    """First charge at which the liquidus reaches T_K; 0 for a bath frozen from the start, None where it never does."""
    charges = np.linspace(0.0, EMPTY * bath.exhausted_Ah, GRID)
    above = leading_field(bath.melt.salts, bath.fractions(charges)).T_K - T_K
    if above[0] >= 0:
        return Freezing(0.0, 0.0, start_of_freezing(bath.melt).first_solid)
    frozen = np.flatnonzero(above >= 0)
    if not len(frozen):
        return None

    def excess(charge: float) -> float:
        return float(leading_field(bath.melt.salts, bath.fractions(np.array([charge]))).T_K[0]) - T_K

    k = int(frozen[0])
    found = float(brentq(excess, charges[k - 1], charges[k], xtol=1e-6 * bath.exhausted_Ah))
    step = STEP * bath.exhausted_Ah
    slope = (excess(found + step) - excess(found - step)) / (2 * step)
    here = start_of_freezing(bath.composition(found))
    return Freezing(found, here.sigma_K / max(slope, 1e-9), here.first_solid)


def verdict_changes(bath: Bath, symbol: str, T_K: float) -> tuple[VerdictChange, ...]:
    """Every charge up to exhaustion at which the verdict at T_K changes; none for a metal that is a vapour."""
    if metal(symbol).state(T_K) == "vapour":
        return ()
    charges = np.linspace(0.0, EMPTY * bath.exhausted_Ah, GRID)
    density, sigma = melt_density_field(bath.melt.salts, bath.fractions(charges), T_K)
    verdicts = _verdicts(symbol, T_K, density, sigma)
    middles = (charges[1:] + charges[:-1]) / 2
    steps = zip(middles, pairwise(verdicts), strict=True)
    return tuple(VerdictChange(float(q), before, after) for q, (before, after) in steps if before != after)


def _verdicts(symbol: str, T_K: float, density: np.ndarray, sigma: np.ndarray) -> list[str]:
    """Float or sink against melt densities (N,) and their spreads, as thermo.answers.flotation judges it."""
    own = metal_density(symbol, T_K)
    z = (density - own.value_g_cm3) / np.hypot(sigma, own.sigma_g_cm3)
    return [verdict_of(p) for p in ndtr(z)]


def _notes(bath: Bath, path: tuple, freezes: Freezing | None, changes: tuple, charge_Ah: float) -> tuple[str, ...]:
    notes = []
    if freezes is None:
        notes.append("the bath does not start to freeze at this temperature before its salt is used up")
    elif freezes.charge_Ah == 0:
        notes.append(
            f"the bath is partly frozen from the start ({freezes.solid} first): densities are those of the liquid"
        )
    elif freezes.charge_Ah <= charge_Ah:
        notes.append(
            f"the bath starts to freeze ({freezes.solid}) after {freezes.charge_Ah:.3g} +- {freezes.sigma_Ah:.2g} A h, "
            f"within this run: feed {bath.formula} or run hotter"
        )
    elif freezes.charge_Ah - 2 * freezes.sigma_Ah < charge_Ah:
        notes.append(f"the run ends within two standard deviations of freezing ({freezes.charge_Ah:.3g} A h)")
    notes += [
        f"after {c.charge_Ah:.3g} A h the metal turns from '{c.before}' to '{c.after}'"
        for c in changes
        if c.charge_Ah <= charge_Ah
    ]
    left = path[-1].composition.mass_percent[bath.formula]
    if left < LITTLE_LEFT:
        notes.append(f"only {left:.1f} mass% {bath.formula} left: the cathode starves and takes the next metal")
    return tuple(notes)
