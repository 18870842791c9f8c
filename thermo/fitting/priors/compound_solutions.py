"""What the interaction of two double salts in one solid solution is expected to be before any melt is looked at.

    W = 11.53 r + 89.40 r^2 kJ per mole of exchanged cations,  r = difference of the volumes over the smaller
the rule of common-ion alkali halides (records/solid_solutions), with the volume of a compound taken as the sum of its
salts'; spread 0.3 W + 4 kJ, the guess that salts of higher charge have (priors/solid_solutions). That the two mix
completely where they freeze, at T, says 0 < W < 2 R T (above it one solid would be two): expected are the mean and the
spread of that normal distribution between these ends. The published melts move it further (fitting/joint).
Where they mix in part, up to y of the other at T, each limit says by itself
    W = R T ln((1 - y) / y) / (1 - 2 y)                       regular solution: equal potentials across its gap
and the mean of both is expected, to LEAST: one crystal stands for two, and an ordered one may lie between.
Limits: judgement; no change with temperature. Worked value: NaMgF3 and KMgF3, r = 0.32, complete at 1006 deg C: 12.9 +-
7.9 kJ by size, 11.7 +- 5.4 kJ between 0 and 21.3.
"""

import math

from thermo.records.compound_solutions import CompoundPair
from thermo.records.solid_solutions import volume, volume_rule
from thermo.records.substances import double_salts
from thermo.records.units import R

SHARE, LEAST_J_mol = 0.3, 4000.0


def expected_mixing(pair: CompoundPair) -> tuple[float, float]:
    """W and its standard deviation, J per mole of exchanged cations."""
    if pair.limits is not None:
        told = [by_limit(y, pair.limit_T_K) for y in pair.limits]
        return sum(told) / 2, math.hypot(LEAST_J_mol, (told[0] - told[1]) / 2)
    W = by_size(pair)
    return between(W, SHARE * W + LEAST_J_mol, 0.0, 2 * R * pair.limit_T_K)


def by_limit(y: float, T_K: float) -> float:
    """W of a regular solution that takes up y of the other at T."""
    return R * T_K * math.log((1 - y) / y) / (1 - 2 * y)


def by_size(pair: CompoundPair) -> float:
    """W by the volumes alone."""
    first, second = (
        sum(count * volume(f) for f, count in double_salts()[member].stoichiometry.items()) for member in pair.members
    )
    return volume_rule(first, second)


def between(mean: float, sigma: float, low: float, high: float) -> tuple[float, float]:
    """Mean and standard deviation of a normal distribution cut off at both ends."""
    a, b = (low - mean) / sigma, (high - mean) / sigma
    inside = 0.5 * (math.erf(b / math.sqrt(2)) - math.erf(a / math.sqrt(2)))
    at_a, at_b = (math.exp(-0.5 * z * z) / math.sqrt(2 * math.pi) for z in (a, b))
    shift = (at_a - at_b) / inside
    return mean + sigma * shift, sigma * math.sqrt(1 + (a * at_a - b * at_b) / inside - shift**2)
