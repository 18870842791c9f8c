"""What the program would say of a pair had one source of it never been printed; prints, no demand.

    python -m tests.benchmarks.left_out_sources

Each source of a pair with other points is left out in turn, the pair is fitted again to the rest, and the joint update
of the published melts of several salts is solved again from there. Its sure melting points with a place are compared
with the start of freezing computed there: by the pair's own fit, and as the program answers, after the update.
Coverage: share inside the stated 90 % band, the published error counted, by how far the update changes the pair's
spread there. The equations of the melts stay linear in the pair: only the misfit that the new fit leaves is worked out
anew.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tests.benchmarks.left_out_melts import covered, spread
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.fitting.joint.update import Assembly, equations, melts, section_melts
from thermo.fitting.leave_out import one_anion, predict, sigma_at_composition, usable
from thermo.fitting.pair_fit import fit_pair, published_rows
from thermo.fitting.priors.pairs import expectation
from thermo.records.fitted import PairModel, own_strengths, pair_fits
from thermo.records.joint import JointUpdate, moves, solve
from thermo.records.parameters import Parameter
from thermo.records.provenance import Origin
from thermo.records.published import PublishedInvariant
from thermo.records.ternary_terms import ALUMINIUM

CHANGED = 0.02  # of the spread: less is no change
Scored = tuple[float, float, float]  # difference, own and published standard deviation, K


@dataclass(frozen=True)
class Reading:
    """One left-out point: by the pair's own fit, and after the update."""

    point: PublishedInvariant
    own: Scored
    joint: Scored

    @property
    def change(self) -> float:
        """Spread after the update over that before."""
        return self.joint[1] / self.own[1]


class Without:
    """The joint update with one pair replaced."""

    def __init__(self):
        self.whole = Assembly(equations([*melts(), *section_melts()]))
        self.used = self.whole.sound()

    def update(self, model: PairModel, source: str) -> JointUpdate:
        """The update where the pair is `model`, which has not seen `source`; its points hold nothing."""
        whole, key = self.whole, frozenset(model.salts)
        at = [whole.place.get((key, parameter)) for parameter in model.parameters]
        here = [n for n, place in enumerate(at) if place is not None]
        rows = [at[n] for n in here]
        before = whole.before.copy()
        before[np.ix_(rows, rows)] = model.covariance[np.ix_(here, here)]
        moved = (model.values - pair_fits()[key].values)[here]
        G = np.vstack([whole.rows[n] for n in self.used])
        misfit = np.concatenate([whole.melts[n].misfit for n in self.used]) - G[:, rows] @ moved
        sizes = np.cumsum([0, *(len(whole.melts[n].misfit) for n in self.used)])
        noise = np.zeros((sizes[-1], sizes[-1]))
        for n, low, high in zip(self.used, sizes, sizes[1:], strict=False):
            noise[low:high, low:high] = whole.melts[n].noise
        gone = [set(point.pair) == key and point.source == source for point, *_ in whole.holds]
        return solve(whole.place, before, G, noise, misfit, whole.held[~np.array(gone)])


def left_out(pair: PairModel, tool: Without) -> Iterator[Reading]:
    """Readings of every source of a pair."""
    rows = published_rows(*pair.salts)
    asked = [point for point in rows[0] if usable(point) and point.x_b is not None and not point.likened]
    for source in dict.fromkeys(point.source for point in asked):
        rest = tuple([row for row in group if row.source != source] for group in rows)
        fit = fit_pair(*pair.salts, rest, expectation(*pair.salts, own_strengths()))
        if fit is None or fit.model.status != Origin.FITTED or fit.model.parameters != pair.parameters:
            continue
        update, key = tool.update(fit.model, source), frozenset(pair.salts)
        alone = SaltSystem(pair.salts, {key: fit.model})
        together = SaltSystem(pair.salts, {key: _shifted(fit.model, update)}, joint=update)
        for point in asked:
            if point.source == source:
                scores = [_scored(system, point) for system in (alone, together)]
                yield Reading(point, *scores)


def _shifted(model: PairModel, update: JointUpdate) -> PairModel:
    keys = [(frozenset(model.salts), parameter) for parameter in model.parameters]
    shift = [float(update.shift[update.place[key]]) if key in update.place and moves(key) else 0.0 for key in keys]
    return replace(model, values=model.values + np.array(shift))


def _scored(system: SaltSystem, point: PublishedInvariant) -> Scored:
    T_K, sigma, slope = predict(system, point.x_b or 0.0)
    return T_K - point.known_T_K[0], sigma, sigma_at_composition(point, slope)


def tables(readings: Sequence[Reading]) -> Iterator[tuple[str, list[Reading]]]:
    """Readings by what the update does to the spread."""
    yield "all", list(readings)
    yield "narrower", [r for r in readings if r.change < 1 - CHANGED]
    yield "as before", [r for r in readings if abs(r.change - 1) <= CHANGED]
    yield "wider", [r for r in readings if r.change > 1 + CHANGED]


def main() -> None:
    tool, found = Without(), []
    moved = {owner for owner, term in tool.whole.place if isinstance(term, Parameter)}
    for key in moved:
        pair = pair_fits()[key]
        if pair.status == Origin.FITTED and one_anion(*pair.salts) and ALUMINIUM not in pair.salts:
            found += list(left_out(pair, tool))
    for name, rows in tables(found):
        print(f"\nspread after the update {name}: {len(rows)} points of {len({r.point.pair for r in rows})} pairs")
        for what, scores in (("own fit", [r.own for r in rows]), ("after the update", [r.joint for r in rows])):
            print(f"  {what:17s}", spread([d for d, *_ in scores]), "; inside", covered(scores))


if __name__ == "__main__":
    main()
