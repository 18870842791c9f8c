"""Fits the interaction coefficients of one salt pair to its published points, with covariance.

Weighted linear least squares of the equations of `point_equations`, with physical priors (`priors/pairs`) as further
equations. Every pair gets four terms with slopes: the priors, not a count of terms, decide how far the data may bend a
pair, and what the data leave open stays in the covariance (counting terms by leaving points out was tried: with the two
to five invariants of most pairs it picks what the missing point did not need, and its bands come out too narrow).
Only the composition y of solid solutions is not linear: it is recomputed and the fit repeated to convergence
(Gauss-Newton). Where the points disagree more than their stated errors allow, the covariance is multiplied by chi^2 per
degree of freedom. A pair whose rows are all carried over from its kin (origin estimated) is
called estimated, and the rules of size do not learn from it. What the diagram forbids (unmixing, a double salt that
melts otherwise than reported) is prevented by further equations while they are active (`stability_equations`).
Limits: pairs of one anion with at least one usable point. Worked value: LiCl-KCl a_0 about -18 kJ/mol.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from thermo.equilibrium.system.build import build_system
from thermo.fitting.lines import lines_of
from thermo.fitting.point_equations import Equations, PairObserver, equations
from thermo.fitting.priors.pairs import BEND, Expectation, prior, prior_kind
from thermo.fitting.priors.solid_solutions import solid_priors
from thermo.fitting.solubility_equations import solid_equations
from thermo.fitting.stability_equations import ActiveSet, equations_of
from thermo.laws.mixing import REFERENCE_K
from thermo.records.fitted import PairModel
from thermo.records.parameters import ENTHALPY, ENTROPY, LIQUID, REGULAR, Parameter
from thermo.records.provenance import Origin
from thermo.records.published import invariants, liquidus_points, mixing_points
from thermo.records.solid_solutions import solid_solution
from thermo.records.substances import double_salts, salt, salts

ORDERS = 4
FIRST_STRENGTH = 30000.0  # J/mol, where the repetition starts
ROUNDS = 24  # of Gauss-Newton at most; NaCl-ZnCl2, the slowest, takes 18
LIKENED = "estimated from pairs of its kind; no published point of its own"
CONVERGED, STEADY = 1e-3, 1e-6  # of its standard deviation that no parameter moves by
ROUGH_ROUNDS = 4  # without invariants of unknown place and without the stability equations; fewer where steady


@dataclass(frozen=True)
class PairFit:
    """The model of one pair with how well its equations are met."""

    model: PairModel
    equations: tuple[Equations, ...]
    residuals: np.ndarray


def parameters_of(a: str, b: str) -> tuple[Parameter, ...]:
    """The pair's parameters, liquid first."""
    kind = prior_kind(a, b)[0]
    orders = 2 if kind == "anions" else max(ORDERS, len(BEND[kind]) + 1)
    found = [Parameter(LIQUID, f"{letter}{k}") for k in range(orders) for letter in "ab"]
    for double in double_salts().values():
        if set(double.pair) == {a, b} and double.fitted:
            found += [Parameter(double.formula, ENTHALPY), Parameter(double.formula, ENTROPY)]
    return (*found, *solid_priors(a, b))


def solve(equation_list: Sequence[Equations], P: np.ndarray, t: np.ndarray):
    """Least squares with priors: values, covariance with dissent, fusion response (2, P), residuals."""
    if not equation_list:
        theta = np.linalg.lstsq(P, t, rcond=None)[0]
        return theta, np.linalg.inv(P.T @ P), np.zeros((2, len(theta))), np.zeros(0)
    design = np.vstack([e.design for e in equation_list])
    target = np.concatenate([e.target for e in equation_list])
    covariance = np.linalg.inv(P.T @ P + design.T @ design)
    theta = covariance @ (P.T @ t + design.T @ target)
    residuals = target - design @ theta
    used = float(np.trace(design @ covariance @ design.T))
    dissent = max(1.0, float(residuals @ residuals) / max(len(residuals) - used, 1.0))
    response = -covariance @ design.T @ np.vstack([e.fusion for e in equation_list])
    return theta, covariance * dissent, response.T, residuals


def fit_rows(a: str, b: str, rows, expected: Expectation) -> PairFit | None:
    """Fit of one pair; None without a usable equation."""
    blank = PairModel((a, b), Origin.FITTED, (), np.zeros(0), np.zeros((0, 0)), np.zeros((2, 0)), 0, None, (), "")
    fit = _converged(replace(blank, parameters=parameters_of(a, b)), rows, expected)
    if fit is None:
        return None
    used = [row for group in rows for row in group if row.use != "no"]
    known = solid_solution(a, b)
    unseen = unseen_doubles(a, b, rows)
    likened = all(row.likened for row in used)
    model = replace(
        fit.model,
        status=Origin.ESTIMATED if likened else Origin.FITTED,
        points=len(fit.equations),
        rms_K=_rms_K(fit.equations, fit.residuals),
        sources=tuple(dict.fromkeys([*(row.source for row in used), *(known.sources if known else ())])),
        note=LIKENED if likened else f"energy of {', '.join(unseen)} estimated by the rule of size" if unseen else "",
        estimated=unseen,
    )
    return replace(fit, model=model)


def _converged(model: PairModel, rows, expected: Expectation) -> PairFit | None:
    """Gauss-Newton from the priors until no parameter moves by a thousandth of its standard deviation."""
    own, (a, b) = model.parameters, model.salts
    strength, active = FIRST_STRENGTH, ActiveSet()
    design, target = prior(own, a, b, strength, expected)
    theta = np.linalg.lstsq(design, target, rcond=None)[0]
    covariance, response = np.zeros((len(own), len(own))), np.zeros((2, len(own)))
    lines, rough_rounds = lines_of(model.salts, own), ROUGH_ROUNDS
    for iteration in range(ROUNDS):
        rough = iteration < rough_rounds
        model = replace(model, values=theta, covariance=covariance, fusion_response=response)
        observer = PairObserver(build_system((a, b), {frozenset((a, b)): model}), lines)
        usable = _placed(rows) if rough else rows
        found = (*equations(observer, *usable), *solid_equations(observer, usable[0]))
        if not found and not rough:
            return None
        priors = [prior(own, a, b, strength, expected)]
        if not rough:
            priors.append(equations_of(observer, rows[0], active))
        P, t = (np.concatenate(parts) for parts in zip(*priors, strict=True))
        moved, covariance, response, residuals = solve(found, P, t)
        strength = sum(moved[own.index(one)] * one.factor(REFERENCE_K) for one in REGULAR)
        change = np.max(np.abs(moved - theta) / np.sqrt(np.diag(covariance)))
        theta = moved
        if change < CONVERGED and not rough:
            break
        if change < STEADY:
            rough_rounds = 0
    return PairFit(replace(model, values=theta, covariance=covariance, fusion_response=response), found, residuals)


def unseen_doubles(a: str, b: str, rows) -> tuple[str, ...]:
    """The pair's double salts that no usable row names and no table gives: only the rules of size speak of them."""
    named = {solid for row in (*rows[0], *rows[1]) if row.use != "no" for solid in row.solids}
    own = [double for double in double_salts().values() if set(double.pair) == {a, b} and double.fitted]
    return tuple(double.formula for double in own if not double.tabulated and double.formula not in named)


def _placed(rows):
    """The rows without invariants of unknown composition, whose place only a rough fit can tell."""
    invariant_rows, *others = rows
    return [row for row in invariant_rows if row.x_b is not None or row.kind in ("congruent", "highest")], *others


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


def fit_pair(a: str, b: str, rows=None, expected: Expectation | None = None) -> PairFit | None:
    """Fit of the pair to its published rows (or to `rows`); None without usable points.

    expected: what the other pairs say of this one; left out, its own points and the priors of its family decide alone.
    """
    return fit_rows(a, b, published_rows(a, b) if rows is None else rows, expected or Expectation())


def salt_order(a: str, b: str) -> tuple[str, str]:
    """The pair in a fixed order: fluoride before chloride, then by charge of the cation and order of data/salts.csv."""
    order = list(salts())
    first, second = sorted((a, b), key=lambda f: (salt(f).anion != "F", salt(f).charge, order.index(f)))
    return first, second
