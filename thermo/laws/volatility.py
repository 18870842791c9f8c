"""Vapour pressure of the salts, of a melt and of the metals.

log p = A + B/T + C log T + D T, p in Pa, T in K, logarithm to base 10 or e as the row of data/volatility.csv says.
Salts mostly from NIST-JANAF free energies (monomer and dimer over the liquid), metals from NIST-JANAF or Alcock, Itkin
& Horrigan (1984). A melt: p = sum x_i p_i (Raoult; the ideal sum). Complexing (KCl-MgCl2, alkali with ZnCl2 or
rare-earth chlorides, AlF3 baths) lowers or changes the true vapour, often by a factor of 2 to 5.
Spread: a factor, as one standard deviation of log p. Limits: 1 atm pressures and below.
Worked value: NaCl at 1273.15 K, 10^(10.1597 - 9023.9/1273.15) = 1182 Pa.
"""

from collections.abc import Callable
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from scipy.optimize import brentq

from thermo.records.composition import Composition
from thermo.records.provenance import InputError, Origin, RangeError, read_table
from thermo.records.remembered import remembered
from thermo.records.substances import metal, salt

T_SEARCH_K = (250.0, 5000.0)  # every row is monotonic in T between these


@dataclass(frozen=True)
class VapourEquation:
    """One chosen row of data/volatility.csv."""

    formula: str
    base: float
    A: float
    B_K: float
    C: float
    D_per_K: float
    T_lo_K: float
    T_hi_K: float
    sigma_factor: float
    source: str
    origin: Origin
    caveat: str
    unsure: bool

    def pressure(self, T_K):
        """Pa at T_K, float or array."""
        exponent = self.A + self.B_K / T_K + self.C * np.log(T_K) / np.log(self.base) + self.D_per_K * T_K
        return self.base**exponent

    def caveats(self, T_K: float) -> tuple[str, ...]:
        """Extrapolation and doubt, for a reader."""
        notes = [f"{self.formula}: {self.caveat}"] if self.unsure else []
        if not self.T_lo_K <= T_K <= self.T_hi_K:
            notes.append(f"{self.formula}: vapour pressure outside {self.T_lo_K:.0f}-{self.T_hi_K:.0f} K, extrapolated")
        return tuple(notes)


def _equation(row: dict[str, str]) -> VapourEquation:
    base = {"10": 10.0, "e": float(np.e)}[row["log_base"]]
    return VapourEquation(
        formula=row["formula"],
        base=base,
        A=float(row["A"]),
        B_K=float(row["B_K"]),
        C=float(row["C"]),
        D_per_K=float(row["D_per_K"]),
        T_lo_K=float(row["T_lo_K"]),
        T_hi_K=float(row["T_hi_K"]),
        sigma_factor=float(row["sigma_factor"]),
        source=row["source"],
        origin=Origin(row["origin"]),
        caveat=row["caveat"],
        unsure=row["unsure"] == "yes",
    )


@remembered
def _equations() -> MappingProxyType:
    rows = [row for row in read_table("volatility.csv") if row["chosen"] == "yes"]
    return MappingProxyType({(row["kind"], row["formula"], row["phase"]): _equation(row) for row in rows})


def salt_vapour(formula: str) -> VapourEquation:
    """The equation of a salt (over the liquid; AlF3 over the solid); InputError where there is none."""
    for phase in ("liquid", "solid"):
        if ("salt", formula, phase) in _equations():
            return _equations()[("salt", formula, phase)]
    salt(formula)
    raise InputError(f"vapour pressure of {formula}: no row in data/volatility.csv")


def metal_vapour(symbol: str, T_K: float) -> VapourEquation:
    """The equation of a metal for its state at T_K; the liquid's where no row of the solid exists."""
    phases = ("solid", "liquid") if metal(symbol).state(T_K) == "solid" else ("liquid",)
    for phase in phases:
        if ("metal", symbol, phase) in _equations():
            return _equations()[("metal", symbol, phase)]
    raise InputError(f"vapour pressure of {symbol}: no row in data/volatility.csv")


def salt_pressure(formula: str, T_K):
    """Vapour pressure over the pure molten salt, Pa; T_K float or array."""
    return salt_vapour(formula).pressure(T_K)


def metal_pressure(symbol: str, T_K: float) -> float:
    """Vapour pressure over the pure metal, solid or liquid, Pa."""
    return float(metal_vapour(symbol, T_K).pressure(T_K))


def melt_pressure(composition: Composition, T_K):
    """Ideal sum x_i p_i over a melt, Pa; T_K float or array. See the module for how far complexing moves it."""
    mix = composition.present
    return sum(x * salt_pressure(formula, T_K) for formula, x in zip(mix.salts, mix.fractions, strict=True))


def most_volatile(composition: Composition, T_K: float) -> str:
    """Formula of the salt that gives most of the vapour at T_K."""
    mix = composition.present
    shares = {f: x * float(salt_pressure(f, T_K)) for f, x in zip(mix.salts, mix.fractions, strict=True)}
    return max(shares, key=shares.__getitem__)


def temperature_at_pressure(pressure: Callable[[float], float], pressure_Pa: float) -> float:
    """The temperature, K, at which pressure(T_K) reaches pressure_Pa; RangeError outside 250-5000 K.

    Example: temperature_at_pressure(lambda T: salt_pressure("NaCl", T), 101325) is the boiling point, 1751 K.
    """
    low, high = (float(np.log(pressure(T))) for T in T_SEARCH_K)
    wanted = float(np.log(pressure_Pa))
    if not low <= wanted <= high:
        raise RangeError(f"vapour pressure {pressure_Pa:g} Pa is not reached between 250 and 5000 K")
    return float(brentq(lambda T: float(np.log(pressure(T))) - wanted, *T_SEARCH_K, xtol=1e-4))
