"""The smallest addition to a melt that turns the verdict, opens the window or lowers the start of freezing.

Each salt is added in steps of 0.2 mol% of the new mix, up to 30, at the melt's working temperature. What counts:
    verdict     the metal does what is wanted (without a wish: either way) at least likely, where it did not
    window      a window where there was none
    liquidus    below the limit asked for, or without one at least 10 K lower
The addition's band: sigma of what decides (density difference, liquidus) over its slope with the addition; errors that
both melts share are not taken off, so the band is rather too wide. A salt that turns nothing is not listed.
Limits: as find's; one salt at a time. Worked value: CaCl2 makes magnesium float on KCl-MgCl2.
"""

from dataclasses import dataclass, replace

import numpy as np
from scipy.special import ndtr

from thermo.answers.evidence.start_of_freezing import start_of_freezing
from thermo.answers.finder.found import FoundMelt, found_melt, width_K
from thermo.answers.finder.sweep import Candidate, judge
from thermo.answers.finder.wish import MOST_SALTS, Wish, complete
from thermo.answers.flotation import LIKELY, difference_field
from thermo.answers.ranking import UNRANKED
from thermo.equilibrium.freezing.liquidus import WIDEST_K
from thermo.records.composition import Composition
from thermo.records.provenance import InputError, RangeError
from thermo.records.units import celsius

STEP, MOST = 0.002, 0.30  # mole fraction of the new mix
COLDER_K = 10.0
VERDICT, WINDOW, LIQUIDUS = "verdict", "window", "liquidus"
_EVERY = 10  # steps between the melts whose window is looked at first


@dataclass(frozen=True)
class Addition:
    """So much of a salt (mole fraction of the new mix, one standard deviation) turns `turns`; the melt it makes."""

    salt: str
    fraction: float
    sigma: float
    turns: str
    melt: FoundMelt


@dataclass(frozen=True)
class Improvement:
    """The melt as it is, the smallest additions of each salt, smallest first, and what none of them does."""

    melt: FoundMelt
    additions: tuple[Addition, ...]
    notes: tuple[str, ...]
    searched: int


@dataclass(frozen=True)
class _Line:
    """One salt added more and more: the melts (N, n) and what is told of each."""

    names: tuple[str, ...]
    added: np.ndarray
    x: np.ndarray
    liquidus_K: np.ndarray
    difference: np.ndarray
    sigma: np.ndarray


def improve(wish: Wish, melt: Composition) -> Improvement:
    """Smallest additions of the wish's salts to this melt, judged at the wish's temperature or the melt's own."""
    together = replace(wish, salts=tuple(dict.fromkeys((*melt.present.salts, *wish.salts))))
    replace(together, salts=together.own_salts).check()  # the choices; the list may be longer than find's
    now = _as_found(wish, melt.present)
    at = replace(together, T_K=now.T_K)
    if len(now.composition.salts) > MOST_SALTS:
        raise InputError(f"{len(now.composition.salts)} salts to improve: allowed is up to {MOST_SALTS}")
    lines = [(formula, line) for formula in wish.usable if (line := _line(at, melt.present, formula)) is not None]
    found: list[Addition] = []
    notes: list[str] = []
    for turns, wanted in ((VERDICT, _verdict_wanted(at, now)), (WINDOW, now.window.span_K is None), (LIQUIDUS, True)):
        if not wanted:
            continue
        ones = [entry for formula, line in lines if (entry := _smallest(at, now, formula, line, turns)) is not None]
        found += sorted(ones, key=lambda entry: entry.fraction)
        if not ones:
            notes.append(f"{_WORDS[turns]}: none of {', '.join(wish.usable)} does, up to {100 * MOST:.0f} mol%")
    return Improvement(now, tuple(found), tuple(notes), sum(len(line.x) for _, line in lines))


_WORDS = {VERDICT: "turn the verdict", WINDOW: "open a window", LIQUIDUS: "lower the start of freezing"}


def _as_found(wish: Wish, melt: Composition) -> FoundMelt:
    liquidus_K = start_of_freezing(melt).T_K
    T_K = float(wish.working_K(np.array([liquidus_K]))[0])
    return found_melt(wish, Candidate(UNRANKED, liquidus_K, melt.salts, melt.fractions, T_K))


def _verdict_wanted(wish: Wish, now: FoundMelt) -> bool:
    p = now.flotation.p_float
    return p is not None and not _likely(wish, np.array([p]))[0]


def _likely(wish: Wish, p_float: np.ndarray) -> np.ndarray:
    """Whether the metal does what is wanted, likely enough; without a wish, whether either way is likely."""
    least = LIKELY if wish.chance is None else wish.chance
    if wish.want is None:
        return np.maximum(p_float, 1 - p_float) > least
    return (p_float if wish.want == "floats" else 1 - p_float) > least


def _line(wish: Wish, melt: Composition, formula: str) -> _Line | None:
    """The melts that adding this salt makes; None where the data cannot follow."""
    names = melt.salts if formula in melt.salts else (*melt.salts, formula)
    if not complete(names):
        return None
    added = np.arange(0.0, MOST + 1e-9, STEP)
    x = np.outer(1 - added, np.pad(melt.array, (0, len(names) - len(melt.salts))))
    x[:, names.index(formula)] += added
    try:
        found = judge(wish, names, x)
    except RangeError:
        return None
    return _Line(names, added, x, found.liquidus_K, *difference_field(names, x, wish.symbol, found.T_K))


def _smallest(wish: Wish, now: FoundMelt, formula: str, line: _Line, turns: str) -> Addition | None:
    """The first melt of the line that turns it."""
    if turns == VERDICT:
        hit = _first(_likely(wish, ndtr(line.difference / line.sigma)))
    elif turns == LIQUIDUS:
        limit = now.liquidus.T_K - COLDER_K
        if wish.below_K is not None and wish.below_K < now.liquidus.T_K:
            limit = wish.below_K
        hit = _first(line.liquidus_K <= limit)
    else:
        hit = _first_window(wish, line)
    if hit is None or hit == 0:
        return None
    melt = _as_found(wish, Composition(line.names, tuple(line.x[hit].tolist())))
    values = line.difference if turns == VERDICT else line.liquidus_K
    spread = float(line.sigma[hit]) if turns == VERDICT else min(melt.liquidus.sigma_K, WIDEST_K)
    slope = abs(float(values[hit] - values[hit - 1])) / STEP
    return Addition(formula, float(line.added[hit]), min(spread / max(slope, 1e-9), 1.0), turns, melt)


def _first(holds: np.ndarray) -> int | None:
    at = np.flatnonzero(holds)
    return int(at[0]) if len(at) else None


def _first_window(wish: Wish, line: _Line) -> int | None:
    """The first melt with a window: looked for in strides, then step by step."""

    def opens(n: int) -> bool:
        melt = Composition(line.names, tuple(line.x[n].tolist()))
        return wish.window(melt.present, float(line.liquidus_K[n])).span_K is not None

    for n in range(0, len(line.x), _EVERY):
        if opens(n):
            return next(m for m in range(max(n - _EVERY + 1, 0), n + 1) if opens(m))
    return None


def changes(now: FoundMelt, then: FoundMelt) -> str:
    """What an addition changes besides, in one line."""
    freezing = then.liquidus.T_K - now.liquidus.T_K
    parts = [f"freezes at {celsius(then.liquidus.T_K):.0f} deg C ({freezing:+.0f} K)"]
    if then.flotation.difference_g_cm3 is not None and now.flotation.difference_g_cm3 is not None:
        moved = then.flotation.difference_g_cm3 - now.flotation.difference_g_cm3
        parts.append(f"melt less metal {round(moved, 3) + 0.0:+.3f} g/cm3: {then.flotation.verdict}")
    parts.append(f"window {width_K(now.window):.0f} to {width_K(then.window):.0f} K wide")
    if then.order.first.metal != now.order.first.metal:
        parts.append(f"{then.order.first.metal} deposits first")
    return "; ".join(parts)
