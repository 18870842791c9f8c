"""The exact balance of given phases: Newton's rule for their amounts, compositions and the potentials together.

    mu(phase k, x_k) = pi in every mixture,  g_k = w_k . pi in every solid of fixed composition,  sum n_k w_k = z
Unknown are the steps in ln x_k, the amounts n_k and the potentials pi of the components (conserved). The steps are
eliminated, J_k dlnx_k = pi + dpi - mu with J = dmu/dlnx, so that one system for dpi and dn is left.
Limits: the same phases that stand at the end must be there at the start. Worked value: two pure solids: their amounts
are those of the mix and each potential is its energy.
"""

import math
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from thermo.equilibrium.phases.mixture import Mixture
from thermo.equilibrium.phases.part import Part
from thermo.records.units import R

NOTHING = 1e-12  # moles: amounts below are rounding
_STEPS = 25
_STIFF = 1e-4  # mol2/J, as R T is some 1e4 J/mol: the answer does not depend on it
_CLOSED, _LEFT, _LUCKY = 1e-7, 5e-13, 0.1  # last step in mole fractions and moles, and what it leaves
_NEAR, _DEAR = 0.1, 5  # longer steps need new slopes, which cost as much as so many steps
_LEAST_K, _LONGEST = 0.01, 2.0  # balances tell where the next is if so far apart, up to so many times as far
_FURTHEST = 1e3  # in R T or moles, in one step
_LEARN = 0.5  # a step that turns by more is not learnt from


def component_amounts(mixtures: list[Mixture], part: Part) -> np.ndarray:
    """Composition (n,) of a part in the components."""
    return part.x if part.kind >= len(mixtures) else mixtures[part.kind].spread(part.x[None, :])[0]


def unspanned(mixtures: list[Mixture], parts: list[Part]) -> np.ndarray:
    """Directions (q, n) of composition in which parts of these kinds together cannot move: q = 0 for n different."""
    free = [mixtures[p.kind] for p in parts if p.kind < len(mixtures)]
    if any(mixture.solid is None for mixture in free):  # a melt has all components
        return np.zeros((0, free[0].rows.shape[1]))
    spans = [mixtures[p.kind].rows if p.kind < len(mixtures) else p.x[None, :] for p in parts]
    _, sizes, directions = np.linalg.svd(np.vstack(spans))
    return directions[int((sizes > 1e-9).sum()) :]


def exact_balance(
    mixtures: list[Mixture],
    parts: list[Part],
    mix: np.ndarray,
    potentials: np.ndarray,
    T_K: float,
    fixed: np.ndarray,
    answer: "Answer | None" = None,
) -> tuple[list[Part], np.ndarray, "Answer"] | None:
    """Exact balance of these phases and its potentials (n,), dropping any used up; None where there is none.

    potentials (n,) and the parts' amounts: where to start, J/mol and moles a mole of mix; fixed: Gibbs energies of the
    solids of fixed composition; answer: that of the same phases nearby. Potentials that these phases leave open stay as
    they were. The answer of the phases found comes along.
    """
    while parts and any(p.kind < len(mixtures) for p in parts):
        parts = _apart(parts)
        found = _newton(mixtures, parts, mix, potentials.copy(), T_K, fixed, answer)
        if found is None or _twins(parts):
            return None
        least = min(parts, key=lambda p: p.amount)
        if least.amount > NOTHING:
            return parts, *found
        parts = [p for p in parts if p is not least]
    return None


def _newton(
    mixtures: list[Mixture],
    parts: list[Part],
    mix: np.ndarray,
    potentials: np.ndarray,
    T_K: float,
    fixed: np.ndarray,
    answer: "Answer | None" = None,
) -> "tuple[np.ndarray, Answer] | None":
    """Changes `parts` in place until mu_i = pi_i in every phase and the amounts make up the mix; potentials, answer."""
    if answer is not None and answer.kinds != [p.kind for p in parts]:
        answer = None
    seen: list[State] = []
    if answer is not None:
        seen = answer.seen
        _foresee(mixtures, parts, potentials, T_K, seen)
        weights = answer.weights(parts, mix)
    last, known, shrinks = np.inf, None, 1.0
    steps: list[np.ndarray] = []
    for _ in range(_STEPS):
        if answer is None:
            answer, known = Answer.at(mixtures, parts, len(mix), T_K)
            if answer is None:
                return None
            steps = []
            weights = answer.weights(parts, mix)
        step, missed = answer.step(parts, mix, potentials, T_K, fixed, known)
        if not np.abs(step[: len(mix) + len(parts)]).max() < _FURTHEST:
            return None
        steps.append(_learnt(step, steps, weights))
        moved = max(answer.move(parts, potentials, T_K, steps[-1]), missed)
        # of Newton's steps the square is left; one lucky step says little of the next
        shrinks = moved if known is not None else max(moved / last, _LUCKY * shrinks)
        if moved < _CLOSED and moved * shrinks < _LEFT:
            answer.seen = [*seen[-2:], State(T_K, [(p.x, p.amount) for p in parts], potentials)]
            return potentials, answer
        known = None
        if moved > _NEAR or not shrinks < 1 or moved * shrinks**_DEAR > _LEFT:
            answer = None  # worked out anew where the phases now stand
        last = moved
    return None


def _learnt(step: np.ndarray, before: list[np.ndarray], weights: np.ndarray) -> np.ndarray:
    """The step with what the ones before it have shown of how the answer has changed (Broyden 1965)."""
    for one, following in pairwise(before):
        own = weights * one
        step = step + following * (own @ step) / (own @ one)
    if before:
        own = weights * before[-1]
        if abs(share := own @ step / (own @ before[-1])) < _LEARN:
            step = step / (1 - share)
    return step


class State(NamedTuple):
    """Phases in balance: compositions and amounts, and the potentials (n,)."""

    T_K: float
    parts: list[tuple[np.ndarray, float]]
    potentials: np.ndarray


def _foresee(mixtures: list[Mixture], parts: list[Part], potentials: np.ndarray, T_K: float, seen: list[State]) -> None:
    """Puts the same phases where a parabola in T (a line) through the last three (two) balances leads.

    In ln x for compositions.
    """
    shares = _shares([state.T_K for state in seen], T_K)
    if not shares:
        return
    after = seen[-1]
    potentials[:] = sum(c * state.potentials for c, state in zip(shares, seen, strict=True))
    for k, part in enumerate(parts):
        x = after.parts[k][0]
        part.amount = sum(c * state.parts[k][1] for c, state in zip(shares, seen, strict=True))
        if part.kind < len(mixtures):
            mixture = mixtures[part.kind]
            ways = [c * mixture.way(x, state.parts[k][0]) for c, state in zip(shares[:-1], seen, strict=False)]
            part.x = mixture.moved(x, sum(ways[1:], ways[0]))


def _shares(known: list[float], T: float) -> list[float]:
    """What values at each of these T count at another one (Lagrange); none where that is too far to tell."""
    apart = [abs(a - b) for n, a in enumerate(known) for b in known[n + 1 :]]
    if not apart or min(apart) < _LEAST_K or abs(T - known[-1]) > _LONGEST * abs(known[-1] - known[-2]):
        return []
    return [math.prod((T - b) / (a - b) for b in known if b != a) for a in known]


class Free(NamedTuple):
    """A phase of free composition: its position, its mixture, dlnx/dmu (m, m), dw n/dlnx (n, m)."""

    place: int
    mixture: Mixture
    inverse: np.ndarray
    gains: np.ndarray


class Answer:
    """How given phases answer to what they miss, worked out at one place and good near it (chord method).

    The steps there are Newton's; from where they have become short the next ones still shrink, each for the potentials
    alone instead of their slopes too.
    """

    def __init__(self, parts: list[Part], mixtures: int, free: list[Free], inverse: np.ndarray):
        self.seen: list[State] = []  # the last three balances of these phases
        self.kinds, self.mixtures, self.free, self.inverse = [p.kind for p in parts], mixtures, free, inverse

    @classmethod
    def at(
        cls, mixtures: list[Mixture], parts: list[Part], n: int, T_K: float
    ) -> "tuple[Answer | None, list[np.ndarray]]":
        """Of these phases as they stand, None where they depend on each other; the mixtures' potentials."""
        held, free, known = unspanned(mixtures, parts), [], []
        system = np.zeros((n + len(parts), n + len(parts)))
        if len(held):
            system[:n, :n] = _STIFF * held.T @ held
        for k, part in enumerate(parts, n):
            system[:n, k] = system[k, :n] = component_amounts(mixtures, part)
            if part.kind >= len(mixtures):
                continue
            mixture = mixtures[part.kind]
            mu, slopes = mixture.potentials_and_slopes(part.x[None, :], T_K)
            inverse = np.linalg.inv(slopes[0])
            gains = max(part.amount, 0.0) * mixture.rows.T @ mixture.amount_slopes(part.x)
            system[:n, :n] += gains @ inverse @ mixture.rows
            free.append(Free(k - n, mixture, inverse, gains))
            known.append(mu[0])
        try:
            return cls(parts, len(mixtures), free, np.linalg.inv(system)), known
        except np.linalg.LinAlgError:
            return None, known

    def step(
        self,
        parts: list[Part],
        mix: np.ndarray,
        potentials: np.ndarray,
        T_K: float,
        fixed: np.ndarray,
        known: list[np.ndarray] | None = None,
    ) -> tuple[np.ndarray, float]:
        """Where these phases should go, and by how much their amounts miss the mix, mol.

        Steps of the potentials in R T, of the amounts, then of ln x of each mixture. known: the mixtures' potentials,
        where they have just been worked out.
        """
        n, ways = len(mix), []
        right = np.concatenate([mix, np.zeros(len(parts))])
        rest, free = right[:n], {free.place: free.mixture for free in self.free}
        for k, part in enumerate(parts):
            if k in free:
                rest -= part.amount * free[k].spread(part.x[None, :])[0]
            else:
                rest -= part.amount * part.x
                right[n + k] = fixed[part.kind - self.mixtures] - part.x @ potentials
        missed = float(np.abs(rest).max())
        for at, (place, mixture, inverse, gains) in enumerate(self.free):
            x = parts[place].x
            mu = mixture.potentials(x[None, :], T_K)[0] if known is None else known[at]
            above = mu - mixture.member_potentials(potentials)
            away = -inverse @ above
            rest -= gains @ away
            right[n + place] = x[: len(above)] @ above
            ways.append(away)
        change = self.inverse @ right
        for at, (_, mixture, inverse, _) in enumerate(self.free):
            ways[at] = ways[at] + inverse @ mixture.member_potentials(change[:n])
        change[:n] /= R * T_K
        return np.concatenate([change, *ways]), missed

    def weights(self, parts: list[Part], mix: np.ndarray) -> np.ndarray:
        """How much each number of a step matters: by the amount it belongs to."""
        return np.concatenate([mix, np.ones(len(parts)), *(parts[f.place].x[: len(f.inverse)] for f in self.free)])

    def move(self, parts: list[Part], potentials: np.ndarray, T_K: float, step: np.ndarray) -> float:
        """Gives phases and potentials (n,) their new values; the largest step of an amount or composition."""
        n = len(potentials)
        potentials += R * T_K * step[:n]
        start = n + len(parts)
        for part, more in zip(parts, step[n:start].tolist(), strict=True):
            part.amount += more
        largest = float(np.abs(step[n:start]).max())
        for place, mixture, inverse, _ in self.free:
            before, stop = parts[place].x, start + len(inverse)
            parts[place].x = x = mixture.moved(before, step[start:stop])
            largest, start = max(largest, float(np.abs(x - before).max())), stop
        return largest


def _apart(parts: list[Part]) -> list[Part]:
    """Copies of the parts, those that are one and the same taken together: apart their amounts have no answer."""
    found: list[Part] = []
    for part in parts:
        twin = next((p for p in found if _same(p, part)), None)
        if twin is None:
            found.append(Part(part.kind, part.x.copy(), part.amount))
        else:
            twin.amount += part.amount
    return found


def _twins(parts: list[Part]) -> bool:
    """Whether two phases have become one and the same."""
    return any(_same(a, b) for i, a in enumerate(parts) for b in parts[i + 1 :])


def _same(a: Part, b: Part) -> bool:
    return a.kind == b.kind and bool(np.abs(a.x - b.x).max() < 1e-6)
