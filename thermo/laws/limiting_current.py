"""The current density at which the metal's own ions no longer arrive fast enough, so that another metal joins.

    i = z F C k,   C = x rho / M           A/cm2; k = D / delta, cm/s
low: a quiet layer delta = 0.02 cm and the low D. high: k = k_stirred x D/D(Mg, 700 deg C), k_stirred the mean (of the
logarithms) of i / z F C over the rows of data/joining_currents.csv that calibrate: three current densities at which
strontium joined magnesium (Sun, Lu & Fan 2014: 0.71, 1.57, 2.83 A/cm2 at 2, 5, 10 mass% MgCl2, short pulses), which are
proportional to C within 12 %. Rows that do not calibrate are tests. D: data/diffusion.csv, carried by 48.5 kJ/mol; ions
without row: 0.7 to 3e-5 cm2/s at 700 deg C (common practice, no source).
Limits: a factor of ten between low and high is the honest band: gas stirs a cell, a still pool does not, and other
laboratories met the second metal at a quarter and two fifths of `high`. Not for a melt in which the metal is the only
cation.
Worked value: 10 mass% MgCl2 in KCl-SrCl2 at 700 deg C: 0.21 to 3.1 A/cm2.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from thermo.laws.density import melt_density
from thermo.laws.metal_solubility import LAYER_CM
from thermo.records.composition import Composition, from_amounts, parse_amounts
from thermo.records.provenance import Origin, read_table
from thermo.records.remembered import remembered
from thermo.records.substances import metal, salt
from thermo.records.units import F, R, kelvin

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


@dataclass(frozen=True)
class JoiningCurrent:
    """A printed current density beyond which another metal comes too; calibrates: whether k is read from it."""

    metal: str
    joins: str
    melt: Composition
    T_K: float
    current_A_cm2: float
    calibrates: bool
    source: str

    @property
    def concentration_mol_cm3(self) -> float:
        """Moles of the metal's ions in a cm3 of its bath."""
        shares = zip(self.melt.salts, self.melt.fractions, strict=True)
        own = sum(x for formula, x in shares if salt(formula).cation == self.metal)
        return own * melt_density(self.melt, self.T_K).value_g_cm3 / self.melt.mean_formula_mass


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


@remembered
def joining_currents() -> tuple[JoiningCurrent, ...]:
    """Every row of data/joining_currents.csv."""
    return tuple(
        JoiningCurrent(
            metal=row["metal"],
            joins=row["joins"],
            melt=from_amounts(parse_amounts(row["bath"].split()), row["basis"]),
            T_K=kelvin(float(row["T_C"])),
            current_A_cm2=float(row["current_A_cm2"]),
            calibrates=row["calibrates"] == "yes",
            source=row["source"],
        )
        for row in read_table("joining_currents.csv")
    )


def stirred_cm_s(rows: Iterable[JoiningCurrent]) -> float:
    """Rate k at 700 deg C that these rows speak for, cm/s: the mean of the logarithms of i / z F C, carried by D."""
    logs = []
    for row in rows:
        low, high, _ = diffusion_cm2_s(row.metal, row.T_K)
        rate = row.current_A_cm2 / (metal(row.metal).valence * F * row.concentration_mol_cm3)
        logs.append(math.log(rate * REFERENCE_CM2_S / math.sqrt(low * high)))
    return math.exp(sum(logs) / len(logs))


@remembered
def _stirred_cm_s() -> float:
    return stirred_cm_s(row for row in joining_currents() if row.calibrates)


def limiting_current(
    symbol: str, T_K: float, concentration_mol_cm3: float, rate_cm_s: float | None = None
) -> LimitingCurrent:
    """Band of the limiting current density for a concentration of the metal's ions; rate_cm_s: k of a stirred cell at
    700 deg C, from the rows that calibrate unless it is given.
    """
    low, high, source = diffusion_cm2_s(symbol, T_K)
    charge = metal(symbol).valence * F * concentration_mol_cm3
    rate = _stirred_cm_s() if rate_cm_s is None else rate_cm_s
    stirred = rate * math.sqrt(low * high) / REFERENCE_CM2_S
    origin = Origin.ESTIMATED if source == "practice" else Origin.MEASURED
    return LimitingCurrent(charge * low / LAYER_CM, charge * stirred, (low, high), origin, (source, "sun2014"))
