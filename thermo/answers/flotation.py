"""Does the metal float or sink, by how much, and how sure is that?

d = rho_melt - rho_metal, g/cm3; sigma^2 = sigma_melt^2 + sigma_metal^2; P(float) = Phi(d / sigma), Phi the normal
distribution. Verdicts: floats (P > 0.95), likely floats (> 0.80), sinks (< 0.05), likely sinks (< 0.20), else too close
to call. Crossings: every temperature from 300 deg C to the metal's boiling point (or 1600 deg C) where d changes sign,
including a jump at the metal's melting point (metals shrink on freezing).
Limits: clean metal and clean melt at rest; oxide skins, gas bubbles, wetting and stirring carry metal either way.
Worked value: liquid calcium 1.375 in CaCl2 2.049 at 860 deg C: d = 0.674, floats.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq
from scipy.special import ndtr, ndtri

from thermo.laws.density import Density, melt_density, melt_density_field
from thermo.laws.metal_density import metal_density, metal_line
from thermo.records.composition import Composition, halide_at_the_anode
from thermo.records.substances import Metal, metal
from thermo.records.units import celsius

VERDICTS = ("floats", "likely floats", "too close to call", "likely sinks", "sinks")
SURE, LIKELY = 0.95, 0.80  # probability of floating
UNLIKELY, NEVER = 0.20, 0.05
SCAN_K = (573.15, 1873.15)
STEP_K = 5.0
MOST_SIGMA_K = 300.0  # a crossing less sharp than this is not a temperature any more
LARGEST_ADDITION = 0.30  # mole fraction
LARGEST_SHIFT_K = 200.0
HEAVIER = {"Cl": ("BaCl2", "SrCl2", "CaCl2"), "F": ("BaF2", "SrF2", "CaF2")}


@dataclass(frozen=True)
class Crossing:
    """A temperature where floating turns to sinking or back; `above` is what the metal does above it."""

    T_K: float
    sigma_K: float
    above: str


@dataclass(frozen=True)
class Margin:
    """Melt less metal: the difference d and its standard deviation, the chance to float and the verdict."""

    metal_density: Density
    difference_g_cm3: float
    sigma_g_cm3: float
    p_float: float
    verdict: str


@dataclass(frozen=True)
class FloatOrSink:
    """The answer; margin is None where the metal is a vapour, and so is then each figure of it."""

    T_K: float
    metal: str
    state: str
    melt_density: Density
    margin: Margin | None
    crossings: tuple[Crossing, ...]
    notes: tuple[str, ...]

    @property
    def metal_density(self) -> Density | None:
        """See Margin."""
        return None if self.margin is None else self.margin.metal_density

    @property
    def difference_g_cm3(self) -> float | None:
        """See Margin."""
        return None if self.margin is None else self.margin.difference_g_cm3

    @property
    def sigma_g_cm3(self) -> float | None:
        """See Margin."""
        return None if self.margin is None else self.margin.sigma_g_cm3

    @property
    def p_float(self) -> float | None:
        """See Margin."""
        return None if self.margin is None else self.margin.p_float

    @property
    def verdict(self) -> str | None:
        """See Margin."""
        return None if self.margin is None else self.margin.verdict

    def crossings_above(self, liquidus_K: float) -> tuple[Crossing, ...]:
        """The crossings that can happen: in a frozen melt nothing turns (two standard deviations allowed)."""
        return tuple(c for c in self.crossings if c.T_K + 2 * c.sigma_K > liquidus_K)

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of the densities compared, each once."""
        metal_sources = () if self.metal_density is None else self.metal_density.sources
        return tuple(dict.fromkeys((*metal_sources, *self.melt_density.sources)))


def verdict_of(p_float: float) -> str:
    """One of VERDICTS for a probability of floating."""
    return VERDICTS[int(verdict_places(np.asarray(p_float)))]


def verdict_places(p_float: np.ndarray) -> np.ndarray:
    """Which of VERDICTS each probability of floating (any shape) stands for; not-a-number is too close to call."""
    steps = (~(p_float > SURE), ~(p_float > LIKELY), p_float < UNLIKELY, p_float < NEVER)
    return np.sum(steps, axis=0, dtype=int)


def float_or_sink(composition: Composition, symbol: str, T_K: float) -> FloatOrSink:
    """Compare melt and metal at T_K; RangeError where the melt has no density law, InputError for an unknown metal."""
    element = metal(symbol)
    state = element.state(T_K)
    melt = melt_density(composition, T_K)
    crossings, notes = _crossings(composition, element)
    if state == "vapour":
        gone = f"{element.name} boils at {celsius(element.boiling_point_K):.0f} deg C: it leaves as vapour"
        return FloatOrSink(T_K, symbol, state, melt, None, crossings, (gone, *notes))
    own = metal_density(symbol, T_K)
    difference = melt.value_g_cm3 - own.value_g_cm3
    sigma = float(np.hypot(melt.sigma_g_cm3, own.sigma_g_cm3))
    p_float = float(ndtr(difference / sigma))
    verdict = verdict_of(p_float)
    if verdict == "too close to call":
        notes += _what_decides(composition, element, T_K, melt, own)
    margin = Margin(own, difference, sigma, p_float, verdict)
    return FloatOrSink(T_K, symbol, state, melt, margin, crossings, notes)


def difference_field(salts: tuple[str, ...], fractions: np.ndarray, symbol: str, T_K) -> tuple[np.ndarray, np.ndarray]:
    """d and its standard deviation, g/cm3, each (N,), for N melts (N, n) at T_K (a number or (N,)).

    NaN where the metal is a vapour or the melt has no density law.
    """
    T_K = np.broadcast_to(np.asarray(T_K, dtype=float), np.shape(fractions)[:1])
    element = metal(symbol)
    melt, melt_sigma = melt_density_field(salts, fractions, T_K)
    solid, liquid = metal_line(symbol, "solid"), metal_line(symbol, "liquid")
    is_solid = np.less(T_K, element.melting_point_K)
    own = np.where(is_solid, solid.density(T_K), liquid.density(T_K))
    own_sigma = own * np.where(is_solid, solid.relative_sigma(T_K), liquid.relative_sigma(T_K))
    difference = np.where(np.less(T_K, element.boiling_point_K), melt - own, np.nan)
    return difference, np.hypot(melt_sigma, own_sigma)


def _along(composition: Composition, symbol: str, T_K: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    mix = composition.present
    return difference_field(mix.salts, np.tile(mix.array, (len(T_K), 1)), symbol, T_K)


def _crossings(composition: Composition, element: Metal) -> tuple[tuple[Crossing, ...], tuple[str, ...]]:
    melts, boils = element.melting_point_K, min(element.boiling_point_K, SCAN_K[1])
    found: list[Crossing] = []
    notes: list[str] = []
    for low, high in ((SCAN_K[0], melts), (max(melts, SCAN_K[0]), boils)):
        if high - low > 1:
            found += _smooth_crossings(composition, element.symbol, low, high)
    if SCAN_K[0] < melts < boils:
        (below, above), sigma = _along(composition, element.symbol, np.array([melts - 1e-3, melts + 1e-3]))
        if below * above < 0:
            found.append(Crossing(melts, element.melting_point_sigma_K, "floats" if above > 0 else "sinks"))
            if min(abs(below) / sigma[0], abs(above) / sigma[1]) < ndtri(SURE):
                notes.append(f"{element.name} changes side on melting, but at least one side is within the band")
    if any(c.sigma_K >= MOST_SIGMA_K for c in found):
        notes.append(f"a crossing with a band of {MOST_SIGMA_K:.0f} K or more: the two densities run nearly parallel")
    return tuple(sorted(found, key=lambda c: c.T_K)), tuple(notes)


def _smooth_crossings(composition: Composition, symbol: str, low: float, high: float) -> list[Crossing]:
    grid = np.linspace(low, high - 1e-3, max(3, int((high - low) / STEP_K) + 1))
    difference, _ = _along(composition, symbol, grid)
    found = []
    for k in np.flatnonzero(np.sign(difference[:-1]) * np.sign(difference[1:]) < 0):
        T_K = brentq(lambda T: float(_along(composition, symbol, np.array([T]))[0][0]), grid[k], grid[k + 1])
        slope = (difference[k + 1] - difference[k]) / (grid[k + 1] - grid[k])
        sigma = float(_along(composition, symbol, np.array([T_K]))[1][0])
        band = min(sigma / abs(float(slope)), MOST_SIGMA_K)
        found.append(Crossing(float(T_K), band, "floats" if slope > 0 else "sinks"))
    return found


def _what_decides(composition, element: Metal, T_K: float, melt: Density, own: Density) -> tuple[str, ...]:
    measured = _measurement(melt, own)
    heavier = _additions(composition, element, T_K)
    return tuple(note for note in (measured, heavier, _shift(composition, element, T_K)) if note)


def _measurement(melt: Density, own: Density) -> str:
    allowed = (abs(melt.value_g_cm3 - own.value_g_cm3) / ndtri(LIKELY)) ** 2 - own.sigma_g_cm3**2
    if allowed <= 0:
        return "the two densities are nearly equal: no measurement would decide it, change the bath or temperature"
    percent = 100 * allowed**0.5 / melt.value_g_cm3
    return f"to decide: a density of this very melt measured within {percent:.1f} %, should it confirm this one"


def _additions(composition: Composition, element: Metal, T_K: float) -> str:
    """Smallest addition, mol% of the new mix, of heavier salts that makes the metal at least likely to float."""
    mix = composition.present
    usual = HEAVIER[halide_at_the_anode(mix)]
    candidates = [formula for formula in usual if formula in mix.salts] or [usual[0], usual[-1]]
    added = np.arange(0.005, LARGEST_ADDITION + 1e-9, 0.005)
    found = []
    for formula in candidates:
        names = mix.salts if formula in mix.salts else (*mix.salts, formula)
        fractions = np.outer(1 - added, np.pad(mix.array, (0, len(names) - len(mix.salts))))
        fractions[:, names.index(formula)] += added
        difference, sigma = difference_field(names, fractions, element.symbol, T_K)
        enough = np.flatnonzero(ndtr(difference / sigma) > LIKELY)
        if len(enough):
            poison = " (poisonous)" if formula.startswith("Ba") else ""
            found.append(f"{100 * added[enough[0]]:.1f} mol% {formula}{poison}")
    return f"to make it likely to float: add {' or '.join(found)}, then look up the liquidus again" if found else ""


def _shift(composition: Composition, element: Metal, T_K: float) -> str:
    """Nearest temperature, in the same state, where the verdict is at least likely one way."""
    shifts = np.arange(STEP_K, LARGEST_SHIFT_K + 1, STEP_K)
    for shift in np.stack([-shifts, shifts], axis=1).ravel():
        there = T_K + shift
        if there < SCAN_K[0] or element.state(there) != element.state(T_K):
            continue
        difference, sigma = _along(composition, element.symbol, np.array([there]))
        verdict = verdict_of(float(ndtr(difference[0] / sigma[0])))
        if verdict != "too close to call":
            return f"at {celsius(there):.0f} deg C the answer is: {verdict} (if the bath is molten there)"
    return ""
