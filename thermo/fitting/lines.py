"""The driving force of a solid of fixed composition beside melts of a pair, as a line in the parameters theta.

    D(x, T; theta) = D(x, T; 0) + g theta,   dD/dT likewise,   g = dD/d(theta) at x and T
Nothing of it but theta changes while a fit is repeated, so it is worked out once for each place. Every parameter enters
a Gibbs energy straight in T (records/parameters), so dg/dT is the difference over a kelvin.
Units: J/mol, K. Limits: one pair, no solid solutions (their composition moves with theta).
Worked value: pure NaCl beside NaCl-KCl as 1 - x to x: g = x^2 by a_0, T x^2 by b_0.
"""

from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.system.driving_force import Melts, driving_slope
from thermo.equilibrium.system.interface import System
from thermo.laws.solids import FixedSolid
from thermo.records.parameters import Parameter
from thermo.records.remembered import remembered


@dataclass(frozen=True)
class Line:
    """D of one solid at melts x (N,) and T: base (N,) and rows (N, parameters); of dD/dT at the first melt likewise.

    fusion (2,): what one sigma of each salt's fusion energy does to D.
    """

    base: np.ndarray
    rows: np.ndarray
    slope_base: float
    slope_row: np.ndarray
    fusion: np.ndarray

    def force(self, theta: np.ndarray) -> np.ndarray:
        """D (N,)."""
        return self.base + self.rows @ theta

    def slope(self, theta: np.ndarray) -> float:
        """dD/dT at the first melt."""
        return self.slope_base + float(self.slope_row @ theta)


class Lines:
    """The lines of one pair with these parameters, kept by solid and place, and where its liquidus was last."""

    def __init__(self) -> None:
        self._known: dict[tuple[str, bytes, float], Line] = {}
        self._liquidus_K: dict[bytes, np.ndarray] = {}

    def liquidus(self, melts: Melts) -> np.ndarray:
        """Liquidus (N,) of melts of the pair, looked for where it was last, K."""
        key = melts.x.tobytes()
        self._liquidus_K[key] = T_K = melts.liquidus(self._liquidus_K.get(key))[0]
        return T_K

    def of(self, system: System, solid: FixedSolid, x: np.ndarray, T_K: float) -> Line:
        """The line of a solid at melts x (N,) (fraction of the second salt), which the system's own theta gives."""
        key = solid.name, x.tobytes(), T_K
        if key not in self._known:
            self._known[key] = _line(system, solid, x, T_K)
        return self._known[key]


@remembered
def lines_of(salts: tuple[str, str], parameters: tuple[Parameter, ...]) -> Lines:
    """The lines of a pair, which every fit of it adds to."""
    return Lines()


def _line(system: System, solid: FixedSolid, x: np.ndarray, T_K: float) -> Line:
    melts, theta = Melts(system, np.column_stack([1 - x, x])), system.pairs[0].values
    rows = np.array([system.parameter_gradient(solid, row, T_K, None)[0] for row in melts.x])
    slope_row = system.parameter_gradient(solid, melts.x[0], T_K + 1.0, None)[0] - rows[0]
    base = melts.driving_force(solid, np.full(len(x), T_K))[0] - rows @ theta
    slope_base = driving_slope(melts, solid, T_K, None) - float(slope_row @ theta)
    return Line(base, rows, slope_base, slope_row, system.fusion_errors(solid, T_K, None))
