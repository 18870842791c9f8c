"""The exact balance of given phases: Newton's rule for their amounts, compositions and the potentials together.

    mu(phase k, x_k) = pi in every mixture,  g_k = w_k . pi in every solid of fixed composition,  sum n_k w_k = z
Unknown are the steps in ln x_k, the amounts n_k and the potentials pi of the components (conserved). The steps are
eliminated, J_k dlnx_k = pi + dpi - mu with J = dmu/dlnx, so that one system for dpi and dn is left.
Limits: the same phases that stand at the end must be there at the start. Worked value: two pure solids: their amounts
are those of the mix and each potential is its energy.
"""

import numpy as np

from thermo.equilibrium.phases.mixture import Mixture
from thermo.equilibrium.phases.part import Part

NOTHING = 1e-12  # moles: amounts below are rounding
_STEPS = 25
_STIFF = 1e-4  # mol2/J, as R T is some 1e4 J/mol: the answer does not depend on it
_CLOSED = 1e-7  # last step in mole fractions and moles: what is left is its square


def component_amounts(mixtures: list[Mixture], part: Part) -> np.ndarray:
    """Composition (n,) of a part in the components."""
    return part.x if part.kind >= len(mixtures) else mixtures[part.kind].spread(part.x[None, :])[0]


def unspanned(mixtures: list[Mixture], parts: list[Part]) -> np.ndarray:
    """Directions (q, n) of composition in which parts of these kinds together cannot move: q = 0 for n different."""
    spans = [mixtures[p.kind].rows if p.kind < len(mixtures) else p.x[None, :] for p in parts]
    _, sizes, directions = np.linalg.svd(np.vstack(spans))
    return directions[int((sizes > 1e-9).sum()) :]


def exact_balance(
    mixtures: list[Mixture], parts: list[Part], mix: np.ndarray, potentials: np.ndarray, T_K: float, fixed: np.ndarray
) -> tuple[list[Part], np.ndarray] | None:
    """Exact balance of these phases and its potentials (n,), dropping any used up; None where there is none.

    potentials (n,) and the parts' amounts: where to start, J/mol and moles a mole of mix; fixed: Gibbs energies of the
    solids of fixed composition. Potentials that these phases leave open stay as they were.
    """
    while parts and any(p.kind < len(mixtures) for p in parts):
        parts = [Part(p.kind, p.x.copy(), p.amount) for p in parts]
        found = _newton(mixtures, parts, mix, potentials.copy(), T_K, fixed)
        if found is None or _twins(parts):
            return None
        least = min(parts, key=lambda p: p.amount)
        if least.amount > NOTHING:
            return parts, found
        parts = [p for p in parts if p is not least]
    return None


def _newton(
    mixtures: list[Mixture], parts: list[Part], mix: np.ndarray, potentials: np.ndarray, T_K: float, fixed: np.ndarray
) -> np.ndarray | None:
    """Changes `parts` in place until mu_i = pi_i in every phase and the amounts make up the mix; the potentials."""
    n, count = len(mix), len(mixtures)
    held = unspanned(mixtures, parts)
    for _ in range(_STEPS):
        system, right = np.zeros((n + len(parts), n + len(parts))), np.zeros(n + len(parts))
        system[:n, :n] = _STIFF * held.T @ held
        right[:n] = mix
        solved = []
        for k, part in enumerate(parts, n):
            w = system[:n, k] = system[k, :n] = component_amounts(mixtures, part)
            right[:n] -= part.amount * w
            if part.kind >= count:
                right[k] = fixed[part.kind - count] - w @ potentials
                continue
            mixture = mixtures[part.kind]
            mu, slopes = mixture.potentials_and_slopes(part.x[None, :], T_K)
            inverse = np.linalg.inv(slopes[0])
            above = mu[0] - mixture.member_potentials(potentials)
            away = -inverse @ above
            solved.append((part, mixture, inverse, away))
            gains = max(part.amount, 0.0) * mixture.rows.T @ mixture.amount_slopes(part.x)
            system[:n, :n] += gains @ inverse @ mixture.rows
            right[:n] -= gains @ away
            right[k] = part.x[: len(above)] @ above
        change = _solve(system, right)
        if change is None:
            return None
        potentials += change[:n]
        moved = _move(parts, solved, change, n)
        if max(moved, np.abs(right[:n]).max(), np.abs(change[n:]).max()) < _CLOSED:
            return potentials
    return None


def _move(parts: list[Part], solved: list[tuple], change: np.ndarray, n: int) -> float:
    """Gives the phases their new amounts and compositions; the largest step in a composition."""
    for k, part in enumerate(parts, n):
        part.amount += change[k]
    largest = 0.0
    for part, mixture, inverse, away in solved:
        before = part.x
        part.x = mixture.moved(before, away + inverse @ mixture.member_potentials(change[:n]))
        largest = max(largest, float(np.abs(part.x - before).max()))
    return largest


def _solve(system: np.ndarray, right: np.ndarray) -> np.ndarray | None:
    """Solution of the linear system; None where phases depend on each other."""
    try:
        found = np.linalg.solve(system, right)
    except np.linalg.LinAlgError:
        return None
    return found if np.abs(found).max() < 1e7 else None


def _twins(parts: list[Part]) -> bool:
    """Whether two phases have become one and the same."""
    return any(a.kind == b.kind and np.abs(a.x - b.x).max() < 1e-6 for i, a in enumerate(parts) for b in parts[i + 1 :])
