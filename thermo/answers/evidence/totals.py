"""How well the computed melts agree with what was published: totals by family, and what bears on one melt.

A tally of n rows gives the median of |found - published|, the share within two tolerances and within 1, 2 and 1.645
standard deviations (68, 95 and 90 % if the sigmas are true and the errors normal), and the root mean square of the
differences in sigmas, which is 1 for true sigmas. Sorts of evidence, from weak to strong:
    fitted      invariants and densities of the pairs: the fit has seen them
    left out    the same pairs predicted without their own rows (fitting/leave_out)
    fitted      melts of three and more salts too: the joint update has seen them; what leaving them out gives prints
                tests/benchmarks/left_out_melts.py, its figures stand in data/DECISIONS.md
Limits: rows marked unsure or withdrawn are shown but not counted. Units: K, and per cent of the density.
Worked value: differences of 1, -3 and 10 K with tolerance 8 K: median 3 K, two thirds within.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Protocol, TypeVar

import numpy as np

from thermo.answers.evidence.densities import DensityComparison, density_evidence
from thermo.answers.evidence.melts import (
    MeltComparison,
    MeltNotCompared,
    all_lowest_evidence,
    compare_melt,
    lowest_evidence,
    melt_evidence,
    one_melt,
    published_sets,
)
from thermo.answers.evidence.pairs import (
    NotCompared,
    PairComparison,
    all_pair_evidence,
    one_invariant,
    pair_evidence,
    published_pairs,
)
from thermo.fitting.leave_out import all_left_out_densities, all_left_out_points
from thermo.fitting.priors.size_rule import family as pair_family
from thermo.laws.excess_volume import family as volume_family
from thermo.records.published import ternary_points
from thermo.records.remembered import remembered
from thermo.records.substances import salt
from thermo.records.units import NINETY

Compared = TypeVar("Compared", PairComparison, MeltComparison)
ANIONS = {"F": "fluorides", "Cl": "chlorides"}


class Row(Protocol):
    """What a tally needs of a comparison."""

    @property
    def salts(self) -> tuple[str, ...]:
        """The salts of the melt."""

    @property
    def difference(self) -> float:
        """Found less published, K or per cent."""

    @property
    def sigmas(self) -> float:
        """The difference in standard deviations of both sides together."""

    @property
    def counted(self) -> bool:
        """Whether the row counts in totals."""

    @property
    def within_sources(self) -> bool | None:
        """Whether what was found lies in the spread of the sources; None where that is not asked."""


@dataclass(frozen=True)
class Tally:
    """Totals of one family of rows: shares from 0 to 1; median, close and far in the unit of the rows.

    within_sources: share within `close` or, failing that, inside the spread of the sources; None where rows have none.
    """

    family: str
    count: int
    median: float
    mean: float
    close: float
    far: float
    within_close: float
    within_sources: float | None
    within_far: float
    one_sigma: float
    two_sigmas: float
    ninety: float
    rms_sigmas: float


@dataclass(frozen=True)
class Section:
    """One sort of evidence: title, unit, whether a fit saw the rows, tallies by family with the total first."""

    key: str
    title: str
    unit: str
    seen: str
    tallies: tuple[Tally, ...]


@dataclass(frozen=True)
class Nearby:
    """What was published on a melt's salts: their pairs, melts of these salts, their lowest melt, densities."""

    pairs: tuple[PairComparison | NotCompared, ...]
    melts: tuple
    lowest: MeltComparison | None
    densities: tuple[DensityComparison, ...]


def family_name(salts: Sequence[str]) -> str:
    """'alkali + divalent chlorides', '3 fluorides', or 'fluorides with chlorides'."""
    anions = {salt(f).anion for f in salts}
    if len(anions) > 1:
        return "fluorides with chlorides"
    name = ANIONS[anions.pop()]
    if len(salts) > 2:
        return f"{len(salts)} {name}"
    first, second, _ = pair_family(*salts)
    return f"{first} + {second} {name}"


def tally(family: str, rows: Sequence[Row], close: float, far: float) -> Tally:
    """Totals of at least one row, all counted; ValueError for none."""
    if not rows:
        raise ValueError(f"tally of {family}: no rows")
    difference = np.abs([row.difference for row in rows])
    sigmas = np.abs([row.sigmas for row in rows])
    inside = [
        d <= close or row.within_sources
        for d, row in zip(difference.tolist(), rows, strict=True)
        if row.within_sources is not None
    ]
    return Tally(
        family=family,
        count=len(rows),
        median=float(np.median(difference)),
        mean=float(np.mean(difference)),
        close=close,
        far=far,
        within_close=_share(difference <= close),
        within_sources=_share(inside) if len(inside) == len(rows) else None,
        within_far=_share(difference <= far),
        one_sigma=_share(sigmas <= 1),
        two_sigmas=_share(sigmas <= 2),
        ninety=_share(sigmas <= NINETY),
        rms_sigmas=float(np.sqrt(np.mean(sigmas**2))),
    )


def _share(which: Iterable[bool]) -> float:
    return float(np.mean(list(which)))


def tallies(rows: Iterable[Row], close: float, far: float, name: Callable = family_name) -> tuple[Tally, ...]:
    """The total, then one tally a family in alphabetical order; rows that do not count are left out."""
    counted = [row for row in rows if row.counted]
    families: dict[str, list[Row]] = {}
    for row in counted:
        families.setdefault(name(row.salts), []).append(row)
    total = [tally("all", counted, close, far)] if counted else []
    return (*total, *(tally(family, families[family], close, far) for family in sorted(families)))


def compared(rows: Iterable[Compared | NotCompared | MeltNotCompared]) -> list[Compared]:
    """The rows that could be compared."""
    return [row for row in rows if not isinstance(row, NotCompared | MeltNotCompared)]


def _volume_family(salts: Sequence[str]) -> str:
    return volume_family(*salts) if len(salts) == 2 else f"{len(salts)} {ANIONS[salt(salts[0]).anion]}"


@dataclass(frozen=True)
class _Sort:
    """What a section is made of; close and far as in Tally."""

    title: str
    unit: str
    seen: str
    close: float
    far: float
    rows: Callable[[], Sequence[Row]]


_SECTIONS = {
    "pairs": _Sort("melting points of pairs", "K", "fitted", 8.0, 20.0, lambda: compared(all_pair_evidence())),
    "pairs_left_out": _Sort("melting points of pairs, each pair left out", "K", "left out", 25.0, 100.0,
                            all_left_out_points),
    "melts": _Sort("melts of three and more salts, at their composition", "K", "fitted", 15.0, 25.0,
                   lambda: compared(melt_evidence())),
    "lowest": _Sort("lowest melts of three and more salts", "K", "fitted", 10.0, 25.0, all_lowest_evidence),
    "densities": _Sort("densities of mixed melts", "%", "fitted", 1.0, 2.0, density_evidence),
    "densities_left_out": _Sort("densities of mixed melts, each pair left out", "%", "left out", 1.5, 3.0,
                                all_left_out_densities),
}  # fmt: skip
SECTIONS = tuple(_SECTIONS)


def pieces(key: str) -> tuple[Callable[[], object], ...]:
    """What a sort of evidence is worked out from, piece by piece, each kept: for who wants to see how far it is."""
    if key == "pairs":
        return tuple(partial(pair_evidence, *pair) for pair in published_pairs())
    if key == "melts":
        return tuple(partial(compare_melt, point) for point in ternary_points())
    return tuple(partial(lowest_evidence, *names) for names in published_sets()) if key == "lowest" else ()


@remembered
def section(key: str) -> Section:
    """One sort of evidence by its key in SECTIONS. 'pairs' and 'lowest' take some seconds the first time."""
    sort = _SECTIONS[key]
    name = _volume_family if sort.unit == "%" else family_name
    return Section(key, sort.title, sort.unit, sort.seen, tallies(sort.rows(), sort.close, sort.far, name))


def disputes(rows: Iterable, one: Callable) -> list[tuple]:
    """Points on which sources differ by more than their sigmas allow, each with all its rows, coldest first.

    one(first, second) says whether two rows mean the same point. Two values differ when they lie further apart than
    2 sqrt(sigma_1^2 + sigma_2^2); the first and the last of a point are compared. Withdrawn rows are shown too.
    """
    left, found = list(rows), []
    while left:
        first = left[0]
        group = [row for row in left if row is first or (set(row.salts) == set(first.salts) and one(first, row))]
        left = [row for row in left if all(row is not member for member in group)]
        group.sort(key=lambda row: row.point.T_K)
        low, high = group[0].point, group[-1].point
        gap, allowed = high.T_K - low.T_K, 2 * float(np.hypot(low.T_sigma_K, high.T_sigma_K))
        if gap > allowed:
            found.append(tuple(group))
    return found


def all_disputes() -> list[tuple]:
    """Disputed invariants of pairs, then disputed melts of more salts."""
    pairs = disputes(compared(all_pair_evidence()), one_invariant)
    return pairs + disputes(compared(melt_evidence()), one_melt)


def disputes_near(salts: Sequence[str]) -> list[tuple]:
    """Disputed points among those published on a melt of these salts."""
    found = nearby(salts)
    return disputes(compared(found.pairs), one_invariant) + disputes(compared(found.melts), one_melt)


def nearby(salts: Sequence[str]) -> Nearby:
    """Everything published on a melt of these salts, compared; the lowest melt for three salts and more only."""
    names = tuple(salts)
    pairs = [row for i, a in enumerate(names) for b in names[i + 1 :] for row in pair_evidence(a, b)]
    several = len(names) > 2
    return Nearby(
        pairs=tuple(pairs),
        melts=melt_evidence(*names) if several else (),
        lowest=lowest_evidence(*sorted(names)) if several else None,
        densities=density_evidence(*sorted(names)) if len(names) > 1 else (),
    )
