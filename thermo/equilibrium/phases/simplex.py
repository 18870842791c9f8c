"""The most stable set of phases among given ones: a linear programme solved by exchanging one phase for another.

A set of n phases that can make up the mix (a basis B) fixes a chemical potential for each component, B' pi = g. The
phase with the most negative driving force g - w . pi enters, the one it uses up first leaves (simplex method, Dantzig
1963). When no driving force is negative the set is the most stable one, and pi are the components' potentials.
Limits: a starting set that makes up the mix, n up to a dozen. Worked value: two salts with z = (0.5, 0.5), g = 0 for
both and -1 for their 1:1 compound: the compound alone, potentials summing to -2.
"""

import numpy as np

_MORE_STABLE = 1e-7  # J/mol
_ROUNDING = 1e-12  # of the largest potential: a trace's is in the millions before it has a phase to be in
_STALLED = 20  # exchanges without gain before Bland's rule
_PIVOT = 1e-11  # of the largest share, where that is above 1: what is smaller is rounding
_MOST = 2000


def exchange(
    compositions: np.ndarray, energies: np.ndarray, mix: np.ndarray, basis: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Best basis (n,) of rows of `compositions`, its amounts (n,) and the potentials (n,).

    compositions (M, n), energies (M,) J/mol, mix (n,), basis (n,): rows to start from, with amounts >= 0. Every row
    must have a finite energy; RuntimeError when no end is reached.
    """
    basis, stalled = basis.copy(), 0
    amounts = np.linalg.solve(compositions[basis].T, mix)
    for _ in range(_MOST):
        B = compositions[basis]
        potentials = np.linalg.solve(B, energies[basis])
        gains = energies - compositions @ potentials
        more_stable = max(_MORE_STABLE, _ROUNDING * float(np.abs(potentials).max()))
        enters = int(gains.argmin()) if stalled < _STALLED else int((gains < -more_stable).argmax())
        if gains[enters] >= -more_stable:
            return basis, np.maximum(amounts, 0.0), potentials
        used = np.linalg.solve(B.T, compositions[enters])
        held = used > _PIVOT * max(1.0, float(np.abs(used).max()))
        left = np.where(held, np.maximum(amounts, 0.0) / np.where(held, used, 1.0), np.inf)
        ties = np.flatnonzero(left <= left.min() + 1e-15)
        # among equals: the largest pivot keeps B well conditioned, the first in the list never circles
        leaves = ties[used[ties].argmax()] if stalled < _STALLED else ties[basis[ties].argmin()]
        stalled = 0 if left[leaves] * -gains[enters] > 1e-12 else stalled + 1
        basis[leaves] = enters
        amounts = np.linalg.solve(compositions[basis].T, mix)
    raise RuntimeError(f"phase exchange did not end after {_MOST} steps for the mix {mix}")
