"""Spread of an invariant temperature: derivatives of the true invariant by every parameter, and sampling."""

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.made_up import ExactSalts, changed, made_up_system, pair_model
from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.equilibrium.invariants.sigma import invariant_sigma, lever_weights
from thermo.equilibrium.invariants.solidus_curve import SolidusCurve
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.laws.solid_solution import SolutionSolid
from thermo.records.fitted import pair_models

# salts, the two solids that meet, and an interval of the second salt's fraction that holds only this meeting
MEETINGS = [
    pytest.param(("LiCl", "KCl"), ("LiCl", "KCl"), (0.3, 0.5), id="eutectic LiCl-KCl"),
    pytest.param(("KCl", "MgCl2"), ("KMgCl3", "MgCl2"), (0.52, 0.7), id="eutectic KMgCl3-MgCl2"),
    pytest.param(("NaCl", "MgCl2"), ("NaMgCl3", "MgCl2"), (0.42, 0.6), id="peritectic NaMgCl3-MgCl2"),
]


def solid_named(system, name):
    (found,) = (s for s in system.solids if not isinstance(s, SolutionSolid) and s.name == name)
    return found


def meeting(system, names, span) -> tuple[float, float]:
    """x and T where the curves of two solids cross, by scipy on the curves themselves."""

    def T(name, x):
        return float(Melts(system, np.array([[1 - x, x]])).solid_temperature(solid_named(system, name))[0][0])

    x = brentq(lambda x: T(names[0], x) - T(names[1], x), *span, xtol=1e-9)
    return x, T(names[0], x)


@pytest.mark.parametrize(("salts", "names", "span"), MEETINGS)
def test_each_parameter_moves_the_invariant_as_much_as_its_share_says(salts, names, span):
    """With one uncertain parameter sigma is |dT/d(parameter)| times its spread: compared with the moved invariant."""
    key, model = frozenset(salts), pair_models()[frozenset(salts)]
    system = ExactSalts(salts)
    x, T_K = meeting(system, names, span)
    solids = [(solid_named(system, name), None) for name in names]
    for n, parameter in enumerate(model.parameters):
        size = max(abs(model.values[n]) * 1e-3, 1e-3)
        covariance = np.zeros_like(model.covariance)
        covariance[n, n] = size**2
        one = ExactSalts(salts, {key: changed(model, covariance=covariance)})
        step = size * np.eye(len(model.values))[n]
        others = [{key: changed(model, values=model.values + sign * step)} for sign in (1, -1)]
        moved = [meeting(ExactSalts(salts, models), names, span)[1] for models in others]
        expected = abs(moved[0] - moved[1]) / 2
        # steps of 1e-4 K in the solver
        found = invariant_sigma(one, np.array([1 - x, x]), T_K, solids)
        assert found == pytest.approx(expected, rel=0.02, abs=5e-4), parameter
    assert invariant_sigma(system, np.array([1 - x, x]), T_K, solids) > 0.1
    assert 500 < T_K < 900


@pytest.mark.parametrize(("salts", "names", "span"), MEETINGS[:2])
def test_sigma_is_the_spread_of_the_eutectic_when_the_parameters_are_sampled(salts, names, span):
    """Linear propagation against 150 draws, whose own spread is known to 6 %."""
    key, model = frozenset(salts), pair_models()[frozenset(salts)]
    system = ExactSalts(salts)
    x, T_K = meeting(system, names, span)
    sigma = invariant_sigma(system, np.array([1 - x, x]), T_K, [(solid_named(system, name), None) for name in names])
    draws = np.random.default_rng(2).multivariate_normal(model.values, model.covariance, 150, method="eigh")
    T = [meeting(ExactSalts(salts, {key: changed(model, values=values)}), names, span)[1] for values in draws]
    assert np.std(T) == pytest.approx(sigma, rel=0.18)


# A solid solution at each: one that splits, one beside a pure salt, two kinds of crystal.
DISSOLVING = [
    ("NaF", "KF"),
    ("LiF", "NaF"),
    ("NaCl", "RbCl"),
    ("LiF", "MgF2"),
    ("LiCl", "MgCl2"),
    ("MgCl2", "CaCl2"),
    ("LiCl", "CaCl2"),
]


@pytest.mark.parametrize(("a", "b"), DISSOLVING)
def test_sigma_of_a_eutectic_of_solid_solutions_is_what_moved_parameters_make_of_it(a, b):
    """Every parameter moved by a twentieth of its sigma along the axes of the covariance, the eutectic found again as
    the lowest point of a liquidus that knows nothing of sides, levers or derivatives."""
    key, model = frozenset((a, b)), pair_models()[frozenset((a, b))]
    (eutectic,) = (m for m in SolidusCurve(salt_system((a, b))).meetings() if m.kind == "eutectic")
    x = np.linspace(eutectic.x - 0.02, eutectic.x + 0.02, 4001)

    def lowest(values: np.ndarray) -> float:
        melts = Melts(ExactSalts((a, b), {key: changed(model, values=values)}), np.column_stack([1 - x, x]))
        return float(melts.liquidus()[0].min())

    sizes, axes = np.linalg.eigh(model.covariance)
    steps = 0.05 * axes * np.sqrt(np.maximum(sizes, 0.0))
    moves = [(lowest(model.values + step) - lowest(model.values - step)) / 0.1 for step in steps.T]
    solids = [(s, np.array([1 - y, y]) if isinstance(s, SolutionSolid) else None)
              for s, y in zip(eutectic.solids, eutectic.shares, strict=True)]  # fmt: skip
    found = invariant_sigma(ExactSalts((a, b)), np.array([1 - eutectic.x, eutectic.x]), eutectic.T_K, solids)
    assert found == pytest.approx(np.linalg.norm(moves), rel=0.05)  # steps of 1e-4 K, a grid of 1e-5, curvature
    alone = SaltSystem((a, b), {key: model})  # the pair's own fit, without what melts of three salts say of it
    own = invariant_sigma(alone, np.array([1 - eutectic.x, eutectic.x]), eutectic.T_K, solids)
    assert own >= found  # the pure salts are not exact
    (point,) = (p for p in pair_invariants(a, b) if p.kind == "eutectic")
    assert point.sigma_K == pytest.approx(own, rel=0.12)  # the joint update widens a pair's band 1.12 times at most


def test_lever_weights_make_up_the_melt():
    """A solid solution of NaCl and KCl, MgCl2 and KMgCl3 around a melt: the lever rule of three solids."""
    system = salt_system(("NaCl", "KCl", "MgCl2"))
    (solution,) = (s for s in system.solids if isinstance(s, SolutionSolid))
    solids = [
        (solution, np.array([0.7, 0.3])),
        (solid_named(system, "MgCl2"), None),
        (solid_named(system, "KMgCl3"), None),
    ]
    rows = np.array([[0.7, 0.3, 0.0], [0.0, 0.0, 1.0], [0.0, 0.5, 0.5]])
    x = np.array([0.4, 0.35, 0.25])
    weights = lever_weights(system, x, solids)
    assert weights @ rows == pytest.approx(x, abs=1e-9)
    assert weights.sum() == pytest.approx(1, rel=1e-12)


def test_worked_value():
    system = made_up_system(("KCl", "RbCl"))
    assert lever_weights(system, np.array([0.5, 0.5]), [(s, None) for s in system.solids]) == pytest.approx([0.5, 0.5])


def test_a_pure_salt_adds_to_its_eutectic_only_its_share():
    """The driving force of each salt counts by its share of the melt, so independent errors add by their squares."""
    system = made_up_system(("KCl", "RbCl"))  # ideal melt
    solids = [(solid, None) for solid in system.solids]
    x, T_K = meeting(system, ("KCl", "RbCl"), (0.3, 0.8))

    def sigma(known):
        system.fusion_errors = lambda solid, T_K, y: np.array(
            [100.0 * (solid.name == f and f not in known) for f in system.salts]
        )
        return invariant_sigma(system, np.array([1 - x, x]), T_K, solids)

    both, first, second = sigma(()), sigma(("RbCl",)), sigma(("KCl",))
    assert both == pytest.approx(np.hypot(first, second), rel=1e-9)
    assert first / second == pytest.approx((1 - x) / x, rel=1e-9)


def test_exact_parameters_and_salts_leave_no_spread():
    exact = pair_model("LiCl", "KCl", ((-17000.0, 4.0),))
    system = ExactSalts(("LiCl", "KCl"), {frozenset(("LiCl", "KCl")): exact})
    x, T_K = meeting(system, ("LiCl", "KCl"), (0.3, 0.5))
    assert invariant_sigma(system, np.array([1 - x, x]), T_K, [(solid, None) for solid in system.solids]) == 0
