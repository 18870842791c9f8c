"""Vapour of the salts over a real bath: the model's activities in place of mole fractions.

    p = sum a_i p_i(T)          Pa; a_i of thermo.equilibrium.freezing.activity, p_i over the pure salt
An alkali chloride binds ZnCl2, MgCl2 or a rare-earth chloride, so its vapour is far below the ideal sum x_i p_i: in
KCl-LiCl-ZnCl2 at 500 deg C by a factor of ten and more. AlF3 counts by its mole fraction: it has no liquid of its own,
and what leaves an aluminium bath is NaAlF4 and its kin, which is nearer to that sum than to the activity of AlF3.
Limits: monomer and dimer over the pure salt; complexes that leave as vapour are not in it.
Worked value: pure NaCl at 1273.15 K: 1182 Pa, as over the pure salt.
"""

from functools import partial

import numpy as np

from thermo.equilibrium.freezing.activity import activities, ln_activities
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.laws.volatility import T_SEARCH_K, melt_pressure, salt_pressure, salt_vapour, temperature_at_pressure
from thermo.records.composition import Composition
from thermo.records.units import R

SUBLIMES = "AlF3"
APART = 0.95  # of the first two points of the secants, in 1/T
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


def bath_pressure(composition: Composition, T_K: float) -> float:
    """Pressure of all salts over the melt at T_K, Pa."""
    return sum(salt_vapours(composition, T_K).values())


def sigma_ln_pressure(composition: Composition, T_K: float) -> float:
    """One standard deviation of ln of that pressure: each salt's line and its activity, by its share of the vapour."""
    parts = salt_vapours(composition, T_K)
    acts = activities(composition, T_K)
    known = dict(zip(acts.salts, acts.sigma_ln.tolist(), strict=True))
    total = sum(parts.values())
    errors = [
        part / total * np.hypot(np.log(salt_vapour(formula).sigma_factor), known.get(formula, 0.0))
        for formula, part in parts.items()
    ]
    return float(np.linalg.norm(errors))


def most_volatile(composition: Composition, T_K: float) -> str:
    """Formula of the salt that gives most of the vapour."""
    found = salt_vapours(composition, T_K)
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
