"""What the program would say of published melts of several salts had nobody measured them; prints, no demand.

    python -m tests.benchmarks.left_out_melts [MODE ...]      MODE: unfitted, system, kin, point, fitted; default all

Each mode leaves some equations out of the joint update (fitting/joint), solves it again and compares every published
melt that is not marked unsure:
    unfitted    no melt is used: pairs and the preference term alone
    system      without the melts of exactly these salts
    kin         without every melt that shares three salts with it
    point       without this melt and its doubles (0.4 mol%)
    fitted      with all, as the program answers
Melts that the update leaves aside are named with the cause; differences are told without and with them. The pairs keep
their own points; compounds of three salts keep the temperature at which they melt, and their energies are fitted anew
to it (to a melt they freeze from only where that is used). T_here: the computed start of freezing at the
composition; T_near: the coldest melt within 3 mol%; lowest: the coldest melt of the salts against the coldest
published. Coverage: share inside the stated 90 % band (that of T_here reaches down to T_near's), the published error
counted.
"""

import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from thermo.answers.evidence.melts import coldest
from thermo.equilibrium.freezing.liquidus import liquidus_sigma
from thermo.equilibrium.invariants.coldest_near import Coldest, coldest_near, coldest_sigma
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.fitting.compound_fit import fitted_energies, freezes_first_from
from thermo.fitting.joint.update import Assembly, base_terms, equations, melts, section_melts
from thermo.fitting.priors.ternary_terms import expected_terms, unmeasured_melts
from thermo.laws.solid_solution import simplex_grid
from thermo.records.fitted import pair_fits
from thermo.records.joint import JointUpdate
from thermo.records.parameters import Parameter
from thermo.records.published import MeltPoint, ternary_points
from thermo.records.ternary_terms import ALUMINIUM, is_mixing
from thermo.records.triple_salts import TripleEnergy, triple_energies, triple_salts

DOUBLE = 0.004
NINETY = 1.645
MEETINGS = ("eutectic", "lowest found", "minimum")
PLACES = ("saddle", "liquidus", "congruent")
LEFT_BY_HAND = "left out of the joint update"
WHY = {  # by temperature, K
    723.15: "digits restored from the scan; NaCl-CaCl2 melts 50 K higher, too far for 4.5 mol% BaCl2",
    894.15: "NaF-RbF is published at 675 and 644 C: between the two laboratories, 5 mol% KF apart",
    1178.15: "its MgF2 lies 6.5 kJ/mol from balance; the saddle beside it is 910 C here, 900 in ORNL-2061",
    1045.15: "its CaF2 lies 8 kJ/mol from balance while NaF fits: a misprinted composition is likely",
    763.15: "by hand: K3AlF6 at 1.5 mol% AlF3 contradicts the other melts of its table by 6 kJ/mol",
}
MODES = ("unfitted", "system", "kin", "point", "fitted")


@dataclass(frozen=True)
class Row:
    """One published melt: differences (K) and standard deviations of T_here and T_near."""

    point: MeltPoint
    here: float
    here_sigma: float
    near: float
    near_sigma: float

    @property
    def aluminium(self) -> bool:
        return "AlF3" in self.point.salts

    @property
    def low_sigma(self) -> float:
        """Downward standard deviation of T_here: it reaches as low as the band of T_near (start_of_freezing)."""
        return max(self.here_sigma, (self.here - self.near) / NINETY + self.near_sigma)

    @property
    def here_band(self) -> tuple[float, float, float]:
        """Difference, the standard deviation of its side, published sigma."""
        return self.here, self.low_sigma if self.here > 0 else self.here_sigma, self.point.T_sigma_K


def left_in(mode: str, point: MeltPoint) -> Callable[[MeltPoint], bool]:
    """Which melts the update may use when `point` is asked about."""
    own = dict(zip(point.salts, point.fractions, strict=False))

    def double(other: MeltPoint) -> bool:
        if set(other.salts) != set(point.salts) or not own or not other.fractions:
            return False
        return max(abs(own[f] - x) for f, x in zip(other.salts, other.fractions, strict=True)) < DOUBLE

    return {
        "unfitted": lambda other: False,
        "system": lambda other: set(other.salts) != set(point.salts),
        "kin": lambda other: len(set(other.salts) & set(point.salts)) < 3,
        "point": lambda other: not double(other),
        "fitted": lambda other: True,
    }[mode]


class LeaveOut:
    """Systems with the update of some of the melts; each update and system is built once."""

    def __init__(self, refit: bool = True):
        self.refit = refit
        self.whole = Assembly(equations([*melts(), *section_melts()]))
        self.terms = base_terms(ternary_points())
        self.sound = self.whole.sound()
        self._updates: dict[tuple, JointUpdate] = {}
        self._systems: dict[tuple, SaltSystem] = {}

    def system(self, salts: Sequence[str], keep: Callable[[MeltPoint], bool]) -> SaltSystem:
        used = tuple(n for n in self.sound if keep(self.whole.melts[n].point))
        if used not in self._updates:
            self._updates[used] = self.whole.update(used)
        key = (tuple(salts), used)
        if key not in self._systems:
            kept = {frozenset(t) for n in used for t in combinations(self.whole.melts[n].point.salts, 3)}
            self._systems[key] = self._shifted(salts, self._updates[used], kept, keep)
            own = {frozenset(self.whole.melts[n].point.salts) for n in used}
            self._systems[key].measured = [names for names in own if names <= set(salts)]
        return self._systems[key]

    def left_aside(self) -> list[MeltPoint]:
        """Sure melts that the update leaves aside, by itself or by hand."""
        out = [own.point for n, own in enumerate(self.whole.melts) if not self.whole.agrees(n)]
        by_hand = [p for p in ternary_points() if LEFT_BY_HAND in p.caveat]
        return [p for p in (*out, *by_hand) if not p.unsure and p.kind != "congruent"]

    def _terms(self, salts: Sequence[str], kept: set[frozenset]) -> dict:
        """Terms before the update: of AlF3 beside salts of which no melt is kept those of sets nobody measured."""
        blind = [names for names in map(frozenset, combinations(salts, 3)) if ALUMINIUM in names and names not in kept]
        found = {key: value for key, value in self.terms.items() if key[0] not in blind or is_mixing(key[1])}
        for names in blind:
            if names in unmeasured_melts(()):
                found |= expected_terms(names, pair_fits())
        return found

    def _shifted(
        self, salts: Sequence[str], update: JointUpdate, kept: set[frozenset], keep: Callable[[MeltPoint], bool]
    ) -> SaltSystem:
        def shift(owner: frozenset, parameter: Parameter | str) -> float:
            at = update.place.get((owner, parameter))
            return 0.0 if at is None else float(update.shift[at])

        models: Mapping = {
            pair: replace(m, values=m.values + np.array([shift(pair, p) for p in m.parameters]))
            for pair, m in pair_fits().items()
            if pair <= set(salts)
        }
        terms = {key: (value + shift(*key), sigma) for key, (value, sigma) in self._terms(salts, kept).items()}
        energies = self._energies(salts, models, terms, keep)
        return SaltSystem(salts, models, terms=terms, compounds=energies, joint=update)

    def _energies(
        self, salts: Sequence[str], models: Mapping, terms: Mapping, keep: Callable[[MeltPoint], bool]
    ) -> list[TripleEnergy]:
        """Compounds of three salts, their energies fitted anew beside these laws; from a melt only where it is kept."""
        known = [c for c in triple_salts().values() if set(c.stoichiometry) <= set(salts)]
        told = [c for c in known if c.T_K is not None or ((p := freezes_first_from(c)) is not None and keep(p))]
        return fitted_energies(told, models, terms) if self.refit else list(triple_energies())


def compare(system: SaltSystem, point: MeltPoint) -> Row:
    x = np.array(point.fractions) / sum(point.fractions)
    at = Melts(system, x[None, :])
    solid, T_K, y = at.first_solid()
    near = coldest_near(system, x)
    sigmas = liquidus_sigma(system, at, solid, T_K, y), coldest_sigma(system, near)
    return Row(point, T_K - point.T_K, sigmas[0], near.T_K - point.T_K, sigmas[1])


def lowest_of(system: SaltSystem) -> Coldest:
    """The coldest melt, from the coldest points of a grid."""
    grid = np.clip(simplex_grid(len(system.salts), 30 if len(system.salts) == 3 else 16), 1e-4, None)
    grid /= grid.sum(axis=1, keepdims=True)
    T = Melts(system, grid).liquidus()[0]
    starts: list[np.ndarray] = []
    for n in np.argsort(T):
        if all(np.abs(grid[n] - other).sum() > 0.2 for other in starts):
            starts.append(grid[n])
        if len(starts) == 3:
            break
    return min((coldest_near(system, x, within=0.15, most=np.inf) for x in starts), key=lambda found: found.T_K)


def spread(values: Sequence[float]) -> str:
    away = np.abs(values)
    if not len(away):
        return "none"
    return f"{np.median(away):5.1f} / {np.quantile(away, 0.9):5.1f} K, mean {away.mean():5.1f} (n {len(away)})"


def covered(rows: Sequence[tuple[float, float, float]]) -> str:
    """Share of (difference, sigma, published sigma) inside the 90 % band, and the median sigma."""
    if not rows:
        return "none"
    d, s, p = np.array(rows).T
    inside = np.abs(d) <= NINETY * np.hypot(s, p)
    return f"{inside.mean():.0%} of {len(d)}, median sigma {np.median(s):.0f} K"


def scored(tool: LeaveOut) -> list[MeltPoint]:
    """The melts that count: used by the update, not unsure, no section that fitted a term."""
    points = [tool.whole.melts[n].point for n in tool.sound]
    return [p for p in points if p.use == "no" and not p.unsure and p.kind != "congruent"]


def coldest_melts(tool: LeaveOut, mode: str) -> list[tuple[MeltPoint, Coldest, SaltSystem]]:
    """The coldest published melt of each set of one anion, the coldest computed, the laws it was computed with."""
    sets = dict.fromkeys(tuple(sorted(p.salts)) for p in ternary_points())
    found = []
    for names in sets:
        point = coldest(ternary_points(*names))
        if point and len({"Cl" in f for f in point.salts}) == 1:
            system = tool.system(point.salts, left_in(mode, point))
            found.append((point, lowest_of(system), system))
    return found


def report(mode: str, tool: LeaveOut) -> None:
    asked = scored(tool)
    rows = [compare(tool.system(p.salts, left_in(mode, p)), p) for p in asked]
    plain = [r for r in rows if not r.aluminium]
    baths = [r for r in rows if r.aluminium]
    print(f"\n{mode}")
    print("  T_near at published eutectics     ", spread([r.near for r in plain if r.point.kind in MEETINGS]))
    print("  T_here at saddles, liquidus points", spread([r.here for r in plain if r.point.kind in PLACES]))
    print("  T_here of all                     ", spread([r.here for r in plain]))
    print("  T_here of AlF3 melts              ", spread([r.here for r in baths]))
    cold = coldest_melts(tool, mode)
    aside = [compare(tool.system(p.salts, left_in(mode, p)), p) for p in tool.left_aside()]
    every = [*plain, *(row for row in aside if not row.aluminium)]
    print("  with those left aside: T_near     ", spread([r.near for r in every if r.point.kind in MEETINGS]))
    print("                         T_here     ", spread([r.here for r in every]))
    print("  lowest melts                      ", spread([found.T_K - p.T_K for p, found, _ in cold]))
    print("  printed sigma of T_here, median    ", f"{np.median([r.here_sigma for r in plain]):.0f} K")
    print("  inside the 90 % band:")
    lows = [(f.T_K - p.T_K, coldest_sigma(system, f), p.T_sigma_K) for p, f, system in cold]
    families = {
        "lowest melts": lows,
        "T_near": [(r.near, r.near_sigma, r.point.T_sigma_K) for r in plain if r.point.kind in MEETINGS],
        "T_here of chlorides": [r.here_band for r in plain if "Cl" in r.point.salts[0]],
        "T_here of fluorides": [r.here_band for r in plain if "F" in r.point.salts[0]],
        "T_here of AlF3 melts": [r.here_band for r in baths],
    }
    for name, own in families.items():
        print(f"    {name:24s}", covered(own))


def main() -> None:
    tool = LeaveOut()
    for point in tool.left_aside():
        x = " ".join(f"{100 * x:.1f}" for x in point.fractions)
        print(f"left aside: {'-'.join(point.salts)} {x} at {point.T_K - 273.15:.0f} C; {WHY.get(point.T_K, '')}")
    for mode in sys.argv[1:] or MODES:
        report(mode, tool)


if __name__ == "__main__":
    main()
