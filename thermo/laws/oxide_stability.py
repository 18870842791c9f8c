"""Does a metal take the oxygen out of an oxide it touches? Gibbs energies of oxides per mole of oxygen atoms.

    (a/b) M + 1/2 O2 -> (1/b) M_a O_b     dGf/O = [G(M_a O_b) - a G(M) - b/2 G(O2)] / b      J per mole of O
    M + oxide -> oxide of M + metal of the oxide     d = dGf/O (oxide of M) - dGf/O (oxide); below 0 M takes the oxygen
Chance of that P = Phi(-d/sigma): reduces (P > 0.95), likely reduces (> 0.80), stands (< 0.05), likely stands (< 0.20),
else too close to call. Metals condensed (carried past boiling), oxygen 1 bar, pure phases; G from
thermo.laws.reactants.
Limits: 298.15 to 2000 K. Left out: silicates and aluminates (Na and K eat silica by forming them), metal dissolving in
the product or the bath (drives reduction further), oxide skins and rates. No oxides of Rb and Cs in the data.
Worked value: 800 deg C: MgO -484.5, Al2O3 -445.7 kJ per mole of O: magnesium reduces alumina by 38.8.
"""

import re
from dataclasses import dataclass
from statistics import NormalDist

from thermo.laws.reactants import all_species, species_gibbs, species_sigma, species_sources
from thermo.records.provenance import InputError, suggest
from thermo.records.remembered import remembered
from thermo.records.substances import metal

SURE, LIKELY = 0.95, 0.80
VERDICTS = ("reduces", "likely reduces", "too close to call", "likely stands", "stands")


@dataclass(frozen=True)
class Oxide:
    """One oxide: its metal, atoms of it and of oxygen in the formula."""

    formula: str
    metal: str
    metal_count: int
    oxygen_count: int


@dataclass(frozen=True)
class Exchange:
    """A metal against an oxide at T_K; difference in J per mole of O with one standard deviation."""

    metal: str
    oxide: str
    T_K: float
    difference_J_mol: float
    sigma_J_mol: float
    p_reduces: float
    verdict: str
    sources: tuple[str, ...]


@remembered
def oxides() -> dict[str, Oxide]:
    """Every binary oxide with a Gibbs function, by formula."""
    found = {}
    for formula in all_species():
        match = re.fullmatch(r"([A-Z][a-z]?)(\d*)O(\d*)", formula)
        if match and match.group(1) not in ("H", "C"):
            found[formula] = Oxide(formula, match.group(1), int(match.group(2) or 1), int(match.group(3) or 1))
    return found


def oxide_of(symbol: str) -> Oxide | None:
    """The oxide of a metal; None where the data have none (Rb, Cs)."""
    return next((oxide for oxide in oxides().values() if oxide.metal == symbol), None)


def _known(formula: str) -> Oxide:
    if formula not in oxides():
        raise InputError(f"oxide {formula!r} is not in the list{suggest(formula, oxides())}")
    return oxides()[formula]


def oxide_gibbs(formula: str, T_K):
    """Gibbs energy of formation per mole of oxygen atoms at T_K (float or array), J."""
    oxide = _known(formula)
    elements = oxide.metal_count * species_gibbs(oxide.metal, T_K) + oxide.oxygen_count / 2 * species_gibbs("O2", T_K)
    return (species_gibbs(formula, T_K) - elements) / oxide.oxygen_count


def oxide_sigma(formula: str) -> float:
    """One standard deviation of oxide_gibbs, J per mole of O: that of the oxide, the elements being nearly exact."""
    return species_sigma(formula) / _known(formula).oxygen_count


def verdict_of(p_reduces: float) -> str:
    """One of VERDICTS for the chance that the metal takes the oxygen."""
    if p_reduces > LIKELY:
        return "reduces" if p_reduces > SURE else "likely reduces"
    if p_reduces < 1 - LIKELY:
        return "stands" if p_reduces < 1 - SURE else "likely stands"
    return "too close to call"


def exchange(symbol: str, formula: str, T_K: float) -> Exchange | None:
    """The metal against the oxide; None where the metal has no oxide in the data. Its own oxide always stands."""
    metal(symbol)
    other, own = _known(formula), oxide_of(symbol)
    if own is None:
        return None
    keys = (*species_sources(own.formula), *species_sources(formula), *species_sources(other.metal))
    sources = tuple(dict.fromkeys(keys))
    if own.formula == formula:
        return Exchange(symbol, formula, T_K, 0.0, 0.0, 0.0, "stands", sources)
    difference = float(oxide_gibbs(own.formula, T_K) - oxide_gibbs(formula, T_K))
    sigma = (oxide_sigma(own.formula) ** 2 + oxide_sigma(formula) ** 2) ** 0.5
    p_reduces = NormalDist().cdf(-difference / sigma)
    return Exchange(symbol, formula, T_K, difference, sigma, p_reduces, verdict_of(p_reduces), sources)
