"""A cell that is fed an oxide: its reversible voltage with a carbon and with an inert anode, its gas and its feed.

    M_aO_b + b/2 C -> a M + b/2 CO2        M_aO_b + b C -> a M + b CO        M_aO_b -> a M + b/2 O2
    E = dG / (2 b F),  E_tn = dH / (2 b F)      V
    feed M(oxide) 3600 / (2 b F), carbon 3600 M(C) / (4 F) with CO2 and / (2 F) with CO      g/A h
    warming = 3600 [sum n (H(T) - H(298.15 K)) of oxide and carbon] / (2 b F)      J/A h
dG from thermo.laws.reactants (pure oxide, gases at 1 bar): a melt saturated with the oxide; below saturation E is
higher by (R T / 2 b F) ln(1/a). Above about 700 deg C CO takes the lower voltage, yet carbon anodes at working current
give mostly CO2 in aluminium cells and a mix in rare-earth cells: both are told.
Limits: 298.15 to 2000 K; oxides of data/gibbs. The overvoltage of a carbon anode (0.4 to 0.6 V) is not in E, the heat
of dissolving the oxide not in E_tn.
Worked value: Al2O3 at 1233.15 K: 1.19 V to CO2, 2.22 V to oxygen (published 1.19 and 2.21 V).
"""

from dataclasses import dataclass

from thermo.laws.elements import LOWEST_K
from thermo.laws.oxide_stability import Oxide, oxides
from thermo.laws.reactants import (
    reaction_enthalpy,
    reaction_gibbs,
    reaction_sigma,
    species_enthalpy,
    species_sources,
)
from thermo.records.composition import formula_mass
from thermo.records.provenance import InputError, suggest
from thermo.records.units import F

GASES = {"CO2": (0.5, 0.5, 4), "CO": (1.0, 1.0, 2), "O2": (0.0, 0.5, 4)}  # carbon and gas a mole of O, electrons a gas
ANODES = {"carbon": ("CO2", "CO"), "inert": ("O2",)}
SECONDS = 3600.0


@dataclass(frozen=True)
class OxideReaction:
    """One way to take an oxide apart at T_K: the gas, E in V with one standard deviation, grams and heat per A h."""

    oxide: str
    metal: str
    gas: str
    electrons_per_gas: int
    T_K: float
    E_V: float
    sigma_V: float
    equation: str
    feed_g_per_Ah: float
    carbon_g_per_Ah: float
    thermoneutral_V: float
    warming_J_per_Ah: float
    sources: tuple[str, ...]


def oxide_named(word: str) -> Oxide:
    """An oxide of the data by its formula; InputError with close matches."""
    if word not in oxides():
        raise InputError(f"feed {word!r}: no Gibbs energy of such an oxide{suggest(word, oxides())}")
    return oxides()[word]


def oxide_reaction(formula: str, gas: str, T_K: float) -> OxideReaction:
    """The reaction that gives CO2, CO (carbon anode) or O2 (inert anode). InputError for another gas or oxide."""
    oxide = oxide_named(formula)
    if gas not in GASES:
        raise InputError(f"gas {gas!r}: allowed are {', '.join(GASES)}")
    carbon, out, electrons = GASES[gas]
    b = oxide.oxygen_count
    counts: dict[str, float] = {formula: -1.0, oxide.metal: float(oxide.metal_count), gas: out * b}
    if carbon:
        counts["C"] = -carbon * b
    charge = 2 * b * F
    return OxideReaction(
        oxide=formula,
        metal=oxide.metal,
        gas=gas,
        electrons_per_gas=electrons,
        T_K=T_K,
        E_V=float(reaction_gibbs(counts, T_K)) / charge,
        sigma_V=reaction_sigma(counts) / charge,
        equation=_equation(counts),
        feed_g_per_Ah=SECONDS * formula_mass(formula) / charge,
        carbon_g_per_Ah=SECONDS * carbon * formula_mass("C") / (2 * F),
        thermoneutral_V=reaction_enthalpy(counts, T_K) / charge,
        warming_J_per_Ah=SECONDS * _warming_J(counts, T_K) / charge,
        sources=tuple(dict.fromkeys(key for name in counts for key in species_sources(name))),
    )


def _warming_J(counts: dict[str, float], T_K: float) -> float:
    """Heat that takes what goes in from 298.15 K to T_K, J per reaction as written."""
    into = {formula: -count for formula, count in counts.items() if count < 0}
    return sum(n * (species_enthalpy(f, T_K) - species_enthalpy(f, LOWEST_K)) for f, n in into.items())


def _equation(counts: dict[str, float]) -> str:
    def side(sign: int) -> str:
        terms = ((abs(n), f) for f, n in counts.items() if n * sign > 0)
        return " + ".join(f if n == 1 else f"{n:g} {f}" for n, f in terms)

    return f"{side(-1)} -> {side(1)}"


def anode_reactions(formula: str, T_K: float, anode: str = "carbon") -> tuple[OxideReaction, ...]:
    """The reactions of one anode, the usual gas first. InputError for an anode not in the list."""
    if anode not in ANODES:
        raise InputError(f"anode {anode!r}: allowed are {' and '.join(ANODES)}")
    return tuple(oxide_reaction(formula, gas, T_K) for gas in ANODES[anode])
