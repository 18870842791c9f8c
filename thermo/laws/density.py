"""Density of a molten-salt mix.

rho = sum x_i M_i / (sum x_i V_i(T) + V^E), g/cm3; V_i = M_i / rho_i(T), cm3/mol, from density lines of the pure liquids
(data/density/salts.csv), used below their melting points as everyone must and marked there; V^E of
thermo/laws/excess_volume.py. A single salt is a melt too.
Standard deviation: pure lines (each salt's own, weighted by its share of the volume, in quadrature), what extrapolation
adds (all salts together, since all lines are read too cold at once), and V^E.
Limits: one anion, at most 50 mol% AlF3. Worked value: NaCl at 1100 K, 58.443 / (58.443 / 1.5418) = 1.5418 g/cm3.
"""

from types import MappingProxyType

import numpy as np

from thermo.laws.density_line import SLOPE_SPREAD_PER_K, Density, DensityLine, density_line
from thermo.laws.excess_volume import FOLLOWED_K, PairExcess, excess_volume, family, family_sigma_pct, measured_pair
from thermo.laws.metal_density import metal_density
from thermo.records.baths import MOST_ALF3
from thermo.records.composition import Composition, formula_mass
from thermo.records.provenance import InputError, Origin, RangeError, read_table
from thermo.records.remembered import remembered
from thermo.records.substances import salt

__all__ = [
    "Density",
    "density_span",
    "melt_density",
    "melt_density_field",
    "metal_density",
    "salt_density",
    "salt_line",
]

NOTICEABLE = 0.02  # pairs with 4 x_i x_j below this need no caveat


@remembered
def _lines() -> MappingProxyType:
    rows = read_table("density/salts.csv")
    return MappingProxyType({row["salt"]: density_line(row, row["salt"]) for row in rows if row["chosen"] == "yes"})


def salt_line(formula: str) -> DensityLine:
    """The chosen density line of a molten salt; InputError where the list of salts or densities has none."""
    if formula not in _lines():
        salt(formula)
        raise InputError(f"density of {formula}: no row in data/density/salts.csv")
    return _lines()[formula]


def density_span(formula: str) -> tuple[float, float]:
    """Lowest and highest temperature in K at which the chosen density line of a salt was measured.

    InputError where there is no such line.
    """
    line = salt_line(formula)
    return line.T_lo_K, line.T_hi_K


def salt_density(formula: str, T_K: float) -> Density:
    """Density of one molten salt at T_K, extrapolated outside its span with a caveat."""
    return salt_line(formula).at(T_K)


def melt_density_field(salts: tuple[str, ...], fractions: np.ndarray, T_K) -> tuple[np.ndarray, np.ndarray]:
    """Density and one standard deviation, g/cm3, each (N,), of N melts.

    fractions (N, n) mole fractions summing to 1 along n; T_K a number or (N,). NaN where AlF3 exceeds 50 mol%.
    """
    fractions = np.asarray(fractions, dtype=float)
    T_K = np.broadcast_to(np.asarray(T_K, dtype=float), fractions.shape[:1])
    masses = np.array([formula_mass(formula) for formula in salts])
    lines = [salt_line(formula) for formula in salts]
    parts = fractions * np.stack([m / line.density(T_K) for m, line in zip(masses, lines, strict=True)], axis=1)
    additive = parts.sum(axis=1)
    excess, variance = excess_volume(tuple(salts), fractions, T_K, additive)
    volume = additive + excess
    if "AlF3" in salts:
        volume = np.where(fractions[:, list(salts).index("AlF3")] > MOST_ALF3 + 1e-9, np.nan, volume)
    own = sum((parts[:, k] * line.sigma_pct / 100) ** 2 for k, line in enumerate(lines))
    together = sum(parts[:, k] * SLOPE_SPREAD_PER_K * line.outside_K(T_K) for k, line in enumerate(lines))
    density = fractions @ masses / volume
    return density, density * np.sqrt(own + together**2 + variance) / volume


def melt_density(composition: Composition, T_K: float) -> Density:
    """Density of a melt at T_K with spread, caveats and sources; RangeError above 50 mol% AlF3."""
    mix = composition.present
    density, sigma = melt_density_field(mix.salts, mix.array[None, :], T_K)
    if np.isnan(density[0]):
        raise RangeError("density of a melt above 50 mol% AlF3: nothing was measured there and its vapour boils off")
    lines = [salt_line(formula) for formula in mix.salts]
    measured = [measured_pair(mix.salts[i], mix.salts[j]) for i, j in _noticeable_pairs(mix)]
    known = [pair for pair in measured if pair is not None]
    sources = [line.source for line in lines] + [key for pair in known for key in pair.sources]
    caveats = [*_line_caveats(lines, T_K), *_pair_caveats(known, T_K), *_unmeasured(mix)]
    guessed = len(known) < len(measured) or any(line.origin == Origin.ESTIMATED for line in lines)
    origin = Origin.ESTIMATED if guessed else lines[0].origin if len(lines) == 1 else Origin.FITTED
    return Density(float(density[0]), float(sigma[0]), tuple(caveats), tuple(dict.fromkeys(sources)), origin)


def _noticeable_pairs(mix: Composition) -> list[tuple[int, int]]:
    x = mix.fractions
    pairs = [(i, j) for i in range(len(x)) for j in range(i + 1, len(x))]
    return [(i, j) for i, j in pairs if 4 * x[i] * x[j] >= NOTICEABLE]


def _line_caveats(lines: list[DensityLine], T_K: float) -> list[str]:
    outside = [(line.name, float(line.outside_K(T_K)), line.T_lo_K > T_K) for line in lines]
    notes = []
    for below, side in ((True, "below"), (False, "above")):
        far = [f"{name} {kelvin:.0f} K" for name, kelvin, is_below in outside if kelvin >= 1 and is_below is below]
        if far:
            notes.append(f"pure-salt density extrapolated {side} its measured span: {', '.join(far)}")
    return notes + [note for line in lines for note in line.doubts()]


def _unmeasured(mix: Composition) -> list[str]:
    notes = []
    for i, j in _noticeable_pairs(mix):
        a, b = mix.salts[i], mix.salts[j]
        if measured_pair(a, b) is None:
            spread = family_sigma_pct()[family(a, b)]
            notes.append(
                f"no mixture of {a}-{b} in the data: volumes added; spread {spread:.1f} % at equimolar, from like pairs"
            )
    return notes


def _pair_caveats(known: list[PairExcess], T_K: float) -> list[str]:
    notes = [f"{'-'.join(pair.salts)}: {pair.caveat}" for pair in known if pair.caveat]
    for pair in known:
        outside = max(pair.T_lo_K - T_K, T_K - pair.T_hi_K)
        if outside > FOLLOWED_K:
            notes.append(f"{'-'.join(pair.salts)}: volume of mixing measured {outside:.0f} K away at the nearest")
    return notes
