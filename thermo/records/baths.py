"""Cryolite baths by the names bath people use: cryolite ratio, bath ratio, excess AlF3; and back to mole fractions.

    cryolite ratio   CR = n(NaF) / n(AlF3)              3 for cryolite, Na3AlF6
    bath ratio       BR = m(NaF) / m(AlF3) = CR M(NaF) / M(AlF3)      half of CR within 0.01 %
    excess AlF3      mass% of the whole bath, alumina included: AlF3 beyond what the NaF needs as 3 NaF.AlF3
LiF, KF, MgF2 and CaF2 count as additions, not as NaF. A negative excess is excess NaF (the AlF3 it lacks).
Limits: baths with NaF and AlF3, at most 50 mol% AlF3 among the salts. Worked value: CR 3 is BR 1.500 and no excess;
10 mass% excess AlF3 without additions is CR 2.35.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from thermo.records.composition import Composition, formula_mass
from thermo.records.provenance import InputError

MOST_ALF3 = 0.5  # mole fraction: beyond, NaAlF4 boils off and nothing was measured
MOST_ALUMINA = 20.0  # mass%; above saturation anyway


@dataclass(frozen=True)
class BathName:
    """One bath by name; mass percent of the whole bath, alumina included."""

    cryolite_ratio: float
    bath_ratio: float
    excess_alf3_pct: float
    alumina_pct: float
    additions_pct: Mapping[str, float]


def bath_name(composition: Composition, alumina_pct: float = 0.0) -> BathName | None:
    """Name of a bath of these salts with alumina (mass% of the whole); None where NaF or AlF3 is absent."""
    x = dict(zip(composition.salts, composition.fractions, strict=True))
    if not x.get("NaF") or not x.get("AlF3"):
        return None
    share = (100 - alumina_pct) / 100
    mass = {f: share * pct for f, pct in composition.mass_percent.items()}
    needed = mass["NaF"] / (3 * formula_mass("NaF")) * formula_mass("AlF3")
    additions = {f: pct for f, pct in mass.items() if f not in ("NaF", "AlF3") and pct > 0}
    return BathName(x["NaF"] / x["AlF3"], mass["NaF"] / mass["AlF3"], mass["AlF3"] - needed, alumina_pct, additions)


def excess_of_ratio(cryolite_ratio: float, additions_pct: Mapping[str, float], alumina_pct: float) -> float:
    """Excess AlF3, mass% of the whole bath, of a bath named by its cryolite ratio; negative above 3.

    InputError for a ratio that is none, or where the additions leave no room.
    """
    if not (math.isfinite(cryolite_ratio) and cryolite_ratio > 0):
        raise InputError(f"cryolite ratio {cryolite_ratio:g}: allowed is more than 0; cryolite has 3")
    named = alumina_pct + sum(additions_pct.values())
    if named >= 100:
        raise InputError(f"bath: {named:g} mass% is named besides NaF and AlF3; allowed is less than 100")
    moles = (100 - named) / (cryolite_ratio * formula_mass("NaF") + formula_mass("AlF3"))  # of AlF3 in 100 g
    return moles * formula_mass("AlF3") * (1 - cryolite_ratio / 3)


def bath_composition(excess_alf3_pct: float, additions_pct: Mapping[str, float], alumina_pct: float) -> Composition:
    """The salts of a bath named by its excess AlF3, additions and alumina (mass% of the whole bath).

    InputError for negative additions, alumina above 20 %, no room for cryolite, or AlF3 none or beyond 50 mol%.
    """
    for formula, pct in {**additions_pct, "Al2O3": alumina_pct}.items():
        if not 0 <= pct < 100:
            raise InputError(f"{formula} {pct:g} mass%: allowed is 0 to 100")
    if alumina_pct > MOST_ALUMINA:
        raise InputError(f"Al2O3 {alumina_pct:g} mass%: allowed is up to {MOST_ALUMINA:g}; no bath dissolves more")
    cryolite = 100 - excess_alf3_pct - alumina_pct - sum(additions_pct.values())
    if cryolite <= 0:
        raise InputError(f"bath: {100 - cryolite:g} mass% is named besides cryolite; allowed is less than 100")
    mole = cryolite / (3 * formula_mass("NaF") + formula_mass("AlF3"))
    moles = {"NaF": 3 * mole, "AlF3": mole + excess_alf3_pct / formula_mass("AlF3")}
    moles |= {f: pct / formula_mass(f) for f, pct in additions_pct.items() if pct > 0}
    total = sum(moles.values())
    if not 0 < moles["AlF3"] <= MOST_ALF3 * total:
        raise InputError(
            f"excess AlF3 {excess_alf3_pct:g} mass% makes {100 * moles['AlF3'] / total:.1f} mol% AlF3: "
            f"allowed is more than 0 and up to {100 * MOST_ALF3:.0f}, beyond that it boils off"
        )
    return Composition(tuple(moles), tuple(n / total for n in moles.values()))
