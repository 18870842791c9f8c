"""Published limits of what two solids dissolve of each other, as linear equations for the fit.

    mutual solubility at T      the two sides have equal potentials:  mu_i(side 1) = mu_i(side 2)
    top of a miscibility gap    d2G/dy2 = 0 and, where its composition is known, d3G/dy3 = 0
Both are linear in the coefficients of the solid once the compositions are given (`point_equations` for the rest).
Units: J/mol, K. Limits: one gap a solid solution.
Worked value: 5 mol% of B in solid A at 900 K, nothing the other way: one equation, R T ln(1/0.05) = 22.4 kJ/mol.
"""

from collections.abc import Iterator, Sequence

import numpy as np

from thermo.fitting.point_equations import Equations, PairObserver, free_of_fusion
from thermo.laws.solid_solution import SolutionSolid
from thermo.records.parameters import SHARED
from thermo.records.published import PublishedInvariant
from thermo.records.solid_solutions import SolidSolution, solid_solution
from thermo.records.units import R

SOLUBILITY_SIGMA = 0.2  # of a published limit of solid solubility, as a share: judgement, no source
CRITICAL_SIGMA = 0.06  # of a published top of a gap, as a share of T: judgement, no source
CRITICAL_X = 0.45  # composition of a top published without one: judgement, near the middle


def solid_equations(observer: PairObserver, invariants: Sequence[PublishedInvariant]) -> Iterator[Equations]:
    """All equations of one pair's solids; limits printed without T belong to its coldest melts."""
    known = solid_solution(*observer.system.salts)
    if known is None:
        return
    melting = [row.T_K for row in invariants if row.use == "fit" and row.kind in ("eutectic", "minimum") and row.T_K]
    for row in (known, *known.others):
        T_K = row.limit_T_K or (float(np.mean(melting)) if melting else None)
        if T_K is not None and (found := solubility(observer, row, T_K)) is not None:
            yield found
    if (found := critical_point(observer, known)) is not None:
        yield found


def solubility(observer: PairObserver, known: SolidSolution, T_K: float) -> Equations | None:
    """Published limits of mutual solubility in the solid at T: the two sides have equal potentials.

    A side without a published limit counts as pure; its own row is left out. Limits good to SOLUBILITY_SIGMA.
    """
    limits = (known.a_in_b, known.b_in_a) if known.pair == observer.system.salts else (known.b_in_a, known.a_in_b)
    sides = []
    for own, limit in ((0, limits[1]), (1, limits[0])):
        solution = next((s for s in observer.system.solids if isinstance(s, SolutionSolid) and own in s.natives), None)
        sides.append((solution, np.where(np.arange(2) == own, 1 - (limit or 0.0), limit or 0.0)))
    rows, target = [], []
    for i, limit in enumerate(limits):
        if not limit:
            continue
        row, logs = np.zeros(len(observer.theta)), []
        for sign, (solution, y) in zip((1, -1), (sides[i], sides[1 - i]), strict=True):
            if solution is not None:
                row += sign * observer.solid_row(solution, y, i, T_K)
            logs.append(float(np.log(y[i])))
        rows.append(row)
        target.append(R * T_K * (logs[1] - logs[0]))
    if not rows:
        return None
    sigma = SOLUBILITY_SIGMA * R * T_K
    label = f"solid solubility {known.source}"
    return free_of_fusion(label, np.array(rows) / sigma, np.array(target) / sigma)


def critical_point(observer: PairObserver, known: SolidSolution) -> Equations | None:
    """Published top of the miscibility gap: second (and, with known composition, third) derivative of G is zero."""
    if known.critical_T_K is None:
        return None
    y = CRITICAL_X if known.critical_x_b is None else known.critical_x_b
    y = y if known.pair == observer.system.salts else 1 - y
    T_K = known.critical_T_K
    second = _derivative_row(observer, [-2.0, 12 * y - 6], T_K)
    third = _derivative_row(observer, [0.0, 12.0], T_K)
    target = [-R * T_K / (y * (1 - y)), -R * T_K * (2 * y - 1) / (y * (1 - y)) ** 2]
    sigma = [CRITICAL_SIGMA * R * T_K / (y * (1 - y)), 2 * R * T_K]
    used = slice(0, 1 if known.critical_x_b is None else 2)
    rows, values, spread = np.array([second, third])[used], np.array(target)[used], np.array(sigma)[used]
    return free_of_fusion(f"critical point {known.source}", rows / spread[:, None], values / spread)


def _derivative_row(observer: PairObserver, by_order: list[float], T_K: float) -> np.ndarray:
    """Design row of a derivative of the solid solution's G^E by its second salt, given each term's derivative."""
    row = np.zeros(len(observer.theta))
    for n, parameter in enumerate(observer.pair.parameters):
        if parameter.phase == SHARED:
            row[n] = by_order[parameter.order] * parameter.factor(T_K)
    return row
