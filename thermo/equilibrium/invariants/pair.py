"""Eutectics, peritectics, minima and congruent points of a pair.

A pair's liquidus is the highest of its solids' curves T_s(x). Where the highest changes from one solid to another lies
an invariant (solidus_curve): a eutectic or a peritectic. A minimum inside one solid solution is `minimum`; the top of
a double salt's own curve is `congruent`.
Limits: a strongly bound pair whose double salts have no data stays liquid down to LOWEST_K; its curves meet there only
because nothing lower is computed, and such a meeting is not reported.
Worked value: LiCl-KCl has one eutectic near 353 deg C and 41 mol% KCl.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize_scalar

from thermo.equilibrium.freezing.liquidus import WIDEST_K, bottomless, liquidus_sigma
from thermo.equilibrium.invariants.sigma import invariant_sigma
from thermo.equilibrium.invariants.solidus_curve import SolidusCurve, name_beside
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.interface import System
from thermo.laws.solids import DoubleSolid, Solid
from thermo.records.provenance import InputError, Origin
from thermo.records.remembered import remembered
from thermo.records.substances import salt

Found = tuple[str, float, float, float, tuple[str, ...]]  # kind, x of the second salt, T_K, sigma_K, solids


@dataclass(frozen=True)
class Invariant:
    """One invariant point: melt composition, temperature with standard deviation, the solids that meet there."""

    kind: str
    salts: tuple[str, ...]
    fractions: tuple[float, ...]
    T_K: float
    sigma_K: float
    solids: tuple[str, ...]
    status: Origin
    sources: tuple[str, ...]


@dataclass(frozen=True)
class PairCurve:
    """Liquidus of a pair against the mole fraction of its second salt, for drawing."""

    x_second: np.ndarray
    T_K: np.ndarray
    sigma_K: np.ndarray
    first_solid: tuple[str, ...]
    invariants: tuple[Invariant, ...]


@remembered
def _curve(a: str, b: str) -> SolidusCurve:
    return SolidusCurve(salt_system((a, b)))


def check_pair(a: str, b: str) -> None:
    """InputError unless a and b are two different salts of one anion or of one cation."""
    first, second = salt(a), salt(b)
    if a == b:
        raise InputError(f"pair {a} {b}: allowed are two different salts")
    if first.anion != second.anion and first.cation != second.cation:
        raise InputError(f"pair {a} {b}: two anions; allowed are two salts of one anion or of one cation")


def stays_liquid(a: str, b: str) -> bool:
    """Whether some mix of the pair has no computed freezing point."""
    check_pair(a, b)
    return bottomless(_curve(a, b).T.min())


@remembered
def pair_invariants(a: str, b: str) -> tuple[Invariant, ...]:
    """All invariant points of the pair's liquidus, in the order of the second salt's fraction."""
    check_pair(a, b)
    curve = _curve(a, b)
    system = curve.system
    points = [
        Invariant(kind, system.salts, (1 - x, x), T_K, sigma, names, system.status_of(names), system.sources)
        for kind, x, T_K, sigma, names in (*_meetings(curve), *_extrema(curve))
    ]
    return tuple(sorted(points, key=lambda point: point.fractions[1]))


def _meetings(curve: SolidusCurve) -> Iterator[Found]:
    """Where one solid gives way to another. Two curves may change places without a balance of both solids: the laws of
    one end there, and how sure that is nobody knows."""
    runs = curve.runs()
    for before, meeting, after in zip(runs, curve.meetings(), runs[1:], strict=False):
        if meeting is not None:
            yield meeting.kind, meeting.x, meeting.T_K, meeting.sigma_K, meeting.names
        elif before.solid is not after.solid and not bottomless(min(curve.T[before.stop], curve.T[after.start])):
            i, j = before.stop, after.start
            x = float(curve.x[i if curve.T[i] < curve.T[j] else j])
            names = (name_beside(before.solid, curve.y[i]), name_beside(after.solid, curve.y[j]))
            lowest = min(curve.T[i - 1], curve.T[j + 1]) > min(curve.T[i], curve.T[j])
            T_K = float(min(curve.T[i], curve.T[j]))
            yield "eutectic" if lowest else "peritectic", x, T_K, WIDEST_K, names


def _extrema(curve: SolidusCurve) -> Iterator[Found]:
    """Minima and congruent points inside the runs of one solid."""
    for start, stop in curve.stretches():
        for i in range(start + 1, stop):
            rises = np.sign(np.diff(curve.T[i - 1 : i + 2]))
            if rises[0] * rises[1] < 0:
                yield _extremum(curve, i, lowest=bool(rises[1] > 0))


def _extremum(curve: SolidusCurve, i: int, lowest: bool) -> Found:
    system, solid = curve.system, curve.system.solids[curve.first[i]]
    if isinstance(solid, DoubleSolid):
        x = float(solid.weights[solid.indices.index(1)])
    else:
        sign = 1 if lowest else -1
        found = minimize_scalar(
            lambda x: sign * _freezing(system, solid, x)[0],
            bounds=(curve.x[i - 1], curve.x[i + 1]),
            method="bounded",
            options={"xatol": 1e-6},
        )
        x = float(found.x)
    T_K, y = _freezing(system, solid, x)
    sigma = invariant_sigma(system, np.array([1 - x, x]), T_K, [(solid, y)])
    return "minimum" if lowest else "congruent", x, T_K, sigma, (solid.label(y),)


def _freezing(system: System, solid: Solid, x: float) -> tuple[float, np.ndarray | None]:
    """Where the melt x and the solid are in balance (K), and a solid solution's composition."""
    T, y = Melts(system, np.array([[1 - x, x]])).solid_temperature(solid)
    return float(T[0]), None if y is None else y[0]


@remembered
def pair_curve(a: str, b: str, points: int = 401) -> PairCurve:
    """Liquidus, one standard deviation and first solid on an even grid of the second salt's mole fraction."""
    check_pair(a, b)
    system = _curve(a, b).system
    x = np.linspace(0.0, 1.0, points)
    melts = Melts(system, np.column_stack([1 - x, x]))
    found = [melts.solid_temperature(solid) for solid in system.solids]
    T = np.stack([curve for curve, _ in found])
    names, sigma = [], np.empty(points)
    for i, s in enumerate(T.argmax(axis=0)):
        solid, (_, y) = system.solids[s], found[s]
        own = None if y is None else y[i]
        names.append(solid.label(own))
        one = Melts(system, melts.x[i : i + 1])
        sigma[i] = liquidus_sigma(system, one, solid, float(T[s, i]), own)
    return PairCurve(x, T.max(axis=0), sigma, tuple(names), pair_invariants(a, b))
