"""The current density at which the metal's own ions no longer arrive fast enough, so that another metal joins.

    i = z F C k,   C = x rho / M           A/cm2; k = D / delta, cm/s
low: a quiet layer delta = 0.02 cm and the low D. high: k = 0.0095 cm/s x D/D(Mg, 700 deg C), read from the three
current densities at which strontium joined magnesium (Sun, Lu & Fan 2014: 0.71, 1.57, 2.83 A/cm2 at 2, 5, 10 mass%
MgCl2, short pulses), which are proportional to C within 12 %. D: data/diffusion.csv, carried by 48.5 kJ/mol; ions
without row: 0.7 to 3e-5 cm2/s at 700 deg C (common practice, no source).
Limits: a factor of ten between low and high is the honest band: gas stirs a cell, a still pool does not. Not for a melt
in which the metal is the only cation.
Worked value: 10 mass% MgCl2 in KCl-SrCl2 at 700 deg C: 0.21 to 3.1 A/cm2.
"""

import math
from dataclasses import dataclass

from thermo.laws.metal_solubility import LAYER_CM
from thermo.records.provenance import Origin, read_table
from thermo.records.remembered import remembered
from thermo.records.substances import metal
from thermo.records.units import F, R, kelvin

STIRRED_CM_S = 0.0095
ACTIVATION_J_MOL = 48500.0
UNKNOWN_CM2_S = (0.7e-5, 3e-5)  # at 700 deg C: common practice, no source
REFERENCE_K = kelvin(700)
REFERENCE_CM2_S = math.sqrt(1.27e-5 * 1.75e-5)


@dataclass(frozen=True)
class LimitingCurrent:
    """Band of the limiting current density, A/cm2, and where D comes from."""

    low_A_cm2: float
    high_A_cm2: float
    diffusion_cm2_s: tuple[float, float]
    origin: Origin
    sources: tuple[str, ...]


@remembered
def _rows() -> dict[str, list[tuple[float, float, float, str]]]:
    found: dict[str, list[tuple[float, float, float, str]]] = {}
    for row in read_table("diffusion.csv"):
        values = kelvin(float(row["T_C"])), float(row["low_cm2_s"]), float(row["high_cm2_s"]), row["source"]
        found.setdefault(row["ion"], []).append(values)
    return found


def diffusion_cm2_s(symbol: str, T_K: float) -> tuple[float, float, str]:
    """Low and high D of a metal's ion at T_K, cm2/s, from the row nearest in temperature; the source key."""
    rows = _rows().get(symbol)
    at_K, low, high, source = (
        (REFERENCE_K, *UNKNOWN_CM2_S, "practice") if not rows else min(rows, key=lambda row: abs(row[0] - T_K))
    )
    carried = math.exp(-ACTIVATION_J_MOL / R * (1 / T_K - 1 / at_K))
    return low * carried, high * carried, source


def limiting_current(symbol: str, T_K: float, concentration_mol_cm3: float) -> LimitingCurrent:
    """Band of the limiting current density for a concentration of the metal's ions."""
    low, high, source = diffusion_cm2_s(symbol, T_K)
    charge = metal(symbol).valence * F * concentration_mol_cm3
    stirred = STIRRED_CM_S * math.sqrt(low * high) / REFERENCE_CM2_S
    origin = Origin.ESTIMATED if source == "practice" else Origin.MEASURED
    return LimitingCurrent(charge * low / LAYER_CM, charge * stirred, (low, high), origin, (source, "sun2014"))
