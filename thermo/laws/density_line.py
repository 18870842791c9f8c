"""Density of one pure liquid or solid against temperature, and how its spread grows outside the measured span.

Line: rho = a - b T, g/cm3 with T in K. Solid metals without a line: rho = rho298 / (1 + 3 alpha (T - 298.15 K)), alpha
the mean linear expansion per K. Standard deviation: sigma_pct of the row inside the span; outside it 0.15 % more for
every 100 K, in quadrature. (Where data/density/salts.csv has two checked lines for one salt their slopes differ by
0.05 to 0.2 % per 100 K; 0.15 is the middle of that.)
Limits: liquids and solids far from their critical point; every line may be extrapolated, and then says so.
Worked value: NaCl at 1100 K: 2.1391 - 0.000543 * 1100 = 1.5418 g/cm3.
"""

from dataclasses import dataclass

import numpy as np

from thermo.records.provenance import InputError, Origin, number

SLOPE_SPREAD_PER_K = 0.15e-2 / 100  # relative, per kelvin outside the measured span
ROOM_K = 298.15


@dataclass(frozen=True)
class Density:
    """A density and one standard deviation, g/cm3, with what limits it and where it comes from."""

    value_g_cm3: float
    sigma_g_cm3: float
    caveats: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    origin: Origin = Origin.MEASURED


@dataclass(frozen=True)
class DensityLine:
    """One row of data/density/salts.csv or metals.csv; temperatures in K, densities in g/cm3."""

    name: str
    a: float
    b: float
    rho298: float | None
    expansion: float
    T_lo_K: float
    T_hi_K: float
    sigma_pct: float
    source: str
    origin: Origin
    caveat: str
    unsure: bool

    def density(self, T_K):
        """g/cm3 at T_K, float or array."""
        if self.rho298 is not None:
            return self.rho298 / (1 + 3 * self.expansion * (T_K - ROOM_K))
        return self.a - self.b * T_K

    def outside_K(self, T_K):
        """Kelvin outside the measured span (0 inside), float or array."""
        return np.maximum(0.0, np.maximum(self.T_lo_K - T_K, T_K - self.T_hi_K))

    def relative_sigma(self, T_K):
        """Standard deviation over density, float or array."""
        return np.hypot(self.sigma_pct / 100, SLOPE_SPREAD_PER_K * self.outside_K(T_K))

    def caveats(self, T_K: float) -> tuple[str, ...]:
        """What a reader must know about this line at T_K."""
        outside = float(self.outside_K(T_K))
        side = "below" if self.T_lo_K > T_K else "above"
        notes = (f"{self.name}: extrapolated {outside:.0f} K {side} its measured span",) if outside >= 1 else ()
        return notes + self.doubts()

    def doubts(self) -> tuple[str, ...]:
        """The caveat of a line that is estimated or recalled with doubt; nothing for a sound one."""
        doubtful = self.unsure or self.origin == Origin.ESTIMATED
        return (f"{self.name}: {self.caveat}",) if doubtful else ()

    def at(self, T_K: float) -> Density:
        """The density at one temperature, with spread and caveats."""
        value = float(self.density(T_K))
        sigma = value * float(self.relative_sigma(T_K))
        return Density(value, sigma, self.caveats(T_K), (self.source,), self.origin)


def density_line(row: dict[str, str], name: str) -> DensityLine:
    """A DensityLine from a CSV row with a_g_cm3, b_g_cm3_K or rho298_g_cm3, linear_expansion_per_MK."""
    a, b = number(row["a_g_cm3"]), number(row["b_g_cm3_K"])
    rho298, expansion = (number(row.get(key, "")) for key in ("rho298_g_cm3", "linear_expansion_per_MK"))
    T_lo, T_hi, sigma = (number(row[key]) for key in ("T_lo_K", "T_hi_K", "sigma_pct"))
    line = None if a is None or b is None else (a, b)
    expansion_given = rho298 is not None and expansion is not None
    if T_lo is None or T_hi is None or sigma is None or (line is not None) == expansion_given:
        raise InputError(f"data/density: row of {name} needs a span, a sigma and either a line or an expansion")
    a, b = line or (0.0, 0.0)
    return DensityLine(
        name=name,
        a=a,
        b=b,
        rho298=rho298,
        expansion=0.0 if expansion is None else expansion * 1e-6,
        T_lo_K=T_lo,
        T_hi_K=T_hi,
        sigma_pct=sigma,
        source=row["source"],
        origin=Origin(row["origin"]),
        caveat=row["caveat"],
        unsure=row["unsure"] == "yes",
    )
