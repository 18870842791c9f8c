"""Fits the double salts in the vapour (thermo/laws/vapour_complexes.py) to measured totals over molten pairs.

    ln p - ln(a_i p_i + a_j p_j + c a_i a_j sqrt(p_i p_j)) = error      a by the fitted pair, p over the pure salts
with ln c and its slope in 1/T by least squares: p to its stated factor and MODEL together, the slope from its prior
(the molecule holds its two gases by some 200 kJ/mol and so rises less steeply than they do: from memory, no source).
Both are widened by chi-squared where rows scatter more. The centre is the mean 1/T of the rows: there the two are
independent.
Alkali chlorides with MgCl2 that nobody measured: the mean of those that were, to a factor of e (judgement).
Worked value: twelve melts of KCl-MgCl2 give ln c = 3.1 at 1350 K, rms 0.07.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares

from thermo.equilibrium.freezing.activity import ln_activities
from thermo.laws.vapour_complexes import CENTRE, CONSTANT, SLOPE, pair_pressure
from thermo.laws.volatility import salt_pressure
from thermo.records.provenance import Origin, read_table
from thermo.records.substances import salts
from thermo.records.table_text import digits, table_text

MODEL = 0.10  # of ln p: what the law leaves open at a melt (judgement)
SLOPE_K, SLOPE_SIGMA_K = 3000.0, 3000.0  # prior, see above
UNMEASURED = 1.0  # of ln c
PARTNER = "MgCl2"
HEADER = "salt_a,salt_b,formula,term,value,unit,sigma,points,sources,origin"


@dataclass(frozen=True)
class VapourPoint:
    """A measured total over a pair: ln a of both salts there, Pa, one standard deviation of ln p."""

    salts: tuple[str, str]
    x_b: float
    T_K: float
    p_Pa: float
    sigma_ln: float
    ln_a: tuple[float, float]
    source: str

    def alone_Pa(self) -> float:
        """Vapour of the two salts without any double salt."""
        return sum(float(np.exp(ln) * salt_pressure(f, self.T_K)) for f, ln in zip(self.salts, self.ln_a, strict=True))

    def per_c_Pa(self) -> float:
        """Vapour of the double salt for c = 1."""
        return float(np.exp(sum(self.ln_a)) * pair_pressure(self.salts, self.T_K))


@dataclass(frozen=True)
class ComplexFit:
    """ln c at the centre and its slope, with one standard deviation each."""

    constant: float
    sigma: float
    slope_K: float
    slope_sigma_K: float
    centre_K: float
    rms: float


def points(use: str = "fit") -> list[VapourPoint]:
    """The rows of data/melt_vapour.csv of one use, with the activities of the fitted pair."""
    found = []
    for row in read_table("melt_vapour.csv"):
        if row["use"] != use:
            continue
        pair, x, T_K = (row["salt_a"], row["salt_b"]), float(row["x_b"]), float(row["T_K"])
        a, b = ln_activities(pair, np.array([[1 - x, x]]), T_K)[0].tolist()
        sigma = float(np.log(float(row["sigma_factor"])))
        found.append(VapourPoint(pair, x, T_K, float(row["p_Pa"]), sigma, (a, b), row["source"]))
    return found


def fit(own: list[VapourPoint]) -> ComplexFit:
    """The double salt of one pair by its points."""
    centre_K = 1 / float(np.mean([1 / p.T_K for p in own]))
    inverse = np.array([1 / p.T_K - 1 / centre_K for p in own])
    alone, each = np.array([p.alone_Pa() for p in own]), np.array([p.per_c_Pa() for p in own])
    ln_p, sigma = np.log([p.p_Pa for p in own]), np.hypot([p.sigma_ln for p in own], MODEL)

    def misses(theta: np.ndarray) -> np.ndarray:
        return ln_p - np.log(alone + each * np.exp(theta[0] + theta[1] * SLOPE_SIGMA_K * inverse))

    def residuals(theta: np.ndarray) -> np.ndarray:
        return np.append(misses(theta) / sigma, theta[1] - SLOPE_K / SLOPE_SIGMA_K)

    found = least_squares(residuals, [2.0, SLOPE_K / SLOPE_SIGMA_K], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    chi2 = float(np.sum((misses(found.x) / sigma) ** 2)) / max(len(own) - 2, 1)
    spread = np.sqrt(np.diag(np.linalg.inv(found.jac.T @ found.jac)) * max(chi2, 1.0))
    rms = float(np.sqrt(np.mean(misses(found.x) ** 2)))
    return ComplexFit(
        float(found.x[0]), float(spread[0]), float(found.x[1]) * SLOPE_SIGMA_K, float(spread[1]) * SLOPE_SIGMA_K,
        centre_K, rms,
    )  # fmt: skip


def regenerate() -> dict[str, str]:
    """Text of the generated file by its name under data/."""
    measured: dict[tuple[str, str], list[VapourPoint]] = {}
    for point in points():
        measured.setdefault(point.salts, []).append(point)
    fits = {pair: fit(own) for pair, own in measured.items()}
    mean = float(np.mean([one.constant for one in fits.values()]))
    centre = float(np.mean([one.centre_K for one in fits.values()]))
    guess = ComplexFit(mean, UNMEASURED, SLOPE_K, SLOPE_SIGMA_K, centre, 0.0)
    alkali = [record.formula for record in salts().values() if record.group == "alkali" and record.anion == "Cl"]
    rows = []
    for pair in [(formula, PARTNER) for formula in alkali]:
        own = measured.get(pair, [])
        rows += _rows(pair, fits.get(pair, guess), own)
    return {"fitted/vapour_complexes.csv": table_text(HEADER, rows)}


def _rows(pair: tuple[str, str], one: ComplexFit, own: list[VapourPoint]) -> list[list[object]]:
    formula = f"{salts()[pair[0]].cation}MgCl3"
    keys = "; ".join(dict.fromkeys(p.source for p in own))
    tail = [len(own), keys, Origin.FITTED if own else Origin.ESTIMATED]
    terms = (
        (CONSTANT, one.constant, "1", one.sigma),
        (SLOPE, one.slope_K, "K", one.slope_sigma_K),
        (CENTRE, one.centre_K, "K", 0.0),
    )
    return [
        [*pair, formula, term, digits(value, max(sigma, 1e-6)), unit, f"{sigma:.4g}", *tail]
        for term, value, unit, sigma in terms
    ]
