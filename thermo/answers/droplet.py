"""How long a drop of metal takes to reach the top or the bottom: `floats by 0.02` turned into minutes.

Slow sphere of radius r in a liquid of viscosity eta, density difference d, its own viscosity eta_m:
    U = (2/9) g d r^2 / eta                                   rigid (Stokes 1851)
    U = (2/3) g d r^2 / eta * (eta + eta_m)/(2 eta + 3 eta_m) circulating inside (Hadamard 1911, Rybczynski 1911)
For Reynolds numbers Re = 2 r U rho / eta above about 1 the drag grows by 1 + 0.15 Re^0.687 (Schiller & Naumann 1933, up
to 800), solved for U. A clean liquid drop circulates, a drop in an oxide skin or a solid grain does not: both times are
given. Band: density difference and viscosity, one standard deviation each way.
Limits: a single drop in a quiet bath; bubbles and convection of a working cell (cm/s) overrule small drops.
Worked value: 1 mm magnesium drop, d = 0.02 g/cm3, eta = 1.5, eta_m = 1.25 mPa s: 7.3 mm/s by Stokes, 8.9 circulating.
"""

import math
from dataclasses import dataclass

from scipy.optimize import brentq

from thermo.answers.flotation import float_or_sink
from thermo.laws.faraday import positive
from thermo.laws.viscosity import metal_viscosity, viscosity
from thermo.records.composition import Composition
from thermo.records.provenance import InputError
from thermo.records.units import GRAVITY

DIAMETERS_MM = (0.03, 0.1, 0.3, 1.0, 3.0)
HIGHEST_REYNOLDS = 800.0
STIRRED_MM_S = 10.0  # convection and bubbles of a working cell: common practice, no source


@dataclass(frozen=True)
class Drop:
    """One size: speed and time for a circulating and for a rigid drop, and the band of the circulating one's time.

    slow_min is None where the density difference is within one standard deviation of zero: it may hang for ever.
    """

    diameter_mm: float
    speed_mm_s: float
    minutes: float
    rigid_minutes: float
    fast_min: float
    slow_min: float | None
    reynolds: float


@dataclass(frozen=True)
class DropTimes:
    """Drops of several sizes over a depth; direction 'rises' or 'settles'."""

    metal: str
    T_K: float
    depth_cm: float
    direction: str
    difference_g_cm3: float
    sigma_g_cm3: float
    viscosity_mPa_s: float
    viscosity_band_mPa_s: tuple[float, float]
    drops: tuple[Drop, ...]
    solid: bool
    notes: tuple[str, ...]
    sources: tuple[str, ...]

    @property
    def noun(self) -> str:
        """What moves: a drop of liquid metal or a solid grain."""
        return "grain" if self.solid else "drop"


def stokes_mm_s(radius_mm: float, difference_g_cm3: float, eta_mPa_s: float) -> float:
    """Slow speed of a rigid sphere, mm/s, for a density difference in g/cm3 and a viscosity in mPa s."""
    return 1e3 * 2 / 9 * GRAVITY * (1e3 * difference_g_cm3) * (1e-3 * radius_mm) ** 2 / (1e-3 * eta_mPa_s)


def circulation_factor(eta_mPa_s: float, eta_drop_mPa_s: float) -> float:
    """Speed of a drop that circulates inside over that of a rigid one: 1 (solid) to 3/2 (gas)."""
    ratio = eta_drop_mPa_s / eta_mPa_s
    return 3 * (1 + ratio) / (2 + 3 * ratio)


def terminal_speed_mm_s(slow_mm_s: float, radius_mm: float, density_g_cm3: float, eta_mPa_s: float) -> float:
    """Speed with the drag of higher Reynolds numbers, from the slow-motion speed."""
    scale = 2 * radius_mm * density_g_cm3 / eta_mPa_s  # Re per mm/s: mm * mm/s * g/cm3 / (mPa s) is dimensionless

    def surplus(speed: float) -> float:
        return speed * (1 + 0.15 * (scale * speed) ** 0.687) - slow_mm_s

    return float(brentq(surplus, 0.0, slow_mm_s)) if slow_mm_s > 0 else 0.0


def drop_times(
    composition: Composition,
    symbol: str,
    T_K: float,
    depth_cm: float = 5.0,
    diameters_mm: tuple[float, ...] = DIAMETERS_MM,
) -> DropTimes:
    """Times over depth_cm in a melt at T_K. InputError for a metal that is a vapour there."""
    positive(depth_cm, "depth of the bath", "cm")
    flotation = float_or_sink(composition, symbol, T_K)
    if flotation.margin is None:
        raise InputError(
            f"metal {symbol!r} is a vapour at {T_K:.0f} K: no drop to follow; allowed is below its boiling point"
        )
    melt = viscosity(composition, T_K)
    own = metal_viscosity(symbol)
    solid = flotation.state == "solid"
    inner = math.inf if solid else own.value
    difference, spread = flotation.margin.difference_g_cm3, flotation.margin.sigma_g_cm3
    size = abs(difference)
    rho = flotation.melt_density.value_g_cm3
    drops = tuple(_drop(d, depth_cm, size, spread, rho, melt.value, melt.band, inner) for d in diameters_mm)
    notes = [*melt.caveats, *([] if solid else own.caveats), *_notes(drops, solid, size, spread)]
    return DropTimes(
        symbol,
        T_K,
        depth_cm,
        "rises" if difference > 0 else "settles",
        difference,
        spread,
        melt.value,
        melt.band,
        drops,
        solid,
        tuple(dict.fromkeys(notes)),
        tuple(dict.fromkeys((*melt.sources, *own.sources, *flotation.sources))),
    )


def _drop(
    diameter: float,
    depth_cm: float,
    size: float,
    spread: float,
    rho: float,
    eta: float,
    band: tuple[float, float],
    inner: float,
) -> Drop:
    def speed(difference: float, viscous: float, drop_viscosity: float) -> float:
        factor = 1.0 if math.isinf(drop_viscosity) else circulation_factor(viscous, drop_viscosity)
        return terminal_speed_mm_s(factor * stokes_mm_s(diameter / 2, difference, viscous), diameter / 2, rho, viscous)

    def minutes(value: float) -> float:
        return 10 * depth_cm / value / 60 if value > 0 else math.inf

    usual = speed(size, eta, inner)
    slow = speed(size - spread, band[1], math.inf) if size > spread else 0.0
    return Drop(
        diameter,
        usual,
        minutes(usual),
        minutes(speed(size, eta, math.inf)),
        minutes(speed(size + spread, band[0], inner)),
        minutes(slow) if slow > 0 else None,
        diameter * usual * rho / eta,
    )


def _notes(drops: tuple[Drop, ...], solid: bool, size: float, spread: float) -> list[str]:
    notes = []
    if solid:
        notes.append("solid metal: grains taken as rigid spheres; sponge and dendrites hold salt and are slower")
    if size < spread:
        notes.append(
            "the density difference is smaller than its spread: the slowest time has no bound, and it may go either way"
        )
    if drops and drops[-1].reynolds > HIGHEST_REYNOLDS:
        notes.append("the largest drops are faster than the drag law was measured for")
    slow = [f"{d.diameter_mm:g}" for d in drops if d.speed_mm_s < STIRRED_MM_S]
    if slow:
        notes.append(f"drops of {', '.join(slow)} mm move slower than a gassing bath does: it carries them about")
    return notes
