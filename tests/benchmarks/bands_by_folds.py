"""What the bands of melts want, chosen on four fifths of the salt sets and judged on the last fifth; prints, no demand.

    python -m tests.benchmarks.bands_by_folds

Each surface of a melt of several salts has an error LEFT_J_mol of its own beside what is propagated
(records/ternary_terms). For each family the least error is taken with which 90 % of all readings (T_here, T_near and
lowest melts) of four fifths of the salt sets lie inside their 90 % bands; the readings of the last fifth are counted,
with the interval that their number leaves (Clopper & Pearson 1934, 95 %). Sets that nobody measured are few and each
strays as a whole (seven with AlF3): there 90 % must lie inside in every set of the four fifths.
The melts are those of left_out_melts: the sets asked about are left out of the update (chlorides, fluorides, AlF3
without rows of its own), or the melt alone (AlF3 in sets with rows of their own).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from unittest.mock import patch

import numpy as np
from scipy.stats import beta

from tests.benchmarks.left_out_melts import MEETINGS, NINETY, LeaveOut, Row, coldest_melts, compare, left_in, scored
from thermo.equilibrium.invariants.coldest_near import coldest_sigma
from thermo.equilibrium.system import one_anion
from thermo.records.published import MeltPoint
from thermo.records.ternary_terms import ALUMINIUM, BLIND, LEFT_J_mol

FOLDS, WANTED, STEP_J_mol, MOST_J_mol = 5, 0.90, 50.0, 3000.0
UNIT_J_mol = 1000.0
SHOWN = (0, 250, 500, 750, 1000, 1500)
HERE, NEAR, LOWEST = "T_here", "T_near", "lowest"


@dataclass(frozen=True)
class Reading:
    """One left-out reading: the melt without and with UNIT_J_mol, difference and published sigma, K."""

    what: str
    family: str
    fold: int
    bare: Row
    wide: Row
    difference: float
    published: float

    def inside(self, left_J_mol: float) -> bool:
        """Whether the 90 % band holds the published value with this error of a surface."""
        share = (left_J_mol / UNIT_J_mol) ** 2

        def between(low: float, high: float) -> float:
            return float(np.sqrt(low**2 + share * max(high**2 - low**2, 0.0)))

        near = between(self.bare.near_sigma, self.wide.near_sigma)
        if self.what != HERE:
            return abs(self.difference) <= NINETY * float(np.hypot(near, self.published))
        here = between(self.bare.here_sigma, self.wide.here_sigma)
        row = Row(self.bare.point, self.bare.here, here, self.bare.near, near)
        away, sigma, published = row.here_band
        return abs(away) <= NINETY * float(np.hypot(sigma, published))


def with_left(value: float):
    """The same program with one error of a surface for every family."""
    return patch.object(one_anion, "LEFT_J_mol", dict.fromkeys(LEFT_J_mol, value))


def readings(tool: LeaveOut) -> list[Reading]:
    """All left-out readings."""
    found = []
    points = scored(tool)
    for family, mode, own in families(points):
        folds = fold_of(own, by_melt=mode == "point")
        for point in own:
            system = tool.system(point.salts, left_in(mode, point))
            with with_left(0.0):
                bare = compare(system, point)
            with with_left(UNIT_J_mol):
                wide = compare(system, point)
            fold = folds[point]
            found.append(Reading(HERE, family, fold, bare, wide, bare.here, point.T_sigma_K))
            if point.kind in MEETINGS and ALUMINIUM not in point.salts:
                found.append(Reading(NEAR, family, fold, bare, wide, bare.near, point.T_sigma_K))
    for point, coldest, system in coldest_melts(tool, "system"):
        family = family_of(point)
        if family == ALUMINIUM:
            continue
        rows = []
        for value in (0.0, UNIT_J_mol):
            with with_left(value):
                rows.append(Row(point, 0.0, 0.0, 0.0, coldest_sigma(system, coldest)))
        fold = fold_of([*points, point], by_melt=False)[point]
        found.append(Reading(LOWEST, family, fold, *rows, coldest.T_K - point.T_K, point.T_sigma_K))
    return found


def family_of(point: MeltPoint) -> str:
    return ALUMINIUM if ALUMINIUM in point.salts else "Cl" if "Cl" in point.salts[0] else "F"


def families(points: Sequence[MeltPoint]) -> list[tuple[str, str, list[MeltPoint]]]:
    """Name, what is left out, melts."""
    by: dict[str, list[MeltPoint]] = {}
    for point in points:
        by.setdefault(family_of(point), []).append(point)
    return [
        ("Cl", "system", by["Cl"]),
        ("F", "system", by["F"]),
        ("AlF3, set measured", "point", by[ALUMINIUM]),
        (BLIND, "system", by[ALUMINIUM]),
    ]


def fold_of(points: Sequence[MeltPoint], by_melt: bool) -> Mapping[MeltPoint, int]:
    """Folds in turn over the sets of salts, or over melts."""
    names = [str(p.salts) + str(p.fractions) * by_melt if by_melt else str(sorted(p.salts)) for p in points]
    order = {name: n % FOLDS for n, name in enumerate(sorted(set(names)))}
    return {point: order[name] for point, name in zip(points, names, strict=True)}


def chosen(rows: Sequence[Reading], by_set: bool = False) -> float:
    """The least error of a surface with which WANTED of these readings lie inside, or `by_set` of those of each set.

    MOST_J_mol where none does.
    """
    groups: dict[frozenset, list[Reading]] = {}
    for row in rows:
        groups.setdefault(frozenset(row.bare.point.salts) if by_set else frozenset(), []).append(row)
    for value in np.arange(0.0, MOST_J_mol + STEP_J_mol, STEP_J_mol):
        if all(np.mean([row.inside(float(value)) for row in own]) >= WANTED for own in groups.values()):
            return float(value)
    return MOST_J_mol


def counted(inside: Sequence[bool]) -> str:
    """Share inside, of how many, and between which shares the truth lies in nineteen cases of twenty."""
    k, n = sum(inside), len(inside)
    low = beta.ppf(0.025, k, n - k + 1) if k else 0.0
    high = beta.ppf(0.975, k + 1, n - k) if k < n else 1.0
    return f"{k / n:.0%} of {n} ({low:.0%} to {high:.0%})"


def main() -> None:
    rows = readings(LeaveOut())
    for family in dict.fromkeys(row.family for row in rows):
        own = [row for row in rows if row.family == family]
        by_set = family == BLIND
        values = [chosen([row for row in own if row.fold != fold], by_set) for fold in range(FOLDS)]
        everything = chosen(own, by_set)
        print(f"\n{family}: on four fifths {', '.join(f'{v:.0f}' for v in values)}; on all {everything:.0f} J/mol")
        for what in dict.fromkeys(row.what for row in own):
            read = [row for row in own if row.what == what]
            left_out = counted([row.inside(values[row.fold]) for row in read])
            grid = "  ".join(
                f"{v}: {np.mean([row.inside(v) for row in read]):.0%}" for v in (0, 250, 500, 750, 1000, 1500)
            )
            print(f"  {what:7s} inside on the fifth left out {left_out};  with J/mol  {grid}")


if __name__ == "__main__":
    main()
