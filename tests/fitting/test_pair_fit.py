"""The fit of a pair: recovers what made the points, widens where sources disagree, falls back on its priors."""

import numpy as np
import pytest

from tests.made_up import (
    invariant_row,
    liquidus_row,
    made_up_system,
    mixing_row,
    pair_model,
)
from thermo.equilibrium.system.driving_force import Melts, liquidus_field
from thermo.fitting.pair_fit import fit_pair, parameters_of, published_rows, salt_order, solve
from thermo.fitting.priors.pairs import prior
from thermo.records.parameters import Parameter
from thermo.records.units import R


def points_of(model, x: np.ndarray, sigma_K: float, random=None):
    """Liquidus points of a made-up pair, with normal errors of sigma_K when a generator is given."""
    found = liquidus_field(model.salts, np.column_stack([1 - x, x]), made_up_system(model.salts, model))
    errors = np.zeros(len(x)) if random is None else random.normal(0, sigma_K, len(x))
    return [
        liquidus_row(model.salts, float(x_i), float(T + e), (found.solids[s],), sigma_K)
        for x_i, T, e, s in zip(x, found.T_K, errors, found.solid_index, strict=True)
    ]


ALKALI = pair_model("NaCl", "CsCl", ((-9000.0, 3.0), (600.0, -0.2), (0.0, 0.0), (0.0, 0.0)))
ORDERED = pair_model(
    "NaCl",
    "MgCl2",
    ((-32000.0, 5.0), (6000.0, -1.0), (-3000.0, 0.5), (0.0, 0.0)),
    doubles={"NaMgCl3": (-4500.0, 0.5), "Na2MgCl4": (-4500.0, 1.0)},
)
GRID = np.linspace(0.05, 0.95, 19)


def excess(model, x: np.ndarray, T_K: float) -> np.ndarray:
    """Excess Gibbs energy of the liquid, J/mol."""
    return sum(x * (1 - x) * (a + b * T_K) * (1 - 2 * x) ** k for k, (a, b) in model.terms("liquid").items())


@pytest.mark.parametrize("truth", [ALKALI, ORDERED], ids=["alkali", "ordered with double salts"])
def test_a_liquidus_without_errors_gives_back_itself(truth):
    fit = fit_pair(*truth.salts, ([], points_of(truth, GRID, 0.5), []))
    fine = np.linspace(0.02, 0.98, 97)
    x = np.column_stack([1 - fine, fine])
    own = liquidus_field(truth.salts, x, made_up_system(truth.salts, truth)).T_K
    found = liquidus_field(truth.salts, x, made_up_system(truth.salts, fit.model)).T_K
    # half a kelvin was claimed; between the points the priors may bend the curve by a few times that
    assert np.median(np.abs(found - own)) < 0.5
    assert np.abs(found - own).max() < 4
    assert fit.model.rms_K < 0.5


@pytest.mark.parametrize("truth", [ALKALI, ORDERED], ids=["alkali", "ordered with double salts"])
def test_the_true_coefficients_lie_within_the_spread_claimed(truth):
    """Liquidus points with errors of 3 K and enthalpies with 5 %: parameters by their own covariance."""
    random = np.random.default_rng(12)
    heats = [
        mixing_row(truth.salts, "enthalpy_of_mixing_J_mol", x, 1100.0, float(h + random.normal(0, s)), s)
        for x in (0.2, 0.4, 0.6, 0.8)
        for h in [x * (1 - x) * sum(a * (1 - 2 * x) ** k for k, (a, _) in truth.terms("liquid").items())]
        for s in [0.05 * abs(h)]
    ]
    fit = fit_pair(*truth.salts, ([], points_of(truth, GRID, 3.0, random), heats))
    assert fit.model.parameters == truth.parameters
    offset = (fit.model.values - truth.values) / np.sqrt(np.diag(fit.model.covariance))
    assert np.abs(offset).max() < 3.5
    assert np.sqrt(np.mean(offset**2)) < 1.6
    # the measured strength is known far better than its prior
    x = np.array([0.5])
    assert excess(fit.model, x, 1000.0) == pytest.approx(excess(truth, x, 1000.0), rel=0.1)
    assert np.sqrt(fit.model.covariance[0, 0]) < 6000


def test_more_points_make_a_narrower_band():
    few = fit_pair(*ALKALI.salts, ([], points_of(ALKALI, GRID[::6], 3.0), [])).model
    many = fit_pair(*ALKALI.salts, ([], points_of(ALKALI, GRID, 3.0), [])).model
    assert np.all(np.sqrt(np.diag(many.covariance)) <= np.sqrt(np.diag(few.covariance)) * 1.001)
    assert many.covariance[0, 0] < 0.8 * few.covariance[0, 0]
    assert (few.points, many.points) == (4, 19)


def test_dissent_widens_the_band():
    """Two laboratories 30 K apart that each claim 2 K: the band opens, and about as far as they disagree."""
    agreeing = points_of(ALKALI, GRID, 2.0)
    shifted = [liquidus_row(p.pair, p.x_b, p.T_K + 30.0, p.solids, 2.0) for p in agreeing]
    one = fit_pair(*ALKALI.salts, ([], agreeing + agreeing, [])).model
    two = fit_pair(*ALKALI.salts, ([], agreeing + shifted, [])).model
    widening = np.sqrt(two.covariance[0, 0] / one.covariance[0, 0])
    # 15 K from the mean of the two, at some 2 to 2.5 K an equation: chi about 6
    assert 3 < widening < 10
    assert two.rms_K == pytest.approx(15, rel=0.25)


def test_agreement_better_than_claimed_does_not_narrow_the_band():
    """chi^2 below one is luck, not knowledge: exact points leave the covariance of the claims."""
    P, t = prior(names := parameters_of(*ALKALI.salts), *ALKALI.salts, -8000.0)
    fit = fit_pair(*ALKALI.salts, ([], points_of(ALKALI, GRID, 3.0), []))
    _, covariance, _, residuals = solve(fit.equations, P, t)
    X = np.vstack([P, *[e.design for e in fit.equations]])
    assert residuals @ residuals < len(residuals) - len(names)
    assert np.linalg.inv(X.T @ X) == pytest.approx(covariance, rel=1e-6)


def test_the_answer_to_a_fusion_error_keeps_the_measured_liquidus():
    """A pure salt tabulated wrongly by one sigma: the fit bends the melt so that the measured points stay met."""
    fit = fit_pair(*ALKALI.salts, ([], points_of(ALKALI, GRID, 0.5), []))
    direct = np.concatenate([e.fusion for e in fit.equations])
    answered = direct + np.concatenate([e.design for e in fit.equations]) @ fit.model.fusion_response.T
    assert np.sqrt(np.mean(answered**2)) < 0.5 * np.sqrt(np.mean(direct**2))


def test_no_usable_point_no_fit():
    assert fit_pair(*ALKALI.salts, ([], [], [])) is None
    useless = [invariant_row(ALKALI.salts, "eutectic", None, 700.0, ("NaCl",))]
    assert fit_pair(*ALKALI.salts, (useless, [], [])) is None
    barred = [liquidus_row(ALKALI.salts, 0.5, 800.0, ("NaCl",), use="no")]
    assert fit_pair(*ALKALI.salts, ([], barred, [])) is None


def test_one_point_moves_one_combination_and_leaves_the_rest_to_the_priors():
    row = invariant_row(ALKALI.salts, "eutectic", 0.65, 761.0, ("NaCl", "CsCl"))
    model = fit_pair(*ALKALI.salts, ([row], [], [])).model
    P, _ = prior(parameters_of(*ALKALI.salts), *ALKALI.salts, float(model.values[0] + 900 * model.values[1]))
    before = np.sqrt(np.diag(np.linalg.inv(P.T @ P)))
    after = np.sqrt(np.diag(model.covariance))
    assert after[0] < 0.3 * before[0]  # a_0, known from one meeting
    assert after[6] > 0.8 * before[6]  # a_3, not
    assert model.rms_K < 3


def test_a_fit_does_not_let_its_melt_unmix():
    """Points of a nearly flat liquidus want a strong repulsion: R T / (x (1 - x)) + G^E'' stays above zero on it."""
    pair = ("NaCl", "CsCl")
    flat = [liquidus_row(pair, x, 1060.0 - 20 * x, ("NaCl",), 10.0) for x in (0.1, 0.3, 0.5, 0.7, 0.85)]
    model = fit_pair(*pair, ([], flat, [])).model
    x = np.linspace(0.02, 0.98, 193)
    system = made_up_system(pair, model)
    melts = Melts(system, np.column_stack([1 - x, x]))
    T = np.stack([melts.solid_temperature(solid)[0] for solid in system.solids]).max(axis=0)
    curvature = np.array([
        R * T_K / (x_i * (1 - x_i)) + (excess(model, x_i + 1e-4, T_K) - 2 * excess(model, x_i, T_K)
                                       + excess(model, x_i - 1e-4, T_K)) / 1e-8
        for x_i, T_K in zip(x, T, strict=True)
    ])  # fmt: skip
    assert curvature.min() > 0


def test_the_order_of_the_salts_is_only_a_sign():
    rows = points_of(ORDERED, GRID, 2.0)
    one = fit_pair(*ORDERED.salts, ([], rows, [])).model
    other = fit_pair(*ORDERED.salts[::-1], ([], [row.flipped() for row in rows], [])).model
    signs = [-1.0 if name.order % 2 else 1.0 for name in one.parameters]
    sigma = np.sqrt(np.diag(one.covariance))
    assert other.parameters == one.parameters
    assert other.values * signs / sigma == pytest.approx(one.values / sigma, abs=0.02)


def test_double_salts_that_no_point_names_are_called_estimated():
    """RbCl-NdCl3 has an enthalpy of mixing; its double salts are known as crystals only."""
    model = fit_pair("RbCl", "NdCl3").model
    assert model.status == "fitted"
    assert set(model.estimated) == set(model.double_salts()) == {"Rb3NdCl6", "Rb2NdCl5", "RbNd2Cl7"}
    assert all(formula in model.note for formula in model.estimated)
    assert fit_pair("KCl", "MgCl2").model.estimated == ()
    assert fit_pair("NaF", "AlF3").model.estimated == ()


def test_parameters_of_a_pair():
    liquid = tuple(Parameter("liquid", f"{letter}{k}") for k in range(4) for letter in "ab")
    assert parameters_of("LiCl", "KCl") == liquid
    assert parameters_of("NaCl", "KCl") == (
        *liquid,
        Parameter("solid solution", "a0"),
        Parameter("solid solution", "b0"),
        Parameter("solid solution", "a1"),
    )
    assert set(parameters_of("KCl", "MgCl2")) - set(liquid) >= {
        Parameter("KMgCl3", "dH"),
        Parameter("KMgCl3", "dS"),
        Parameter("K2MgCl4", "dH"),
        Parameter("K2MgCl4", "dS"),
    }


@pytest.mark.parametrize(
    ("a", "b", "ordered"),
    [
        ("MgCl2", "KCl", ("KCl", "MgCl2")),
        ("KCl", "LiCl", ("LiCl", "KCl")),
        ("NdCl3", "MgCl2", ("MgCl2", "NdCl3")),
        ("CaF2", "NaF", ("NaF", "CaF2")),
    ],
)
def test_pairs_have_one_order(a, b, ordered):
    assert salt_order(a, b) == salt_order(b, a) == ordered


def test_published_rows_are_oriented():
    for group in published_rows("MgCl2", "KCl"):
        assert all(row.pair == ("MgCl2", "KCl") for row in group)
