"""How much a small slip changes a melt: a gram on the scale, moist salt, a few degrees.

A batch of BATCH_G is weighed; one gram more of one salt, or one salt that takes up water weighed with 1 mass% of it in
place of salt, makes another melt; 10 K more or less is another temperature. What changes: the start of freezing, melt
less metal, the verdict.
Limits: the water is taken to leave as steam; what it does to MgCl2 and its like is in `weigh`. Worked value: one gram
of CaCl2 more in 100 g of 42 NaCl and 58 CaCl2 by mass moves the start of freezing by less than 10 K.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from thermo.answers.evidence.start_of_freezing import leading_field
from thermo.answers.flotation import difference_field, verdict_of
from thermo.records.composition import Composition, from_amounts
from thermo.records.hydrates import hydrates_of

BATCH_G, GRAM, MOISTURE, DEGREES_K = 100.0, 1.0, 0.01, 10.0


@dataclass(frozen=True)
class Slip:
    """One slip in words, what it does to the start of freezing (K) and to melt less metal, the verdict then."""

    what: str
    liquidus_K: float
    difference_g_cm3: float | None
    verdict: str | None


def sensitivity(melt: Composition, symbol: str, T_K: float, batch_g: float = BATCH_G) -> tuple[Slip, ...]:
    """Slips of a melt made of its own salts, judged at T."""
    melt = melt.present
    grams = {formula: batch_g * part / 100 for formula, part in melt.mass_percent.items()}
    slips = [(f"1 g more {f} in {batch_g:g} g", {**grams, f: g + GRAM}, T_K) for f, g in grams.items()]
    moist = [f for f in grams if hydrates_of(f)]
    slips += [(f"{f} with 1 mass% water", {**grams, f: grams[f] * (1 - MOISTURE)}, T_K) for f in moist]
    slips += [(f"{way * DEGREES_K:+.0f} K", grams, T_K + way * DEGREES_K) for way in (1, -1)]
    melts = [melt, *(from_amounts(amounts, "mass") for _, amounts, _ in slips)]
    x = np.array([[part.mole_percent[f] / 100 for f in melt.salts] for part in melts])
    T = np.array([T_K, *(at for _, _, at in slips)])
    start = leading_field(melt.salts, x).T_K
    difference, sigma = difference_field(melt.salts, x, symbol, T)
    found = []
    for n, (what, _, _) in enumerate(slips, 1):
        known = bool(np.isfinite(difference[n]) and np.isfinite(difference[0]))
        moved = float(difference[n] - difference[0]) if known else None
        verdict = verdict_of(float(ndtr(difference[n] / sigma[n]))) if known else None
        found.append(Slip(what, float(start[n] - start[0]), moved, verdict))
    return tuple(found)
