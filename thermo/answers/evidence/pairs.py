"""Published invariants of two salts beside what this program computes: found, published, difference, in sigmas.

How a published row is compared (`way`):
    invariant      its solids meet in the computed diagram too: T and x of that invariant, the nearest in T and x
    own liquidus   a double salt that melts congruently, or in a way not reported: T of that solid's own curve at its
                   own composition
    liquidus       a solid is unnamed or not modelled, or the diagram has no such invariant: the computed liquidus at
                   the published composition; an error of that composition counts through the slope of the curve
Other rows (no temperature, salts outside the list) are not compared and say why. The spread of the sources runs from
the lowest value less its sigma to the highest value plus its sigma, over all rows of one invariant not marked `no`.
    sigmas = (found - published) / sqrt(model sigma^2 + published sigma^2)
Limits: a row that was fitted is no proof of foresight; fitting/leave_out is. Temperatures in K, x the mole fraction
of the second salt. Worked value: 353 found with sigma 3, 358 +- 4 published: -5 K, -1.0 sigmas.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from thermo.equilibrium.freezing.liquidus import liquidus, liquidus_sigma
from thermo.equilibrium.invariants.pair import Invariant, check_pair, pair_invariants
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts, liquidus_field
from thermo.fitting.leave_out import PointComparison, sigma_at_composition
from thermo.laws.solids import DoubleSolid
from thermo.records.composition import Composition
from thermo.records.fitted import pair_models
from thermo.records.provenance import InputError
from thermo.records.published import PublishedInvariant, invariants
from thermo.records.remembered import remembered
from thermo.records.substances import double_salts, salts

NEAR_K, NEAR_X = 10.0, 0.05  # equally far, when several computed invariants have the same solids
SAME_K, SAME_X = 40.0, 0.06  # rows that name no solids speak of one invariant when no further apart
MEETINGS = ("eutectic", "peritectic", "minimum")
OWN = ("congruent", "highest")
_DX = 1e-3


@dataclass(frozen=True)
class PairComparison(PointComparison):
    """A published invariant against the computed diagram of its pair.

    found_x is None unless an invariant was found; spread_K is what the sources allow for it, one sigma included.
    """

    found_x: float | None
    spread_K: tuple[float, float]

    @property
    def within_sources(self) -> bool:
        """Whether the computed temperature lies in the spread of the sources."""
        return self.spread_K[0] <= self.found_K <= self.spread_K[1]

    @property
    def fitted(self) -> bool:
        """Whether the fit of the pair may have seen the row; two anions with two cations are never fitted."""
        return self.point.use != "no" and frozenset(self.point.pair) in pair_models()


@dataclass(frozen=True)
class NotCompared:
    """A published row without a counterpart, and why."""

    point: PublishedInvariant
    reason: str


def matching_invariant(point: PublishedInvariant) -> Invariant | None:
    """The computed invariant of the same solids, nearest to the published one; None when there is none.

    A row without a composition may share only one solid: it takes the nearest invariant of that solid.
    """
    candidates = [found for found in pair_invariants(*point.pair) if found.kind in MEETINGS]
    meeting = 1 if point.kind == "minimum" else 2
    whole = [f for f in candidates if len(point.solids) == len(f.solids) == meeting == _shared(point, f)]
    partly = [f for f in candidates if point.x_b is None and _shared(point, f)]
    return min(whole or partly, key=lambda found: _distance(point, found), default=None)


def _shared(point: PublishedInvariant, found: Invariant) -> int:
    """How many of the published solids meet at the computed invariant; a pair has one mixed crystal."""
    return sum(any(name == other or name[0] == other[0] == "(" for other in found.solids) for name in point.solids)


def _distance(point: PublishedInvariant, found: Invariant) -> float:
    away = abs(found.T_K - point.known_T_K[0]) / NEAR_K
    return away if point.x_b is None else away + abs(found.fractions[1] - point.x_b) / NEAR_X


def compare(point: PublishedInvariant) -> PairComparison | NotCompared:
    """One published row against the computed diagram; the spread is still that of its own source alone."""
    if unknown := [f for f in point.pair if f not in salts()]:
        return NotCompared(point, f"{' and '.join(unknown)} not in the list of salts")
    if point.likened:
        return NotCompared(point, "carried over from pairs of its kind, not measured")
    if point.kind in ("none", "polymorph") or point.T_K is None or point.T_sigma_K is None:
        return NotCompared(point, "no temperature of a melt published")
    try:
        check_pair(*point.pair)
    except InputError as refusal:
        return NotCompared(point, str(refusal))
    doubles = {solid.name: solid for solid in salt_system(point.pair).solids if isinstance(solid, DoubleSolid)}
    if point.kind in OWN and (own := [doubles[name] for name in point.solids if name in doubles]):
        return _own_liquidus(point, own[0])
    found = matching_invariant(point) if point.kind not in OWN else None
    if found is not None:
        return _row(point, "invariant", found.T_K, found.sigma_K, None, found.fractions[1])
    if point.x_b is None:
        return NotCompared(point, "no composition published and no such invariant computed")
    return _at_composition(point, point.x_b)


def _own_liquidus(point: PublishedInvariant, solid: DoubleSolid) -> PairComparison:
    system, counts = salt_system(point.pair), double_salts()[solid.name].stoichiometry
    melts = Melts(system, np.array([[counts[f] / sum(counts.values()) for f in point.pair]]))
    T_K = float(melts.solid_temperature(solid)[0][0])
    sigma = liquidus_sigma(system, melts, solid, T_K, None)
    return _row(point, "own liquidus", T_K, sigma)


def _at_composition(point: PublishedInvariant, x: float) -> PairComparison:
    found = liquidus(Composition(point.pair, (1 - x, x)))
    ends = np.clip([x - _DX, x + _DX], 0.0, 1.0)
    T = liquidus_field(point.pair, np.column_stack([1 - ends, ends])).T_K
    slope = (T[1] - T[0]) / (ends[1] - ends[0])
    return _row(point, "liquidus", found.T_K, found.sigma_K, sigma_at_composition(point, slope))


def _row(
    point: PublishedInvariant,
    way: str,
    T_K: float,
    sigma_K: float,
    published_sigma_K: float | None = None,
    x: float | None = None,
) -> PairComparison:
    """published_sigma_K: where it is not that of the row alone."""
    published_K, own_K = point.known_T_K
    own = (published_K - own_K, published_K + own_K)
    return PairComparison(point, way, T_K, sigma_K, own_K if published_sigma_K is None else published_sigma_K, x, own)


def one_invariant(first: PairComparison, second: PairComparison) -> bool:
    """Whether two rows of one pair speak of the same invariant.

    They do when the same solids freeze; rows that name fewer solids when they met the same computed invariant or lie
    within SAME_K and SAME_X of each other.
    """
    p, q = first.point, second.point
    if (p.kind in OWN) != (q.kind in OWN):
        return False
    apart = None if p.x_b is None or q.x_b is None else abs(p.x_b - q.x_b)
    if p.solids and set(p.solids) == set(q.solids):
        return p.kind == q.kind or apart is None or apart <= SAME_X
    if p.solids and q.solids and not (set(p.solids) < set(q.solids) or set(q.solids) < set(p.solids)):
        return False
    if first.found_x is not None and first.found_x == second.found_x:
        return True
    return apart is not None and apart <= SAME_X and abs(p.known_T_K[0] - q.known_T_K[0]) <= SAME_K


@remembered
def pair_evidence(a: str, b: str) -> tuple[PairComparison | NotCompared, ...]:
    """Every published invariant of one pair, compared, in file order and oriented a-b."""
    found = [compare(point) for point in invariants(a, b)]
    rows = [row for row in found if isinstance(row, PairComparison)]
    return tuple(replace(row, spread_K=_spread(row, rows)) if isinstance(row, PairComparison) else row for row in found)


def _spread(own: PairComparison, rows: Iterable[PairComparison]) -> tuple[float, float]:
    same = [own.spread_K, *(row.spread_K for row in rows if row.point.use != "no" and one_invariant(own, row))]
    return min(low for low, _ in same), max(high for _, high in same)


def published_pairs() -> tuple[tuple[str, str], ...]:
    """The pairs of the file, in the order in which a pair first appears."""
    pairs: dict[frozenset, tuple[str, str]] = {}
    for point in invariants():
        pairs.setdefault(frozenset(point.pair), point.pair)
    return tuple(pairs.values())


def all_pair_evidence() -> tuple[PairComparison | NotCompared, ...]:
    """Every row of the file, pair by pair in the order in which a pair first appears."""
    return tuple(row for pair in published_pairs() for row in pair_evidence(*pair))
