"""Measured molar volumes of mixed melts, from the density and volume-of-mixing rows of data/density.

V = sum x_i M_i / rho and V - sum x_i V_i of the pure liquids, cm3/mol, at both ends of the span of each row.
Limits: rows with two anions, or with a salt that is not in the list, are left out. Files: mixtures.csv (rho = a - b T)
and mixing_volume.csv (excess reported directly). Worked value: 50 mol% NaCl in KCl, 2.1314 - 0.0005679 T at 1050 K:
66.497 / 1.5351 = 43.32 cm3/mol.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from thermo.laws.density import salt_line
from thermo.records.composition import formula_mass
from thermo.records.provenance import number, read_table
from thermo.records.substances import salts


@dataclass(frozen=True)
class VolumePoint:
    """One measured molar volume, cm3/mol, at T_K: excess over the additive volume, spreads, and what to do with it."""

    salts: tuple[str, ...]
    fractions: np.ndarray
    T_K: float
    additive: float
    excess: float
    sigma: float
    scale: float
    dataset: str
    use: str
    source: str
    row: int


def additive_volume(names: tuple[str, ...], fractions: np.ndarray, T_K: float) -> float:
    """Sum of x_i V_i of the pure liquids, cm3/mol."""
    return float(sum(x * formula_mass(s) / salt_line(s).density(T_K) for s, x in zip(names, fractions, strict=True)))


def points() -> list[VolumePoint]:
    """Every row of the two files as volumes, a line read at both ends of its span (each then counting half)."""
    found: list[VolumePoint] = []
    for k, row in enumerate(read_table("density/mixtures.csv")):
        names, fractions = _composition(row)
        if not set(names) <= set(salts()) or len({salts()[name].anion for name in names}) > 1:
            continue
        mass = sum(x * formula_mass(s) for s, x in zip(names, fractions, strict=True))
        ends = sorted({float(row["T_lo_K"]), float(row["T_hi_K"])})
        for T_K in ends:
            volume = mass / (float(row["a_g_cm3"]) - float(row["b_g_cm3_K"]) * T_K)
            additive = additive_volume(names, fractions, T_K)
            sigma = volume * float(row["sigma_pct"]) / 100 * len(ends) ** 0.5
            scale = volume * float(row["scale_pct"]) / 100
            found.append(_point(names, fractions, T_K, additive, volume - additive, sigma, scale, row, k))
    for k, row in enumerate(read_table("density/mixing_volume.csv"), start=len(read_table("density/mixtures.csv"))):
        names, fractions = _composition(row)
        T_K = float(row["T_K"])
        excess, sigma = float(row["excess_cm3_mol"]), float(row["sigma_cm3_mol"])
        additive = additive_volume(names, fractions, T_K)
        found.append(_point(names, fractions, T_K, additive, excess, sigma, 0.0, row, k))
    return found


def _composition(row: Mapping[str, str]) -> tuple[tuple[str, ...], np.ndarray]:
    listed = [(row[f"salt{i}"], number(row[f"x{i}"])) for i in range(1, 5) if row.get(f"salt{i}")]
    fractions = np.array([x for _, x in listed], dtype=float)
    return tuple(name for name, _ in listed), fractions / fractions.sum()


def _point(names, fractions, T_K, additive, excess, sigma, scale, row, k) -> VolumePoint:
    return VolumePoint(names, fractions, T_K, additive, excess, sigma, scale, row["set"], row["use"], row["source"], k)
