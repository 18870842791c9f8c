"""Where a melt of two salts would separate into two liquids; of several salts: freezing/liquidus, liquid_unmixing.

The spinodal of the liquid has a closed form (laws/unmixing); its top is a critical point, and below it two
liquids share one tangent. A gap whose top lies above the liquidus is real: it ends below in a monotectic, where one of
its liquids starts to freeze,
    T_liquidus(l(T)) = T   or   T_liquidus(r(T)) = T        (scipy brentq)
One whose top lies below is `hidden`: solids form first, and only an undercooled melt would show it. Coefficients that
grow with T can also make a melt unmix on heating; for molten salts of one anion that is a sign of a law used beyond its
data, and it is reported as such.
Limits: salts that share an ion; a critical point below LOWEST_K or more than SHOWN_K above melting is left out.
Worked value: a regular melt of 22 kJ/mol has its critical point at 1323 K, x = 0.5.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.optimize import brentq

from thermo.equilibrium.freezing.liquidus import WIDEST_K
from thermo.equilibrium.invariants.pair import check_pair
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import LOWEST_K, liquidus_field
from thermo.equilibrium.system.interface import System
from thermo.laws.unmixing import CriticalPoint, PairSolution
from thermo.records.parameters import LIQUID, Parameter
from thermo.records.provenance import Origin
from thermo.records.remembered import remembered
from thermo.records.substances import salt

SHOWN_K = 300.0  # how far above the higher melting point a gap that opens on heating is followed
HIDDEN_SHARE = 0.85  # a hidden gap is followed down to this share of its critical temperature
_LEVELS = 61  # temperatures of an outline
_NEAREST = 0.02  # in sqrt((T_c - T) / span): the step next to a critical point
_SEARCHED = 120  # levels, some 10 K apart, at which a monotectic is looked for


@dataclass(frozen=True)
class LiquidGap:
    """Two liquids side by side: compositions (second salt's fraction) left and right against T, ascending.

    top: its critical point with one standard deviation; hidden: below the liquidus, so metastable. A gap that closes
    on heating and is not hidden begins at its monotectic, T_K[0]. status as the pair's.
    """

    salts: tuple[str, str]
    top: CriticalPoint
    top_sigma_K: float
    T_K: np.ndarray
    left: np.ndarray
    right: np.ndarray
    hidden: bool
    status: Origin


@remembered
def liquid_gaps(a: str, b: str) -> tuple[LiquidGap, ...]:
    """Every gap of the melts of a and b in the order of composition; InputError unless they share an ion."""
    check_pair(a, b)
    return gaps_of(salt_system((a, b)))


def gaps_of(system: System) -> tuple[LiquidGap, ...]:
    """Every liquid gap of a system of two salts whose critical point lies between LOWEST_K and its highest T shown."""
    mixing = melt_solution(system)
    ceiling = float(system.melting_K.max()) + SHOWN_K
    points = [point for point in mixing.critical_points if LOWEST_K < point.T_K < ceiling]
    return tuple(_gap(system, mixing, point, ceiling) for point in points)


def melt_solution(system: System) -> PairSolution:
    """The melt of two salts as a solution with one mole of what mixes, cations or anions, in each mole.

    Two salts of one cation mix z anions a formula, so their coefficients count for one z-th.
    """
    sign, share = _orientation(system)
    terms = {} if not system.pairs else system.pairs[0].terms("liquid")
    return PairSolution.from_terms({k: (share * sign**k * a, share * sign**k * b) for k, (a, b) in terms.items()})


def _orientation(system: System) -> tuple[float, float]:
    """-1 where the fit names the salts the other way round, else 1; one over the ions that mix in a formula."""
    first, second = (salt(formula) for formula in system.salts)
    turned = bool(system.pairs) and system.pairs[0].salts != system.salts
    return -1.0 if turned else 1.0, 1 / first.charge if first.cation == second.cation else 1.0


def _liquidus(system: System, *x: float) -> float:
    """The highest liquidus temperature of these melts (second salt's fractions), K."""
    fractions = np.array([[1 - share, share] for share in x])
    return float(liquidus_field(system.salts, fractions, system).T_K.max())


def _gap(system: System, mixing: PairSolution, top: CriticalPoint, ceiling: float) -> LiquidGap:
    hidden = _liquidus(system, top.x) >= top.T_K
    if not top.upper:
        T = top.T_K + (ceiling - top.T_K) * np.linspace(_NEAREST, 1.0, _LEVELS) ** 2
    else:
        low = max(HIDDEN_SHARE * top.T_K, LOWEST_K) if hidden else _monotectic(system, mixing, top)
        T = top.T_K - (top.T_K - low) * np.linspace(1.0, _NEAREST, _LEVELS) ** 2
    ends = [(t, *ends) for t in T.tolist() if (ends := _own_gap(mixing, top, t)) is not None]
    ends = sorted([*ends, (top.T_K, top.x, top.x)])
    T, left, right = (np.array(column) for column in zip(*ends, strict=True))
    sigma = _top_sigma(system, mixing, top)
    first, second = system.salts
    return LiquidGap((first, second), top, sigma, T, left, right, hidden, system.status)


def _own_gap(mixing: PairSolution, top: CriticalPoint, T_K: float) -> tuple[float, float] | None:
    """The gap at T that grows from this critical point."""
    return next(((l, r) for l, r in mixing.gaps(T_K) if l < top.x < r), None)


def _monotectic(system: System, mixing: PairSolution, top: CriticalPoint) -> float:
    """Highest temperature at which a liquid of the gap starts to freeze; LOWEST_K where none does."""

    def freezes_by(T_K: float) -> float:
        ends = _own_gap(mixing, top, T_K) or (top.x, top.x)
        return _liquidus(system, *ends) - T_K

    levels = np.linspace(top.T_K * (1 - 1e-6), LOWEST_K, _SEARCHED).tolist()
    for above, below in pairwise(levels):
        if freezes_by(below) >= 0:
            return float(brentq(freezes_by, below, above, xtol=1e-4))
    return LOWEST_K


def _top_sigma(system: System, mixing: PairSolution, top: CriticalPoint) -> float:
    """From the covariance of the pair's coefficients and their sensitivity to the fusion energies."""
    (pair,), (sign, share) = system.pairs, _orientation(system)
    response = mixing.critical_response(top)
    count = len(response) // 2
    responses = {
        Parameter(LIQUID, f"{letter}{k}"): share * sign**k * float(response[k + count * n])
        for n, letter in enumerate("ab")
        for k in range(count)
    }
    gradient = np.array([responses.get(parameter, 0.0) for parameter in pair.parameters])
    return min(float(np.sqrt(system.variance([gradient], np.zeros(2)))), WIDEST_K)
