"""What a published diagram forbids, as equations for the fit that are there only while they are needed.

    stability      no liquid of the pair unmixes on its own liquidus: d(mu_2 - mu_1)/dx stays above a tenth of the ideal
                   R T / (x (1 - x)), where no gap was ever reported
    incongruent    a double salt that melts incongruently does not reach its own melting point: where it would melt, at
                   its own composition x_c and T_c, the solid it falls apart into is still stable, D(x_c, T_c) > 0
    congruent      one that melts congruently does: there every other solid has D < 0
    first solid    at a published invariant the solids named are first: every other one has D < sigma there, sigma by
                   the errors of T and x
An active set: a condition that the current fit violates becomes an equation that puts it at its bound; one satisfied
with a margin is released. D, the driving force of a solid (laws/solids), J/mol, is linear in the parameters; T_c moves
with them:
    dD = (g_other - (s_other / s_c) g_c) d(theta),      s = dD/dT,  g = dD/d(theta)
Units: J/mol, K. Limits: pairs of one anion (the melt's stability) and solids without solution (the others).
An active condition counts as known to its own sigma, like a point: it narrows the covariance a little.
Worked value: K3CeF6 falls apart into KCeF4 and melt at 675 deg C: D(KCeF4) > 0 at 25 mol% CeF3 and 670 deg C.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from thermo.equilibrium.system.driving_force import Melts, driving_slope
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.fitting.point_equations import PairObserver
from thermo.laws.mixing import PairBasis
from thermo.laws.solids import DoubleSolid, PureSolid, Solid
from thermo.records.parameters import LIQUID
from thermo.records.published import PublishedInvariant
from thermo.records.remembered import remembered
from thermo.records.substances import double_salts
from thermo.records.units import R

UNMIXING_X = np.linspace(0.02, 0.98, 49)  # where the melt's stability is looked at
CURVATURE_SHARE = 0.1  # of the ideal curvature, what is left at least
CURVATURE_SIGMA = 0.05  # of the same: judgement
EDGE_J_mol = 100.0  # an active condition lies this far on its side, about 3 K: what a cooling curve can tell; judgement
EDGE_SIGMA_J_mol = 30.0  # judgement: an active condition is met, not weighed against the points
_DX = 1e-4
RELEASED = 0.1  # of its sigma on the right side: not pressed against any longer


@dataclass
class ActiveSet:
    """Which conditions are active at present, by name.

    One that the data no longer press against would itself bias the fit: it is released, but only once.
    """

    conditions: set[tuple[str, ...]] = field(default_factory=set)
    released: set[tuple[str, ...]] = field(default_factory=set)

    def includes(self, name: tuple[str, ...], beyond: float) -> bool:
        """Whether the condition is active from now on; beyond: how far on its right side it lies, in sigmas."""
        if beyond < 0:
            self.conditions.add(name)
        elif beyond > RELEASED and name in self.conditions and name not in self.released:
            self.conditions.remove(name)
            self.released.add(name)
        return name in self.conditions


@dataclass(frozen=True)
class Condition:
    """D of a solid should lie beyond an edge: row of dD/d(theta), current D, edge and sigma, J/mol; sign of side."""

    name: tuple[str, ...]
    row: np.ndarray
    value: float
    edge: float
    sigma: float
    sign: int


def equations_of(observer: PairObserver, rows: Sequence[PublishedInvariant], active: ActiveSet):
    """Whitened design and target of every active condition, for the observer's current parameters; updates `active`."""
    found = [stability_equations(observer, active)]
    for condition in (*melting_conditions(observer, rows), *first_solid_conditions(observer, rows)):
        beyond = condition.sign * (condition.value - condition.edge) / condition.sigma
        if active.includes(condition.name, beyond):
            target = condition.edge - condition.value + float(condition.row @ observer.theta)
            found.append((condition.row[None, :] / condition.sigma, np.array([target / condition.sigma])))
    return tuple(np.concatenate(parts) for parts in zip(*found, strict=True))


def _fixed_solids(observer: PairObserver) -> dict[str, Solid]:
    return {s.name: s for s in observer.system.solids if isinstance(s, PureSolid | DoubleSolid)}


def melting_conditions(observer: PairObserver, rows: Sequence[PublishedInvariant]) -> Iterator[Condition]:
    """How every double salt melts, as reported."""
    solids = _fixed_solids(observer)
    for name, compound in solids.items():
        if not isinstance(compound, DoubleSolid):
            continue
        melting = double_salts()[name].melting
        partners = _partners(name, rows) if melting == "incongruent" else ()
        for other in solids if melting == "congruent" else partners:
            if other != name and other in solids:
                row, value = _beside(observer, compound, solids[other])
                sign = 1 if melting == "incongruent" else -1
                yield Condition((melting, name, other), row, value, sign * EDGE_J_mol, EDGE_SIGMA_J_mol, sign)


def first_solid_conditions(observer: PairObserver, rows: Sequence[PublishedInvariant]) -> Iterator[Condition]:
    """No solid but those named at published eutectics and peritectics; the errors of T and x give the sigma."""
    solids = _fixed_solids(observer)
    for n, row in enumerate(rows):
        named = [found for name in row.solids if (found := observer.solid(name))]
        if row.use == "no" or row.kind not in ("eutectic", "peritectic") or len(named) < 2 or row.T_K is None:
            continue
        T_K, T_sigma_K = row.known_T_K
        x = observer.nearest_x(named, T_K, row.kind) if row.x_b is None else row.x_b
        for name, other in solids.items():
            if name not in row.solids:
                values, slope, gradient, _ = observer.slopes(other, None, np.array([x, x + _DX, x - _DX]), T_K)
                by_x = (values[1] - values[2]) / (2 * _DX) * (row.x_b_sigma or 0.0)
                sigma = max(float(np.hypot(slope * T_sigma_K, by_x)), EDGE_SIGMA_J_mol)
                yield Condition(("first solid", str(n), name), gradient, float(values[0]), sigma, sigma, -1)


def _partners(name: str, rows: Sequence[PublishedInvariant]) -> tuple[str, ...]:
    """The solids a double salt falls apart into, from the published peritectics of its highest temperature."""
    own = [r for r in rows if r.kind == "peritectic" and name in r.solids and r.T_K is not None and r.use != "no"]
    highest = max(own, key=lambda r: r.known_T_K[0], default=None)
    return () if highest is None else tuple(f for f in highest.solids if f != name)


def _beside(observer: PairObserver, compound: DoubleSolid, other: Solid) -> tuple[np.ndarray, float]:
    """D of another solid where the compound would melt at its own composition, and its derivative by the parameters."""
    system = observer.system
    x = np.array([0.0, 0.0])
    x[list(compound.indices)] = compound.weights
    melts = Melts(system, x[None, :])
    T_K = float(melts.solid_temperature(compound)[0][0])
    own, beside = (system.parameter_gradient(solid, x, T_K, None)[0] for solid in (compound, other))
    slopes = [driving_slope(melts, solid, T_K, None) for solid in (compound, other)]
    value = float(melts.driving_force(other, np.array([T_K]))[0][0])
    return beside - slopes[1] / slopes[0] * own, value


@remembered
def _bend(basis: PairBasis) -> np.ndarray:
    """f_k'(x) of every term at UNMIXING_X, by differences."""
    x, step = UNMIXING_X, 1e-4
    above, below = (basis.matrix(np.column_stack([1 - x - s, x + s])) for s in (step, -step))
    return ((above[:, 1] - above[:, 0]) - (below[:, 1] - below[:, 0])) / (2 * step)


def stability_equations(observer: PairObserver, active: ActiveSet) -> tuple[np.ndarray, np.ndarray]:
    """Equations for the melt's curvature where it would fall below its share; updates `active`.

    d(mu_2 - mu_1)/dx = R T / (x (1 - x)) + sum_k (a_k + b_k T) f_k'(x), along the pair's own liquidus.
    """
    parameters = observer.pair.parameters
    empty = np.zeros((0, len(parameters))), np.zeros(0)
    if not isinstance(observer.system, SaltSystem):
        return empty
    x = UNMIXING_X
    melts = Melts(observer.system, np.column_stack([1 - x, x]))
    T = observer.lines.liquidus(melts)
    bend = _bend(observer.basis)
    rows = np.zeros((len(x), len(parameters)))
    for n, parameter in enumerate(parameters):
        if parameter.phase == LIQUID:
            rows[:, n] = bend[:, parameter.order] * parameter.factor(T)
    ideal = R * T / (x * (1 - x))
    share = 1 + rows @ observer.theta / ideal
    beyond = (share - CURVATURE_SHARE) / CURVATURE_SIGMA
    at = [place for place, room in enumerate(beyond) if active.includes(("stability", str(place)), room)]
    sigma = CURVATURE_SIGMA * ideal[at]
    return rows[at] / sigma[:, None], (CURVATURE_SHARE - 1) * ideal[at] / sigma
