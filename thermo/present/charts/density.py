"""Densities of melt and metal against temperature: the data of the chart, with bands, crossings and marks.

T in K, densities in g/cm3 with one sigma. Limits: up to the metal's boiling point. Worked value: 25 points over 400 K.
"""

from dataclasses import dataclass

import numpy as np

from thermo.answers.evidence.start_of_freezing import FreezingStart
from thermo.answers.flotation import FloatOrSink
from thermo.laws.density import melt_density_field, metal_density
from thermo.present.words.written import degrees
from thermo.records.composition import Composition
from thermo.records.provenance import RangeError
from thermo.records.substances import metal

CHART_POINTS = 25
CHART_SPAN_K = 400.0


@dataclass(frozen=True)
class DensityChart:
    """Densities (g/cm3) with one sigma against T_K; crossings (T_K, sigma_K, density); rules (T_K, label)."""

    T_K: np.ndarray
    melt: np.ndarray
    melt_sigma: np.ndarray
    metal_T_K: np.ndarray
    metal: np.ndarray
    metal_sigma: np.ndarray
    metal_name: str
    crossings: tuple[tuple[float, float, float], ...]
    rules: tuple[tuple[float, str], ...]


def density_chart(
    melt: Composition, symbol: str, T_K: float, start: FreezingStart, flotation: FloatOrSink | None
) -> DensityChart:
    """Density of melt and metal over a span that holds the liquidus, the metal's melting point if near, and T_K."""
    element = metal(symbol)
    low = min(start.T_K - 50, T_K - 50) if start.known else T_K - 100
    high = min(max(low + CHART_SPAN_K, T_K + 50), element.boiling_point_K - 1)
    if high <= low:
        raise RangeError(f"density chart: {element.name} boils at {degrees(element.boiling_point_K)}, below this melt")
    T = np.linspace(low, high, CHART_POINTS)
    rho, sigma = melt_density_field(melt.salts, np.repeat(melt.array[None, :], len(T), axis=0), T)
    if np.isnan(rho).any():
        raise RangeError("density chart: no density is known for this melt")
    turn = element.melting_point_K
    metal_T = np.sort(np.append(T, [turn - 0.05, turn + 0.05])) if low < turn < high else T
    densities = [metal_density(symbol, float(t)) for t in metal_T]
    crossings = flotation.crossings if flotation is not None else ()
    rules = [(start.T_K, f"starts to freeze {degrees(start.T_K, start.sigma_K)}")] if start.known else []
    if low < turn < high:
        rules.append((turn, f"{element.name} melts {degrees(turn, element.melting_point_sigma_K)}"))
    return DensityChart(
        T,
        rho,
        sigma,
        metal_T,
        np.array([density.value_g_cm3 for density in densities]),
        np.array([density.sigma_g_cm3 for density in densities]),
        element.name,
        tuple((c.T_K, c.sigma_K, float(np.interp(c.T_K, T, rho))) for c in crossings if low < c.T_K < high),
        tuple(rules),
    )
