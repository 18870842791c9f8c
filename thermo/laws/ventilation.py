"""Air against a released gas: what dilution would take. It shows why gas is captured.

    Q = K G 10^6 / C        air flow that holds the gas at C ppm; G gas released (same unit), K >= 1 for poor mixing
Concentrations allowed: data/exposure.csv (body, name, year).
Limits: a steady release into a whole room, both volumes at one temperature and pressure; nothing on the breath beside
the cell, where the gas is before it mixes.
Source of the formulas: mass balance; the form with K is that of general dilution ventilation (ACGIH).
Worked value: 10 A of chlorine is 76.1 mL/min; at 0.5 ppm and K = 1 that takes 152 m3/min of air.
"""

from dataclasses import dataclass

from thermo.laws.faraday import positive
from thermo.records.provenance import InputError, number, read_table
from thermo.records.remembered import remembered

MIXING = (3.0, 10.0)  # K in real rooms: common practice, no source
HOOD_M3_MIN = 45.0  # one fume hood, 1.5 m2 open at 0.5 m/s: common practice, no source


@dataclass(frozen=True)
class ExposureLimit:
    """One published limit: of a gas in air, ppm by volume, or of dust and fume, mg/m3; the other one is None."""

    gas: str
    substance: str
    body: str
    limit: str
    averaging: str
    ppm: float | None
    mg_m3: float | None
    year: str
    source: str
    provenance: str

    @property
    def value(self) -> float:
        """The figure, in ppm where there is one, else in mg/m3; ValueError for a row without either."""
        found = self.mg_m3 if self.ppm is None else self.ppm
        if found is None:
            raise ValueError(f"data/exposure.csv, {self.gas} {self.body} {self.limit}: neither ppm nor mg/m3")
        return found

    @property
    def name(self) -> str:
        """'NIOSH REL 0.5 ppm (15 min ceiling, 2005)'."""
        unit = "mg/m3" if self.ppm is None else "ppm"
        return f"{self.body} {self.limit} {self.value:g} {unit} ({self.averaging}, {self.year})"


@remembered
def exposure_limits() -> tuple[ExposureLimit, ...]:
    """All rows of data/exposure.csv."""
    return tuple(
        ExposureLimit(
            gas=row["gas"],
            substance=row["name"],
            body=row["body"],
            limit=row["limit"],
            averaging=row["averaging"],
            ppm=number(row["value_ppm"]),
            mg_m3=number(row["value_mg_m3"]),
            year=row["year"],
            source=row["source"],
            provenance=row["provenance"],
        )
        for row in read_table("exposure.csv")
    )


def limits_of(gas: str) -> tuple[ExposureLimit, ...]:
    """The limits of one gas (Cl2, F2, HF, HCl, NH3, CO), ppm; InputError for a gas without rows."""
    found = tuple(entry for entry in exposure_limits() if entry.gas == gas and entry.ppm is not None)
    if not found:
        allowed = ", ".join(dict.fromkeys(entry.gas for entry in exposure_limits() if entry.ppm is not None))
        raise InputError(f"gas {gas!r}: no exposure limit in data/exposure.csv (allowed: {allowed})")
    return found


def limit_words(substance: str) -> str:
    """The lowest limit of a gas, dust or fume and the one to flee at, in words.

    'soluble barium as Ba: OSHA PEL 0.5 mg/m3 (8 h, 1971), NIOSH IDLH 50 mg/m3 (escape, 1994)'.

    InputError for a substance without rows.
    """
    found = [entry for entry in exposure_limits() if entry.gas == substance]
    if not found:
        allowed = ", ".join(dict.fromkeys(entry.gas for entry in exposure_limits()))
        raise InputError(f"substance {substance!r}: no exposure limit in data/exposure.csv (allowed: {allowed})")
    lowest = min(found, key=lambda entry: entry.value)
    shown = dict.fromkeys([lowest, *(entry for entry in found if entry.limit == "IDLH")])
    return f"{lowest.substance}: {', '.join(entry.name for entry in shown)}"


def dilution_air(release: float, ppm: float, mixing: float = 1.0) -> float:
    """Air flow that holds a released gas at `ppm`, in the unit of `release`; mixing K is 1 or more."""
    if not mixing >= 1:
        raise InputError(f"mixing factor {mixing:g}: allowed is 1 (perfect mixing) or more")
    return mixing * positive(release, "gas release", "") * 1e6 / positive(ppm, "limit", "ppm")


def dilution_table(gas: str, release_L_min: float) -> tuple[tuple[ExposureLimit, float], ...]:
    """Air in m3/min that would hold the uncaptured gas at each published limit, perfectly mixed (K = 1)."""
    known = ((limit, limit.ppm) for limit in limits_of(gas))
    return tuple((limit, dilution_air(release_L_min, ppm) / 1000) for limit, ppm in known if ppm is not None)


def _plain(value: float) -> str:
    """Two figures or whole numbers, never an exponent."""
    return f"{value:.0f}" if value >= 100 else f"{value:.2g}"


def capture_note(air_m3_min: tuple[tuple[ExposureLimit, float], ...]) -> str:
    """One line: why the gas is caught at the anode and not diluted; '' where no limit is known."""
    if not air_m3_min:
        return ""
    limit, flow = max(air_m3_min, key=lambda entry: entry[1])
    return (
        f"uncaptured, it would take {_plain(flow)} m3/min of perfectly mixed air to stay at {limit.name}, "
        f"{MIXING[0]:g} to {MIXING[1]:g} times that in a real room, "
        f"against about {HOOD_M3_MIN:g} m3/min of a fume hood: capture at the anode and scrub"
    )
