"""Published densities of mixed melts beside what this program computes: found, published, difference in per cent.

A published line is read at both ends of its span. The published sigma holds the scatter stated with the row and the
scale error of its set (how far the set's own pure salts lie off the accepted lines).
    sigmas = (found - published) / sqrt(model sigma^2 + published sigma^2)
Limits: rows marked `fit` made the volumes of mixing; `check` rows and melts of three salts did not. Rows `low` dissent
and rows `no` are withdrawn: shown, not counted. Worked value: 1.612 found, 1.60 published: +0.75 %.
"""

from thermo.fitting.leave_out import DensityComparison, published_density, volume_points
from thermo.laws.density import melt_density_field
from thermo.records.remembered import remembered


@remembered
def density_evidence(*names: str) -> tuple[DensityComparison, ...]:
    """Every published density of a mixed melt, or those of melts made of no other salts than these."""
    found = []
    for point in volume_points():
        if not names or set(point.salts) <= set(names):
            density, sigma = melt_density_field(point.salts, point.fractions[None, :], point.T_K)
            found.append(DensityComparison(point, *published_density(point), float(density[0]), float(sigma[0])))
    return tuple(found)
