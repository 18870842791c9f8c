"""What becomes of the deposit: its form on this cathode, and what dissolving metal costs.

Limits: forms are common practice, no source; the loss is good to a factor of three.
Worked value: magnesium at 700 deg C in 20 mass% MgCl2: some 0.01 mol% dissolves.
"""

from dataclasses import dataclass

from thermo.laws.density import melt_density
from thermo.laws.metal_solubility import (
    ELECTRONS_S_CM2,
    LOSS_FACTOR,
    MetalSolubility,
    electron_conductance,
    loss_current_density,
    metal_solubility,
)
from thermo.records.composition import Composition, formula_mass, with_chloride_of
from thermo.records.substances import salt

DEPOSIT = {
    "solid": "solid: grows as dendrites, sponge or powder that hold salt; low current density, frequent scraping, then "
    "remelt under flux",
    "liquid": "liquid: drops grow together and collect; no dendrites",
    "vapour": "vapour: leaves the bath and burns in air; only a closed, cooled collector under inert gas holds it",
}
CONTACT = (
    "solid on a contact cathode: a stick that is lifted as it grows; high current density keeps its tip hot and dense, "
    "yet it holds salt; remelt under flux"
)
TAKEN_UP = "taken up by the {host} of the cathode: neither floats nor sinks, but leaves with the alloy"


def deposit_words(state: str, cathode: str = "rod", host: str = "") -> str:
    """The form of a deposit in this state on this kind of cathode; host: the metal that takes it up, '' for none."""
    if host:
        return TAKEN_UP.format(host=host)
    return CONTACT if cathode == "contact" and state == "solid" else DEPOSIT[state]


@dataclass(frozen=True)
class Loss:
    """Metal that dissolves in the bath: solubility, current density lost (A/cm2, good to a factor of three)."""

    solubility: MetalSolubility
    loss_A_cm2: float | None
    best_efficiency: float | None
    text: str


def metal_loss(melt: Composition, formula: str, T_K: float, cathode_A_cm2: float | None = None) -> Loss:
    """What dissolving metal costs; best_efficiency only where a cathode current density is known."""
    share = with_chloride_of(melt, salt(formula).cation).mole_percent[formula] / 100
    found = metal_solubility(formula, T_K, share)
    if found.fraction is None:
        words = "metal and salt mix freely: no metal collects" if found.miscible else "no published value near"
        return Loss(found, None, None, words)
    mass = sum(x * formula_mass(f) for f, x in zip(melt.salts, melt.fractions, strict=True))
    loss = loss_current_density(found, melt_density(melt, T_K).value_g_cm3, mass)
    text = (
        f"about {100 * found.fraction:.2g} mol% dissolves; {loss:.2g} A/cm2 of cathode burns back to salt (within a "
        f"factor of {LOSS_FACTOR:g}): the efficiency rises with current density"
    )
    if formula in ELECTRONS_S_CM2:
        extra = electron_conductance(found, melt_density(melt, T_K).value_g_cm3, mass)
        text += f"; its electrons add about {extra:.2g} S/cm, a short circuit through the bath"
    best = None if cathode_A_cm2 is None else max(0.0, 1 - loss / cathode_A_cm2)
    return Loss(found, loss, best, text)
