"""What the program would say of a pair had nobody measured it: the test of its estimates and of their bands.

Leave one system out, melting: the rules of size are fitted again without the pair, `unmeasured_model` predicts it, and
each published point is compared with that prediction. That certain double salts exist counts as known (crystals are
found without melting anything), their energies do not; the solids of an estimate need not be the published ones;
compared is what the program states for any melt:
    liquidus    at the published composition, whose own error counts through the slope of the computed curve
    lowest      the lowest temperature of the computed liquidus, for a coldest point without a composition
Leave one system out, density: the volumes of mixing are fitted again without the pair, which then has V^E = 0 with the
standard deviation of its family, rho = sum x_i M_i / sum x_i V_i.
    sigmas = (found - published) / sqrt(model sigma^2 + published sigma^2)
Limits: pairs of one anion; rows marked unsure or `no` are left aside. Worked value: a rule that rests on 9 pairs rests
on 8 while one of them is left out.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.freezing.liquidus import liquidus_sigma
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.fitting.pair_fit import salt_order
from thermo.fitting.priors.pairs import unmeasured_model
from thermo.fitting.volume_fit import family_errors
from thermo.fitting.volume_points import VolumePoint, points
from thermo.laws.density import salt_line
from thermo.laws.excess_volume import family as volume_family
from thermo.records.composition import formula_mass
from thermo.records.fitted import PairModel, Strength, own_strengths, pair_models
from thermo.records.provenance import Origin
from thermo.records.published import PublishedInvariant, invariants
from thermo.records.remembered import remembered
from thermo.records.substances import salt

GRID = 201
COLDEST_SIGMAS = (
    2.0  # a point without a composition is the pair's coldest when within so many sigmas of the coldest of all
)
KINDS = ("eutectic", "peritectic", "congruent", "minimum")  # `highest` has no composition to compare at
_DX = 1e-3


@dataclass(frozen=True)
class PointComparison:
    """One published invariant and what was found for it, K; way says what was compared: 'liquidus', 'lowest' ..."""

    point: PublishedInvariant
    way: str
    found_K: float
    model_sigma_K: float
    published_sigma_K: float

    @property
    def salts(self) -> tuple[str, str]:
        """The two salts."""
        return self.point.pair

    @property
    def difference(self) -> float:
        """Found less published, K."""
        return self.found_K - self.point.known_T_K[0]

    @property
    def sigmas(self) -> float:
        """Difference in standard deviations of both sides together."""
        return self.difference / float(np.hypot(self.model_sigma_K, self.published_sigma_K))

    @property
    def within_sources(self) -> bool | None:
        """Whether the computed temperature lies in the spread of the sources; None: not looked at here."""
        return None

    @property
    def counted(self) -> bool:
        """Whether the row counts in totals: measured, and neither unsure nor withdrawn (`no`)."""
        point = self.point
        return point.use != "no" and not point.likened and not point.unsure


@dataclass(frozen=True)
class DensityComparison:
    """One published density and what was found for it, g/cm3."""

    point: VolumePoint
    published: float
    published_sigma: float
    found: float
    model_sigma: float

    @property
    def salts(self) -> tuple[str, ...]:
        """The salts of the melt."""
        return self.point.salts

    @property
    def difference(self) -> float:
        """Found less published, per cent of the published density."""
        return 100 * (self.found / self.published - 1)

    @property
    def sigmas(self) -> float:
        """Difference in standard deviations of both sides together."""
        return (self.found - self.published) / float(np.hypot(self.model_sigma, self.published_sigma))

    @property
    def within_sources(self) -> bool | None:
        """None: densities of several sources are not set against each other."""
        return None

    @property
    def counted(self) -> bool:
        """Whether the row counts in totals: fitted, or kept as a check."""
        return self.point.use in ("fit", "check")


def one_anion(a: str, b: str) -> bool:
    """Whether two salts share their anion."""
    return salt(a).anion == salt(b).anion


def left_out_model(a: str, b: str, strengths: Iterable[Strength] | None = None) -> PairModel:
    """The model the pair would have without its own points; `strengths` default to the fitted file."""
    own = salt_order(a, b)
    known = own_strengths() if strengths is None else strengths
    return unmeasured_model(*own, [strength for strength in known if set(strength.salts) != set(own)])


def predict(system: SaltSystem, x: float) -> tuple[float, float, float]:
    """Liquidus of a pair at x of its second salt: K, its standard deviation in K, its slope in K per mole fraction."""
    at = np.clip([x, x - _DX, x + _DX], 1e-6, 1 - 1e-6)
    melts = Melts(system, np.column_stack([1 - at, at]))
    found = [(solid, *melts.solid_temperature(solid)) for solid in system.solids]
    T = np.stack([curve for _, curve, _ in found]).max(axis=0)
    solid, curve, y = max(found, key=lambda entry: entry[1][0])
    first = Melts(system, melts.x[:1])
    sigma = liquidus_sigma(system, first, solid, float(curve[0]), None if y is None else y[0])
    return float(T[0]), sigma, float((T[2] - T[1]) / (at[2] - at[1]))


def lowest_fraction(system: SaltSystem) -> float:
    """Fraction of the second salt where the pair's liquidus is lowest, from a grid."""
    x = np.linspace(0.0, 1.0, GRID)
    melts = Melts(system, np.column_stack([1 - x, x]))
    T = np.stack([melts.solid_temperature(solid)[0] for solid in system.solids]).max(axis=0)
    return float(x[int(T.argmin())])


def usable(point: PublishedInvariant) -> bool:
    """Whether a row is a sure, numeric melting point."""
    return (
        point.kind in KINDS
        and point.T_K is not None
        and point.T_sigma_K is not None
        and point.use != "no"
        and not point.unsure
    )


def sigma_at_composition(point: PublishedInvariant, slope: float) -> float:
    """Standard deviation of a published T, K, with that of its composition through the slope of the curve (K)."""
    return float(np.hypot(point.known_T_K[1], slope * (point.x_b_sigma or 0.0)))


@remembered
def left_out_points(a: str, b: str) -> tuple[PointComparison, ...]:
    """Every usable published invariant of the pair against its prediction from the other pairs."""
    rows = [point for point in invariants(a, b) if usable(point)]
    if not rows:
        return ()
    system = SaltSystem((a, b), {frozenset((a, b)): left_out_model(a, b)})
    coldest = min(rows, key=lambda point: point.known_T_K[0])
    found = []
    for point in rows:
        if point.x_b is not None:
            T_K, sigma, slope = predict(system, point.x_b)
            found.append(PointComparison(point, "liquidus", T_K, sigma, sigma_at_composition(point, slope)))
        elif point.kind in ("eutectic", "minimum") and _as_cold(point, coldest):
            T_K, sigma, _ = predict(system, lowest_fraction(system))
            found.append(PointComparison(point, "lowest", T_K, sigma, point.known_T_K[1]))
    return tuple(found)


def _as_cold(point: PublishedInvariant, coldest: PublishedInvariant) -> bool:
    """Whether a point may be the pair's lowest melt."""
    (T_K, sigma_K), (coldest_K, coldest_sigma_K) = point.known_T_K, coldest.known_T_K
    return T_K - coldest_K <= COLDEST_SIGMAS * float(np.hypot(sigma_K, coldest_sigma_K))


def all_left_out_points() -> tuple[PointComparison, ...]:
    """The left-out points of every fitted pair of one anion."""
    pairs = [m.salts for m in pair_models().values() if m.status == Origin.FITTED and one_anion(*m.salts)]
    return tuple(row for pair in pairs for row in left_out_points(*pair))


@remembered
def volume_points() -> tuple[VolumePoint, ...]:
    """All measured molar volumes, read once."""
    return tuple(points())


def published_density(point: VolumePoint) -> tuple[float, float]:
    """Density and its standard deviation as published, g/cm3: scatter stated with the row and scale error of its set.

    VolumePoint.sigma is widened by the root of the number of temperatures one line is read at; that is undone.
    """
    mass = sum(x * formula_mass(f) for f, x in zip(point.salts, point.fractions, strict=True))
    volume = point.additive + point.excess
    ends = sum(other.row == point.row for other in volume_points())
    return mass / volume, mass / volume * float(np.hypot(point.sigma / np.sqrt(ends), point.scale)) / volume


@remembered
def left_out_densities(a: str, b: str) -> tuple[DensityComparison, ...]:
    """Every fitted density of the pair against its prediction without the pair: volumes added, spread of its family."""
    own = [p for p in volume_points() if set(p.salts) == {a, b} and p.use == "fit"]
    if not own:
        return ()
    rest = [p for p in volume_points() if set(p.salts) != {a, b}]
    sigma_pct = family_errors(rest)[volume_family(a, b)][0]
    return tuple(_without_excess(point, sigma_pct) for point in own)


def _without_excess(point: VolumePoint, sigma_pct: float) -> DensityComparison:
    masses = [x * formula_mass(f) for f, x in zip(point.salts, point.fractions, strict=True)]
    lines = [salt_line(f) for f in point.salts]
    volumes = np.array([m / line.density(point.T_K) for m, line in zip(masses, lines, strict=True)])
    pure = np.array([float(line.relative_sigma(point.T_K)) for line in lines]) * volumes
    mixing = sigma_pct / 100 * 4 * float(np.prod(point.fractions)) * point.additive
    density = sum(masses) / point.additive
    sigma = density * float(np.sqrt((pure**2).sum() + mixing**2)) / point.additive
    return DensityComparison(point, *published_density(point), density, sigma)


def all_left_out_densities() -> tuple[DensityComparison, ...]:
    """The left-out densities of every pair with fitted rows."""
    pairs = dict.fromkeys(tuple(sorted(p.salts)) for p in volume_points() if p.use == "fit" and len(p.salts) == 2)
    return tuple(row for pair in pairs for row in left_out_densities(*pair))
