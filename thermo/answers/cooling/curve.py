"""Arrests read on a thermocouple while a melt cools: do they fit the intended melt, and what else would show them?

An arrest a (one standard deviation s of the reading) is held against every event e of the computed freezing path: start
of freezing, later crystallisation, last freezing.
    z = (a - e)/sqrt(s^2 + sigma_e^2)      |z| <= 1 fits; 1 to 2 too close to call; above 2 does not fit
The highest arrest is taken as the start of freezing when compositions are sought
(thermo.answers.cooling.neighbour_melts). Between
the computed solidus and the lowest-melting mix of the salts an arrest may be the last liquid left by segregation.
Limits: the lever rule decides where later solids come; single salts: start of freezing only; an event between liquidus
and solidus has the wider of their two bands. It lists explanations, it chooses no culprit.
Worked value: NaCl-CaCl2 48/52 mol% read at 500 deg C +- 3: last freezing (the eutectic, 500).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import count

from thermo.answers.cooling.explanations import Explanation, other_causes
from thermo.answers.cooling.neighbour_melts import NearMelt, near_melts
from thermo.answers.evidence.start_of_freezing import FreezingStart, start_of_freezing
from thermo.equilibrium.freezing.freezing_path import freezing_path
from thermo.equilibrium.freezing.solidus import coldest_solidus_K
from thermo.equilibrium.invariants.lowest import lowest
from thermo.records.composition import Composition, anions
from thermo.records.provenance import InputError, RangeError
from thermo.records.units import celsius

MOST = 8
HOTTEST_K = 2273.15
SURE, OPEN = 1.0, 2.0  # in combined standard deviations
START, LATER, LAST = "start of freezing", "later crystallisation", "last freezing"
SEGREGATED = "last liquid of a segregated melt"
FITS, CLOSE, OFF = "fits", "too close to call", "does not fit"
_ONE_EVENT_K = 1.0  # events nearer than this cannot be read apart
_SHOWN = 10
_WORKED = 2  # candidates whose whole path is computed
_STAGES = 4 + _WORKED
_LOWEST_OF = 4  # most salts whose lowest-melting mix is looked for: a second or two


@dataclass(frozen=True)
class Event:
    """Something a cooling melt does at T_K: its stage and the solids that begin there."""

    stage: str
    T_K: float
    sigma_K: float
    solids: tuple[str, ...]


@dataclass(frozen=True)
class Arrest:
    """One arrest against the nearest event: difference a - e, its combined standard deviation, verdict, words.

    stage names every event that fits as well; '' where none is near.
    """

    T_K: float
    stage: str
    difference_K: float
    sigma_K: float
    reading_sigma_K: float
    verdict: str
    words: str


@dataclass(frozen=True)
class Candidate:
    """A nearby composition and the arrests (K) its own path explains; None where its path was not computed."""

    melt: NearMelt
    explains_K: tuple[float, ...] | None


@dataclass(frozen=True)
class CoolingCheck:
    """The whole check. solidus_K and its sigma are None where there is none; arrests fall."""

    composition: Composition
    reading_sigma_K: float
    spread: float
    liquidus: FreezingStart
    solidus_K: float | None
    sigma_solidus_K: float | None
    events: tuple[Event, ...]
    arrests: tuple[Arrest, ...]
    verdict: str
    candidates: tuple[Candidate, ...]
    explanations: tuple[Explanation, ...]
    notes: tuple[str, ...]
    sources: tuple[str, ...]


def check_cooling(
    composition: Composition,
    arrests_K: tuple[float, ...],
    reading_sigma_K: float = 3.0,
    spread: float = 0.10,
    progress: Callable[[int, int], None] | None = None,
) -> CoolingCheck:
    """Hold arrests (kelvin, any order) against the intended melt. InputError for readings that cannot be meant.

    RangeError where the melt's own start of freezing is unknown: anything would seem to fit. progress(done, of): called
    before each stage; it may raise to cancel.
    """
    tell = _stages(progress)
    tell()
    _check_input(arrests_K, reading_sigma_K, spread)
    melt = composition.present
    read = tuple(sorted(set(arrests_K), reverse=True))
    start = _known_start(melt)
    tell()
    events, end, notes = _events(melt, start)
    tell()
    floor_K = _last_liquid_K(melt.salts, end)
    judged = tuple(_judge(a, reading_sigma_K, events, end, floor_K) for a in read)
    band = math.hypot(start.sigma_K, reading_sigma_K)
    tell()
    near = near_melts(melt, read[0], band, spread)[:_SHOWN]
    causes = other_causes(melt, start, [(e.T_K, e.sigma_K) for e in events], judged, reading_sigma_K, floor_K)
    notes = [*_reading_notes(judged, start, band, near, len(melt.salts), spread), *notes]
    return CoolingCheck(
        melt,
        reading_sigma_K,
        spread,
        start,
        None if end is None else end[0],
        None if end is None else end[1],
        events,
        judged,
        _verdict(judged),
        _candidates(near, read, reading_sigma_K, tell),
        causes,
        tuple(dict.fromkeys(notes)),
        tuple(dict.fromkeys([*start.sources, *(key for cause in causes for key in cause.sources)])),
    )


def _known_start(melt: Composition) -> FreezingStart:
    """Where the intended melt starts to freeze; RangeError where that is unknown."""
    start = start_of_freezing(melt)
    if not start.known:
        raise RangeError(
            "cooling check: where this melt starts to freeze is unknown, so no arrest can be held against it"
        )
    return start


def _stages(progress: Callable[[int, int], None] | None) -> Callable[[], None]:
    """What is called before each stage."""
    done = count()
    return (lambda: progress(min(next(done), _STAGES), _STAGES)) if progress is not None else lambda: None


def _check_input(arrests_K: tuple[float, ...], sigma_K: float, spread: float) -> None:
    if not arrests_K:
        raise InputError("arrests: none given; allowed are 1 to 8 temperatures")
    if len(arrests_K) > MOST:
        raise InputError(f"arrests: {len(arrests_K)} given; allowed are 1 to {MOST} temperatures")
    for T_K in arrests_K:
        if not (math.isfinite(T_K) and 0 < T_K <= HOTTEST_K):
            raise InputError(
                f"arrest {celsius(T_K):g} deg C: allowed is above -273.15 (absolute zero) up to 2000 deg C"
            )
    if not (math.isfinite(sigma_K) and 0 < sigma_K <= 100):
        raise InputError(f"uncertainty of the reading {sigma_K:g} K: allowed is more than 0 up to 100 K")
    if not (math.isfinite(spread) and 0 < spread <= 0.5):
        raise InputError(f"spread {100 * spread:g} mol%: allowed is more than 0 up to 50 mol%")


def _last_liquid_K(salts: tuple[str, ...], end: tuple[float, float] | None) -> float | None:
    """Where the last liquid of a segregated melt may freeze, K; None where it is unknown or costs too long a search."""
    if end is None or not 1 < len(salts) <= _LOWEST_OF:
        return None
    try:
        coldest_K = lowest(salts).T_K if len(anions(salts)) == 1 else coldest_solidus_K(salts)
    except RangeError:
        return None
    return None if coldest_K is None else min(coldest_K, end[0])


def _events(melt: Composition, start: FreezingStart) -> tuple[tuple[Event, ...], tuple[float, float] | None, list[str]]:
    """Events from hot to cold, the solidus with its sigma (None without one) and what is missing or to be heeded."""
    first = Event(START, start.T_K, start.sigma_K, (start.first_solid,))
    if len(melt.salts) == 1:
        both = Event(f"{START}, which is its {LAST}", start.T_K, start.sigma_K, (start.first_solid,))
        return (both,), (start.T_K, start.sigma_K), list(start.notes)
    path = freezing_path(melt, points=12)
    notes = list(path.notes)
    if path.solidus_K is None or path.sigma_solidus_K is None:
        return (first,), None, notes
    end = (min(path.solidus_K, start.T_K), path.sigma_solidus_K)  # a measured start may lie below it
    if start.T_K - path.solidus_K < _ONE_EVENT_K:
        both = Event(f"{START}, which is its {LAST}", start.T_K, start.sigma_K, path.solidus_solids)
        return (both,), end, notes
    wider = max(start.sigma_K, path.sigma_solidus_K)
    later: dict[str, float] = {}
    for name, amounts in path.phases:
        T_K = float(path.T_K[(amounts > 0).argmax()])
        if path.solidus_K + _ONE_EVENT_K < T_K < start.T_K - _ONE_EVENT_K:
            later[name] = T_K
    middle = [Event(LATER, T_K, wider, (name,)) for name, T_K in later.items()]
    return (first, *middle, Event(LAST, *end, path.solidus_solids)), end, notes


def _judge(
    T_K: float, reading_K: float, events: tuple[Event, ...], end: tuple[float, float] | None, floor_K: float | None
) -> Arrest:
    bands = [math.hypot(reading_K, event.sigma_K) for event in events]
    z = [abs(T_K - event.T_K) / band for event, band in zip(events, bands, strict=True)]
    best = z.index(min(z))
    event, away = events[best], T_K - events[best].T_K
    fitting = [e.stage for e, value in zip(events, z, strict=True) if value <= SURE]
    against = f"{abs(away):.0f} K {'above' if away > 0 else 'below'} the computed {event.stage} "
    against += f"({celsius(event.T_K):.0f} +- {max(event.sigma_K, 1.0):.0f} deg C, {' + '.join(event.solids)})"
    near = [e.stage for e, value in zip(events, z, strict=True) if value <= OPEN]
    stage = " or ".join(dict.fromkeys(fitting or near))
    if fitting:
        verdict, words = FITS, f"{stage}; {against}"
        words += "; which of them is too close to call" if len(set(fitting)) > 1 else ""
    elif z[best] <= OPEN:
        verdict, words = CLOSE, f"{stage}; {against}: between one and two standard deviations off"
    elif floor_K is not None and end is not None and floor_K - OPEN * bands[-1] <= T_K < end[0]:
        verdict, stage = CLOSE, SEGREGATED
        words = f"{against}, but these salts keep liquid down to {celsius(floor_K):.0f} deg C where the solids separate"
    else:
        verdict, words = OFF, f"{against}: more than two standard deviations off"
    return Arrest(T_K, stage, away, bands[best], reading_K, verdict, words)


def _verdict(judged: tuple[Arrest, ...]) -> str:
    verdicts = {a.verdict for a in judged}
    if OFF in verdicts:
        return "the intended melt does not explain every arrest"
    return "too close to call" if CLOSE in verdicts else "the arrests fit the intended melt"


def _candidates(
    near: tuple[NearMelt, ...], read: tuple[float, ...], reading_K: float, tell: Callable[[], None]
) -> tuple[Candidate, ...]:
    """The nearest few with the arrests their whole path explains."""
    found = []
    for number, melt in enumerate(near):
        if number >= _WORKED or melt.includes_intended:
            found.append(Candidate(melt, None))
            continue
        tell()
        shown = melt.composition.present
        start = start_of_freezing(shown)
        if not start.known:
            found.append(Candidate(melt, None))
            continue
        events, end, _ = _events(shown, start)
        found.append(Candidate(melt, tuple(a for a in read if _judge(a, reading_K, events, end, None).verdict != OFF)))
    return tuple(found)


def _reading_notes(
    judged: tuple[Arrest, ...],
    start: FreezingStart,
    band_K: float,
    near: tuple[NearMelt, ...],
    count: int,
    spread: float,
) -> list[str]:
    """What the readings leave open about the composition."""
    top = judged[0]
    notes = []
    if not any(START in a.stage for a in judged) and OPEN * band_K < start.T_K - top.T_K:
        notes.append(
            f"no arrest fits the start of freezing ({celsius(start.T_K):.0f} deg C): a weak one was missed, or "
            "the record began too late; the compositions below take the highest arrest as the start of freezing"
        )
    if any(melt.includes_intended for melt in near):
        notes.append(
            f"the intended melt starts to freeze within {band_K:.0f} K of the highest arrest: inside the ranges below "
            "compositions are too close to call"
        )
    if not near and count == 1:
        notes.append("a single salt has no other composition")
    elif not near:
        notes.append(
            f"no composition with one or two salts moved by up to {100 * spread:g} mol% starts to freeze at "
            f"{celsius(top.T_K):.0f} +- {band_K:.0f} deg C"
        )
    return notes
