"""The solid half of a pair's phase diagram: solidus, horizontals, double salts, miscibility gaps.

The solidus and the horizontals where melt and two solids meet come from `solidus_curve`, what the solids alone do below
from `solid_chain`. Two solids share their span from the floor, or from where a double salt forms, up to the horizontal
where melt appears, the top of the gap, or the temperature where a double salt forms or falls apart without melt.
Uncertainty: horizontals from the fit's covariance; the ends of a gap from the covariance of the solid's coefficients
and, where melt is there, from the horizontal's own sigma, counted as independent. All linear.
Limits: stable melt (liquid_gap), one lattice a solid solution, at most one gap; nothing below floor_K is computed, and
solids hardly react there. Two kinds of crystal (spinel-like, fluorite and orthorhombic ...) in one solution are not
told apart; the notes say where a member changes its form.
Worked value: NaCl-KCl: one solid solution, no horizontal, a gap below about 506 deg C and 39 mol% KCl.
"""

from collections.abc import Iterator
from functools import cache

import numpy as np

from thermo.equilibrium.freezing_point import WIDEST_K, pair_notes
from thermo.equilibrium.invariants import check_pair
from thermo.equilibrium.solid_chain import Change, Line, SolidChain, Stretch
from thermo.equilibrium.solid_lines import End, FixedLine, Horizontal, PairSolids, SolidusBranch, TwoSolids
from thermo.equilibrium.solidus_curve import Meeting, SolidusCurve, balance_sigma
from thermo.equilibrium.system import SaltSystem, Solid, salt_system
from thermo.laws.gibbs import transitions
from thermo.laws.solids import DoubleSolid, PureSolid, SolutionSolid
from thermo.records.solid_solutions import solid_solution
from thermo.records.substances import salt
from thermo.records.units import celsius, kelvin

FLOOR_K = kelvin(250.0)
FLOOR_SHARE = 0.8  # of the lowest melting temperature, for pairs that melt below about 380 deg C
_LEVELS = 61  # temperatures of an outline
_EDGE = 1e-6  # of a line's span: inside the temperatures where it begins and ends
_NEAREST = 0.02  # in sqrt((T_c - T) / span): the step next to a critical point
UNKNOWN = float("nan")


@cache
def pair_solids(a: str, b: str) -> PairSolids:
    """The solid lines of the pair a-b; x counts b. InputError unless two different salts of one anion or one cation."""
    check_pair(a, b)
    return solids_below(salt_system((a, b)))


def solids_below(system: SaltSystem) -> PairSolids:
    """The solid lines of any system of two salts."""
    return _Assembly(system).whole()


class _Assembly:
    """Puts the lines of one pair together."""

    def __init__(self, system: SaltSystem):
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
        return PairSolids(
            salts=self.system.salts,
            solidus=self._solidus(),
            horizontals=tuple(sorted(horizontals, key=lambda h: -h.T_K)),
            regions=tuple(self._region(stretch) for stretch in self.stretches),
            doubles=tuple(line for n in self.chain.fixed for line in self._double(n)),
            floor_K=self.floor_K,
            status=self.system.status,
            gap_status=self._gap_status(),
            notes=(*pair_notes(self.system), *self._notes()),
        )

    def _names(self, solids: tuple[Solid, ...], shares: tuple[float, ...]) -> list[str]:
        """A solid solution beside another solid is named by its chief member."""
        return [
            solid.formulas[round(share)] if isinstance(solid, SolutionSolid) else solid.name
            for solid, share in zip(solids, shares, strict=True)
        ]

    def _end_sigmas(self, line: Line, T_K: float, T_sigma: float) -> np.ndarray:
        """Standard deviations of both ends of a line at a temperature that is itself known to T_sigma."""
        ends, mixing, solution = (line.left, line.right), self.chain.mixing, self.chain.solution
        if line.solids == (solution, solution):
            by_terms, by_T = mixing.end_response(*ends, T_K)
            return np.array([self._sigma(g, {}, T, T_sigma) for g, T in zip(by_terms, by_T, strict=True)])
        sigmas = np.zeros(2)
        for k, other in ((0, 1), (1, 0)):
            if line.solids[k] == solution:
                double = self.system.solids[line.solids[other]]
                by_terms, by_energy, by_T = mixing.touch_response(ends[k], ends[other], T_K)
                by_dH = by_energy / sum(double.counts)
                by_double = {f"{double.name}:dH": by_dH, f"{double.name}:dS": -T_K * by_dH}
                sigmas[k] = self._sigma(by_terms, by_double, by_T - by_dH * double.dS, T_sigma)
        return sigmas

    def _sigma(self, by_terms: np.ndarray, by_double: dict[str, float], by_T: float, T_sigma: float) -> float:
        """From derivatives by the solution's (a_0, a_1, b_0, b_1), a double salt's dH and dS, and T."""
        turned = self.pair.salts != self.system.salts  # odd terms change sign with the order of the salts
        count = len(by_terms) // 2
        derivatives = dict(by_double)
        for k in range(count):
            sign = -1.0 if turned and k % 2 else 1.0
            for letter, value in zip("ab", by_terms[k::count], strict=True):
                derivatives[f"solid solution:{letter}{k}"] = sign * float(value)
        gradient = np.array([derivatives.get(name, 0.0) for name in self.pair.parameters])
        return float(np.sqrt(self.system.variance([gradient], np.zeros(2)) + (by_T * T_sigma) ** 2))

    def _melting(self, meeting: Meeting) -> Horizontal:
        key = tuple(self.system.solids.index(s) for s in meeting.solids)
        sigmas = self._end_sigmas(Line(key, *meeting.shares), meeting.T_K, meeting.sigma_K)
        ends = zip(self._names(meeting.solids, meeting.shares), meeting.shares, sigmas.tolist(), strict=True)
        return Horizontal(meeting.kind, meeting.T_K, meeting.sigma_K, meeting.x, tuple(End(*end) for end in ends))

    def _solid_change(self, change: Change) -> Horizontal:
        solids = tuple(self.system.solids[n] for n in change.solids)
        first, middle, last = change.xs
        lever = (last - middle) / (last - first)
        parts = list(zip(solids, change.xs, strict=True))
        sigma = balance_sigma(self.system, middle, change.T_K, parts, (lever, -1.0, 1 - lever))
        left = self._end_sigmas(Line(change.solids[:2], first, middle), change.T_K, sigma)[0]
        right = self._end_sigmas(Line(change.solids[1:], middle, last), change.T_K, sigma)[1]
        ends = zip(self._names(solids, change.xs), change.xs, (float(left), 0.0, float(right)), strict=True)
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
                (name,) = self._names((self.system.solids[line.solids[beside]],), (x,))
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
                    y = min(meeting.shares, key=lambda share, inner=inner: abs(share - self.curve.y[inner]))
                    rows.insert(len(rows) * place, np.array([[meeting.x], [y], [meeting.T_K]]))
            x, y, T = np.hstack(rows)
            middle = float(np.median(y))
            name = (
                run.solid.label(np.array([1 - middle, middle]))
                if len(self.runs) == 1
                else run.solid.formulas[round(middle)]
            )
            found.append(SolidusBranch(name, x, y, T))
        return tuple(found)

    def _region(self, stretch: Stretch) -> TwoSolids:
        ceiling, own = self._ceiling(stretch.solids), stretch.solids[0] == stretch.solids[1]
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
            point = min(self.chain.mixing.critical_points, key=lambda p: abs(p.T_K - high))
            top_sigma = min(self._sigma(self.chain.mixing.critical_response(point), {}, 0.0, 0.0), WIDEST_K)
            T, sigmas = np.append(T, point.T_K), np.vstack([sigmas, [UNKNOWN, UNKNOWN]])
            left, right = np.append(left, point.x), np.append(right, point.x)
        solids = tuple(self.system.solids[n] for n in stretch.solids)
        names = self._names(solids, (0.0, 1.0))
        return TwoSolids((names[0], names[1]), own, T, left, right, sigmas[:, 0], sigmas[:, 1], top_sigma)

    def _double(self, n: int) -> Iterator[FixedLine]:
        """The line of a double salt, if it is stable anywhere."""
        solid, x = self.system.solids[n], self.chain.places[n]
        held = [s for s in self.stretches if n in s.solids]
        melting = [m.T_K for m in self.found if solid in m.solids]
        if not isinstance(solid, DoubleSolid) or not held + melting:
            return
        low = min([s.low_K for s in held] + melting)
        high = max([min(s.high_K, self._ceiling(s.solids)) for s in held] + melting)
        for run in self.runs:
            if run.solid is solid and self.curve.x[run.start] <= x <= self.curve.x[run.stop]:
                high = float(np.interp(x, self.curve.x, self.curve.T))
        yield FixedLine(solid.name, x, low, high)

    def _gap_status(self) -> str:
        if self.chain.mixing is None:
            return ""
        known = solid_solution(*self.system.salts)
        seen = known is not None and (known.critical_T_K or known.b_in_a or known.a_in_b)
        return "assessed" if seen and self.system.status == "assessed" else "estimated"

    def _notes(self) -> Iterator[str]:
        names = "-".join(self.system.salts)
        if self._gap_status() == "estimated" and any(s.solids[0] == s.solids[1] for s in self.stretches):
            yield f"{names}: gap of the solid solution estimated: no published limit or top is known, only the liquidus"
        first, second = (salt(formula) for formula in self.system.salts)
        if self.chain.mixing is not None and first.charge != second.charge:
            yield f"{names}: two kinds of crystal taken as one lattice: one side of its gap may not exist"
        for formula in self.system.salts if self.chain.mixing is not None else ():
            steps = [f"{celsius(T_K):.0f}" for T_K, _, _ in transitions(formula) if self.floor_K < T_K]
            if steps:
                yield f"{formula} changes its form at {' and '.join(steps)} deg C; its solution is one lattice here"
        for before, meeting, after in zip(self.runs, self.meetings, self.runs[1:], strict=False):
            if meeting is None:
                span = f"{100 * self.curve.x[before.stop]:.1f} and {100 * self.curve.x[after.start]:.1f} mol%"
                yield f"{names}: between {span} {self.system.salts[1]} no melting point of two solids was found"
