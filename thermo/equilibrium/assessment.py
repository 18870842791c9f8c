"""Fits the interaction coefficients of one salt pair to its published points, with covariance.

Weighted linear least squares of the equations of `observations`, with physical priors as further equations:
    a_0 ~ N(0, A)               size of an interaction, by family
    a_k ~ N(0, share_k L)       k = 1, 2, 3: a pair bends in proportion to its own strength L = |a_0 + b_0 900 K|,
                                alkali pairs little, pairs that order more; L comes from the fit, which is repeated
    b_k ~ N(-a_k / tau, B_k)    excess entropy follows excess enthalpy: tau = 3000 K for alkali pairs (G^E = 0.68 H^E
                                near 930 K; van der Kemp et al., Thermochim. Acta 196 (1992) 301), 8000 K and wide for
                                pairs that order (MgCl2 in KCl keeps its activity coefficient from 750 to 950 deg C);
                                B_0 = 2 J/(mol K) + L / 10^4 K, B_k = 2 share_k B_0
    AlF3 with an alkali fluoride orders most: a_0 ~ N(-180 kJ, A), six terms (the cryolite liquidus is domed)
    dH, dS of double salts from `compound_priors`, terms of solid solutions from `solid_priors`
Every other pair gets four terms with slopes: the priors, not a count of terms, decide how far the data may bend a pair,
and what the data leave open stays in the covariance (counting terms by leaving points out was tried: with the two to
five invariants of most pairs it picks what the missing point did not need, and its bands come out too narrow).
Only the composition y of solid solutions is not linear: it is recomputed and the fit repeated until nothing moves
(Gauss-Newton). Where the points disagree more than their stated errors allow, the covariance is multiplied by chi^2 per
degree of freedom: dissent widens the band. Where a fit would let the melt unmix on its own liquidus, the curvature of G
there is held at a tenth of the ideal one (equations added for those compositions, until none is left).
Limits: pairs of one anion with at least one usable point. KF-CeF3 and KF-NdF3 go back and forth between two fits, whose
liquidus differ by up to 95 and 170 K, and keep the last. Worked value: LiCl-KCl a_0 about -18 kJ/mol.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.compound_priors import enthalpy_prior, entropy_prior
from thermo.equilibrium.liquidus import Melts
from thermo.equilibrium.observations import Equations, PairObserver, equations
from thermo.equilibrium.solid_priors import solid_priors
from thermo.equilibrium.system import SaltSystem, build_system
from thermo.laws.mixing import REFERENCE_K
from thermo.records.interactions import PairModel
from thermo.records.measurements import invariants, liquidus_points, mixing_points
from thermo.records.solid_solutions import solid_solution
from thermo.records.substances import double_salts, salt, salts
from thermo.records.units import R

PRIOR_A0 = {  # J/mol
    "alkali": 25000.0,
    "ordered": 60000.0,
    "zinc": 60000.0,
    "trivalent": 80000.0,
    "aluminium": 70000.0,
    "other": 15000.0,
    "anions": 8000.0,
}
# Judgement, no source, as the next two: sizes seen where enthalpies of mixing were measured.
BEND = {  # spread of a_1, a_2, a_3 as shares of the pair's regular interaction
    "alkali": (0.10, 0.07, 0.04),
    "ordered": (0.30, 0.25, 0.25),
    "zinc": (0.60, 0.40, 0.30),
    "trivalent": (0.35, 0.30, 0.25),
    "aluminium": (0.35, 0.35, 0.35, 0.35, 0.35),
    "other": (0.30, 0.20, 0.10),
    "anions": (0.30, 0.0, 0.0),
}
CENTRE_A0 = {"aluminium": -180000.0}  # J/mol, from the JANAF tables of Li3AlF6, Na3AlF6 and Na5Al3F14; others 0
ORDERS = 4
FIRST_STRENGTH = 30000.0  # J/mol, where the repetition starts
SMALLEST_J_mol = {  # a weaker pair may bend as much as one of this strength
    "alkali": 10000.0,
    "ordered": 6000.0,
    "zinc": 40000.0,
    "trivalent": 40000.0,
    "aluminium": 40000.0,
    "other": 10000.0,
    "anions": 6000.0,
}
TAU_K = {"alkali": 3000.0, "ordered": 8000.0}
UNMIXING_X = np.linspace(0.02, 0.98, 49)  # where the melt's stability is looked at
CURVATURE_SHARE = 0.1  # of the ideal curvature R T / (x (1 - x)), what is left at least
ROUNDS = 24  # of Gauss-Newton; KF-CeF3 and KF-NdF3, with two and three peritectics of unknown place, never settle
FIRST_TURNS = 4  # without invariants of unknown place and without the stability equations


@dataclass(frozen=True)
class PairFit:
    """The model of one pair with how well its equations are met."""

    model: PairModel
    score: float
    equations: tuple[Equations, ...]
    residuals: np.ndarray


def parameter_names(a: str, b: str) -> tuple[str, ...]:
    """Names of the pair's parameters, liquid first."""
    kind = prior_kind(a, b)[0]
    orders = 2 if kind == "anions" else max(ORDERS, len(BEND[kind]) + 1)
    names = [f"liquid:{letter}{k}" for k in range(orders) for letter in "ab"]
    for double in double_salts().values():
        if set(double.pair) == {a, b} and double.fitted:
            names += [f"{double.formula}:dH", f"{double.formula}:dS"]
    return (*names, *solid_priors(a, b))


def prior(names: Sequence[str], a: str, b: str, strength: float):
    """Prior equations (whitened design and target) for these parameters of a pair with this regular interaction."""
    kind, order = prior_kind(a, b)
    scale = max(abs(strength), SMALLEST_J_mol[kind])
    shares = (1.0, *BEND[kind])
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

    solids = solid_priors(a, b)
    for name in names:
        phase, _, term = name.partition(":")
        if phase == "liquid":
            k = int(term[1:])
            if term[0] == "a":
                equation({name: 1.0}, 0.0 if k else CENTRE_A0.get(kind, 0.0), sizes[k])
            else:
                equation({name: 1.0, f"liquid:a{k}": 1 / TAU_K[order]}, 0.0, slopes[k])
        elif name in solids:
            equation({name: 1.0}, *solids[name])
        elif term == "dH":
            equation({name: 1.0}, *enthalpy_prior(phase))
        else:
            equation({name: 1.0}, *entropy_prior(phase))
    return np.array(design), np.array(target)


def prior_kind(a: str, b: str) -> tuple[str, str]:
    """How a pair's priors bend (BEND) and which entropy rule they follow (TAU_K)."""
    first, second = sorted((salt(a), salt(b)), key=lambda component: component.charge)
    if first.cation == second.cation:
        return "anions", "ordered"
    if second.charge == 1:
        return "alkali", "alkali"
    if second.group == "aluminium" and first.charge == 1:
        return "aluminium", "ordered"
    if first.charge > 1:
        return "other", "ordered"
    if second.charge == 3:
        return "trivalent", "ordered"
    return ("zinc" if second.group == "zinc" else "ordered"), "ordered"


def bend_of(a: str, b: str) -> tuple[tuple[float, ...], float]:
    """Shares by which a pair of this kind may bend (a_1, a_2, a_3 over its strength), and the least strength, J/mol."""
    return BEND[prior_kind(a, b)[0]], SMALLEST_J_mol[prior_kind(a, b)[0]]


def solve(equation_list: Sequence[Equations], P: np.ndarray, t: np.ndarray):
    """Least squares with priors: values, covariance with dissent, fusion response, residuals, left-out score."""
    if not equation_list:
        theta = np.linalg.lstsq(P, t, rcond=None)[0]
        return theta, np.linalg.inv(P.T @ P), np.zeros((2, len(theta))), np.zeros(0), 0.0
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


def fit_pair(a: str, b: str, rows) -> PairFit | None:
    """Fit of one pair; None without a usable equation."""
    names = parameter_names(a, b)
    strength = FIRST_STRENGTH
    theta = np.linalg.lstsq(*prior(names, a, b, strength), rcond=None)[0]
    covariance, response = np.zeros((len(names), len(names))), np.zeros((2, len(names)))
    held: set[int] = set()
    for turn in range(ROUNDS):
        rough = turn < FIRST_TURNS
        model = PairModel((a, b), "assessed", names, theta, covariance, response, 0, None, (), "")
        observer = PairObserver(build_system((a, b), {frozenset((a, b)): model}))
        found = tuple(equations(observer, *(_placed(rows) if rough else rows)))
        if not found and not rough:
            return None
        expected = [prior(names, a, b, strength)]
        if not rough:
            expected.append(stability_equations(observer, held))
        P, t = (np.concatenate(parts) for parts in zip(*expected, strict=True))
        moved, covariance, response, residuals, score = solve(found, P, t)
        strength = moved[names.index("liquid:a0")] + REFERENCE_K * moved[names.index("liquid:b0")]
        settled = np.max(np.abs(moved - theta) / np.sqrt(np.diag(covariance))) < 1e-3
        theta = moved
        if settled and not rough:
            break
    used = [row.source for group in rows for row in group if row.use != "no"]
    known = solid_solution(a, b)
    model = PairModel(
        salts=(a, b),
        status="assessed",
        parameters=names,
        values=theta,
        covariance=covariance,
        fusion_response=response,
        points=len(found),
        rms_K=_rms_K(found, residuals),
        sources=tuple(dict.fromkeys([*used, *(known.sources if known else ())])),
        note="",
    )
    return PairFit(model, score, found, residuals)


def _placed(rows):
    """The rows without invariants of unknown composition, whose place only a rough fit can tell."""
    invariant_rows, *others = rows
    return [row for row in invariant_rows if row.x_b is not None or row.kind == "congruent"], *others


def stability_equations(observer: PairObserver, held: set[int]) -> tuple[np.ndarray, np.ndarray]:
    """Equations that hold the melt's curvature where it would fall below its share; keeps their places in `held`.

    d(mu_2 - mu_1)/dx = R T / (x (1 - x)) + sum_k (a_k + b_k T) f_k'(x), along the pair's own liquidus.
    """
    names = observer.pair.parameters
    empty = np.zeros((0, len(names))), np.zeros(0)
    if not isinstance(observer.system, SaltSystem):
        return empty
    x = UNMIXING_X
    melts = Melts(observer.system, np.column_stack([1 - x, x]))
    T = np.stack([melts.solid_temperature(solid)[0] for solid in observer.system.solids]).max(axis=0)
    step = 1e-4
    above, below = (observer.system.basis.matrix(np.column_stack([1 - x - s, x + s])) for s in (step, -step))
    bend = ((above[:, 1] - above[:, 0]) - (below[:, 1] - below[:, 0])) / (2 * step)
    rows = np.zeros((len(x), len(names)))
    for n, name in enumerate(names):
        phase, _, term = name.partition(":")
        if phase == "liquid":
            rows[:, n] = bend[:, int(term[1:])] * (T if term[0] == "b" else 1.0)
    ideal = R * T / (x * (1 - x))
    share = 1 + rows @ observer.theta / ideal
    released = {place for place in held if share[place] > 3 * CURVATURE_SHARE}
    held.difference_update(released)
    held.update(np.flatnonzero(share < CURVATURE_SHARE).tolist())
    if not held:
        return empty
    at = sorted(held)
    sigma = 0.05 * ideal[at]
    return rows[at] / sigma[:, None], (CURVATURE_SHARE - 1) * ideal[at] / sigma


def _rms_K(found: Sequence[Equations], residuals: np.ndarray) -> float | None:
    """Root mean square misfit of the temperatures at their published compositions, K; None without any such."""
    start, misfits = 0, []
    for e in found:
        misfits.append(e.kelvin @ residuals[start : start + len(e.target)])
        start += len(e.target)
    known = np.concatenate(misfits)
    known = known[np.isfinite(known)]
    return float(np.sqrt(np.mean(known**2))) if len(known) else None


def published_rows(a: str, b: str):
    """Published invariants, liquidus points and mixing points of the pair, oriented a-b."""
    return invariants(a, b), liquidus_points(a, b), mixing_points(a, b)


def assess_pair(a: str, b: str, rows=None) -> PairFit | None:
    """Fit of the pair to its published rows (or to `rows`); None without usable points."""
    return fit_pair(a, b, published_rows(a, b) if rows is None else rows)


def salt_order(a: str, b: str) -> tuple[str, str]:
    """The pair in a fixed order: fluoride before chloride, then by charge of the cation and order of data/salts.csv."""
    order = list(salts())
    return tuple(sorted((a, b), key=lambda f: (salt(f).anion != "F", salt(f).charge, order.index(f))))
