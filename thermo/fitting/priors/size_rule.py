"""Interaction of a pair that nobody measured: the size rule, fitted on the pairs that were.

Conformal ionic solution theory: the interaction of two salts of one anion follows their cation-anion distances d
(Shannon radii, angstrom) through
    delta = (d_1 - d_2) / (d_1 d_2)
    alkali-alkali                  L = u delta^2                 (Hersh & Kleppa, J. Chem. Phys. 42 (1965) 1309)
    cations of different charge    L = u + v delta + w delta^2   (Davis, J. Chem. Phys. 57 (1972) 5484, from memory)
    other pairs of one charge      L = u + w delta^2
L: mean interaction at 900 K, J/mol (regular term). Coefficients are fitted for each family and anion with wide priors,
each pair weighted by its own uncertainty; the scatter of the regression (floor 2.5 kJ/mol, widened by Student's factor
where pairs are few) is the standard deviation of an estimate.
Limits: says nothing of double salts or solid solutions; every use is labelled `estimated`.
Worked value: LiCl-KCl delta = -0.0756 per angstrom, delta^2 = 0.00572.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.linalg import block_diag
from scipy.optimize import brentq
from scipy.special import ndtri, stdtrit

from thermo.equilibrium.system.one_anion import regular_interaction
from thermo.laws.mixing import REFERENCE_K
from thermo.records.fitted import PairModel, Strength
from thermo.records.parameters import ENTHALPY, ENTROPY, LIQUID, REGULAR, Parameter
from thermo.records.provenance import Origin
from thermo.records.solid_solutions import ANION_RADIUS_pm
from thermo.records.substances import salt

FLOOR_J_mol = 2500.0  # judgement, no source: no rule of radii alone is trusted further
_SPREADS = {"one": 15000.0, "delta": 300000.0, "delta2": 4.0e6}  # of the priors, J/mol times angstrom^k: judgement


@dataclass(frozen=True)
class SizeRule:
    """Regression of one family: feature names, coefficients, their covariance and the scatter of the fit (J/mol)."""

    features: tuple[str, ...]
    coefficients: np.ndarray
    covariance: np.ndarray
    scatter_J_mol: float
    pairs: int

    def interaction(self, a: str, b: str) -> tuple[float, float]:
        """L and its standard deviation for one pair, J/mol."""
        row = feature_row(self.features, a, b)
        return float(row @ self.coefficients), float(np.sqrt(row @ self.covariance @ row + self.scatter_J_mol**2))


@dataclass(frozen=True)
class Bend:
    """How far an unmeasured pair of a kind may differ from one regular term (`pair_priors`).

    shares: of its interaction that a_1, a_2, ... may have; smallest_J_mol: the least interaction they refer to; tau_K:
    a_0 over -b_0.
    """

    shares: tuple[float, ...]
    smallest_J_mol: float
    tau_K: float


def distance_A(formula: str) -> float:
    """Cation-anion distance of a salt, angstrom: sum of Shannon radii."""
    component = salt(formula)
    return (component.cation_radius_pm + ANION_RADIUS_pm[component.anion]) / 100


def size_parameter(a: str, b: str) -> float:
    """delta of the pair, 1/angstrom; changes sign when the salts are swapped."""
    d_a, d_b = distance_A(a), distance_A(b)
    return (d_a - d_b) / (d_a * d_b)


def family(a: str, b: str) -> tuple[str, str, str]:
    """The family a pair is compared with: its two charge classes and the anion."""
    kinds = sorted(_charge_class(f) for f in (a, b))
    return kinds[0], kinds[1], salt(a).anion


def _charge_class(formula: str) -> str:
    """Charge of the cation as a word; AlF3, which orders far more than the rare earths, is a class of its own."""
    component = salt(formula)
    return "aluminium" if component.group == "aluminium" else ("alkali", "divalent", "trivalent")[component.charge - 1]


def feature_row(features: tuple[str, ...], a: str, b: str) -> np.ndarray:
    """Values of the features for one pair, lower charge first."""
    first, second = sorted((a, b), key=lambda f: salt(f).charge)
    delta = size_parameter(first, second)
    return np.array([{"one": 1.0, "delta": delta, "delta2": delta**2}[name] for name in features])


def features_of(kind: tuple[str, str, str]) -> tuple[str, ...]:
    """Which features the family's rule uses."""
    if kind[0] != kind[1]:
        return ("one", "delta", "delta2")
    return ("delta2",) if kind[0] == "alkali" else ("one", "delta2")


def interaction_sigma(model: PairModel) -> float:
    """Standard deviation of `regular_interaction` by the pair's own fit, J/mol."""
    at = [model.parameters.index(one) for one in REGULAR]
    g = np.array([one.factor(REFERENCE_K) for one in REGULAR])
    return float(np.sqrt(g @ model.covariance[np.ix_(at, at)] @ g))


def strength_of(model: PairModel) -> Strength:
    """The pair's own interaction as the rules take it."""
    return Strength(model.salts, "", regular_interaction(model), interaction_sigma(model))


def fit_rule(kind: tuple[str, str, str], strengths: Iterable[Strength]) -> SizeRule:
    """The rule of one family, from its pairs among the strengths; without any it is its prior only."""
    own = [s for s in strengths if not s.compound and family(*s.salts) == kind]
    return regression(features_of(kind), own)


def fit_rules(strengths: Sequence[Strength]) -> dict[tuple[str, str, str], SizeRule]:
    """One rule a family."""
    kinds = [(first, second, anion) for anion in ANION_RADIUS_pm for first, second in _FAMILIES]
    return {kind: fit_rule(kind, strengths) for kind in kinds}


_FAMILIES = (
    ("alkali", "alkali"),
    ("alkali", "divalent"),
    ("alkali", "trivalent"),
    ("divalent", "divalent"),
    ("divalent", "trivalent"),
    ("trivalent", "trivalent"),
    ("alkali", "aluminium"),
    ("aluminium", "divalent"),
    ("aluminium", "trivalent"),
)


def regression(features: tuple[str, ...], points: Sequence[Strength]) -> SizeRule:
    """Weighted regression; scatter is what the points' own sigmas leave unexplained, widened where they are few."""
    spread = np.array([_SPREADS[name] for name in features])
    rows = np.array([feature_row(features, *point.salts) for point in points]).reshape(len(points), len(features))
    L, own = np.array([point.value_J_mol for point in points]), np.array([point.sigma_J_mol for point in points])
    freedom = max(len(points) - len(features), 1)

    def solve(scatter: float):
        weight = 1 / np.hypot(scatter, own)
        X = np.vstack([np.diag(1 / spread), rows * weight[:, None]])
        covariance = np.linalg.inv(X.T @ X)
        coefficients = covariance @ X.T @ np.concatenate([np.zeros(len(features)), L * weight])
        return covariance, coefficients, float(np.sum(((L - rows @ coefficients) * weight) ** 2)) - freedom

    scatter = 2 * FLOOR_J_mol
    if points:
        unexplained = solve(FLOOR_J_mol)[2] > 0
        scatter = float(brentq(lambda s: solve(s)[2], FLOOR_J_mol, 1e6)) if unexplained else FLOOR_J_mol
    widen = float(stdtrit(freedom, 0.95) / ndtri(0.95)) if points else 1.0
    covariance, coefficients, _ = solve(scatter)
    return SizeRule(features, coefficients, covariance * widen**2, scatter * widen, len(points))


def estimated_model(
    a: str,
    b: str,
    rule: SizeRule,
    solid: Mapping[Parameter, tuple[float, float]],
    bend: Bend,
    doubles: Mapping[str, tuple[tuple[float, float], tuple[float, float]]],
) -> PairModel:
    """PairModel of an unmeasured pair: a regular term whose entropy follows its enthalpy, and unknown bends.

    solid: expected value and spread of the parameters of known solid solutions (empty where solids stay pure).
    bend: its values are zero, its spread counts. doubles: formula -> dH - 900 K dS and dS of its double salts, each
    with its spread.
    """
    L, sigma = rule.interaction(a, b)
    shape = np.array([1.0, -1 / bend.tau_K]) / (1 - REFERENCE_K / bend.tau_K)
    bends = [share * max(float(np.hypot(L, sigma)), bend.smallest_J_mol) for share in bend.shares]
    extra = [(Parameter(LIQUID, f"a{k}"), 0.0, spread) for k, spread in enumerate(bends, 1)]
    extra += [(one, value, spread) for one, (value, spread) in solid.items()]
    blocks = [sigma**2 * np.outer(shape, shape), *[spread**2 for _, _, spread in extra]]
    parameters = [*REGULAR, *[one for one, _, _ in extra]]
    values = [*(L * shape), *[value for _, value, _ in extra]]
    for formula, ((G, G_sigma), (dS, dS_sigma)) in doubles.items():
        parameters += [Parameter(formula, ENTHALPY), Parameter(formula, ENTROPY)]
        values += [G + REFERENCE_K * dS, dS]
        both = np.array([REFERENCE_K, 1.0])
        blocks.append(np.diag([G_sigma**2, 0.0]) + dS_sigma**2 * np.outer(both, both))
    return PairModel(
        salts=(a, b),
        status=Origin.ESTIMATED,
        parameters=tuple(parameters),
        values=np.array(values),
        covariance=block_diag(*blocks),
        fusion_response=np.zeros((2, len(parameters))),
        points=0,
        rms_K=None,
        sources=(),
        note=_note(rule, tuple(doubles), bool(solid)),
        estimated=tuple(doubles),
    )


def _note(rule: SizeRule, doubles: Sequence[str], dissolves: bool) -> str:
    known = f"energy of {', '.join(doubles)} estimated too, others unknown" if doubles else "double salts unknown"
    return (
        f"estimated by the size rule from {rule.pairs} measured pairs of its family; no published point of its own; "
        f"{known}{'' if dissolves else '; solid solutions unknown'}"
    )
