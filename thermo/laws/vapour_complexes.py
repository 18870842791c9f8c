"""Double salts that leave a melt as one molecule, KMgCl3 and its kin.

    p_ij = c a_i a_j sqrt(p_i p_j)      Pa; a activities in the melt, p_i and p_j over the pure salts
    ln c = constant + slope (1/T - 1/centre)      no unit; slope and centre in K
MCl(g) + MgCl2(g) = MMgCl3(g) is in balance with both salts of the melt: it goes with the product of their activities,
and c is what the measured total over the pair asks for beyond the two salts (`fitting/vapour_fit.py`, rows of
data/melt_vapour.csv). One c meets twelve melts of KCl-MgCl2 to 7 % where the salts alone are up to 2.4 times short.
Limits: alkali chlorides with MgCl2; those never measured are estimated by the two that were. Over KCl-CaCl2 none shows.
With ZnCl2, with rare-earth chlorides and in fluorides none is counted. Fitted at 1170 to 1430 K.
Source: Schrier & Clark (1963), Kushkin et al. (1967), both as tabulated in NSRDS-NBS 61 Part IV.
Worked value: c = 20, a = 0.12 and 0.11, p = 5000 and 6500 Pa: 20 x 0.0132 x 5701 = 1505 Pa.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from thermo.laws.volatility import salt_pressure
from thermo.records.provenance import Origin, read_table
from thermo.records.remembered import remembered

FILE = "fitted/vapour_complexes.csv"
CONSTANT, SLOPE, CENTRE = "constant", "slope", "centre"


@dataclass(frozen=True)
class Complex:
    """A molecule of two salts in the vapour: ln c at the centre and its slope, each with one standard deviation."""

    salts: tuple[str, str]
    formula: str
    constant: float
    sigma: float
    slope_K: float
    slope_sigma_K: float
    centre_K: float
    origin: Origin

    def ln_c(self, T_K: float) -> float:
        """ln c at T_K."""
        return self.constant + self.slope_K * (1 / T_K - 1 / self.centre_K)

    def sigma_ln_c(self, T_K: float) -> float:
        """One standard deviation of ln c at T_K."""
        return float(np.hypot(self.sigma, self.slope_sigma_K * (1 / T_K - 1 / self.centre_K)))


@remembered
def complexes() -> MappingProxyType[tuple[str, str], Complex]:
    """All of them by their pair of salts."""
    rows: dict[tuple[str, str], dict[str, dict[str, str]]] = {}
    for row in read_table(FILE):
        rows.setdefault((row["salt_a"], row["salt_b"]), {})[row["term"]] = row
    return MappingProxyType({pair: _complex(pair, terms) for pair, terms in rows.items()})


def _complex(pair: tuple[str, str], terms: Mapping[str, dict[str, str]]) -> Complex:
    constant, slope, centre = (terms[name] for name in (CONSTANT, SLOPE, CENTRE))
    return Complex(
        pair, constant["formula"], float(constant["value"]), float(constant["sigma"]), float(slope["value"]),
        float(slope["sigma"]), float(centre["value"]), Origin(constant["origin"]),
    )  # fmt: skip


def complex_pressures(ln_activities: Mapping[str, float], T_K: float) -> dict[Complex, float]:
    """Pressure of each double salt over a melt whose salts have these ln a, Pa."""
    return {
        one: float(np.exp(one.ln_c(T_K) + ln_activities[a] + ln_activities[b]) * pair_pressure(one.salts, T_K))
        for (a, b), one in complexes().items()
        if a in ln_activities and b in ln_activities
    }


def pair_pressure(pair: tuple[str, str], T_K: float) -> float:
    """Geometric mean of the pressures over the two pure salts, Pa."""
    return float(np.sqrt(salt_pressure(pair[0], T_K) * salt_pressure(pair[1], T_K)))
