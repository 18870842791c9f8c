"""Gibbs energy of formation of each salt, and the voltage that takes it apart.

    M + (z/2) X2 -> MX_z     dGf = dHf(298.15 K) + G_salt(T) - G_M(T) - (z/2) G_X2(T)     J/mol of salt
    E = -dGf / (z F)         E_thermoneutral = -dHf(T) / (z F)                            V
G_salt of thermo.laws.gibbs (liquid, or undercooled liquid, unless the crystal is asked for), G_M and G_X2 of
thermo.laws.elements, gases at 1 bar, dHf(298.15 K) of data/formation.csv (crystal; NIST-JANAF, Chase 1998, where it has
the salt). The metal may be condensed (the liquid carried past its boiling point) or gas at 1 bar; `stable` takes the
lower of the two. Standard deviation: that of data/formation.csv and, for the liquid, that of its fusion.
Limits: 298.15 to 2000 K; pure salt. Worked value: NaCl, 1100 K, liquid sodium: 3.220 V.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from thermo.laws.elements import (
    HALOGEN,
    condensed_entropy,
    condensed_gibbs,
    element_sources,
    gas_entropy,
    gas_gibbs,
    gas_is_stable,
    has_gas,
)
from thermo.laws.gibbs import fusion_entropy, fusion_sigma, liquid_gibbs, solid_entropy, solid_gibbs
from thermo.records.provenance import InputError, Origin, read_table
from thermo.records.remembered import remembered
from thermo.records.substances import salt
from thermo.records.units import F

METAL_STATES = ("stable", "condensed", "gas")
SALT_STATES = ("liquid", "crystal")


@dataclass(frozen=True)
class FormationRow:
    """One row of data/formation.csv: enthalpy of formation of the crystal at 298.15 K and its spread, J/mol."""

    formula: str
    dHf298_J_mol: float
    sigma_J_mol: float
    source: str
    locator: str
    origin: Origin
    provenance: str
    caveat: str


@dataclass(frozen=True)
class Voltage:
    """A decomposition voltage with one standard deviation; metal_state 'condensed' or 'gas' (1 bar)."""

    formula: str
    T_K: float
    value_V: float
    sigma_V: float
    metal_state: str
    sources: tuple[str, ...]
    caveats: tuple[str, ...]


@remembered
def formation_rows() -> Mapping[str, FormationRow]:
    """Every row of data/formation.csv by formula."""
    rows = {}
    for row in read_table("formation.csv"):
        numbers = (float(row["dHf298_J_mol"]), float(row["sigma_J_mol"]))
        origin = Origin(row["origin"])
        rows[row["formula"]] = FormationRow(
            row["formula"], *numbers, row["source"], row["locator"], origin, row["provenance"], row["caveat"]
        )
    return MappingProxyType(rows)


def formation_row(formula: str) -> FormationRow:
    """The row of one salt; InputError for an unknown salt or one without a row."""
    salt(formula)
    if formula not in formation_rows():
        raise InputError(f"energy of formation of {formula}: no row in data/formation.csv")
    return formation_rows()[formula]


def _checked(metal_state: str, salt_state: str) -> None:
    if metal_state not in METAL_STATES:
        raise InputError(f"state of the metal {metal_state!r}: allowed are {', '.join(METAL_STATES)}")
    if salt_state not in SALT_STATES:
        raise InputError(f"state of the salt {salt_state!r}: allowed are {', '.join(SALT_STATES)}")


def formation_gibbs(formula: str, T_K, metal_state: str = "stable", salt_state: str = "liquid"):
    """Gibbs energy of formation at T_K (float or array), J/mol of salt. InputError for a state not in the lists."""
    _checked(metal_state, salt_state)
    row, record = formation_row(formula), salt(formula)
    own = liquid_gibbs(formula, T_K) if salt_state == "liquid" else solid_gibbs(formula, T_K)
    halogen = gas_gibbs(HALOGEN[record.anion], T_K)
    return row.dHf298_J_mol + own - _metal_gibbs(record.cation, T_K, metal_state) - record.charge / 2 * halogen


def _metal_gibbs(symbol: str, T_K, state: str):
    if state == "gas":
        return gas_gibbs(symbol, T_K)
    condensed = condensed_gibbs(symbol, T_K)
    if state == "condensed" or not has_gas(symbol):
        return condensed
    return np.minimum(condensed, gas_gibbs(symbol, T_K))


def _is_gas(symbol: str, T_K: float, state: str) -> bool:
    return state == "gas" or (state == "stable" and bool(gas_is_stable(symbol, T_K)))


def formation_enthalpy(formula: str, T_K: float, metal_state: str = "stable", salt_state: str = "liquid") -> float:
    """Enthalpy of formation at T_K, J/mol of salt: G + T S of every phase, with the entropies of the same functions."""
    _checked(metal_state, salt_state)
    record = salt(formula)
    gas = _is_gas(record.cation, T_K, metal_state)
    metal_entropy = gas_entropy(record.cation, T_K) if gas else condensed_entropy(record.cation, T_K)
    entropy = _salt_entropy(formula, T_K, salt_state) - metal_entropy
    entropy -= record.charge / 2 * gas_entropy(HALOGEN[record.anion], T_K)
    return float(formation_gibbs(formula, T_K, "gas" if gas else "condensed", salt_state) + T_K * entropy)


def _salt_entropy(formula: str, T_K: float, state: str) -> float:
    crystal = solid_entropy(formula, T_K)
    return crystal if state == "crystal" else crystal + fusion_entropy(formula, T_K)


def formation_sigma(formula: str, T_K, salt_state: str = "liquid"):
    """One standard deviation of formation_gibbs, J/mol of salt."""
    own = formation_row(formula).sigma_J_mol
    return np.hypot(own, fusion_sigma(formula, T_K)) if salt_state == "liquid" else own + 0.0 * np.asarray(T_K)


def decomposition_voltage(formula: str, T_K: float, metal_state: str = "stable", salt_state: str = "liquid") -> Voltage:
    """Standard decomposition voltage of one pure salt into metal and halogen gas at 1 bar."""
    record, row = salt(formula), formation_row(formula)
    value = -float(formation_gibbs(formula, T_K, metal_state, salt_state)) / (record.charge * F)
    sigma = float(formation_sigma(formula, T_K, salt_state)) / (record.charge * F)
    gas = _is_gas(record.cation, T_K, metal_state)
    caveats = [row.caveat] if row.caveat else []
    if salt_state == "liquid" and record.melting_point_K > T_K:
        caveats.append(f"{formula} is below its melting point: undercooled liquid, as it is in a melt")
    keys = (row.source, *record.sources, *element_sources(record.cation))
    state = "gas" if gas else "condensed"
    return Voltage(formula, T_K, value, sigma, state, tuple(dict.fromkeys(keys)), tuple(caveats))


def voltages(formula: str, T_K, metal_state: str = "stable", salt_state: str = "liquid"):
    """Standard decomposition voltages at many temperatures, V, shape of T_K."""
    return -formation_gibbs(formula, T_K, metal_state, salt_state) / (salt(formula).charge * F)


def thermoneutral_voltage(formula: str, T_K: float, metal_state: str = "stable") -> float:
    """Voltage at which the cell neither heats nor cools while it takes the liquid salt apart at T_K, V."""
    return -formation_enthalpy(formula, T_K, metal_state) / (salt(formula).charge * F)
