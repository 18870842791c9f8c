"""Many melts at once, as arrays: a field of compositions, the liquidus of a pair.

Temperatures here in degrees Celsius, as the names say: this is the notebook's side. T_C is what leads
(evidence/start_of_freezing), so a field and the record of one melt agree.
Limits: those of the liquidus; no standard deviations in a field. Worked value: NaCl alone: 801 deg C.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from thermo.answers.evidence.start_of_freezing import leading_field
from thermo.answers.flotation import difference_field
from thermo.equilibrium.invariants.pair import pair_curve
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError
from thermo.records.substances import salt
from thermo.records.units import ZERO_C


@dataclass(frozen=True)
class PairCurve:
    """Liquidus of a pair, arrays (N,): mole percent of the second salt, T_C, sigma_K, name of the first solid.

    >>> curve = curve_of("LiF", "NaF", 11)
    >>> curve.T_C.shape, curve.mole_percent[-1].item()
    ((11,), 100.0)
    """

    mole_percent: np.ndarray
    T_C: np.ndarray
    sigma_K: np.ndarray
    first_solid: np.ndarray


@dataclass(frozen=True)
class Field:
    """Many melts, arrays (N,): T_C where each starts to freeze and the first solid; with a metal also melt less metal.

    >>> found = field(["NaCl", "KCl"], [[0.5, 0.5], [1, 0]])
    >>> bool(640 < found.T_C[0] < 670), bool(abs(found.T_C[1] - 801) < 1)
    (True, True)
    """

    T_C: np.ndarray
    first_solid: np.ndarray
    difference_g_cm3: np.ndarray | None = None
    sigma_g_cm3: np.ndarray | None = None


def curve_of(first: str, second: str, points: int = 401) -> PairCurve:
    """The liquidus of a pair on an even grid of the second salt's share; InputError for fewer than two points."""
    if points < 2:
        raise InputError(f"points {points}: allowed is 2 or more")
    found = pair_curve(first, second, points)
    return PairCurve(100 * found.x_second, found.T_K - ZERO_C, found.sigma_K.copy(), np.array(found.first_solid))


def field(salts: Sequence[str], fractions: Any, metal: str | None = None, t_C: Any = None) -> Field:
    """Start of freezing of N melts, fractions (N, n) of n salts in moles (rows are brought to 1); with a metal and t_C
    (a number or (N,)) also the difference of the densities. InputError for rows that are no melts.

    >>> field(["LiF", "NaF"], [[60, 40]]).first_solid.shape
    (1,)
    """
    names = tuple(salt(name).formula for name in salts)
    from_amounts(dict.fromkeys(names, 1.0))  # refuses salts that do not go together
    x = _rows(fractions, len(names))
    if (metal is None) != (t_C is None):
        raise InputError("metal and t_C: allowed are both or neither")
    found = leading_field(names, x)
    T_C, first = found.T_K - ZERO_C, np.array(found.solids)[found.solid_index]
    if metal is None:
        return Field(T_C, first)
    return Field(T_C, first, *difference_field(names, x, metal, np.asarray(t_C, dtype=float) + ZERO_C))


def _rows(fractions: Any, count: int) -> np.ndarray:
    """Mole fractions (N, count) that sum to 1; InputError for anything that is not such rows."""
    x = np.atleast_2d(np.asarray(fractions, dtype=float))
    whole = x.ndim == 2 and x.shape[1] == count and np.isfinite(x).all()
    if not whole or (x < 0).any() or (x.sum(axis=1) <= 0).any():
        raise InputError(f"fractions {x.shape}: allowed are rows of {count} numbers, zero or more, not all zero")
    return x / x.sum(axis=1, keepdims=True)
