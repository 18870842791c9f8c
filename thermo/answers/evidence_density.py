"""Published densities of mixed melts beside what this program computes: found, published, difference in per cent.

A published line is read at both ends of its span. The published sigma holds the scatter stated with the row and the
scale error of its set (how far the set's own pure salts lie off the accepted lines).
    sigmas = (found - published) / sqrt(model sigma^2 + published sigma^2)
Limits: rows marked `fit` made the volumes of mixing; `check` rows and melts of three salts did not. Rows `low` dissent
and rows `no` are withdrawn: shown, not counted. Worked value: 1.612 found, 1.60 published: +0.75 %.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np

from thermo.equilibrium.leave_out import published_density, volume_points
from thermo.equilibrium.volume_points import VolumePoint
from thermo.laws.density import melt_density_field
from thermo.laws.excess_volume import family


@dataclass(frozen=True)
class DensityComparison:
    """One published density and the computed one, g/cm3."""

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
    def counted(self) -> bool:
        """Whether the row counts in totals: fitted, or kept as a check."""
        return self.point.use in ("fit", "check")

    @property
    def family(self) -> str:
        """Family of the pair, or the number of salts of a melt of more."""
        return family(*self.salts) if len(self.salts) == 2 else f"melts of {len(self.salts)} salts"


@cache
def density_evidence(*names: str) -> tuple[DensityComparison, ...]:
    """Every published density of a mixed melt, or those of melts made of no other salts than these."""
    found = []
    for point in volume_points():
        if not names or set(point.salts) <= set(names):
            density, sigma = melt_density_field(point.salts, point.fractions[None, :], point.T_K)
            found.append(DensityComparison(point, *published_density(point), float(density[0]), float(sigma[0])))
    return tuple(found)
