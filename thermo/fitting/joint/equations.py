"""Equations of the published melts: the driving force of each solid that freezes there is zero.

For solid s at a published melt (x, T):
    -D_s(x, T) = g_s . dtheta + e,     g_s = dD_s/dtheta
    Cov(e_s, e_s') = sigma_T^2 D'_s D'_s' + sigma_x^2 (dD_s/dx . dD_s'/dx) + f^2 delta + exchange (two anions)
D' = dD/dT; sigma_x = 1.5 mol%, f = 550 J/mol in chlorides, 350 in fluorides: what one melt
measured twice, or two neighbours, disagree by.
Solids: the first, those named, and at invariants further ones whose curve passes within 60 K, up to the number of
salts; half of their distance is added to their error. Each side of a solid solution is a solid. Rows marked unsure
enter with three times their error. Compounds of three salts say nothing: their energy comes from the melt.
Points of a pair hold it: its curves there may move by HOLD_K = 1.5 K at one sigma, or the melts would bend pairs away.
Limits: known salts. Worked value: a named ternary eutectic of three pure salts gives three equations.
"""

from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.invariants.forces import all_sides
from thermo.equilibrium.system.driving_force import Melts, driving_slope
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.equilibrium.system.solids import solid_weights
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.laws.compound_solution import CompoundSolution
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import Solid, TripleSolid
from thermo.records.compound_solutions import solution_called
from thermo.records.provenance import Origin
from thermo.records.published import MeltPoint, PublishedInvariant
from thermo.records.reference import Reference
from thermo.records.substances import salt, salts
from thermo.records.ternary_terms import Key, SURFACE_J_mol
from thermo.records.triple_salts import TripleSalt, triple_salts

SIGMA_X, HOLD_K = 0.015, 1.5
BELOW_J_mol = 300.0  # some 7 K below a congruent compound, three standard deviations
LEFT_OUT = ("misquotation", "left out of the joint update")  # of a caveat
NEAR_K, UNSURE = 60.0, 3.0
MEETINGS = {"eutectic": 9, "peritectic": 9, "lowest found": 9, "minimum": 9, "saddle": 2}  # solids at most
_DX = 1e-4
_ONE_K = 0.01


@dataclass(frozen=True)
class MeltEquations:
    """Equations of one published melt: solids (k,), misfit -D (k,), gradients (k, keys), errors' covariance (k, k)."""

    point: MeltPoint
    salts: tuple[str, ...]
    solids: tuple[str, ...]
    misfit: np.ndarray
    keys: tuple[Key, ...]
    gradients: np.ndarray
    noise: np.ndarray


def usable(point: MeltPoint) -> bool:
    """Whether a row can be an equation: a composition of known salts of one anion."""
    known = salts()
    return (
        bool(point.fractions)
        and all(f in known for f in point.salts)
        and len({known[f].anion for f in point.salts}) == 1
        and not any(words in point.caveat for words in LEFT_OUT)
    )


def _force(system: SaltSystem | ReciprocalSystem, solid: Solid, near: int | None, x: np.ndarray, T_K: float):
    melts = Melts(system, np.atleast_2d(x))
    T = np.full(len(melts.x), T_K)
    D, _, y = melts.driving_force(solid, T, near=near, rounds=25)
    return D, melts, y


def _row(
    system: SaltSystem | ReciprocalSystem, solid: Solid, x: np.ndarray, T_K: float, y: np.ndarray | None
) -> np.ndarray:
    """dD by the system's keys."""
    return system.vector(system.parameter_gradient(solid, x, T_K, y), system.fusion_errors(solid, T_K, y))


def hold_equations(system: SaltSystem, point: PublishedInvariant) -> tuple[tuple[str, ...], np.ndarray]:
    """Solids (k,) of a published point of a pair, and how far each key moves its curve there, in HOLD_K: (k, keys).

    Empty where the point has no place or none of its solids is in the model.
    """
    if point.x_b is None or point.T_K is None or point.use == "no":
        return (), np.zeros((0, len(system.keys)))
    x = np.clip([1 - point.x_b, point.x_b], 1e-4, 1 - 1e-4)
    names, rows = [], []
    for solid, near in all_sides(system):
        if _named(solid, near, point.solids):
            _, melts, y = _force(system, solid, near, x, point.T_K)
            own = None if y is None else y[0]
            slope = driving_slope(melts, solid, point.T_K, own)
            names.append(_side_name(solid, near))
            rows.append(_row(system, solid, x, point.T_K, own) / (max(-slope, 1.0) * HOLD_K))
    return tuple(names), np.array(rows).reshape(len(names), len(system.keys))


class Congruence(MeltEquations):
    """One solid at the composition of a congruent compound, where it may not freeze first: an equation if it would."""

    def broken(self, change_J_mol: float) -> bool:
        """Whether the solid freezes before the compound once its driving force there has changed by so much."""
        return BELOW_J_mol + float(self.misfit[0]) < change_J_mol + BELOW_J_mol / 2


def congruence(system: SaltSystem, compound: TripleSalt) -> list[Congruence]:
    """D = -BELOW_J_mol of every other solid at the composition of a congruent compound; none for other compounds."""
    if compound.melting != "congruent" or compound.T_K is None or compound.T_sigma_K is None:
        return []
    x = np.array([compound.stoichiometry[f] for f in system.salts], dtype=float)
    x = x / x.sum()
    reference = Reference(compound.source, "", Origin.MEASURED, compound.provenance, "no", compound.caveat)
    place = tuple(x.tolist())
    point = MeltPoint(
        reference, system.salts, place, "congruent", compound.T_K, compound.T_sigma_K, (compound.formula,)
    )
    found = []
    for solid, near in all_sides(system):
        if isinstance(solid, TripleSolid):
            continue
        D, _, y = _force(system, solid, near, x, compound.T_K)
        row = _row(system, solid, x, compound.T_K, None if y is None else y[0])
        misfit, noise = np.array([-BELOW_J_mol - D[0]]), np.array([[(BELOW_J_mol / 3) ** 2]])
        names = (_side_name(solid, near),)
        found.append(Congruence(point, system.salts, names, misfit, tuple(system.keys), row[None, :], noise))
    return found


def _tangents(count: int) -> np.ndarray:
    """Orthonormal directions along which fractions keep their sum: (n - 1, n)."""
    return np.linalg.svd(np.ones((1, count)))[2][1:]


def melt_equations(system: SaltSystem | ReciprocalSystem, point: MeltPoint) -> MeltEquations | None:
    """Equations of one published melt; None where no solid of it is in the model."""
    x = np.array([dict(zip(point.salts, point.fractions, strict=True))[f] for f in system.salts])
    x = np.clip(x / x.sum(), 1e-6, 1)
    chosen = [] if set(point.solids) & set(triple_salts()) else _chosen(system, point, x)
    if not chosen:
        return None
    scale = UNSURE if point.unsure else 1.0
    D, T_slopes, x_slopes, rows, extra, exchange = [], [], [], [], [], []
    tangents = _tangents(len(x))
    for solid, near, offset in chosen:
        steps = np.vstack([x, x + _DX * tangents, x - _DX * tangents])
        values, melts, y = _force(system, solid, near, steps, point.T_K)
        own = None if y is None else y[0]
        slope = driving_slope(melts, solid, point.T_K, own)
        D.append(values[0])
        T_slopes.append(slope)
        half = len(tangents)
        x_slopes.append((values[1 : half + 1] - values[half + 1 :]) / (2 * _DX))
        rows.append(_row(system, solid, x, point.T_K, own))
        extra.append((0.5 * offset * slope) ** 2)
        exchange.append(system.exchange_errors(x, solid_weights(solid, len(system.constituents), own), point.T_K))
    by_T, by_x = np.array(T_slopes), np.array(x_slopes)
    noise = (scale * point.T_sigma_K) ** 2 * np.outer(by_T, by_T) + (scale * SIGMA_X) ** 2 * by_x @ by_x.T
    noise += (scale * SURFACE_J_mol[salt(point.salts[0]).anion]) ** 2 * np.eye(len(D)) + np.diag(extra)
    noise += np.array(exchange) @ np.array(exchange).T
    names = tuple(_side_name(solid, near) for solid, near, _ in chosen)
    return MeltEquations(point, system.salts, names, -np.array(D), tuple(system.keys), np.array(rows), noise)


def _side_name(solid: Solid, near: int | None) -> str:
    if not isinstance(solid, SolutionSolid):
        return solid.name
    return solid.formulas[solid.natives[0] if near is None else near]


def _chosen(
    system: SaltSystem | ReciprocalSystem, point: MeltPoint, x: np.ndarray
) -> list[tuple[Solid, int | None, float]]:
    """The solids that take part with the distance (K) that widens their error, the first one first."""
    melts = Melts(system, x[None, :])
    found: list[tuple[float, Solid, int | None]] = []
    for solid, near in all_sides(system):
        T = melts.solid_temperature(solid, near)[0]
        if not any(solid is other and abs(T[0] - at) < _ONE_K for at, other, _ in found):  # two sides that are one
            found.append((float(T[0]), solid, near))
    found.sort(key=lambda entry: -entry[0])
    named = [e for e in found if _named(e[1], e[2], point.solids)]
    most = min(MEETINGS.get(point.kind, 1), len(system.salts))
    chosen = [(solid, near, 0.0) for _, solid, near in named]
    if not named:
        chosen = [(found[0][1], found[0][2], 0.0)]
    if found[0][1] not in [c[0] for c in chosen]:  # the first is in the way of those named
        chosen.insert(0, (found[0][1], found[0][2], 0.0))
    if point.kind != "saddle" or not named:
        for T_K, solid, near in found:
            away = T_K - point.T_K
            taken = any(solid is c[0] and near == c[1] for c in chosen)
            if len(chosen) < most and not taken and abs(away) <= NEAR_K:
                chosen.append((solid, near, away))
    return [c for c in chosen if not isinstance(c[0], TripleSolid)]


def _named(solid: Solid, near: int | None, names: tuple[str, ...]) -> bool:
    if not isinstance(solid, SolutionSolid):
        return solid.name in names
    own = [solid.formulas[m] for m in solid.natives]
    if near is not None and solid.formulas[near] in names:
        return True
    mixed = [members for name in names if (members := solution_called(name))]
    if isinstance(solid, CompoundSolution):
        return near in (None, solid.natives[0]) and any(members <= set(solid.formulas) for members in mixed)
    names = tuple(name for name in names if not solution_called(name))
    return (any(n.startswith("(") for n in names) and (near is None or near == solid.natives[0])) or own[0] in names
