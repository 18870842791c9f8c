"""Vapour of the salts over a real bath: the model's activities in place of mole fractions.

    p = sum a_i p_i(T) + sum p_ij      Pa; a_i of thermo.equilibrium.freezing.activity, p_i over the pure salt,
                                       p_ij double salts that leave as one molecule (thermo/laws/vapour_complexes.py)
An alkali chloride binds ZnCl2, MgCl2 or a rare-earth chloride, so its vapour is far below the ideal sum x_i p_i: in
KCl-LiCl-ZnCl2 at 500 deg C by a factor of ten and more. AlF3 counts by its mole fraction: it has no liquid of its own,
and what leaves an aluminium bath is NaAlF4 and its kin, which is nearer to that sum than to the activity of AlF3.
Limits: monomer and dimer over the pure salt; double salts in the vapour of alkali chlorides with MgCl2 alone, also
beside fluorides by what of these chlorides was weighed in.
Worked value: pure NaCl at 1273.15 K: 1182 Pa, as over the pure salt.
"""

from functools import partial

import numpy as np

from thermo.equilibrium.freezing.activity import activities, ln_activities
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.laws.vapour_complexes import complex_pressures
from thermo.laws.volatility import T_SEARCH_K, melt_pressure, salt_pressure, salt_vapour, temperature_at_pressure
from thermo.records.composition import Composition
from thermo.records.units import R

SUBLIMES = "AlF3"
APART = 0.95  # of the first two points of the secants, in 1/T
NEAR = 1e-3  # of T, for its derivative
MOST_SECANTS, CLOSE = 8, 1e-6  # steps, and nearness in ln p


def salt_vapours(composition: Composition, T_K: float) -> dict[str, float]:
    """Pressure of each salt of the melt over it at T_K, Pa."""
    melt = composition.present
    logs = _ln_activities(melt, T_K)
    return {formula: float(np.exp(log) * salt_pressure(formula, T_K)) for formula, log in logs.items()}


def _ln_activities(melt: Composition, T_K: float) -> dict[str, float]:
    system = salt_system(melt.salts)
    if isinstance(system, ReciprocalSystem):
        values = Melts(system, melt.array[None, :]).potentials(T_K)[0] / (R * T_K)
        known = dict(zip(system.constituents, values.tolist(), strict=True))
        logs = {formula: known[formula] for formula in melt.salts}
    else:
        logs = dict(zip(melt.salts, ln_activities(melt.salts, melt.array[None, :], T_K)[0].tolist(), strict=True))
    if SUBLIMES in logs:
        logs[SUBLIMES] = float(np.log(melt.fractions[melt.salts.index(SUBLIMES)]))
    return logs


def vapours(composition: Composition, T_K: float) -> dict[str, float]:
    """Pressure of each salt, and of each double salt that leaves as one molecule, over the melt at T_K, Pa."""
    logs = _ln_activities(composition.present, T_K)
    double = {one.formula: pressure for one, pressure in complex_pressures(logs, T_K).items()}
    return {formula: float(np.exp(log) * salt_pressure(formula, T_K)) for formula, log in logs.items()} | double


def bath_pressure(composition: Composition, T_K: float) -> float:
    """Pressure of all vapour over the melt at T_K, Pa."""
    return sum(vapours(composition, T_K).values())


def sigma_ln_pressure(composition: Composition, T_K: float) -> float:
    """One standard deviation of ln of that pressure: lines of the salts, constants of the double salts, activities."""
    melt = composition.present
    logs, acts = _ln_activities(melt, T_K), activities(melt, T_K)
    parts, double = vapours(melt, T_K), complex_pressures(logs, T_K)
    total = sum(parts.values())
    felt = {formula: parts[formula] / total for formula in logs}  # d ln p / d ln a of each salt
    for one, pressure in double.items():
        for formula in one.salts:
            felt[formula] += pressure / total
    own = [parts[formula] / total * np.log(salt_vapour(formula).sigma_factor) for formula in logs]
    own += [pressure / total * one.sigma_ln_c(T_K) for one, pressure in double.items()]
    weights = np.array([felt.get(formula, 0.0) for formula in acts.salts]) / (R * T_K)
    return float(np.sqrt(np.sum(np.square(own)) + weights @ acts.covariance_J2_mol2 @ weights))


def sigma_of_vapour_temperature(composition: Composition, T_K: float) -> float:
    """One standard deviation of the temperature of a pressure, K: that of ln p by d ln p / dT at T_K."""
    rise = np.log(bath_pressure(composition, T_K * (1 + NEAR)) / bath_pressure(composition, T_K * (1 - NEAR)))
    return sigma_ln_pressure(composition, T_K) * 2 * NEAR * T_K / float(rise)


def most_volatile(composition: Composition, T_K: float) -> str:
    """Formula of the salt or double salt that gives most of the vapour."""
    found = vapours(composition, T_K)
    return max(found, key=found.__getitem__)


def temperature_of_vapour(composition: Composition, pressure_Pa: float) -> float:
    """Temperature at which the vapour of the salts reaches a pressure, K.

    ln p is nearly straight in 1/T: a few secants from the ideal answer, and bisection should they ever not meet.
    """
    wanted = float(np.log(pressure_Pa))

    def excess(reciprocal: float) -> float:
        return float(np.log(bath_pressure(composition, 1 / reciprocal))) - wanted

    start = 1 / temperature_at_pressure(partial(melt_pressure, composition), pressure_Pa)
    last, here = start, start * APART
    at_last, at_here = excess(last), excess(here)
    for _ in range(MOST_SECANTS):
        if at_here == at_last:
            break
        last, here, at_last = here, here - at_here * (here - last) / (at_here - at_last), at_here
        if not T_SEARCH_K[0] < 1 / here < T_SEARCH_K[1]:
            break
        at_here = excess(here)
        if abs(at_here) < CLOSE:
            return 1 / here
    return temperature_at_pressure(partial(bath_pressure, composition), pressure_Pa)
