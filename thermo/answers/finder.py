"""Which other mixes would do better? A search over melts of a few of the salts at hand, for one metal.

Every set of at most `most` of the salts that holds a salt of the metal is laid on a grid of mole fractions; liquidus,
density and voltages are taken for all melts at once. T is the temperature given, else liquidus + superheat (for a
liquid deposit at least the metal's melting point + 20 K). Left out: melts above `below`, not molten with that superheat
at the temperature given, on the wrong side for `want`, or with so little of the metal's salt that the cathode starves.
Ranked as in thermo.answers.ranking: window, first metal, verdict, then the colder low end, margin and width. The best
melt of each neighbourhood is refined to 1 mol%. Limits: 1 to 4 salts a melt out of 1 to 8; a narrow valley between grid
points may be missed.
Worked value: sodium out of NaCl, KCl, CaCl2 in two salts: first near 48 NaCl, 52 CaCl2 mol%, liquidus 500 deg C.
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from scipy.special import ndtr

from thermo.answers.deposition import ALLOY_V, DepositionOrder, deposition_order
from thermo.answers.drift import LITTLE_LEFT
from thermo.answers.evidence.start_of_freezing import FreezingStart, leading_field, start_of_freezing
from thermo.answers.flotation import VERDICTS, FloatOrSink, difference_field, float_or_sink, verdict_of
from thermo.answers.ranking import Merits, Rank, melt_rank
from thermo.answers.window import MARGIN_K, Window, operating_window
from thermo.equilibrium.freezing.activity import ln_activities
from thermo.laws.elements import HIGHEST_K, LOWEST_K
from thermo.laws.formation import voltages
from thermo.laws.solid_solution import simplex_grid
from thermo.records.baths import MOST_ALF3
from thermo.records.composition import Composition, formula_mass
from thermo.records.provenance import InputError
from thermo.records.substances import metal, salt, salts
from thermo.records.units import F, R, celsius

WANTS = {"floats": VERDICTS[:2], "sinks": VERDICTS[:-3:-1]}  # verdicts that answer the wish, the surest first
MOST_SALTS, MOST_IN_LIST = 4, 8
STEPS = {1: 1, 2: 40, 3: 20, 4: 10}  # of the first grid, by number of salts
FINE, REACH = 0.01, 4  # mole fraction and steps of the refinement
LEAST = 0.015  # mole fraction of any salt in a refined melt: less is not another melt
LEAST_OWN = LITTLE_LEFT / 100  # mass fraction of the metal's salt
APART = 0.2  # two melts nearer than this (sum of the changes in mole fraction) are one answer
SHORT_LIST, SHOWN = 16, 10
TALLIED = ("searched", "poor", "hot", "frozen", "beyond", "thin", "side", "close")


@dataclass(frozen=True)
class Wish:
    """What is looked for. Temperatures in K, None: not asked; want 'floats', 'sinks' or None."""

    symbol: str
    salts: tuple[str, ...]
    most: int = 3
    T_K: float | None = None
    want: str | None = None
    below_K: float | None = None
    superheat_K: float = 30.0
    deposit: str | None = None
    vessel: str | None = None
    atmosphere: str = "inert"

    @property
    def own_salt(self) -> str:
        """The salt of the list that holds the metal; InputError where none does."""
        for formula in self.salts:
            if salt(formula).cation == self.symbol:
                return formula
        anion = salt(self.salts[0]).anion
        known = [f"add {s.formula}" for s in salts().values() if (s.cation, s.anion) == (self.symbol, anion)]
        needs = known[0] if known else "the data have no such salt"
        raise InputError(f"metal {self.symbol!r}: none of the salts {','.join(self.salts)} holds it ({needs})")

    def working_K(self, liquidus_K: np.ndarray) -> np.ndarray:
        """Temperatures at which melts with these liquidus temperatures are judged."""
        if self.T_K is not None:
            return np.full_like(liquidus_K, self.T_K)
        least = metal(self.symbol).melting_point_K + MARGIN_K if self.deposit == "liquid" else 0.0
        return np.maximum(liquidus_K + self.superheat_K, least)

    def rank(self, merits: Merits) -> Rank:
        """Sort key of one melt under these choices."""
        return melt_rank(merits, self.symbol, self.superheat_K, self.want, self.deposit)

    def window(self, melt: Composition, liquidus_K: float, sigma_K: float = 0.0) -> Window:
        """The operating window of one melt under these choices."""
        choices = (self.symbol, self.deposit, self.superheat_K, self.vessel, self.atmosphere)
        return operating_window(melt, liquidus_K, sigma_K, *choices)


@dataclass(frozen=True)
class FoundMelt:
    """One melt that answers, at the temperature T_K it was judged at."""

    composition: Composition
    T_K: float
    liquidus: FreezingStart
    flotation: FloatOrSink
    window: Window
    order: DepositionOrder


@dataclass(frozen=True)
class Search:
    """Melts best first, how many were looked at, and what was left out for which reason."""

    melts: tuple[FoundMelt, ...]
    searched: int
    notes: tuple[str, ...]


@dataclass(frozen=True)
class _Candidate:
    """A melt that passed; rank as melt_rank gives it, smaller is better."""

    rank: Rank
    liquidus_K: float
    salts: tuple[str, ...]
    fractions: tuple[float, ...]
    T_K: float

    @property
    def composition(self) -> Composition:
        """As a composition."""
        return Composition(self.salts, self.fractions)


def find_melts(wish: Wish) -> Search:
    """Search the melts of the wish. InputError for a metal none of the salts holds, two anions or an unknown choice."""
    _check(wish)
    tally = dict.fromkeys(TALLIED, 0)
    found: list[_Candidate] = []
    for count in range(1, min(wish.most, len(wish.salts)) + 1):
        grid = simplex_grid(count, STEPS[count])
        grid = grid[(grid > 0).all(axis=1)]
        for names in combinations(wish.salts, count):
            if wish.own_salt in names:
                found += _candidates(wish, names, grid, tally)
    rough = _short_list(wish, sorted(found, key=lambda candidate: candidate.rank))
    melts = sorted((_melt(wish, _refined(wish, candidate)) for candidate in rough), key=lambda m: _final_rank(wish, m))
    return Search(tuple(_apart(melts, wish.salts)[:SHOWN]), tally["searched"], _notes(wish, tally))


def _check(wish: Wish) -> None:
    metal(wish.symbol)
    named = f"salts {','.join(wish.salts)}"
    if not 1 <= len(wish.salts) <= MOST_IN_LIST or len(set(wish.salts)) != len(wish.salts):
        raise InputError(f"{named}: allowed are 1 to {MOST_IN_LIST} different salts")
    if len({salt(formula).anion for formula in wish.salts}) > 1:
        raise InputError(f"{named}: two anions; allowed are chlorides only or fluorides only")
    if not 1 <= wish.most <= MOST_SALTS:
        raise InputError(f"at most {wish.most} salts a melt: allowed is 1 to {MOST_SALTS}")
    if wish.want is not None and wish.want not in WANTS:
        raise InputError(f"want {wish.want!r}: allowed are {' and '.join(WANTS)}")
    own = wish.own_salt
    wish.window(Composition((own,), (1.0,)), salt(own).melting_point_K)  # refuses an unknown deposit, vessel ...


def _candidates(wish: Wish, names: tuple[str, ...], x: np.ndarray, tally: dict[str, int]) -> list[_Candidate]:
    """The melts x (N, n) of one set of salts that pass; tally counts what does not, by the first reason."""
    masses = x * np.array([formula_mass(formula) for formula in names])
    poor = masses[:, names.index(wish.own_salt)] < LEAST_OWN * masses.sum(axis=1)
    liquidus_K = leading_field(names, x).T_K
    T_K = wish.working_K(liquidus_K)
    difference, sigma = difference_field(names, x, wish.symbol, T_K)
    p_float = ndtr(difference / sigma)
    verdicts = np.array([verdict_of(p) if np.isfinite(p) else "vapour" for p in p_float])
    hot = liquidus_K > (np.inf if wish.below_K is None else wish.below_K)
    frozen = liquidus_K + wish.superheat_K > T_K + 1e-9
    beyond = (T_K < LOWEST_K) | (T_K > HIGHEST_K)  # no voltage is known there
    thin = x[:, names.index("AlF3")] > MOST_ALF3 + 1e-9 if "AlF3" in names else np.zeros(len(x), bool)  # no density
    side = ~np.isin(verdicts, WANTS[wish.want]) if wish.want else np.zeros(len(x), bool)
    passed = np.ones(len(x), bool)
    tally["searched"] += len(x)
    tally["close"] += int((side & (verdicts == VERDICTS[2]) & ~poor & ~hot & ~frozen & ~beyond & ~thin).sum())
    reasons = (("poor", poor), ("hot", hot), ("frozen", frozen), ("beyond", beyond), ("thin", thin), ("side", side))
    for key, out in reasons:
        tally[key] += int((out & passed).sum())
        passed &= ~out
    behind = _behind_V(wish.own_salt, names, x, np.clip(T_K, LOWEST_K, HIGHEST_K))
    found = []
    for i in np.flatnonzero(passed):
        unsure = _unsure(wish, verdicts[i])
        margin = float(difference[i]) if np.isfinite(difference[i]) else None  # none of a vapour
        merits = Merits(float(liquidus_K[i]), 0.0, True, bool(behind[i] > ALLOY_V), unsure, margin)
        fractions = tuple(x[i].tolist())
        found.append(_Candidate(wish.rank(merits), float(liquidus_K[i]), names, fractions, float(T_K[i])))
    return found


def _behind_V(own: str, names: tuple[str, ...], x: np.ndarray, T_K: np.ndarray) -> np.ndarray:
    """How far the metal of `own` comes behind the first metal of each melt, V (N,)."""
    charges = np.array([salt(formula).charge for formula in names])
    standard = np.stack([voltages(formula, T_K) for formula in names], axis=1)
    E = standard - R * T_K[:, None] / (charges * F) * ln_activities(names, x, T_K[:, None])
    return E[:, names.index(own)] - E.min(axis=1)


def _unsure(wish: Wish, verdict: str | None) -> int:
    """Place of the verdict among those that answer the wish; a vapour, which has none, comes last."""
    order = WANTS[wish.want] if wish.want else (verdict,)
    return order.index(verdict) if verdict in order else len(order)


def _fits(wish: Wish, candidate: _Candidate) -> bool:
    """Whether the working temperature lies in the operating window."""
    return wish.window(candidate.composition, candidate.liquidus_K).holds(candidate.T_K)


def _short_list(wish: Wish, ranked: list[_Candidate]) -> list[_Candidate]:
    """The best of each neighbourhood, those with a window first; a window is looked at only where it matters."""
    kept: list[_Candidate] = []
    places: list[np.ndarray] = []
    without: list[_Candidate] = []
    for fitting, candidates in ((True, ranked), (False, without)):
        for candidate in candidates:
            place = _place(candidate.composition, wish.salts)
            if len(kept) == SHORT_LIST:
                return kept
            if not _far(place, places):
                continue
            if fitting and not _fits(wish, candidate):
                without.append(candidate)
                continue
            kept.append(candidate)
            places.append(place)
    return kept


def _place(melt: Composition, order: tuple[str, ...]) -> np.ndarray:
    share = dict(zip(melt.salts, melt.fractions, strict=True))
    return np.array([share.get(formula, 0.0) for formula in order])


def _far(place: np.ndarray, others: list[np.ndarray]) -> bool:
    return all(np.abs(place - other).sum() > APART - 1e-9 for other in others)


def _apart(melts: list[FoundMelt], order: tuple[str, ...]) -> list[FoundMelt]:
    """Without the melts that refinement moved beside a better one."""
    kept: list[FoundMelt] = []
    for entry in melts:
        if _far(_place(entry.composition, order), [_place(other.composition, order) for other in kept]):
            kept.append(entry)
    return kept


def _refined(wish: Wish, rough: _Candidate) -> _Candidate:
    """The best melt within REACH steps of FINE of a grid melt; it keeps all its salts, and its window if it has one."""
    free = len(rough.salts) - 1
    if not free:
        return rough
    shifts = np.stack(np.meshgrid(*[np.arange(-REACH, REACH + 1)] * free, indexing="ij"), axis=-1).reshape(-1, free)
    moved = np.array(rough.fractions[:-1]) + FINE * shifts
    near = np.column_stack([moved, 1 - moved.sum(axis=1)])
    near = near[(near > LEAST).all(axis=1)]
    tally = dict.fromkeys(TALLIED, 0)
    better = min(_candidates(wish, rough.salts, near, tally), key=lambda candidate: candidate.rank, default=rough)
    return better if _fits(wish, better) or not _fits(wish, rough) else rough


def _melt(wish: Wish, candidate: _Candidate) -> FoundMelt:
    """The full answers for one melt: the same functions that answer for a melt typed by hand."""
    melt, T_K = candidate.composition, candidate.T_K
    freezing = start_of_freezing(melt)
    return FoundMelt(
        composition=melt,
        T_K=T_K,
        liquidus=freezing,
        flotation=float_or_sink(melt, wish.symbol, T_K),
        window=wish.window(melt, freezing.T_K, freezing.sigma_K),
        order=deposition_order(melt, T_K, wish.symbol),
    )


def _final_rank(wish: Wish, found: FoundMelt) -> Rank:
    window = found.window
    merits = Merits(
        found.liquidus.T_K,
        found.liquidus.sigma_K,
        window.holds(found.T_K),
        found.order.couple(wish.symbol).gap_V > ALLOY_V,
        _unsure(wish, found.flotation.verdict),
        found.flotation.difference_g_cm3,
        0.0 if window.span_K is None else window.span_K[1] - window.span_K[0],
    )
    return wish.rank(merits)


def _notes(wish: Wish, tally: dict[str, int]) -> tuple[str, ...]:
    reasons = (
        ("poor", f"hold less than {100 * LEAST_OWN:.0f} mass% {wish.own_salt}: the cathode would starve"),
        ("hot", "freeze above the limit asked for"),
        ("frozen", f"are not molten with {wish.superheat_K:g} K to spare at the temperature given"),
        ("beyond", f"would be judged outside {celsius(LOWEST_K):.0f} to {celsius(HIGHEST_K):.0f} deg C: no voltages"),
        ("thin", f"hold more than {100 * MOST_ALF3:.0f} mol% AlF3: no density"),
        ("side", f"are not at least likely to be a bath in which {metal(wish.symbol).name} {wish.want}"),
    )
    notes = [f"{tally[key]} of {tally['searched']} melts {text}" for key, text in reasons if tally[key]]
    if tally["close"]:
        notes.append(f"of these {tally['close']} are too close to call: a measured density would decide them")
    return tuple(notes)
