"""Air against a released gas: what dilution would take. It shows why gas is captured.

    Q = K G 10^6 / C        air flow that holds the gas at C ppm; G gas released (same unit), K >= 1 for poor mixing
Concentrations allowed: data/exposure.csv (body, name, year).
Limits: a steady release into a whole room, both volumes at one temperature and pressure; nothing on the breath beside
the cell, where the gas is before it mixes.
Source of the formulas: mass balance; the form with K is that of general dilution ventilation (ACGIH).
Worked value: 10 A of chlorine is 76.1 mL/min; at 0.5 ppm and K = 1 that takes 152 m3/min of air.
"""

from dataclasses import dataclass
from functools import cache

from thermo.laws.faraday import positive
from thermo.records.provenance import InputError, read_table

MIXING = (3.0, 10.0)  # K in real rooms: common practice, no source
HOOD_M3_MIN = 45.0  # one fume hood, 1.5 m2 open at 0.5 m/s: common practice, no source


@dataclass(frozen=True)
class ExposureLimit:
    """One published limit of a gas in air, ppm by volume."""

    gas: str
    body: str
    limit: str
    averaging: str
    ppm: float
    year: str
    source: str
    provenance: str

    @property
    def name(self) -> str:
        """'NIOSH REL 0.5 ppm (15 min ceiling, 2005)'."""
        return f"{self.body} {self.limit} {self.ppm:g} ppm ({self.averaging}, {self.year})"


@cache
def exposure_limits() -> tuple[ExposureLimit, ...]:
    """All rows of data/exposure.csv."""
    return tuple(
        ExposureLimit(
            gas=row["gas"],
            body=row["body"],
            limit=row["limit"],
            averaging=row["averaging"],
            ppm=float(row["value_ppm"]),
            year=row["year"],
            source=row["source"],
            provenance=row["provenance"],
        )
        for row in read_table("exposure.csv")
    )


def limits_of(gas: str) -> tuple[ExposureLimit, ...]:
    """The limits of one gas (Cl2, F2, HF, HCl, CO); InputError for a gas without rows."""
    found = tuple(entry for entry in exposure_limits() if entry.gas == gas)
    if not found:
        allowed = ", ".join(dict.fromkeys(entry.gas for entry in exposure_limits()))
        raise InputError(f"gas {gas!r}: no exposure limit in data/exposure.csv (allowed: {allowed})")
    return found


def dilution_air(release: float, ppm: float, mixing: float = 1.0) -> float:
    """Air flow that holds a released gas at `ppm`, in the unit of `release`; mixing K is 1 or more."""
    if not mixing >= 1:
        raise InputError(f"mixing factor {mixing:g}: allowed is 1 (perfect mixing) or more")
    return mixing * positive(release, "gas release", "") * 1e6 / positive(ppm, "limit", "ppm")
