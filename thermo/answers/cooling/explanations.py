"""What besides a wrong composition would put cooling arrests where they were read, each with its number.

Thermometer: the constant offset o added to every reading that brings each arrest to its own event, weighted by 1/s^2;
it reconciles them when no one is left more than two standard deviations off. One arrest always has such an offset.
Hydroxide, carbonate: published lowest melting points with the salts in the pot (thermo.records.contaminants).
Dissolved foreign matter: x mol% lowers the start of freezing by R T x/|dD/dT| (ideal, taken up by no solid).
Supercooling, oxide sludge: common practice, no source.
Limits: it says what is compatible, not what happened. Worked value: readings all 12 K low: offset +12 K.
"""

import math
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from thermo.answers.evidence.start_of_freezing import FreezingStart
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.laws.solids import PureSolid
from thermo.records.composition import Composition
from thermo.records.contaminants import Contaminated, contaminated
from thermo.records.substances import salt
from thermo.records.units import R, celsius

NEAR_K = 15.0  # an arrest this near a contaminated eutectic suggests it: a judgement
SUPERCOOLED_K = (3.0, 30.0)  # common practice, no source
SOUND = 0.0075  # of the reading in deg C: what a sound base-metal thermocouple holds; common practice, no source
POSSIBLE, OPEN, NO, SILENT = "possible", "too close to call", "does not fit", "cannot be told from arrests"
_CHECKS = ("NaCl", "KCl")  # easily dried; their melting points are known within 1 K
_OFF = "does not fit"  # an arrest that no event of the intended melt explains


@dataclass(frozen=True)
class Explanation:
    """One other explanation: key, verdict, the evidence in words and its number where there is one (value, unit)."""

    key: str
    verdict: str
    evidence: str
    value: float | None
    unit: str
    check: str
    sources: tuple[str, ...]


def other_causes(melt: Composition, start: FreezingStart, events, arrests, reading_K: float, floor_K: float | None):
    """Explanations, those that would show the arrests first.

    events: (T_K, sigma_K) from hot to cold; arrests: records with T_K, verdict, sigma_K, hot to cold; floor_K: lowest
    temperature where these salts keep liquid, None where not known.
    """
    found = [
        _thermometer(events, arrests, reading_K),
        *(_contaminant(kind, melt, events, arrests, floor_K) for kind in ("hydroxide", "carbonate")),
        _dissolved(melt, start, arrests),
        _supercooled(start, arrests[0]),
        _sludge(),
    ]
    order = [POSSIBLE, OPEN, NO, SILENT]
    return tuple(sorted(found, key=lambda cause: order.index(cause.verdict)))


def constant_offset(read: list[float], events, reading_K: float) -> tuple[float, float] | None:
    """Smallest constant to add to every reading (K, hot to cold) so that each meets its own event, and its sigma."""
    best = None
    for chosen in combinations(events, len(read)):
        variance = np.array([reading_K**2 + sigma**2 for _, sigma in chosen])
        gaps = np.array([T for T, _ in chosen]) - np.array(read)
        offset = float((gaps / variance).sum() / (1 / variance).sum())
        if (np.abs(gaps - offset) <= 2 * np.sqrt(variance)).all() and (best is None or abs(offset) < abs(best[0])):
            best = (offset, float(1 / math.sqrt((1 / variance).sum())))
    return best


def _thermometer(events, arrests, reading_K: float) -> Explanation:
    read = [a.T_K for a in arrests]
    top_C = celsius(read[0])
    test = min(_CHECKS, key=lambda f: abs(salt(f).melting_point_K - read[0]))
    point = salt(test)
    check = (
        f"freeze pure dry {test} with the same thermocouple: it must stop at {celsius(point.melting_point_K):.1f} "
        f"+- {point.melting_point_sigma_K:.1f} deg C; what it reads instead is the error"
    )
    offset = constant_offset(read, events[:1] if len(read) == 1 else events, reading_K)
    if offset is None:
        few = (
            "there are more arrests than computed events" if len(read) > len(events) else "the gaps between them differ"
        )
        words = f"no constant error brings all {len(read)} arrests to the computed events: {few}"
        return Explanation("thermometer", NO, words, None, "K", check, point.sources)
    value, sigma = offset
    words = f"adding {value:+.0f} +- {sigma:.0f} K to every reading reconciles {'it' if len(read) == 1 else 'them all'}"
    sound = max(SOUND * abs(top_C), 2.5)
    if abs(value) > sound:
        words += f"; a sound base-metal thermocouple is off by no more than about {sound:.0f} K there"
    verdict = POSSIBLE
    if abs(value) <= sigma:
        verdict, words = OPEN, f"no error is needed, one of up to {sigma:.0f} K cannot be seen"
    elif len(read) == 1 or abs(value) <= 2 * sigma:
        verdict = OPEN
    if len(read) == 1:
        words += "; one arrest alone cannot tell an error of the thermometer from another composition"
    return Explanation("thermometer", verdict, words, value, "K", check, point.sources)


def _contaminant(kind: str, melt: Composition, events, arrests, floor_K: float | None) -> Explanation:
    """Hydroxide (moisture) or carbonate (air) in the pot."""
    key = {"hydroxide": "moisture or hydroxide", "carbonate": "carbonate"}[kind]
    check = {
        "hydroxide": "melt dried salt once more, or bubble dry hydrogen halide through it: this arrest must go",
        "carbonate": "a cooled sample in dilute acid must not fizz",
    }[kind]
    rows = [row for row in contaminated() if row.kind == kind and row.salt in melt.salts]
    low_K, low_sigma = events[-1]
    bottom_K = low_K if floor_K is None else min(floor_K, low_K)
    below = [a for a in arrests if bottom_K - 2 * math.hypot(low_sigma, a.reading_sigma_K) > a.T_K]
    below = below if len(events) > 1 or floor_K is not None or len(melt.salts) == 1 else []
    if not rows:
        words = f"no published melting point with {kind} for these salts"
        if below:
            words += f"; but {_listed(below)} lies below all that these salts can show: something else is in the pot"
        return Explanation(key, OPEN if below else SILENT, words, None, "", check, ())
    named = "; ".join(_row_words(row) for row in rows)
    top_K = events[0][0] + 2 * events[0][1]  # an impurity raises nothing: points above the start of freezing are idle
    near = [(a, a.T_K - row.T_K) for a in arrests for row in rows if top_K >= row.T_K]
    near = [(a, gap) for a, gap in near if abs(gap) <= NEAR_K]
    words = f"published: {named}; with more salts lower still"
    eaters = [f for f in melt.salts if salt(f).charge > 1]
    if eaters:
        words += f"; {' and '.join(eaters)} would make oxide of it, which has no arrest (common practice, no source)"
    keys = tuple(dict.fromkeys(row.source for row in rows))
    if near:
        hits = list(dict.fromkeys(a for a, _ in near))
        gap = min((gap for _, gap in near), key=abs)
        odd = any(a.verdict == _OFF for a in hits)
        words = f"{_listed(hits)} lies within {abs(gap):.0f} K of one of these; {words}"
        words += "" if odd else "; the intended melt shows this arrest too"
        return Explanation(key, POSSIBLE if odd and not eaters else OPEN, words, gap, "K", check, keys)
    if below:
        words = f"{_listed(below)} lies below all that these salts can show, so something else melts there; {words}"
        return Explanation(key, OPEN, words, None, "", check, keys)
    return Explanation(key, NO, f"no arrest near; {words}", None, "", check, keys)


def _listed(arrests) -> str:
    return " and ".join(f"{celsius(a.T_K):.0f}" for a in arrests) + " deg C"


def _row_words(row: Contaminated) -> str:
    share = "" if row.x_contaminant is None else f" (at {100 * row.x_contaminant:.3g} mol% {row.contaminant})"
    doubt = ", unsure" if row.unsure else ""
    return f"{row.salt}-{row.contaminant} melts from {celsius(row.T_K):.0f} deg C{share}{doubt}"


def _dissolved(melt: Composition, start: FreezingStart, arrests) -> Explanation:
    """Foreign matter dissolved in the melt: how much would lower the start of freezing to the highest arrest."""
    key, check, top = "dissolved impurity", "a second batch from other bottles must freeze higher", arrests[0]
    drop = start.T_K - top.T_K
    if drop <= 0:
        words = "dissolved impurity lowers the start of freezing; the highest arrest is not below it"
        return Explanation(key, NO, words, None, "mol%", check, ())
    system = salt_system(melt.salts)
    solid = next((s for s in system.solids if isinstance(s, PureSolid) and s.name == start.first_solid), None)
    if solid is None:
        words = f"{start.first_solid} freezes first, for which the lowering is not computed"
        return Explanation(key, SILENT, words, None, "mol%", check, ())
    slope = float(Melts(system, melt.array[None, :]).driving_force(solid, np.array([start.T_K]))[1][0])
    per_percent = 0.01 * R * start.T_K / max(-slope, 1.0)
    share = drop / per_percent
    words = (
        f"1 mol% of foreign particles lowers the start of freezing of {start.first_solid} by {per_percent:.1f} K, so "
        f"{share:.1f} mol% would lower it by the {drop:.0f} K seen"
    )
    if share > 10:
        return Explanation(key, NO, f"{words}: more than an impurity", share, "mol%", check, ())
    kept = [a for a in arrests[1:] if a.verdict == "fits"]
    words += f"; but it would lower {_listed(kept)} too, which fits" if kept else ""
    unsure = bool(kept) or drop <= 2 * top.sigma_K
    return Explanation(key, OPEN if unsure else POSSIBLE, words, share, "mol%", check, ())


def _supercooled(start: FreezingStart, top) -> Explanation:
    """The first crystals came late."""
    low, high = SUPERCOOLED_K
    drop = start.T_K - top.T_K
    check = "stir, touch the melt with a cold wire, cool more slowly; read the plateau after the rebound, not the dip"
    words = (
        f"highest arrest {drop:.0f} K below the computed start of freezing"
        if drop > 0
        else "highest arrest not below it"
    )
    if not low < drop <= high:
        return Explanation("supercooling", NO, f"{words}; supercooling is up to {high:.0f} K", drop, "K", check, ())
    words += "; melts commonly supercool by 10 to 30 K and rebound when crystals start (common practice, no source)"
    return Explanation("supercooling", OPEN if drop <= 2 * top.sigma_K else POSSIBLE, words, drop, "K", check, ())


def _sludge() -> Explanation:
    words = (
        "undissolved oxide has no arrest of its own at these temperatures and raises nothing; it shows, if at all, as "
        "a broad slope where a sharp stop is expected (common practice, no source)"
    )
    return Explanation("oxide or sludge", SILENT, words, None, "", "let it settle and look at the cold bottom", ())
