"""Which of several melts a person would take first.

    low end = max(liquidus + one sigma + superheat, melting point of the metal + 20 K unless it is wanted solid)
Ranked, each only where those before are equal: the temperature lies in the window; no other metal comes more than 0.1 V
before; the surer verdict; the colder low end; a window of at least 50 K; the larger margin (melt less metal, to 0.01
g/cm3, no more than 0.15 counts) on the side that is wanted; the wider window (to 10 K, up to 300); the colder liquidus
with its sigma, down to 200 K below the low end. A start of freezing known to no better than 100 K counts as a doubt
about the verdict, and so does another metal that is computed to come first, by however little. Where the metal's
melting point sets the low end, a bath that freezes 200 K lower is worth nothing, so margin and window decide; where the
bath's liquidus sets it, the liquidus does. Once a metal parts from its bath by 0.15 g/cm3 more does not help: else the
densest salts would lead, however little is known of them.
Limits: the steps and caps are judgement, no source.
Worked value: magnesium from baths that freeze at 400 and 560 deg C is run from 670 deg C in both: the one with the
larger margin leads, up to 0.15 g/cm3.
"""

from dataclasses import dataclass

from thermo.answers.deposition import ALLOY_V
from thermo.records.substances import metal

MARGIN_STEP_G_CM3 = 0.01
WIDTH_STEP_K = 10.0
ENOUGH_G_CM3 = 0.15  # judgement, no source
ENOUGH_K, ALL_K = 50.0, 300.0  # width of a window: enough to run in, and no use beyond: judgement, no source
KNOWN_K = 100.0  # a start of freezing known to no better than this counts as one more doubt
COLD_ENOUGH_K = 200.0  # below the low end: freezing still colder helps nobody
METAL_MARGIN_K = 20.0  # from the metal's melting point: common practice, no source

Rank = tuple[bool, bool, int, float, int, int, int, float]
UNRANKED: Rank = (False, False, 0, 0.0, 0, 0, 0, 0.0)  # of a melt that stands alone


@dataclass(frozen=True)
class Merits:
    """What is known of one melt; K, V, g/cm3.

    behind_V: by how much another metal comes before, 0 where none does; margin_g_cm3: melt less metal, None where the
    metal is a vapour.
    """

    liquidus_K: float
    sigma_K: float = 0.0
    inside: bool = True
    behind_V: float = 0.0
    unsure: int = 0
    margin_g_cm3: float | None = None
    width_K: float = 0.0


def low_end_K(symbol: str, liquidus_K: float, superheat_K: float, deposit: str | None) -> float:
    """Lower end of what can be run: the bath's, or the metal's where hotter and not wanted solid."""
    own = 0.0 if deposit == "solid" else metal(symbol).melting_point_K + METAL_MARGIN_K
    return max(liquidus_K + superheat_K, own)


def melt_rank(merits: Merits, symbol: str, superheat_K: float, want: str | None, deposit: str | None = None) -> Rank:
    """Sort key of one melt, smaller is better; want 'floats', 'sinks' or None (then the margin does not count)."""
    low = low_end_K(symbol, merits.liquidus_K + merits.sigma_K, superheat_K, deposit)
    side = {"floats": 1.0, "sinks": -1.0, None: 0.0}[want]
    margin = min(side * (merits.margin_g_cm3 or 0.0), ENOUGH_G_CM3)
    return (
        not merits.inside,
        merits.behind_V > ALLOY_V,
        merits.unsure + (merits.sigma_K > KNOWN_K) + (merits.behind_V > 0),
        round(low, 3),
        -round(min(merits.width_K, ENOUGH_K) / WIDTH_STEP_K),
        -round(margin / MARGIN_STEP_G_CM3),
        -round(min(merits.width_K, ALL_K) / WIDTH_STEP_K),
        max(merits.liquidus_K + merits.sigma_K, low - COLD_ENOUGH_K),
    )
