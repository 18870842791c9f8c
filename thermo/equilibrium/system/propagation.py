"""Sensitivity of a driving force to fitted and tabulated quantities: linear propagation of errors, one anion and two.

    sigma_D^2 = v C v + sigma_model^2,   v = dD/d(pair parameters), w_i sigma_fusion_i + g r_i of each salt, dD/d(terms)
C: their covariance after the joint update, in a pair too: its parameters are those after the update, and a trace of a
third salt must not change a band; g: the pair parameters' part of v, w_i: share of salt i in the solid, r_i: shift of
the fitted parameters by one sigma of its fusion energy.
Limits: linear in the parameters. Worked value: pure NaCl: the spread of its melting.
"""

from collections.abc import Hashable, Sequence
from functools import cached_property

import numpy as np
from scipy.linalg import block_diag

from thermo.equilibrium.system.interface import System
from thermo.equilibrium.system.solids import solid_weights
from thermo.laws.compound_solution import CompoundSolution
from thermo.laws.gibbs import Fusion, fusion_sigma
from thermo.laws.solids import Solid, TripleSolid
from thermo.records.joint import JointUpdate, joint_update
from thermo.records.parameters import LIQUID
from thermo.records.provenance import Origin
from thermo.records.ternary_terms import Key, fusion_key

SEVERAL = "several salts"  # the error of predicting a melt of several salts from its pairs, by name


class Propagation(System):
    """What every System does alike: sensitivities of a driving force, and the variance that follows."""

    _as_fitted = False  # whether the joint update of the fitted files counts
    _joint: JointUpdate | None = None  # else this one, if any

    def __init__(self, constituents: Sequence[str]):
        self.constituents = tuple(constituents)
        self._position = {f: i for i, f in enumerate(self.constituents)}
        self._fusions: dict[tuple[int, ...], Fusion] = {}

    @property
    def estimated(self) -> bool:
        """Whether one of the pairs has no points of its own."""
        return any(pair.status == Origin.ESTIMATED for pair in self.pairs)

    def status_of(self, solids: Sequence[str]) -> Origin:
        """How well known a balance with these solids is: 'estimated' too where the energy of one of them is."""
        guessed = {formula for pair in self.pairs for formula in pair.estimated}
        return Origin.ESTIMATED if guessed & set(solids) else self.status

    def fusion(self, indices: tuple[int, ...]) -> Fusion:
        """Fusion energies of the constituents at these positions, built once."""
        if indices not in self._fusions:
            self._fusions[indices] = Fusion([self.constituents[i] for i in indices])
        return self._fusions[indices]

    @property
    def term_spreads(self) -> Sequence[tuple[Key, float]]:
        """Ternary terms: what each is called in the joint update, and its own standard deviation, J/mol."""
        return ()

    def term_row(self, x: np.ndarray, weights: np.ndarray, T_K: float) -> np.ndarray:
        """What each of `term_spreads` (coefficient 1) gives to weights . mu at one melt x (n,) and T."""
        return np.zeros(0)

    @property
    def term_keys(self) -> list[Key]:
        """What each of the ternary terms is called in the joint update."""
        return [key for key, _ in self.term_spreads]

    def parameter_gradient(self, solid: Solid, x: np.ndarray, T_K: float, y: np.ndarray | None) -> list[np.ndarray]:
        """dD/d(parameters) of one solid at one melt x (n,) and T: one array a pair, in the pair's parameter order.

        After the pairs one array with dD by each of the ternary terms.
        y: composition of the solid solution (its members), None for the other solids.
        """
        weights = solid_weights(solid, len(self.constituents), y)
        melt = self.liquid_terms(x, weights, T_K)
        gradients = []
        for p, pair in enumerate(self.pairs):
            row = []
            for parameter in pair.parameters:
                liquid = parameter.phase == LIQUID
                felt = melt[p, parameter.order] * parameter.factor(T_K) if liquid else 0.0
                if not liquid or isinstance(solid, TripleSolid):  # whose energy came from a melt
                    felt -= solid.share(pair.salts, parameter, T_K, y)
                row.append(felt)
            gradients.append(np.array(row))
        terms = self.term_row(x, weights, T_K)
        if isinstance(solid, TripleSolid):
            terms = terms - [solid.answers.get(key, 0.0) / sum(solid.counts) for key in self.term_keys]
        elif isinstance(solid, CompoundSolution):
            terms = terms - [solid.term_share(str(term), y) for _, term in self.term_keys]
        return [*gradients, terms]

    def fusion_errors(self, solid: Solid, T_K: float, y: np.ndarray | None) -> np.ndarray:
        """What one sigma of each constituent's fusion energy does to D directly, J/mol, shape (constituents,)."""
        weights = solid_weights(solid, len(self.constituents), y)
        sigma = [fusion_sigma(f, T_K) if w > 0 else 0.0 for f, w in zip(self.constituents, weights, strict=True)]
        errors = weights * np.array(sigma)
        if isinstance(solid, TripleSolid):
            errors[list(solid.indices)] -= np.array(solid.fusion) / sum(solid.counts)
        return errors

    def exchange_errors(self, x: np.ndarray, weights: np.ndarray, T_K: float) -> np.ndarray:
        """What one sigma of each energy of exchange does to weights . mu at T, J/mol: none with one anion."""
        return np.zeros(0)

    def model_errors(self, solid: Solid, x: np.ndarray, T_K: float, y: np.ndarray | None) -> dict[Hashable, float]:
        """Errors of D that no parameter carries, J/mol, each by itself: the melt's laws, and a compound's own energy.

        One name is one error: solids in balance with one melt share it. A compound whose energy was computed from a
        melt shares that melt's errors.
        """
        errors = dict(self.melt_errors(x, solid_weights(solid, len(self.constituents), y), T_K))
        if isinstance(solid, TripleSolid):
            errors[solid.name] = solid.sigma(T_K)
            for key, error in solid.melt.items():
                errors[key] = errors.get(key, 0.0) - error / sum(solid.counts)
        return errors

    def model_variance(self, solid: Solid, x: np.ndarray, T_K: float, y: np.ndarray | None) -> float:
        """Variance of D that no parameter carries, (J/mol)^2: the sum of squares of `model_errors`."""
        return sum(error**2 for error in self.model_errors(solid, x, T_K, y).values())

    def variance(self, gradients: Sequence[np.ndarray], fusion_errors: np.ndarray) -> float:
        """Variance of a quantity with these derivatives by the pairs' parameters and direct fusion errors (n,).

        The shift of the parameters by a fusion error is added before squaring: both come from the same salt.
        """
        return max(float(self.covariance([gradients], fusion_errors[None, :])[0, 0]), 0.0)  # rounding may leave -1e-9

    def shares(self, gradients: Sequence[np.ndarray], fusion_errors: np.ndarray) -> list[tuple[Key, float]]:
        """What each of `keys` adds to `variance`, with half of what it has in common with each other."""
        row = self.vector(gradients, fusion_errors)
        return list(zip(self.keys, (row * (self._together @ row)).tolist(), strict=True))

    @cached_property
    def keys(self) -> list[Key]:
        """Everything fitted or tabulated that the melt rests on: parameters of the pairs, fusion energies, terms."""
        pairs = [(frozenset(pair.salts), parameter) for pair in self.pairs for parameter in pair.parameters]
        return [*pairs, *map(fusion_key, self.constituents), *self.term_keys]

    @cached_property
    def _together(self) -> np.ndarray:
        """Covariance of `keys`: that of the pairs by themselves, or that after the joint update."""
        sigmas = np.array([sigma for _, sigma in self.term_spreads])
        fusions = np.eye(len(self.constituents))
        before = block_diag(*[pair.covariance for pair in self.pairs], fusions, np.diag(sigmas**2))
        joint = joint_update() if self._as_fitted else self._joint
        return before if joint is None else joint.covariance(self.keys, before)

    def covariance(self, rows: Sequence[Sequence[np.ndarray]], fusion_errors: np.ndarray) -> np.ndarray:
        """Covariance (k, k) of k quantities, each with its derivatives; fusion_errors (k, n): direct ones."""
        vectors = np.array([self.vector(row, own) for row, own in zip(rows, fusion_errors, strict=True)])
        return vectors @ self._together @ vectors.T

    def vector(self, gradients: Sequence[np.ndarray], fusion_errors: np.ndarray) -> np.ndarray:
        """A quantity's derivatives by `keys`; the parameters' own answer to a fusion error counts with that error."""
        fusion = fusion_errors.astype(float)
        for pair, gradient in zip(self.pairs, gradients[: len(self.pairs)], strict=True):
            fusion[[self._position[f] for f in pair.salts]] += pair.fusion_response @ gradient
        return np.concatenate([*gradients[: len(self.pairs)], fusion, *gradients[len(self.pairs) :]])

    def flat(self) -> list[np.ndarray]:
        """A gradient of nothing: one array a pair and one for the terms, as `parameter_gradient` gives them."""
        return [*(np.zeros(len(pair.parameters)) for pair in self.pairs), np.zeros(len(self.term_keys))]
