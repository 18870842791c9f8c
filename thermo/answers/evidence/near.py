"""What was measured on a melt close to this one: published temperatures beside the computed liquidus.

A published melt is near when no mole fraction differs by more than WITHIN. Melts of three and more salts come from
data/ternary.csv, of pairs from data/invariants.csv and data/liquidus; what they make of the start of freezing says
`start_of_freezing`. Near a eutectic the liquidus changes by some 4 to 7 K a mole per cent, so a value at the edge of
WITHIN may lie 10 K away and both be right. Withdrawn rows are left out; doubtful ones (`unsure`) say so.
Limits: the same salts by the same names. Worked value: 30 NaCl, 20 KCl, 50 MgCl2: 396 +- 5 deg C, 0 mol% away.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from thermo.records.composition import Composition
from thermo.records.published import (
    MeltPoint,
    PublishedInvariant,
    PublishedPoint,
    melting_points,
    ternary_points,
)

WITHIN = 0.03  # judgement: eutectics of one melt from two laboratories lie up to 2 mol% apart
MOST = 3  # shown
# kinds of published points at which a melt of that composition starts to freeze
STARTS = ("eutectic", "peritectic", "congruent", "minimum", "lowest found", "saddle", "liquidus")


@dataclass(frozen=True)
class PublishedMelt:
    """One published melt: kind, mole fractions, T with its standard deviation, key of its source.

    fitted: whether the pairs' fits have seen it; sure: False where the row itself is in doubt; away: greatest
    difference of a mole fraction from the melt asked about.
    """

    kind: str
    salts: tuple[str, ...]
    fractions: tuple[float, ...]
    T_K: float
    T_sigma_K: float
    source: str
    fitted: bool
    sure: bool
    away: float = 0.0


def published_near(melt: Composition) -> tuple[PublishedMelt, ...]:
    """The published melts within WITHIN of this one, the nearest first, MOST of them."""
    melt = melt.present
    own = dict(zip(melt.salts, melt.fractions, strict=True))
    found = [replace(row, away=max(abs(own[f] - x) for f, x in _shares(row))) for row in published_of(*melt.salts)]
    near = [row for row in found if row.away <= WITHIN]
    return tuple(sorted(near, key=lambda row: (not row.sure, round(row.away, 4)))[:MOST])


def published_of(*salts: str) -> list[PublishedMelt]:
    """Every published melt of exactly these salts that has a composition and says where freezing starts."""
    return list(_of_pair(*salts) if len(salts) == 2 else _of_several(salts))


def _shares(row: PublishedMelt) -> Iterable[tuple[str, float]]:
    return zip(row.salts, row.fractions, strict=True)


def _of_pair(a: str, b: str) -> Iterable[PublishedMelt]:
    """Published points of a pair that have a place and were not withdrawn."""
    for row in melting_points(a, b):
        x, T_K, sigma_K = row.x_b, row.T_K, row.T_sigma_K
        usable = row.kind in STARTS and row.use != "no" and not row.likened
        if usable and x is not None and T_K is not None and sigma_K is not None:
            yield _melt(row, (a, b), (1 - x, x), (T_K, sigma_K))


def _of_several(salts: Sequence[str]) -> Iterable[PublishedMelt]:
    for row in ternary_points(*salts):
        if row.fractions and row.kind in STARTS:
            yield _melt(row, row.salts, row.fractions, (row.T_K, row.T_sigma_K))


def _melt(
    row: PublishedInvariant | PublishedPoint | MeltPoint,
    salts: tuple[str, ...],
    x: tuple[float, ...],
    T_K: tuple[float, float],
) -> PublishedMelt:
    sure = not row.unsure
    return PublishedMelt(row.kind, salts, x, *T_K, row.source, row.use != "no", sure)
