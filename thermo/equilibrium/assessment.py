"""Fits the interaction coefficients of one salt pair to its published points, with covariance.

Weighted linear least squares of the equations of `observations`, with physical priors as further equations:
    a_0 ~ N(0, A)               size of an interaction, by family
    a_k ~ N(0, share_k L)       k = 1, 2, 3: a pair bends in proportion to its own strength L = |a_0 + b_0 900 K|,
                                alkali pairs little, pairs that order more; L comes from the fit, which is repeated
    b_k ~ N(-a_k / tau, B_k)    excess entropy follows excess enthalpy: tau = 3000 K for alkali pairs (G^E = 0.68 H^E
                                near 930 K; van der Kemp et al., Thermochim. Acta 196 (1992) 301), 8000 K and wide for
                                pairs that order (MgCl2 in KCl keeps its activity coefficient from 750 to 950 deg C);
                                B_0 = 2 J/(mol K) + L / 10^4 K, B_k = 2 share_k B_0
    dH ~ N(0, 40 kJ), dS ~ N(0, 2 J/(mol K) per mole of salts)   Neumann & Kopp
    solid solution a_k from the volume rule of the same paper
Every pair gets four terms with slopes: the priors, not a count of terms, decide how far the data may bend a pair, and
what the data leave open stays in the covariance (counting terms by leaving points out was tried: with the two to five
invariants of most pairs it picks what the missing point did not need, and its bands come out too narrow).
Only the composition y of solid solutions is not linear: it is recomputed and the fit repeated until nothing moves
(Gauss-Newton). Where the points disagree more than their stated errors allow, the covariance is multiplied by chi^2 per
degree of freedom: dissent widens the band. A fit whose melt would unmix on its own liquidus is repeated with stiffer
priors on k >= 1.
Limits: pairs of one anion with at least one usable point. Worked value: LiCl-KCl a_0 about -18 kJ/mol.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.liquidus import Melts
from thermo.equilibrium.observations import Equations, PairObserver, equations
from thermo.equilibrium.system import SaltSystem
from thermo.laws.mixing import REFERENCE_K
from thermo.records.interactions import PairModel
from thermo.records.measurements import invariants, liquidus_points, mixing_points
from thermo.records.solid_solutions import solid_solution
from thermo.records.substances import double_salts, salt

PRIOR_A0 = {"alkali": 25000.0, "ordered": 60000.0, "zinc": 60000.0, "trivalent": 80000.0, "other": 15000.0}  # J/mol
# Judgement, no source, as the next: sizes seen where enthalpies of mixing were measured.
BEND = {  # spread of a_1, a_2, a_3 as shares of the pair's regular interaction
    "alkali": (0.10, 0.07, 0.04),
    "ordered": (0.30, 0.25, 0.25),
    "zinc": (0.60, 0.40, 0.30),
    "trivalent": (0.35, 0.30, 0.25),
    "other": (0.30, 0.20, 0.10),
}
ORDERS = 4
FIRST_STRENGTH = 30000.0  # J/mol, where the repetition starts
SMALLEST_J_mol = {  # a weaker pair may bend as much as one of this strength
    "alkali": 10000.0,
    "ordered": 6000.0,
    "zinc": 40000.0,
    "trivalent": 40000.0,
    "other": 10000.0,
}
TAU_K = {"alkali": 3000.0, "ordered": 8000.0}
PRIOR_DH = 40000.0  # J/mol
PRIOR_DS_PER_SALT = 2.0  # J/(mol K)
PARTIAL_J_mol = (20000.0, 6000.0)
STIFFER = (1.0, 0.5, 0.25, 0.12, 0.06, 0.03)  # on the priors of k >= 1; the first physical fit is taken
ROUNDS = 20


@dataclass(frozen=True)
class PairFit:
    """The model of one pair with how well its equations are met."""

    model: PairModel
    score: float
    equations: tuple[Equations, ...]
    residuals: np.ndarray


def parameter_names(a: str, b: str) -> tuple[str, ...]:
    """Names of the pair's parameters, liquid first."""
    names = [f"liquid:{letter}{k}" for k in range(ORDERS) for letter in "ab"]
    for double in double_salts().values():
        if set(double.pair) == {a, b} and double.fitted:
            names += [f"{double.formula}:dH", f"{double.formula}:dS"]
    return (*names, *[f"solid solution:{term}" for term in solid_priors(a, b)])


def prior(names: Sequence[str], a: str, b: str, strength: float, stiffness: float = 1.0):
    """Prior equations (whitened design and target) for these parameters of a pair with this regular interaction."""
    kind, order = prior_kind(a, b)
    scale = max(abs(strength), SMALLEST_J_mol[kind])
    shares = (1.0, *[stiffness * share for share in BEND[kind]])
    slope = 2.0 + scale / 1.0e4
    sizes = (PRIOR_A0[kind], *[share * scale for share in shares[1:]])
    slopes = (slope, *[2 * share * slope for share in shares[1:]])
    design, target = [], []

    def equation(weights: dict[str, float], value: float, sigma: float) -> None:
        row = np.zeros(len(names))
        for name, weight in weights.items():
            row[names.index(name)] = weight / sigma
        design.append(row)
        target.append(value / sigma)

    for name in names:
        phase, _, term = name.partition(":")
        if phase == "liquid":
            k = int(term[1:])
            if term[0] == "a":
                equation({name: 1.0}, 0.0, sizes[k])
            else:
                equation({name: 1.0, f"liquid:a{k}": 1 / TAU_K[order]}, 0.0, slopes[k])
        elif phase == "solid solution":
            equation({name: 1.0}, *solid_priors(a, b)[term])
        elif term == "dH":
            equation({name: 1.0}, 0.0, PRIOR_DH)
        else:
            equation({name: 1.0}, *entropy_prior(phase))
    return np.array(design), np.array(target)


def prior_kind(a: str, b: str) -> tuple[str, str]:
    """How a pair's priors bend (BEND) and which entropy rule they follow (TAU_K)."""
    first, second = sorted((salt(a), salt(b)), key=lambda component: component.charge)
    if second.charge == 1:
        return "alkali", "alkali"
    if first.charge > 1:
        return "other", "ordered"
    if second.charge == 3:
        return "trivalent", "ordered"
    return ("zinc" if second.group == "zinc" else "ordered"), "ordered"


def entropy_prior(formula: str) -> tuple[float, float]:
    """Expected formation entropy of a double salt and its spread, J/(mol K).

    Zero within 2 J/(mol K) a salt formula, except the A3LnX6 kind, which entropy holds: K3LnCl6 from KCl and K2LnCl5
    has 63-65 J/(mol K) (Gaune-Escard et al., J. Alloys Compd. 204 (1994) 193).
    """
    counts = double_salts()[formula].stoichiometry
    if sorted(counts.values()) == [1, 3] and any(salt(f).charge == 3 for f in counts):
        return 55.0, 15.0
    return 0.0, PRIOR_DS_PER_SALT * sum(counts.values())


def solid_priors(a: str, b: str) -> dict[str, tuple[float, float]]:
    """Expected value and spread of the pair's solid-solution terms; empty where the solids stay pure.

    G^E(s) = A (1 - T/2565 K) y (1 - y), A = 11.53 r + 89.40 r^2 kJ/mol, r = difference of the solids' molar volumes
    over the smaller (van der Kemp et al. 1992, for alkali halides; a wider guess for other complete solutions).
    Partial solutions of other pairs: a few mol% at 900 K, W = R T ln(1/y) = 20 kJ/mol.
    """
    known = solid_solution(a, b)
    if known is None:
        return {}
    size = known.volume_rule_J_mol
    spread = 0.3 * size + (2000.0 if known.alkali else 4000.0)
    if known.extent == "partial" and not known.alkali:
        size, spread = PARTIAL_J_mol
    slope = (-size / 2565.0, 0.3 * size / 2565.0 + 1.0) if known.alkali else (0.0, 2.0)
    return {"a0": (size, spread), "b0": slope, "a1": (0.0, 0.15 * spread + 1000.0)}


def solve(equation_list: Sequence[Equations], P: np.ndarray, t: np.ndarray):
    """Least squares with priors: values, covariance with dissent, fusion response, residuals, left-out score."""
    X = np.vstack([P, *[e.design for e in equation_list]])
    y = np.concatenate([t, *[e.target for e in equation_list]])
    covariance = np.linalg.inv(X.T @ X)
    theta = covariance @ X.T @ y
    residuals, score, used = [], 0.0, 0.0
    for e in equation_list:
        r = e.target - e.design @ theta
        hat = e.design @ covariance @ e.design.T
        left_out = np.linalg.solve(np.eye(len(r)) - hat, r)
        residuals.append(r)
        score += float(left_out @ left_out)
        used += float(np.trace(hat))
    flat = np.concatenate(residuals)
    freedom = max(len(flat) - used, 1.0)
    response = -covariance @ sum(e.design.T @ e.fusion for e in equation_list)
    dissent = max(1.0, float(flat @ flat) / freedom)
    return theta, covariance * dissent, response.T, flat, score / len(flat)


def fit_pair(a: str, b: str, rows, stiffness: float = 1.0) -> PairFit | None:
    """Fit of one pair with priors of this stiffness; None without a usable equation."""
    names = parameter_names(a, b)
    theta = np.linalg.lstsq(*prior(names, a, b, FIRST_STRENGTH, stiffness), rcond=None)[0]
    strength = FIRST_STRENGTH
    covariance, response = np.zeros((len(names), len(names))), np.zeros((2, len(names)))
    for _ in range(ROUNDS):
        model = PairModel((a, b), "assessed", names, theta, covariance, response, 0, None, (), "")
        observer = PairObserver(SaltSystem((a, b), {frozenset((a, b)): model}))
        found = tuple(equations(observer, *rows))
        if not found:
            return None
        moved, covariance, response, residuals, score = solve(found, *prior(names, a, b, strength, stiffness))
        strength = moved[names.index("liquid:a0")] + REFERENCE_K * moved[names.index("liquid:b0")]
        settled = np.max(np.abs(moved - theta) / np.sqrt(np.diag(covariance))) < 1e-3
        theta = moved
        if settled:
            break
    used = [row for group in rows for row in group if row.use != "no"]
    model = PairModel(
        salts=(a, b),
        status="assessed",
        parameters=names,
        values=theta,
        covariance=covariance,
        fusion_response=response,
        points=len(found),
        rms_K=_rms_K(found, residuals),
        sources=tuple(dict.fromkeys(r.source for r in used)),
        note="",
    )
    return PairFit(model, score, found, residuals)


def _rms_K(found: Sequence[Equations], residuals: np.ndarray) -> float | None:
    """Root mean square of the misfit of all temperatures, K; None when the pair has no temperature at all."""
    kelvin = np.concatenate([e.kelvin for e in found])
    known = np.isfinite(kelvin)
    return float(np.sqrt(np.mean((residuals[known] * kelvin[known]) ** 2))) if known.any() else None


def melt_is_stable(model: PairModel) -> bool:
    """Whether the melt stays one liquid all along its own liquidus: R T / (x (1 - x)) + d2G^E/dx2 > 0."""
    system = SaltSystem(model.salts, {frozenset(model.salts): model})
    x = np.linspace(0.005, 0.995, 199)
    melts = Melts(system, np.column_stack([1 - x, x]))
    T = np.stack([melts.solid_temperature(solid)[0] for solid in system.solids]).max(axis=0)
    A, slope = melts.A[:, 1] - melts.A[:, 0], melts.slope[:, 1] - melts.slope[:, 0]
    rise = np.diff(A) + 0.5 * (T[1:] + T[:-1]) * np.diff(slope)  # of mu_2 - mu_1 between neighbours at one temperature
    return bool(np.all(rise > 0))


def published_rows(a: str, b: str):
    """Published invariants, liquidus points and mixing points of the pair, oriented a-b."""
    return invariants(a, b), liquidus_points(a, b), mixing_points(a, b)


def assess_pair(a: str, b: str, rows=None) -> PairFit | None:
    """Fit of the pair with the softest priors that keep its melt one liquid; None without usable points."""
    rows = published_rows(a, b) if rows is None else rows
    fit = None
    for stiffness in STIFFER:
        fit = fit_pair(a, b, rows, stiffness)
        if fit is None or melt_is_stable(fit.model):
            break
    return fit


def salt_order(a: str, b: str) -> tuple[str, str]:
    """The pair in a fixed order: by charge of the cation, then by the order of data/salts.csv."""
    from thermo.records.substances import salts

    order = list(salts())
    return tuple(sorted((a, b), key=lambda f: (salt(f).charge, order.index(f))))
