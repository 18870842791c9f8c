"""Published limits of what solids dissolve of each other, as equations that made-up solids must meet."""

import numpy as np
import pytest
from scipy.optimize import brentq, fsolve

from tests.made_up import misfit, observer, pair_model
from thermo.fitting.solubility_equations import critical_point, solid_equations, solubility
from thermo.records.solid_solutions import SolidSolution, solid_solution
from thermo.records.units import R

EACH = pair_model("LiCl", "CaCl2", hosts={"LiCl": (9000.0, 4000.0), "CaCl2": (14000.0, 5000.0, 5.0)})


def solubility_record(**known) -> SolidSolution:
    fields = {"pair": ("NaCl", "KCl"), "extent": "partial", "hosts": (), "b_in_a": None, "a_in_b": None,
              "critical_T_K": None, "critical_x_b": None, "volume_rule_J_mol": 20000.0, "alkali": True,
              "source": "made_up"}  # fmt: skip
    return SolidSolution(**(fields | known))


def test_published_solubilities_hold_for_a_regular_solution():
    """Symmetric gap at T: ln(y / (1 - y)) = W (2 y - 1) / R T; two equations, one a salt."""
    W, T_K = 24000.0, 900.0
    y = brentq(lambda y: np.log(y / (1 - y)) - W * (2 * y - 1) / (R * T_K), 1e-6, 0.4)
    model = pair_model("NaCl", "KCl", solid=((W, 0.0), (0.0, 0.0)))
    both = solubility(observer(model), solubility_record(b_in_a=y, a_in_b=y), T_K)
    assert misfit(both, model) == pytest.approx([0, 0], abs=1e-6)
    wrong = solubility(observer(model), solubility_record(b_in_a=2 * y, a_in_b=2 * y), T_K)
    assert np.abs(misfit(wrong, model)).max() > 1


def test_one_sided_solubility_is_one_equation_and_none_is_none():
    model = pair_model("NaCl", "KCl", solid=((24000.0, 0.0), (0.0, 0.0)))
    assert solubility(observer(model), solubility_record(b_in_a=0.05, a_in_b=0.0), 900.0).design.shape[0] == 1
    assert solubility(observer(model), solubility_record(), 900.0) is None


def test_a_published_critical_point_holds_for_a_regular_solution():
    """Top of a symmetric gap: y = 1/2, T_c = W / 2R."""
    model = pair_model("NaCl", "KCl", solid=((20000.0, -4.0), (0.0, 0.0)))
    critical = brentq(lambda T: (20000.0 - 4.0 * T) / (2 * R) - T, 300, 1500)
    found = critical_point(observer(model), solubility_record(critical_T_K=critical, critical_x_b=0.5))
    assert misfit(found, model) == pytest.approx([0, 0], abs=1e-9)
    assert critical_point(observer(model), solubility_record()) is None


def test_the_critical_point_of_an_asymmetric_solution():
    """Second and third derivative of G by y vanish: checked by finite differences of the module's own formula."""
    W, V = 20000.0, -3000.0
    model = pair_model("NaCl", "KCl", solid=((W, 0.0), (V, 0.0)))

    def second(y, T):  # of R T sum y ln y + y (1 - y) (W + V (1 - 2 y)), y = fraction of KCl
        return R * T / (y * (1 - y)) - 2 * W + V * (12 * y - 6)

    def third(y, T):
        return R * T * (2 * y - 1) / (y * (1 - y)) ** 2 + 12 * V

    def spinodal_T(y):
        return (2 * W - V * (12 * y - 6)) * y * (1 - y) / R

    y = brentq(lambda y: third(y, spinodal_T(y)), 0.3, 0.9)
    assert second(y, spinodal_T(y)) == pytest.approx(0, abs=1e-6)
    found = critical_point(observer(model), solubility_record(critical_T_K=spinodal_T(y), critical_x_b=y))
    assert misfit(found, model) == pytest.approx([0, 0], abs=1e-6)


def test_a_limit_beside_a_pure_crystal_is_an_activity_of_one():
    """R T ln y + E + W (1 - y)^2 = 0 for what a host holds beside the stranger's own crystal; W only, no slope."""
    T_K, E, W = 900.0, 11000.0, 4000.0
    y = brentq(lambda y: R * T_K * np.log(y) + E + W * (1 - y) ** 2, 1e-9, 0.5)
    model = pair_model("LiCl", "MgCl2", hosts={"LiCl": (E, W)})
    found = solubility(observer(model), solubility_record(pair=("LiCl", "MgCl2"), hosts=("LiCl",), b_in_a=y), T_K)
    assert misfit(found, model) == pytest.approx([0], abs=1e-9)
    flipped = solubility_record(pair=("MgCl2", "LiCl"), hosts=("LiCl",), a_in_b=y)
    assert misfit(solubility(observer(model), flipped, T_K), model) == pytest.approx([0], abs=1e-9)


def test_limits_of_two_crystals_that_dissolve_each_other():
    """Both salts have equal potentials in the two crystals: two equations in two compositions, by scipy."""
    T_K = 800.0
    first, second = (observer(EACH).solid(name)[0] for name in EACH.salts)

    def mu(solid, y):  # y: fraction of CaCl2
        A, B = solid.excess_potentials(np.array([[1 - y, y]]))
        return R * T_K * np.log([1 - y, y]) + A[0] + T_K * B[0]

    l, r = fsolve(lambda v: mu(first, v[0]) - mu(second, v[1]), [0.1, 0.95])
    record = solubility_record(pair=EACH.salts, hosts=EACH.salts, b_in_a=float(l), a_in_b=float(1 - r))
    assert misfit(solubility(observer(EACH), record, T_K), EACH) == pytest.approx([0, 0], abs=1e-6)


def test_equations_of_a_pair_are_those_of_its_published_limits():
    """NaCl-KCl has the top of its gap on file, LiCl-KCl dissolve nothing of each other."""
    assert solid_solution("NaCl", "KCl").critical_T_K is not None
    mixed = pair_model("NaCl", "KCl", solid=((20500.0, -6.0), (-1500.0, 0.0)))
    labels = [found.label for found in solid_equations(observer(mixed), [])]
    assert any(label.startswith("critical point") for label in labels)
    assert list(solid_equations(observer(pair_model("LiCl", "KCl")), [])) == []
