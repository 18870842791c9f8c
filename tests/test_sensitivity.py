"""Spread of an invariant temperature: derivatives of the true invariant by every parameter, and sampling."""

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.made_up import ExactSalts, changed, made_up_system, pair_model
from thermo.equilibrium.liquidus import Melts
from thermo.equilibrium.sensitivity import composition_slopes, invariant_sigma
from thermo.equilibrium.system import salt_system
from thermo.laws.solids import SolutionSolid
from thermo.records.interactions import pair_models

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
    sides = [(solid_named(system, name), None) for name in names]
    for n, parameter in enumerate(model.parameters):
        size = max(abs(model.values[n]) * 1e-3, 1e-3)
        covariance = np.zeros_like(model.covariance)
        covariance[n, n] = size**2
        one = ExactSalts(salts, {key: changed(model, covariance=covariance)})
        step = size * np.eye(len(model.values))[n]
        others = [{key: changed(model, values=model.values + sign * step)} for sign in (1, -1)]
        moved = [meeting(ExactSalts(salts, models), names, span)[1] for models in others]
        expected = abs(moved[0] - moved[1]) / 2
        # steps of 1e-4 K in the solver and a ridge of 1e-4 in the weights
        assert invariant_sigma(one, np.array([1 - x, x]), sides) == pytest.approx(expected, rel=0.02, abs=5e-4), (
            parameter
        )
    assert invariant_sigma(system, np.array([1 - x, x]), sides) > 0.1
    assert 500 < T_K < 900


@pytest.mark.parametrize(("salts", "names", "span"), MEETINGS[:2])
def test_sigma_is_the_spread_of_the_eutectic_when_the_parameters_are_sampled(salts, names, span):
    """Linear propagation against 150 draws, whose own spread is known to 6 %."""
    key, model = frozenset(salts), pair_models()[frozenset(salts)]
    system = ExactSalts(salts)
    x, _ = meeting(system, names, span)
    sigma = invariant_sigma(system, np.array([1 - x, x]), [(solid_named(system, name), None) for name in names])
    draws = np.random.default_rng(2).multivariate_normal(model.values, model.covariance, 150, method="eigh")
    T = [meeting(ExactSalts(salts, {key: changed(model, values=values)}), names, span)[1] for values in draws]
    assert np.std(T) == pytest.approx(sigma, rel=0.18)


def test_slopes_are_those_of_the_curves():
    system = salt_system(("NaCl", "KCl", "MgCl2"))
    x = np.array([0.3, 0.25, 0.45])
    sides = [(solid, near) for solid in system.solids
             for near in (range(len(solid.formulas)) if isinstance(solid, SolutionSolid) else [None])]  # fmt: skip
    slopes = composition_slopes(system, x, sides)
    assert slopes.shape == (len(sides), 2)
    for row, (solid, near) in zip(slopes, sides, strict=True):
        for m in range(2):
            step = 1e-3 * (np.eye(3)[m] - np.eye(3)[2])
            T = Melts(system, np.stack([x + step, x - step])).solid_temperature(solid, near)[0]
            # curvature of a liquidus (1e5 K) leaves less than 1 K in 500 K here
            assert row[m] == pytest.approx((T[0] - T[1]) / 2e-3, rel=0.01, abs=2.0)


def test_a_pure_salt_adds_to_its_eutectic_only_its_share():
    """Two salts alike in everything: each counts half, so two independent errors leave 1 / sqrt 2 of one."""
    system = made_up_system(("KCl", "RbCl"))  # ideal melt
    sides = [(solid, None) for solid in system.solids]
    x, _ = meeting(system, ("KCl", "RbCl"), (0.3, 0.8))
    errors = {"KCl": 100.0, "RbCl": 100.0}

    def sigma(known):
        system.fusion_errors = lambda solid, T_K, y: np.array(
            [errors[f] * (solid.name == f and f not in known) for f in system.salts]
        )
        return invariant_sigma(system, np.array([1 - x, x]), sides)

    both, first, second = sigma(()), sigma(("RbCl",)), sigma(("KCl",))
    assert both == pytest.approx(np.hypot(first, second), rel=1e-9)
    # the steeper branch moves the eutectic less: shares sum to one
    slopes = np.abs(composition_slopes(system, np.array([1 - x, x]), sides)[:, 0])
    assert first / second == pytest.approx(slopes[1] / slopes[0], rel=0.15)


def test_exact_parameters_and_salts_leave_no_spread():
    exact = pair_model("LiCl", "KCl", ((-17000.0, 4.0),))
    system = ExactSalts(("LiCl", "KCl"), {frozenset(("LiCl", "KCl")): exact})
    assert invariant_sigma(system, np.array([0.6, 0.4]), [(solid, None) for solid in system.solids]) == 0
