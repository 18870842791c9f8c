"""How much metal its own molten salt dissolves, and the current that burns back through the bath.

    ln x(T) straight in 1/T between published points (data/metal_solubility.csv; Bredig, ORNL-3391, 1963), up to the
    temperature above which metal and salt mix in all proportions
    i_loss = z F D C / delta,  C = x rho / M           current density lost at a quiet cathode, A/cm2
    kappa_e = x Lambda rho / M                         conductance by dissolved electrons, S/cm
D = 5e-5 cm2/s and delta = 0.02 cm, each within a factor of two: the loss is known to a factor of three. A bath in which
the metal's salt is diluted dissolves less; taken as proportional to its mole fraction, which is the most it can be.
Limits: metal over its own chloride or fluoride; one point is carried 100 K at most, two points 150 K.
Worked value: 2.1 mol% sodium in NaCl at 795 deg C (1.56 g/cm3): C = 5.6e-4 mol/cm3, i_loss = 0.13 A/cm2.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from thermo.records.provenance import read_table
from thermo.records.remembered import remembered
from thermo.records.substances import metal, salt
from thermo.records.units import F, celsius, kelvin

DIFFUSION_CM2_S = 5e-5  # dissolved metal in a molten halide: common practice, no source
LAYER_CM = 0.02  # unstirred layer: common practice, no source
LOSS_FACTOR = 3.0
ONE_POINT_K, POINTS_K = 100.0, 150.0
DRIFT_PER_K = 0.005  # relative spread gained a kelvin away from the points, as solubilities double in 100 to 150 K
MISCIBLE = "miscible above"
ELECTRONS_S_CM2 = {"NaCl": 12000.0, "KCl": 2800.0}  # Lambda, S cm2/mol, near 900 and 820 deg C: ORNL-3391, Table 3


@dataclass(frozen=True)
class Point:
    """One published solubility: T in K, mole fraction of metal in the salt, relative spread."""

    T_K: float
    fraction: float
    sigma_rel: float
    miscible: bool
    source: str
    caveat: str


@dataclass(frozen=True)
class MetalSolubility:
    """Saturation of a metal in a salt: mole fraction (None where unknown or fully miscible), relative spread in ln."""

    metal: str
    salt: str
    T_K: float
    fraction: float | None
    sigma_ln: float
    miscible: bool
    notes: tuple[str, ...]
    sources: tuple[str, ...]


@remembered
def _points() -> dict[str, tuple[Point, ...]]:
    found: dict[str, list[Point]] = {}
    for row in read_table("metal_solubility.csv"):
        if row["use"] == "yes":
            point = Point(
                kelvin(float(row["T_C"])),
                float(row["mol_pct"]) / 100,
                float(row["sigma_pct"]) / 100,
                row["kind"] == MISCIBLE,
                row["source"],
                row["caveat"],
            )
            found.setdefault(row["salt"], []).append(point)
    return {formula: tuple(sorted(points, key=lambda p: p.T_K)) for formula, points in found.items()}


def metal_solubility(formula: str, T_K: float, salt_fraction: float = 1.0) -> MetalSolubility:
    """Solubility of a salt's own metal in it at T_K; salt_fraction is the salt's mole fraction in the bath."""
    symbol = salt(formula).cation
    metal(symbol)
    points = _points().get(formula, ())
    sources = tuple(dict.fromkeys(p.source for p in points))
    if not points:
        return MetalSolubility(symbol, formula, T_K, None, 0.0, False, ("no published solubility",), ())
    notes = [p.caveat for p in points if p.caveat]
    if points[-1].miscible and points[-1].T_K < T_K:
        limit = celsius(points[-1].T_K)
        notes.insert(0, f"above {limit:.0f} deg C {symbol} and {formula} mix in all proportions")
        return MetalSolubility(symbol, formula, T_K, None, 0.0, True, tuple(notes), sources)
    value, sigma, outside = _value(points, T_K)
    if value is None:
        notes.insert(0, f"published values end {outside:.0f} K away: not carried that far")
        return MetalSolubility(symbol, formula, T_K, None, 0.0, False, tuple(notes), sources)
    if outside > 0:
        notes.insert(0, f"carried {outside:.0f} K beyond the published values")
    if salt_fraction < 1:
        notes.append(f"scaled with the {100 * salt_fraction:.0f} mol% of {formula} in the bath: the most it can be")
    return MetalSolubility(symbol, formula, T_K, value * salt_fraction, sigma, False, tuple(notes), sources)


def _value(points: tuple[Point, ...], T_K: float) -> tuple[float | None, float, float]:
    """Mole fraction (None: too far), spread of its logarithm, kelvin outside the points."""
    low, high = points[0], points[-1]
    outside = max(low.T_K - T_K, T_K - high.T_K, 0.0)
    if outside > (POINTS_K if len(points) > 1 else ONE_POINT_K):
        return None, 0.0, outside
    if len(points) == 1:
        return low.fraction, math.hypot(low.sigma_rel, DRIFT_PER_K * abs(T_K - low.T_K)), outside
    left, right = next((pair for pair in pairwise(points) if pair[1].T_K >= T_K), points[-2:])
    share = (1 / T_K - 1 / left.T_K) / (1 / right.T_K - 1 / left.T_K)
    ln = math.log(left.fraction) + share * math.log(right.fraction / left.fraction)
    inside = min(max(share, 0.0), 1.0)
    sigma = math.hypot((1 - inside) * left.sigma_rel, inside * right.sigma_rel)
    gap = min(abs(T_K - left.T_K), abs(T_K - right.T_K))
    return math.exp(ln), math.hypot(sigma, DRIFT_PER_K * (outside if outside else gap / 2)), outside


def loss_current_density(solubility: MetalSolubility, melt_density_g_cm3: float, formula_mass_g_mol: float) -> float:
    """Current density that dissolving metal takes back at a quiet cathode, A/cm2, good to a factor of LOSS_FACTOR.

    formula_mass_g_mol: mean mass of a mole of the bath. ValueError where the solubility is unknown.
    """
    if solubility.fraction is None:
        raise ValueError(f"solubility of {solubility.metal} in {solubility.salt} at {solubility.T_K:.0f} K is unknown")
    concentration = solubility.fraction * melt_density_g_cm3 / formula_mass_g_mol
    return metal(solubility.metal).valence * F * DIFFUSION_CM2_S * concentration / LAYER_CM


def electron_conductance(solubility: MetalSolubility, melt_density_g_cm3: float, formula_mass_g_mol: float) -> float:
    """Conductance that dissolved metal adds, S/cm. ValueError where solubility or Lambda is unknown."""
    if solubility.fraction is None or solubility.salt not in ELECTRONS_S_CM2:
        raise ValueError(f"conductance by electrons in {solubility.salt}: nothing published here")
    return solubility.fraction * ELECTRONS_S_CM2[solubility.salt] * melt_density_g_cm3 / formula_mass_g_mol
