"""Charge and mass: what a current makes in a time, and what a weighed metal says of the current.

    m = eta Q M / (z F),   Q = I t,   eta = m z F / (M Q)                     (Faraday 1834)
    energy per mass = U z F / (M eta)
    anode: one X2 for two electrons; Cl2 + 2 NaOH -> NaCl + NaOCl + H2O, one NaOH an electron
Q in A h (3600 C), m in g, U in V. F from CODATA, atomic masses IUPAC. Gas volumes are those of
an ideal gas. The halogen is counted for the whole charge: what never reaches the scrubber is the part that burns
dissolved metal back to salt, and a scrubber must not count on that.
Uncertainty of the current efficiency: relative spreads of the weighing and of the charge, in quadrature.
Limits: one metal and one halogen take the whole charge, valences constant; what else the current does (burning back,
water, another metal) is the efficiency.
Worked value: 5 A for 2 h make at most 10 * 0.4534 = 4.534 g of magnesium; 3.00 g weighed is 66.2 %.
"""

import math
from dataclasses import dataclass

from thermo.laws.elements import HALOGEN
from thermo.records.composition import formula_mass
from thermo.records.provenance import InputError
from thermo.records.substances import metal, salt
from thermo.records.units import F, R

SECONDS_PER_HOUR = 3600.0
LEAST_AH, MOST_AH = 1e-6, 1e12  # below, half a microgram of metal; above, more than a plant passes in its life
ATM_PA = 101325.0
ROOM_K = 298.15
CHARGE_SIGMA = 0.01  # relative, of current times time with an ordinary meter: common practice, no source
BALANCE_SIGMA_G = 0.01  # g, kitchen-to-laboratory balance: common practice, no source
MORE_THAN_POSSIBLE = 1.02  # a weighed mass this far over Faraday's is no metal: 2 sigma of CHARGE_SIGMA


def positive(value: float, what: str, unit: str) -> float:
    """The value, InputError unless it is a finite number above zero."""
    if not (math.isfinite(value) and value > 0):
        raise InputError(f"{what} {value:g} {unit}: allowed is any number above zero")
    return value


def fraction(value: float, what: str) -> float:
    """The value, InputError unless it lies above 0 and up to 1 (a current efficiency)."""
    if not (math.isfinite(value) and 0 < value <= 1):
        raise InputError(f"{what} {value:g}: allowed is more than 0 and at most 1 (0.8 means 80 %)")
    return value


def charge_Ah(amps: float, hours: float) -> float:
    """Charge passed, A h. InputError unless both are above zero and their product is one that can be weighed."""
    charge = positive(amps, "current", "A") * positive(hours, "time", "h")
    if not LEAST_AH <= charge <= MOST_AH:
        raise InputError(f"charge {charge:g} A h: allowed is {LEAST_AH:g} to {MOST_AH:g}")
    return charge


def metal_g_per_Ah(symbol: str) -> float:
    """Mass of metal that one A h makes at 100 % current efficiency, g/(A h)."""
    element = metal(symbol)
    return formula_mass(symbol) * SECONDS_PER_HOUR / (element.valence * F)


def salt_g_per_Ah(formula: str) -> float:
    """Mass of salt that one A h takes apart at 100 % current efficiency, g/(A h)."""
    return formula_mass(formula) * SECONDS_PER_HOUR / (salt(formula).charge * F)


def metal_g(symbol: str, charge: float, efficiency: float = 1.0) -> float:
    """Mass of metal from a charge in A h, g."""
    return metal_g_per_Ah(symbol) * charge * fraction(efficiency, "current efficiency")


@dataclass(frozen=True)
class CurrentEfficiency:
    """Share of the charge that ended as metal weighed, with one standard deviation."""

    value: float
    sigma: float
    weighed_g: float
    most_g: float
    notes: tuple[str, ...]


def current_efficiency(
    symbol: str,
    weighed_g: float,
    charge: float,
    weighed_sigma_g: float = BALANCE_SIGMA_G,
    charge_sigma: float = CHARGE_SIGMA,
) -> CurrentEfficiency:
    """Current efficiency from a weighed mass (g) and a charge (A h).

    InputError for a negative mass, or one that exceeds what the charge can make by more than its own spread.
    """
    if not (math.isfinite(weighed_g) and weighed_g >= 0):
        raise InputError(f"weighed metal {weighed_g:g} g: allowed is zero or more")
    most = metal_g_per_Ah(symbol) * positive(charge, "charge", "A h")
    if weighed_g > MORE_THAN_POSSIBLE * most + 2 * weighed_sigma_g:
        raise InputError(
            f"weighed metal {weighed_g:g} g: {charge:g} A h make at most {most:.4g} g of {symbol}; "
            "the rest is salt, oxide or another metal"
        )
    value = weighed_g / most
    sigma = math.hypot(weighed_sigma_g / most, value * charge_sigma)
    notes = []
    if weighed_g > most:
        notes.append("more than the charge can make, within its spread: enclosed salt or a meter that reads low")
    return CurrentEfficiency(value, sigma, weighed_g, most, tuple(notes))


def energy_kWh_per_kg(symbol: str, volts: float, efficiency: float = 1.0) -> float:
    """Electrical energy a kilogram of metal, kWh/kg (numerically W h/g)."""
    return positive(volts, "cell voltage", "V") / (metal_g_per_Ah(symbol) * fraction(efficiency, "current efficiency"))


def gas_L(charge: float, electrons: int, T_K: float = ROOM_K, p_Pa: float = ATM_PA) -> float:
    """Volume in L of a gas that takes `electrons` a molecule: 2 for Cl2, F2, CO and H2, 4 for O2, CO2 and CF4."""
    mol = positive(charge, "charge", "A h") * SECONDS_PER_HOUR / (electrons * F)
    return 1000 * mol * R * positive(T_K, "gas temperature", "K") / positive(p_Pa, "gas pressure", "Pa")


@dataclass(frozen=True)
class Halogen:
    """Anode gas of a charge: mass, volume at T_K and p_Pa, caustic soda that takes it up."""

    formula: str
    mol: float
    g: float
    L: float
    T_K: float
    p_Pa: float
    NaOH_g: float
    notes: tuple[str, ...]


def halogen(anion: str, charge: float, T_K: float = ROOM_K, p_Pa: float = ATM_PA) -> Halogen:
    """Halogen set free by a charge in A h, at most; volume in L at T_K and p_Pa. anion is 'Cl' or 'F'."""
    gas = HALOGEN[anion]
    mol = positive(charge, "charge", "A h") * SECONDS_PER_HOUR / (2 * F)
    volume = gas_L(charge, 2, T_K, p_Pa)
    notes = []
    if anion == "F":
        notes.append(
            "on a carbon anode most of it leaves as CF4 (half the volume) or, with oxide in the melt, as CO and CO2: "
            "alkali takes up fluorine and HF, not CF4"
        )
    return Halogen(gas, mol, mol * formula_mass(gas), volume, T_K, p_Pa, 2 * mol * formula_mass("NaOH"), tuple(notes))
