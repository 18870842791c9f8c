"""Interaction of a pair that nobody measured: the size rule, fitted on the pairs that were.

Conformal ionic solution theory: the interaction of two salts of one anion follows their cation-anion distances d
(Shannon radii, angstrom) through
    delta = (d_1 - d_2) / (d_1 d_2)
    alkali-alkali                  L = u delta^2                 (Hersh & Kleppa, J. Chem. Phys. 42 (1965) 1309)
    cations of different charge    L = u + v delta + w delta^2   (Davis, J. Chem. Phys. 57 (1972) 5484, from memory)
    other pairs of one charge      L = u + w delta^2
L: mean interaction at 900 K, J/mol (regular term). Coefficients are fitted for each family and anion with wide priors;
the scatter of the regression is the standard deviation of an estimate, with a floor of 2.5 kJ/mol.
Limits: says nothing of double salts or solid solutions; every use is labelled `estimated`.
Worked value: LiCl-KCl delta = -0.0756 per angstrom, delta^2 = 0.00572.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from thermo.records.interactions import PairModel
from thermo.records.substances import salt

REFERENCE_K = 900.0
TAU_K = 3000.0
FLOOR_J_mol = 2500.0
ANION_RADIUS_pm = {"F": 133.0, "Cl": 181.0}  # Shannon 1976, six-coordinate, from memory
_WIDE = 1.0  # prior spread, in units of the scales below
_SCALES = {"one": 15000.0, "delta": 300000.0, "delta2": 4.0e6}


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
    kinds = sorted(("alkali", "divalent", "trivalent")[salt(f).charge - 1] for f in (a, b))
    return kinds[0], kinds[1], salt(a).anion


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


def mean_interaction(model: PairModel) -> float:
    """Regular interaction of an assessed pair at 900 K: the curvature-free strength 4 G^E(x = 1/2), J/mol."""
    return sum(a + b * REFERENCE_K for k, (a, b) in model.terms("liquid").items() if k == 0)


def fit_rules(assessed: Mapping[frozenset, PairModel]) -> dict[tuple[str, str, str], SizeRule]:
    """One rule a family, from the assessed pairs; a family without pairs gets its prior only."""
    by_family: dict[tuple[str, str, str], list[tuple[str, str, float]]] = {}
    for model in assessed.values():
        a, b = model.salts
        by_family.setdefault(family(a, b), []).append((a, b, mean_interaction(model)))
    kinds = [
        (first, second, anion)
        for anion in ANION_RADIUS_pm
        for first, second in _FAMILIES
    ]  # fmt: skip
    return {kind: _fit(kind, by_family.get(kind, [])) for kind in kinds}


_FAMILIES = (
    ("alkali", "alkali"),
    ("alkali", "divalent"),
    ("alkali", "trivalent"),
    ("divalent", "divalent"),
    ("divalent", "trivalent"),
    ("trivalent", "trivalent"),
)


def _fit(kind: tuple[str, str, str], points: list[tuple[str, str, float]]) -> SizeRule:
    features = features_of(kind)
    spread = np.array([_WIDE * _SCALES[name] for name in features])
    scatter = 2 * FLOOR_J_mol
    for _ in range(20):  # the scatter weighs the points against the prior, and follows from the fit
        X = np.vstack([np.diag(1 / spread), *[feature_row(features, a, b) / scatter for a, b, _ in points]])
        y = np.concatenate([np.zeros(len(features)), [L / scatter for _, _, L in points]])
        covariance = np.linalg.inv(X.T @ X)
        coefficients = covariance @ X.T @ y
        misfit = [L - feature_row(features, a, b) @ coefficients for a, b, L in points]
        freedom = max(len(points) - len(features), 1)
        scatter = max(FLOOR_J_mol, float(np.sqrt(np.sum(np.square(misfit)) / freedom)) if points else 2 * FLOOR_J_mol)
    return SizeRule(features, coefficients, covariance, scatter, len(points))


def estimated_model(a: str, b: str, rule: SizeRule, solid: Mapping[str, tuple[float, float]]) -> PairModel:
    """PairModel of an unmeasured pair: one regular term whose entropy follows its enthalpy (a = -tau b).

    solid: expected value and spread of the terms of a known solid solution (empty where the solids stay pure).
    """
    L, sigma = rule.interaction(a, b)
    shape = np.array([1.0, -1 / TAU_K]) / (1 - REFERENCE_K / TAU_K)
    unknown = "double salts unknown" if solid else "double salts and solid solutions unknown"
    note = f"estimated by the size rule from {rule.pairs} measured pairs of its family; no published point of its own"
    covariance = np.diag([0.0, 0.0, *[spread**2 for _, spread in solid.values()]])
    covariance[:2, :2] = sigma**2 * np.outer(shape, shape)
    return PairModel(
        salts=(a, b),
        status="estimated",
        parameters=("liquid:a0", "liquid:b0", *[f"solid solution:{term}" for term in solid]),
        values=np.array([*(L * shape), *[value for value, _ in solid.values()]]),
        covariance=covariance,
        fusion_response=np.zeros((2, 2 + len(solid))),
        points=0,
        rms_K=None,
        sources=(),
        note=f"{note}, {unknown}",
    )
