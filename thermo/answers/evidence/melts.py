"""Published melts of three and more salts beside what is computed; the joint update has seen them (fitting/joint).

Two comparisons:
    at the composition   the computed liquidus of the published mix against the published temperature. At a eutectic the
                         computed liquidus is the highest of several uncertain surfaces, so it lies too high on average
    lowest melt          the computed lowest temperature of the salts against the coldest published one
Rows with a temperature alone are compared as lowest melts. Rows marked unsure, rows of salts outside the list and (for
the lowest melt) rows found on one section of the diagram are not counted.
sigmas = difference / sqrt(model sigma^2 + published sigma^2), K.
Limits: as equilibrium/freezing/liquidus. Worked value: LiF-NaF-KF 46.5/11.5/42 mol%: 454 and 462 deg C published.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from thermo.answers.evidence.start_of_freezing import start_of_freezing
from thermo.equilibrium.invariants.lowest import lowest
from thermo.records.composition import Composition
from thermo.records.provenance import InputError, RangeError
from thermo.records.published import MeltPoint, ternary_points
from thermo.records.remembered import remembered
from thermo.records.substances import salts

SAME_X = 0.03  # two sources mean one melt when no mole fraction differs by more
LOWEST_KINDS = ("eutectic", "minimum", "lowest found")
ON_A_SECTION = ("on the section", "on the same section")  # how a caveat begins when only one section was searched


@dataclass(frozen=True)
class MeltComparison:
    """One published melt and the computed temperature for it, K; way: 'liquidus' or 'lowest'."""

    point: MeltPoint
    way: str
    status: str
    found_K: float
    found_fractions: tuple[float, ...]
    model_sigma_K: float

    @property
    def salts(self) -> tuple[str, ...]:
        """The salts of the melt."""
        return self.point.salts

    @property
    def difference(self) -> float:
        """Found less published, K."""
        return self.found_K - self.point.T_K

    @property
    def sigmas(self) -> float:
        """Difference in standard deviations of both sides together."""
        return self.difference / float(np.hypot(self.model_sigma_K, self.point.T_sigma_K))

    @property
    def within_sources(self) -> bool | None:
        """None: the spread of the sources is asked of pairs alone."""
        return None

    @property
    def counted(self) -> bool:
        """Whether the row counts in totals: not unsure, and no fit but the joint update has seen it."""
        return self.point.use == "no" and not self.point.unsure


@dataclass(frozen=True)
class MeltNotCompared:
    """A published melt without a counterpart, and why."""

    point: MeltPoint
    reason: str


@remembered
def compare_melt(point: MeltPoint) -> MeltComparison | MeltNotCompared:
    """The computed liquidus at a published composition."""
    if unknown := [f for f in point.salts if f not in salts()]:
        return MeltNotCompared(point, f"{' and '.join(unknown)} not in the list of salts")
    if not point.fractions:
        return MeltNotCompared(point, "no composition published; its temperature counts as a lowest melt")
    total = sum(point.fractions)  # printed fractions add up to 1 only within rounding
    fractions = tuple(x / total for x in point.fractions)
    try:
        start = start_of_freezing(Composition(point.salts, fractions))
    except InputError as refusal:
        return MeltNotCompared(point, str(refusal))
    found = start.computed
    sigma = start.computed_sigma_low_K if found.T_K > point.T_K else found.sigma_K
    return MeltComparison(point, "liquidus", found.status, found.T_K, fractions, sigma)


@remembered
def melt_evidence(*names: str) -> tuple[MeltComparison | MeltNotCompared, ...]:
    """Every published melt, or those of exactly these salts in any order, at its composition."""
    return tuple(compare_melt(point) for point in ternary_points(*names))


def coldest(points: Iterable[MeltPoint]) -> MeltPoint | None:
    """The coldest published melt that may be its salts' lowest: sure, of a fitting kind, not from one section only."""
    fit = [
        p
        for p in points
        if p.kind in LOWEST_KINDS
        and not p.unsure
        and not p.caveat.startswith(ON_A_SECTION)
        and set(p.salts) <= set(salts())
    ]
    return min(fit, key=lambda p: p.T_K, default=None)


@remembered
def lowest_evidence(*names: str) -> MeltComparison | None:
    """The computed lowest melt of these salts against the coldest published one; None where nothing was published."""
    point = coldest(ternary_points(*names))
    if point is None:
        return None
    try:
        found = lowest(point.salts)
    except (InputError, RangeError):
        return None
    return MeltComparison(point, "lowest", found.status, found.T_K, found.fractions, found.sigma_K)


def published_sets() -> tuple[tuple[str, ...], ...]:
    """The sets of salts of the published melts of three and more, each once."""
    return tuple(dict.fromkeys(tuple(sorted(point.salts)) for point in ternary_points()))


def all_lowest_evidence() -> tuple[MeltComparison, ...]:
    """One row for every set of salts with a published lowest melt."""
    found = [lowest_evidence(*names) for names in published_sets()]
    return tuple(row for row in found if row is not None)


def one_melt(first: MeltComparison, second: MeltComparison) -> bool:
    """Whether two rows of the same salts speak of the same melt, within SAME_X in every mole fraction."""
    p, q = (dict(zip(row.salts, row.point.fractions, strict=True)) for row in (first, second))
    return set(p) == set(q) and all(abs(p[f] - q[f]) <= SAME_X for f in p)
