"""The solid half of a pair's phase diagram: solidus, horizontals, double salts, miscibility gaps.

The solidus and the horizontals where melt and two solids meet come from `solidus_curve`, what the solids alone do below
from `solid_chain`. Two solids share their span from the floor, or from where a double salt forms, up to the horizontal
where melt appears, the top of the gap, or the temperature where a double salt forms or falls apart without melt.
Uncertainty: horizontals from the fit's covariance; the ends of a gap from the covariance of the solid's coefficients
and, where melt is there, from the horizontal's own sigma, counted as independent. All linear.
Limits: stable melt (liquid_gap), at most one gap a solid solution; nothing below floor_K is computed, and solids hardly
react there. A salt with several polymorphs counts as one lattice in its solution; the notes name the transitions.
Worked value: NaCl-KCl: one solid solution, no horizontal, a gap below about 506 deg C and 39 mol% KCl.
"""

from collections.abc import Iterator

import numpy as np

from thermo.equilibrium.freezing.liquidus import WIDEST_K, pair_notes
from thermo.equilibrium.invariants.lines import End, FixedLine, Horizontal, PairSolids, SolidusBranch, TwoSolids
from thermo.equilibrium.invariants.pair import check_pair
from thermo.equilibrium.invariants.sigma import balance_sigma
from thermo.equilibrium.invariants.solid_chain import Change, Line, SolidChain, Stretch
from thermo.equilibrium.invariants.solidus_curve import Meeting, SolidusCurve, composed, name_beside
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.interface import System
from thermo.laws.gibbs import transitions
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import DoubleSolid, PureSolid, Solid
from thermo.laws.unmixing import CriticalPoint
from thermo.records.provenance import Origin
from thermo.records.remembered import remembered
from thermo.records.solid_solutions import solid_solution
from thermo.records.substances import salt
from thermo.records.units import celsius, kelvin

FLOOR_K = kelvin(250.0)
FLOOR_SHARE = 0.8  # of the lowest melting temperature, for pairs that melt below about 380 deg C
_LEVELS = 61  # temperatures of an outline
_EDGE = 1e-6  # of a line's span: inside the temperatures where it begins and ends
_NUDGE = 1e-5  # of a composition: dG/d(parameter) is a polynomial of third degree at most
_NEAREST = 0.02  # in sqrt((T_c - T) / span): the step next to a critical point
UNKNOWN = float("nan")


@remembered
def pair_solids(a: str, b: str) -> PairSolids:
    """The solid lines of the pair a-b; x counts b. InputError unless two different salts of one anion or one cation."""
    check_pair(a, b)
    return solids_below(salt_system((a, b)))


def solids_below(system: System) -> PairSolids:
    """The solid lines of any system of two salts."""
    return _Assembly(system).whole()


class _Assembly:
    """Puts the lines of one pair together."""

    def __init__(self, system: System):
        self.system, self.curve, self.chain = system, SolidusCurve(system), SolidChain(system)
        self.runs, self.meetings = self.curve.runs(), self.curve.meetings()
        self.found = [m for m in self.meetings if m is not None]
        self.floor_K = float(min(FLOOR_K, FLOOR_SHARE * self.curve.T.min()))
        self.pair = next(iter(system.pairs), None)  # none: a fluoride and a chloride without any data of theirs
        self.melts_at = self._melting_temperatures()
        stretches, changes = self.chain.history(self.floor_K, float(self.curve.T.max()))
        self.changes = [c for c in changes if self._without_melt(c)]
        begins = {self.floor_K, *(c.T_K for c in self.changes)}  # what begins elsewhere begins where all has melted
        self.stretches = [s for s in stretches if s.low_K in begins and s.low_K < self._ceiling(s.solids)]

    def _melting_temperatures(self) -> dict[tuple[int, ...], float]:
        """Where melt appears between two solids; no balance found: the lower end of what the curve shows."""
        found = {}
        for before, meeting, after in zip(self.runs, self.meetings, self.runs[1:], strict=False):
            solids = (before.solid, after.solid) if meeting is None else meeting.solids
            T_K = min(self.curve.T[before.stop], self.curve.T[after.start]) if meeting is None else meeting.T_K
            found[tuple(self.system.solids.index(solid) for solid in solids)] = float(T_K)
        return found

    def _ceiling(self, key: tuple[int, ...]) -> float:
        """Temperature above which these two solids have melt between them, inf where they never meet a melt."""
        return self.melts_at.get(key, np.inf)

    def _without_melt(self, change: Change) -> bool:
        first, middle, last = change.solids
        return all(self._ceiling(key) >= change.T_K for key in ((first, middle), (middle, last), (first, last)))

    def whole(self) -> PairSolids:
        """Everything; horizontals from the highest down."""
        horizontals = [self._melting(m) for m in self.found] + [self._solid_change(c) for c in self.changes]
        horizontals += [h for solid in self.system.solids for h in self._transitions(solid)]
        doubles = [(n, solid) for n, solid in enumerate(self.system.solids) if isinstance(solid, DoubleSolid)]
        first, second = self.system.salts
        return PairSolids(
            salts=(first, second),
            solidus=self._solidus(),
            horizontals=tuple(sorted(horizontals, key=lambda h: -h.T_K)),
            regions=tuple(self._region(stretch) for stretch in self.stretches),
            doubles=tuple(line for n, solid in doubles for line in self._double(n, solid)),
            floor_K=self.floor_K,
            status=self.system.status,
            gap_status=self._gap_status(),
            notes=(*pair_notes(self.system), *self._notes()),
        )

    def _shares(self, n: int, x: float, T_K: float) -> np.ndarray:
        """dG/d(parameter) of a solid at composition x, for every parameter of the pair."""
        if self.pair is None:
            raise LookupError(f"{'-'.join(self.system.salts)}: no pair, so its solids have no parameters")
        solid, y = self.system.solids[n], np.array([1 - x, x])
        return np.array([solid.share(self.pair.salts, one, T_K, y) for one in self.pair.parameters])

    def _end_sigmas(self, line: Line, T_K: float, T_sigma: float) -> np.ndarray:
        """Standard deviations of both ends of a line at a temperature that is itself known to T_sigma."""
        if not set(line.solids) & set(self.chain.mixings):
            return np.zeros(2)
        ends = list(zip(line.solids, (line.left, line.right), strict=True))
        values = np.array([self._shares(n, x, T_K) for n, x in ends])
        above, below = (np.array([self._shares(n, x + step, T_K) for n, x in ends]) for step in (_NUDGE, -_NUDGE))
        moves = self.chain.end_moves(line, T_K, values, (above - below) / (2 * _NUDGE))
        by_T = self.chain.end_moves_by_T(line, T_K)
        own = [self.system.variance([move], np.zeros(2)) for move in moves]
        return np.sqrt(np.array(own) + (by_T * T_sigma) ** 2)

    def _top_sigma(self, n: int, point: CriticalPoint) -> float:
        """Standard deviation of a critical temperature, where d2g/dx2 = 0 and a shift of x does not matter, K."""
        step = 100 * _NUDGE
        above, here, below = (self._shares(n, point.x + way * step, point.T_K) for way in (1, 0, -1))
        mixing = self.chain.mixings[n]
        by_T = float(mixing.curvature(point.x, point.T_K + 1.0) - mixing.curvature(point.x, point.T_K))
        gradient = (above - 2 * here + below) / step**2 / by_T
        return min(float(np.sqrt(self.system.variance([gradient], np.zeros(2)))), WIDEST_K)

    def _melting(self, meeting: Meeting) -> Horizontal:
        first, second = (self.system.solids.index(s) for s in meeting.solids)
        sigmas = self._end_sigmas(Line((first, second), *meeting.shares), meeting.T_K, meeting.sigma_K)
        ends = zip(meeting.names, meeting.shares, sigmas.tolist(), strict=True)
        return Horizontal(meeting.kind, meeting.T_K, meeting.sigma_K, meeting.x, tuple(End(*end) for end in ends))

    def _solid_change(self, change: Change) -> Horizontal:
        solids = tuple(self.system.solids[n] for n in change.solids)
        first, middle, last = change.xs
        lever = (last - middle) / (last - first)
        parts = [composed(solid, x) for solid, x in zip(solids, change.xs, strict=True)]
        melt = np.array([1 - middle, middle])  # any would do: with these weights its share cancels
        sigma = balance_sigma(self.system, melt, change.T_K, parts, (lever, -1.0, 1 - lever))
        left = self._end_sigmas(Line(change.solids[:2], first, middle), change.T_K, sigma)[0]
        right = self._end_sigmas(Line(change.solids[1:], middle, last), change.T_K, sigma)[1]
        names = [name_beside(solid, x) for solid, x in zip(solids, change.xs, strict=True)]
        ends = zip(names, change.xs, (float(left), 0.0, float(right)), strict=True)
        kind = "eutectoid" if change.stable_above else "peritectoid"
        return Horizontal(kind, change.T_K, sigma, UNKNOWN, tuple(End(*end) for end in ends))

    def _transitions(self, solid: Solid) -> Iterator[Horizontal]:
        """Changes of form of a pure salt, drawn to the solid or melt beside it."""
        if not isinstance(solid, PureSolid):
            return
        n, own = self.system.solids.index(solid), float(solid.index == self.system.own[1])
        for T_K, below, above in transitions(solid.name):
            if not self.floor_K < T_K < self.system.melting_K[solid.index]:
                continue
            (line,) = (line for line in self.chain.lines(T_K) if n in line.solids)
            end = End(f"{solid.name} {below}/{above}", own, 0.0)
            if self._ceiling(line.solids) > T_K:
                beside = int(line.solids[0] == n)
                x = (line.left, line.right)[beside]
                name = name_beside(self.system.solids[line.solids[beside]], x)
                ends = sorted((end, End(name, x, 0.0)), key=lambda e: e.x)
                yield Horizontal("transition", T_K, UNKNOWN, UNKNOWN, tuple(ends))
            else:
                run = self.runs[0 if own == 0 else -1]
                at = np.arange(run.start, run.stop + 1)[:: -1 if own == 0 else 1]
                x = float(np.interp(T_K, self.curve.T[at], self.curve.x[at]))
                yield Horizontal("transition", T_K, UNKNOWN, x, (end,))

    def _solidus(self) -> tuple[SolidusBranch, ...]:
        found = []
        for run, before, after in zip(self.runs, [None, *self.meetings], [*self.meetings, None], strict=True):
            if not isinstance(run.solid, SolutionSolid):
                continue
            at = slice(run.start, run.stop + 1)
            rows = [np.stack([self.curve.x[at], self.curve.y[at], self.curve.T[at]])]
            for meeting, place, inner in ((before, 0, run.start), (after, 1, run.stop)):
                if meeting is not None:
                    _, y = min((abs(share - self.curve.y[inner]), share) for share in meeting.shares)
                    rows.insert(len(rows) * place, np.array([[meeting.x], [y], [meeting.T_K]]))
            x, y, T = np.hstack(rows)
            middle = float(np.median(y))
            name = (
                run.solid.label(np.array([1 - middle, middle]))
                if len(self.runs) == 1
                else run.solid.chief(np.array([1 - middle, middle]))
            )
            found.append(SolidusBranch(name, x, y, T))
        return tuple(found)

    def _region(self, stretch: Stretch) -> TwoSolids:
        ceiling = self._ceiling(stretch.solids)
        closes = stretch.closes and stretch.high_K < ceiling
        low, high = stretch.low_K, min(stretch.high_K, ceiling)
        edge = _EDGE * (high - low)
        if closes:
            T = high - (high - low - edge) * np.linspace(1.0, _NEAREST, _LEVELS) ** 2  # a cap is round at its top
        else:
            T = np.linspace(low + edge, high - edge, _LEVELS)
        lines = [next(line for line in self.chain.lines(t) if line.solids == stretch.solids) for t in T.tolist()]
        left, right = (np.array([getattr(line, side) for line in lines]) for side in ("left", "right"))
        sigmas = np.array([self._end_sigmas(line, t, 0.0) for line, t in zip(lines, T.tolist(), strict=True)])
        top_sigma = UNKNOWN
        if closes:
            n = stretch.solids[0]
            point = min(self.chain.mixings[n].critical_points, key=lambda p: abs(p.T_K - high))
            top_sigma = self._top_sigma(n, point)
            T, sigmas = np.append(T, point.T_K), np.vstack([sigmas, [UNKNOWN, UNKNOWN]])
            left, right = np.append(left, point.x), np.append(right, point.x)
        solids = tuple(self.system.solids[n] for n in stretch.solids)
        names = name_beside(solids[0], 0.0), name_beside(solids[1], 1.0)
        doubles = any(isinstance(solid, DoubleSolid) for solid in solids)
        gap = not doubles and bool(set(stretch.solids) & set(self.chain.mixings))
        return TwoSolids(names, gap, T, left, right, sigmas[:, 0], sigmas[:, 1], top_sigma)

    def _double(self, n: int, solid: DoubleSolid) -> Iterator[FixedLine]:
        """The line of a double salt, solid number n, if it is stable anywhere."""
        x = self.chain.places[n]
        held = [s for s in self.stretches if n in s.solids]
        melting = [m.T_K for m in self.found if solid in m.solids]
        if not held + melting:
            return
        low = min([s.low_K for s in held] + melting)
        high = max([min(s.high_K, self._ceiling(s.solids)) for s in held] + melting)
        for run in self.runs:
            if run.solid is solid and self.curve.x[run.start] <= x <= self.curve.x[run.stop]:
                high = float(np.interp(x, self.curve.x, self.curve.T))
        yield FixedLine(solid.name, x, low, high)

    def _gap_status(self) -> str:
        if not self.chain.mixings:
            return ""
        known = solid_solution(*self.system.salts)
        seen = known is not None and (known.critical_T_K or known.b_in_a or known.a_in_b)
        return Origin.FITTED if seen and self.system.status == Origin.FITTED else Origin.ESTIMATED

    def _notes(self) -> Iterator[str]:
        names = "-".join(self.system.salts)
        dissolving = [s for s in self.stretches if set(s.solids) & set(self.chain.mixings)]
        if self._gap_status() == Origin.ESTIMATED and dissolving:
            yield f"{names}: gap of the solid solution estimated: no published limit or top is known, only the liquidus"
        first, second = (salt(formula) for formula in self.system.salts)
        if first.charge != second.charge and self.chain.mixings:
            yield (
                f"{names}: two kinds of crystal; how fast they part with each other on cooling is known only where "
                "limits at two temperatures are published"
            )
        for formula in self.system.salts if self.chain.mixings else ():
            steps = [f"{celsius(T_K):.0f}" for T_K, _, _ in transitions(formula) if self.floor_K < T_K]
            if steps:
                yield f"{formula} changes its form at {' and '.join(steps)} deg C; its solution is one lattice here"
        for before, meeting, after in zip(self.runs, self.meetings, self.runs[1:], strict=False):
            if meeting is None:
                span = f"{100 * self.curve.x[before.stop]:.1f} and {100 * self.curve.x[after.start]:.1f} mol%"
                yield f"{names}: between {span} {self.system.salts[1]} no melting point of two solids was found"
