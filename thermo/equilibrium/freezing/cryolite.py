"""Alumina dissolved in a cryolite bath: how far it lowers the freezing point, and how much dissolves.

Al2O3 dissolves as oxyfluoride ions, Al2OF6(2-) with one oxygen and Al2O2F4(2-) with two (Zhang et al., Metall. Mater.
Trans. B 35 (2004) 77), that dilute the other ions. With o = 3 n(Al2O3) / n(salts) oxygens a formula of salt,
    r_1 + 2 r_2 = o,   r_2 = K r_1^2,   r = r_1 + r_2         ions a formula; K in data/alumina.csv
    mu_i -> mu_i - R T ln(1 + r)         for every salt: an ideal dilution, so every solid freezes lower
The first alumina acts as three particles, later ones as half that. Saturation is the published equation
    [Al2O3] = A (t / 1000)^B mass%, t in deg C     (Skybakmoen, Solheim & Sterten 1997; 850 to 1050 deg C, 0.29 mass%)
with A = 11.9 - 0.062 a - 0.003 a^2 - 0.50 l - 0.20 c - 0.30 m + 42 l a / (2000 + l a), B = 4.8 - 0.048 a + 2.2 l^1.5 /
(10 + l + 0.001 a^3); a excess AlF3, l LiF, c CaF2, m MgF2 in mass%. Where more alumina is asked for than dissolves at
the salts' freezing point, alumina is the first solid, at the temperature that would dissolve it; where the salts freeze
below the span the equation is carried too far (seven published baths lie 113 to 258 K lower), and the band reaches down
to the salts.
Standard states: liquid NaF; AlF3 as the hypothetical liquid of the JANAF table (AlF3 sublimes); cryolite as the beta
crystal. Limits: baths with NaF and AlF3, up to saturation, about 11 mass%; additions that leave A above 0.
Worked value: cryolite with 3 mass% alumina freezes some 17 K lower.
"""

from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.freezing.liquidus import liquidus_sigma, pair_notes
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.records.baths import MOST_ALUMINA, BathName, bath_name
from thermo.records.composition import Composition, formula_mass
from thermo.records.provenance import InputError, Origin, RangeError, read_table
from thermo.records.remembered import remembered
from thermo.records.units import celsius, kelvin

OXYGENS = 3  # a formula of Al2O3
DILUTION_SIGMA = 0.10  # of the lowering: how far the sources of K and the fitted law differ
SATURATION_SPAN_C = (850.0, 1050.0)
SOURCES = ("skybakmoen1997", "janz_tomkins1981", "jmmb2014_cryolite")
STANDARD_STATES = (
    "standard states: liquid NaF; hypothetical liquid AlF3 (JANAF table; AlF3 itself sublimes); "
    "solid cryolite in its beta form"
)


@remembered
def alumina_value(quantity: str) -> float:
    """One row of data/alumina.csv."""
    (row,) = (row for row in read_table("alumina.csv") if row["quantity"] == quantity)
    return float(row["value"])


@dataclass(frozen=True)
class BathLiquidus:
    """Start of freezing of a bath with alumina; saturation_pct is what dissolves at that temperature, mass%."""

    name: BathName
    T_K: float
    sigma_K: float
    first_solid: str
    saturation_pct: float
    status: Origin
    sources: tuple[str, ...]
    notes: tuple[str, ...]


def oxyfluoride_ions(oxygen: float | np.ndarray, constant: float | None = None) -> np.ndarray:
    """Oxyfluoride ions r a formula of salt from oxygens o a formula of salt, arrays of one shape."""
    K = alumina_value("dioxygen_constant") if constant is None else constant
    o = np.asarray(oxygen, dtype=float)
    single = 2 * o / (1 + np.sqrt(1 + 8 * K * o))
    return single + K * single**2


def alumina_oxygen(composition: Composition, alumina_pct: float) -> float:
    """Oxygens a formula of salt in a bath of these salts with alumina_pct mass% of the whole bath."""
    moles = alumina_pct / formula_mass("Al2O3")
    return OXYGENS * moles * composition.mean_formula_mass / (100 - alumina_pct)


def alumina_saturation(name: BathName, T_K: float) -> float:
    """Alumina a bath dissolves at T, mass% of the whole bath (the name's own alumina is not used).

    RangeError where the published equation has fallen to nothing for want of cryolite.
    """
    A, B = _saturation_terms(name)
    return A * (celsius(T_K) / 1000) ** B


def _saturation_terms(name: BathName) -> tuple[float, float]:
    a = max(name.excess_alf3_pct, 0.0)
    lithium, calcium, magnesium = (name.additions_pct.get(f, 0.0) for f in ("LiF", "CaF2", "MgF2"))
    A = 11.9 - 0.062 * a - 0.003 * a**2 - 0.50 * lithium - 0.20 * calcium - 0.30 * magnesium
    A += 42 * lithium * a / (2000 + lithium * a)
    if A <= 0:
        added = ", ".join(f"{f} {pct:.3g}" for f, pct in {"excess AlF3": a, **name.additions_pct}.items() if pct > 0)
        raise RangeError(
            f"alumina saturation with {added} mass%: the published equation ends before; allowed are additions that "
            "leave it above 0, alone up to 23 LiF, 59 CaF2 or 39 MgF2"
        )
    return A, 4.8 - 0.048 * a + 2.2 * lithium**1.5 / (10 + lithium + 0.001 * a**3)


def bath_liquidus(
    composition: Composition, alumina_pct: float = 0.0, salts_alone: tuple[float, float] | None = None
) -> BathLiquidus:
    """Start of freezing of a bath of these salts that holds alumina_pct mass% (of the whole bath) dissolved alumina.

    salts_alone: where the salts without alumina start to freeze, K with one standard deviation, if that is known better
    than from the laws; what alumina lowers is taken from it. InputError where NaF or AlF3 is absent: alumina dissolves
    in cryolite baths only. RangeError as alumina_saturation.
    """
    if not 0 <= alumina_pct <= MOST_ALUMINA:
        raise InputError(f"Al2O3 {alumina_pct:g} mass%: allowed is 0 to {MOST_ALUMINA:g}; no bath dissolves more")
    melt = composition.present
    name = bath_name(melt, alumina_pct)
    if name is None:
        names = ", ".join(melt.salts)
        raise InputError(f"alumina in {names}: allowed are baths with NaF and AlF3, nothing else dissolves it")
    T_K, sigma, solid = _salts_freeze(melt, float(oxyfluoride_ions(alumina_oxygen(melt, alumina_pct))))
    lowering = _salts_freeze(melt, 0.0)[0] - T_K if alumina_pct else 0.0
    if salts_alone is not None:
        T_K, sigma = salts_alone[0] - lowering, salts_alone[1]
    sigma = float(np.hypot(sigma, DILUTION_SIGMA * lowering))
    if alumina_pct > alumina_saturation(name, T_K):
        of_salts_K = T_K
        T_K, sigma, solid = _alumina_freezes(name)
        if celsius(of_salts_K) < SATURATION_SPAN_C[0]:
            sigma = float(np.hypot(sigma, T_K - of_salts_K))
    system = salt_system(melt.salts)
    sources = (*system.sources, *(SOURCES if alumina_pct else ()))
    notes = (*pair_notes(system), *_notes(name, T_K, solid), STANDARD_STATES)
    return BathLiquidus(name, T_K, sigma, solid, alumina_saturation(name, T_K), system.status, sources, notes)


def _salts_freeze(melt: Composition, ions: float) -> tuple[float, float, str]:
    """Temperature, its standard deviation and the first solid of the salts diluted by so many ions a formula."""
    system = salt_system(melt.salts)
    melts = Melts(system, melt.array[None, :])
    melts.liquid = melts.liquid.diluted(float(np.log1p(ions)))
    solid, T_K, y = melts.first_solid()
    return T_K, liquidus_sigma(system, melts, solid, T_K, y), solid.label(y)


def _alumina_freezes(name: BathName) -> tuple[float, float, str]:
    """Temperature at which the bath would dissolve all its alumina, its standard deviation, and 'Al2O3'."""
    A, B = _saturation_terms(name)
    t_C = 1000 * (name.alumina_pct / A) ** (1 / B)
    return kelvin(t_C), alumina_value("solubility_error") * t_C / (B * name.alumina_pct), "Al2O3"


def _notes(name: BathName, T_K: float, solid: str) -> list[str]:
    notes = []
    low, high = SATURATION_SPAN_C
    if name.alumina_pct and not low <= celsius(T_K) <= high:
        notes.append(f"alumina saturation was measured from {low:.0f} to {high:.0f} deg C: here it is extrapolated")
    if name.alumina_pct and name.excess_alf3_pct < 0:
        notes.append("alumina saturation was measured with excess AlF3 only: taken as for cryolite")
    if name.alumina_pct and name.additions_pct.get("KF"):
        notes.append("alumina saturation: the effect of KF is not in the published equation")
    if solid == "Al2O3":
        notes.append("more alumina than dissolves at the salts' freezing point: the rest lies undissolved below this")
    return notes
