"""What was measured on a melt close to this one: published temperatures beside the computed liquidus.

A published melt is near when no mole fraction differs by more than WITHIN. Melts of three and more salts come from
data/ternary.csv, which no fit has seen but for a few rows; of pairs from data/invariants.csv and data/liquidus, which
mostly were fitted. Near a eutectic the liquidus changes by some 4 to 7 K a mole per cent, so a value at the edge of
WITHIN may lie 10 K away and both be right. Withdrawn rows are left out; doubtful ones (`unsure`) say so.
Limits: the same salts by the same names. Worked value: 30 NaCl, 20 KCl, 50 MgCl2: 396 +- 5 deg C, 0 mol% away.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from thermo.equilibrium.freezing_point import Liquidus
from thermo.records.composition import Composition
from thermo.records.measurements import invariants, liquidus_points, ternary_points
from thermo.records.units import celsius

WITHIN = 0.02  # judgement: eutectics of one melt from two laboratories lie that far apart
MOST = 3  # shown
CLEARLY_K = 10.0  # what WITHIN alone may explain
# kinds of published points at which a melt of that composition starts to freeze
STARTS = ("eutectic", "peritectic", "congruent", "minimum", "lowest found", "saddle", "liquidus")


@dataclass(frozen=True)
class PublishedMelt:
    """One published melt: kind, mole fractions, T with its standard deviation, greatest difference of a fraction.

    fitted: whether the pairs' fits have seen it; sure: False where the row itself is in doubt.
    """

    kind: str
    salts: tuple[str, ...]
    fractions: tuple[float, ...]
    T_K: float
    T_sigma_K: float
    away: float
    source: str
    fitted: bool
    sure: bool


def published_near(melt: Composition) -> tuple[PublishedMelt, ...]:
    """The published melts within WITHIN of this one, the nearest first, MOST of them."""
    melt = melt.present
    own = dict(zip(melt.salts, melt.fractions, strict=True))
    rows = _of_pair(own, *melt.salts) if len(melt.salts) == 2 else _of_several(own)
    found = [row for row in rows if row.away <= WITHIN]
    return tuple(sorted(found, key=lambda row: (not row.sure, round(row.away, 4)))[:MOST])


def _of_pair(own: Mapping[str, float], a: str, b: str) -> Iterable[PublishedMelt]:
    """Published points of a pair that have a place and were not withdrawn."""
    meetings = [(row, row.kind) for row in invariants(a, b) if row.kind in STARTS]
    for row, kind in (*meetings, *((row, "liquidus") for row in liquidus_points(a, b))):
        if row.x_b is not None and row.T_K is not None and row.T_sigma_K is not None and row.use != "no":
            yield _melt(own, row, kind, (a, b), (1 - row.x_b, row.x_b))


def _of_several(own: Mapping[str, float]) -> Iterable[PublishedMelt]:
    for row in ternary_points(*own):
        if row.fractions and row.kind in STARTS:
            yield _melt(own, row, row.kind, row.salts, row.fractions)


def _melt(own: Mapping[str, float], row, kind: str, salts: tuple[str, ...], x: tuple[float, ...]) -> PublishedMelt:
    away = max(abs(own[f] - fraction) for f, fraction in zip(salts, x, strict=True))
    sure = not row.caveat.startswith("unsure")
    return PublishedMelt(kind, salts, x, row.T_K, row.T_sigma_K, away, row.source, row.use != "no", sure)


def published_warnings(rows: Iterable[PublishedMelt], computed: Liquidus) -> list[str]:
    """One line where a sure published melt starts to freeze clearly above the computed liquidus; none elsewhere."""
    above = [row for row in rows if computed.known and row.sure and row.T_K > computed.T_K + CLEARLY_K]
    if not above:
        return []
    row = max(above, key=lambda near: near.T_K)
    return [
        f"a published melt {100 * row.away:.1f} mol% away starts to freeze at {celsius(row.T_K):.0f} deg C, "
        f"{row.T_K - computed.T_K:.0f} K above the computed value: count the superheat from there"
    ]
