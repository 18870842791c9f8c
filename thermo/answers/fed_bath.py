"""Where a bath that is fed an oxide starts to freeze: the oxide that it holds lowers it.

Alumina in a cryolite bath is counted by thermo.equilibrium.freezing.cryolite at HELD of what the bath dissolves where
its salts alone start to freeze: far from the anode effect below and from sludge above (a judgement; modern cells hold 2
to 4 mass%, common practice, no source). What the salts' own start of freezing rests on stays; the lowering and its
spread, a tenth of it, are laid on top. For other oxides no lowering is published here: none is counted, and the true
start lies below.
Limits: those of the cryolite law; the feed of a run keeps the bath at this share. Worked value: cryolite: 5.6 mass%
alumina, some 29 K lower.
"""

from dataclasses import replace

import numpy as np

from thermo.answers.evidence.start_of_freezing import DissolvedOxide, FreezingStart, start_of_freezing
from thermo.equilibrium.freezing.cryolite import DILUTION_SIGMA, bath_liquidus
from thermo.records.baths import bath_name
from thermo.records.composition import Composition
from thermo.records.provenance import RangeError

HELD = 0.5


def fed_start(melt: Composition, feed: str | None) -> FreezingStart:
    """Start of freezing of a melt that is fed an oxide (None: none); errors as `start_of_freezing`."""
    start = start_of_freezing(melt)
    if feed is None:
        return start
    held = _held(start.composition, feed) if start.known else None
    if held is None:
        return replace(start, dissolved=DissolvedOxide(feed, None, 0.0, ()))
    sigma = float(np.hypot(start.sigma_K, DILUTION_SIGMA * held.lowering_K))
    return replace(start, T_K=start.T_K - held.lowering_K, sigma_K=sigma, dissolved=held)


def _held(melt: Composition, feed: str) -> DissolvedOxide | None:
    """What the bath holds and how far that lowers it; None where no law is published for it."""
    if feed != "Al2O3" or bath_name(melt) is None:
        return None
    try:
        plain = bath_liquidus(melt)
        share = HELD * plain.saturation_pct
        diluted = bath_liquidus(melt, share)
    except RangeError:  # additions that leave no cryolite: the published equation ends there
        return None
    return DissolvedOxide(feed, share, plain.T_K - diluted.T_K, diluted.sources)
