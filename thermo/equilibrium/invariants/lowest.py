"""The lowest-melting mix of several salts.

The lowest melt is the smallest T of all (x, T) at which no solid forms: a smooth minimum of T under the driving forces
    D_s(x, T) <= 0        for every solid s, the sides of a solid solution apart
(scipy's SLSQP; the best composition of a solution is found anew at each point, so that its D needs no dy/dx), started
from every hollow of a grid. No liquidus is solved on the way. Of a pair it is the coldest of its invariants and its
salts.
A compound of three salts that is known but has no energy may raise it: MISSING_K is added to the spread.
Limits: 2 to 6 salts; a hollow narrower than the grid (2.5 mol% for three salts, 11 for six) may be missed; RangeError
where the computed melt never freezes.
Worked value: NaCl-KCl has its lowest melt near 659 deg C and 50 mol%, a minimum.
"""

from collections.abc import Callable, Sequence

import numpy as np
from scipy.spatial import KDTree

from thermo.equilibrium.freezing.liquidus import STAYS_LIQUID, bottomless, liquidus
from thermo.equilibrium.freezing.solidus import lacks_compounds
from thermo.equilibrium.invariants.descent import descend, solids_at
from thermo.equilibrium.invariants.forces import Forces
from thermo.equilibrium.invariants.pair import Invariant, pair_invariants, stays_liquid
from thermo.equilibrium.invariants.sigma import invariant_sigma
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.interface import System
from thermo.laws.solid_solution import simplex_grid
from thermo.records.composition import Composition
from thermo.records.provenance import InputError, Origin, RangeError
from thermo.records.remembered import remembered
from thermo.records.substances import salt

MISSING_K = 10.0  # judgement: K2NaAlF6, once it had an energy, raised the lowest melt of its salts by 29 K
_GRID_STEPS = {2: 100, 3: 40, 4: 20, 5: 12, 6: 9}
_STARTS = 8
_RESTARTS = 6
_DEEPEST = 3  # hollows looked at closer, and again
_MOVES = {n: np.array([-1.0, -0.5, 0.0, 0.5, 1.0] if n < 5 else [-0.5, 0.0, 0.5]) for n in _GRID_STEPS}  # in grid steps
_LEAST = 0.005  # mole fraction in a start: nearer to nothing the slopes say little
_SAME, _NEAR_BEST_K = 0.002, 40.0  # two ends that are one; how far above the best an end is followed further
Progress = Callable[[int, int], None]  # done, of
NEIGHBOURS = 2.1  # grid steps (sum of |differences|) between points that touch


def lowest(salts: Sequence[str], progress: Progress | None = None) -> Invariant:
    """The lowest-melting mix of 2 to 6 different salts, of one anion or two (a mix may use fewer of them).

    progress(done, of): called between two steps of the search; what it raises ends it.
    InputError for one salt, a repeated salt or more than six, and where an ion of a mix of two anions lacks its
    fluoride or its chloride in the list. RangeError where no solid with data forms above the lowest temperature
    computed.
    """
    names = tuple(salts)
    anions = {salt(f).anion for f in names}
    if not 2 <= len(names) <= 6 or len(set(names)) != len(names):
        raise InputError(f"lowest {' '.join(names)}: allowed are 2 to 6 different salts")
    if len(names) == 2 and len(anions) == 1:
        return _lowest_pair(*names)
    kept = _kept(names)
    if not kept:
        kept.append(_lowest_of_several(names, _untold if progress is None else progress))
    return kept[0]


def _untold(done: int, of: int) -> None:
    """Nobody asks how far it is."""


@remembered
def _kept(salts: tuple[str, ...]) -> list[Invariant]:
    """Where the answer for these salts is kept once it is found, whoever was told of its progress."""
    return []


def _lowest_pair(a: str, b: str) -> Invariant:
    if stays_liquid(a, b):
        raise _unknown((a, b))
    ends = [_single(a, (a, b)), _single(b, (a, b))]
    return min([*pair_invariants(a, b), *ends], key=lambda point: point.T_K)


def _single(formula: str, salts: tuple[str, ...]) -> Invariant:
    found = liquidus(Composition((formula,), (1.0,)))
    fractions = tuple(float(f == formula) for f in salts)
    return Invariant("pure salt", salts, fractions, found.T_K, found.sigma_K, (formula,), Origin.FITTED, found.sources)


def _lowest_of_several(salts: tuple[str, ...], progress: Progress) -> Invariant:
    system = salt_system(salts)
    forces, found = Forces(system), []
    starts = _starts(system, progress)
    steps = 1 + _DEEPEST + len(starts) + _DEEPEST
    for done, start in enumerate(starts, 1 + _DEEPEST):
        progress(done, steps)
        found.append(descend(forces, *start, 1))
    found.sort(key=lambda melt: melt[1])
    ends: list[tuple[np.ndarray, float]] = []
    for x, T_K in found:
        if found[0][1] + _NEAR_BEST_K > T_K and all(np.abs(x - other).sum() > _SAME for other, _ in ends):
            ends.append((x, T_K))
    deepest = []
    for done, melt in enumerate(ends[:_DEEPEST], steps - _DEEPEST):
        progress(done, steps)
        deepest.append(descend(forces, *melt, _RESTARTS))
    x, T_K = min(deepest, key=lambda melt: melt[1])
    if bottomless(T_K):
        raise _unknown(salts)
    return _lowest_point(forces, x, T_K)


def _unknown(salts: tuple[str, ...]) -> RangeError:
    return RangeError(f"lowest {' '.join(salts)}: {STAYS_LIQUID}")


def _starts(system: System, progress: Progress) -> list[tuple[np.ndarray, float]]:
    """Melts (n,) with their liquidus (K) to descend from: hollows of a grid, the deepest ones looked at closer."""
    count = len(system.salts)
    step, steps = 1 / _GRID_STEPS[count], 1 + _DEEPEST + _STARTS + _DEEPEST
    progress(0, steps)
    coarse = _inside(simplex_grid(count, _GRID_STEPS[count]))
    T = Melts(system, coarse).liquidus()[0]
    found = hollows(coarse, T, NEIGHBOURS * step)
    starts = [(coarse[i], float(T[i])) for i in found[_DEEPEST:]]
    moves = np.stack(np.meshgrid(*[_MOVES[count]] * (count - 1), indexing="ij"), axis=-1).reshape(-1, count - 1)
    for done, i in enumerate(found[:_DEEPEST], 1):
        progress(done, steps)
        moved = coarse[i, :-1] + step * moves
        fine = np.column_stack([moved, 1 - moved.sum(axis=1)])
        fine = _inside(fine[(fine > -1e-9).all(axis=1)])
        T = Melts(system, fine).liquidus()[0]
        starts += [(fine[k], float(T[k])) for k in hollows(fine, T, NEIGHBOURS * step / 2)[:_DEEPEST]]
    return starts


def _inside(grid: np.ndarray) -> np.ndarray:
    grid = np.clip(grid, _LEAST, None)
    return grid / grid.sum(axis=1, keepdims=True)


def hollows(grid: np.ndarray, T: np.ndarray, reach: float) -> list[int]:
    """The lowest grid points that have no lower neighbour within reach, lowest first."""
    one, other = KDTree(grid).query_pairs(reach, p=1, output_type="ndarray").T
    least = T.copy()  # of a point and its neighbours
    np.minimum.at(least, one, T[other])
    np.minimum.at(least, other, T[one])
    found = np.flatnonzero(least >= T)
    return [int(i) for i in found[np.argsort(T[found], kind="stable")][:_STARTS]]


def _lowest_point(forces: Forces, x: np.ndarray, T_K: float) -> Invariant:
    system = forces.system
    active = solids_at(forces, x, T_K)
    names = tuple(dict.fromkeys(solid.label(y) for solid, y in active))
    return Invariant(
        kind="eutectic" if len(active) >= len(x) else "minimum",
        salts=system.salts,
        fractions=tuple(x.tolist()),
        T_K=T_K,
        sigma_K=float(np.hypot(invariant_sigma(system, x, T_K, active), MISSING_K * lacks_compounds(system))),
        solids=names,
        status=system.status_of(names),
        sources=system.sources,
    )
