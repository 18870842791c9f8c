"""Published points as equations: a model's own points must meet its own equations, with the right weights."""

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.made_up import (
    changed,
    invariant_row,
    liquidus_row,
    made_up_system,
    misfit,
    mixing_row,
    observer,
    pair_model,
)
from thermo.equilibrium.system.driving_force import Melts, liquidus_field
from thermo.fitting.point_equations import FLOOR_J_mol, PairObserver, equations
from thermo.records.published import QUANTITIES
from thermo.records.units import R

PAIR = ("KCl", "MgCl2")
ORDERED = pair_model(
    *PAIR,
    ((-55000.0, 8.0), (9000.0, -2.0), (-6000.0, 3.0)),
    doubles={"KMgCl3": (-19000.0, -1.0), "K2MgCl4": (-20500.0, 1.5)},
)
MIXED = pair_model("NaCl", "KCl", ((-2200.0, 0.4), (200.0, 0.1)), solid=((20500.0, -6.0), (-1500.0, 0.0)))


def own_liquidus(model, x: float) -> tuple[float, str]:
    """Liquidus temperature and first solid of a made-up pair at the second salt's fraction x."""
    found = liquidus_field(model.salts, np.array([[1 - x, x]]), made_up_system(model.salts, model))
    return float(found.T_K[0]), found.solids[found.solid_index[0]]


@pytest.mark.parametrize("x", [0.1, 0.33, 0.36, 0.5, 0.9])
def test_a_models_own_liquidus_meets_its_equations(x):
    T_K, solid = own_liquidus(ORDERED, x)
    (found,) = equations(observer(ORDERED), [], [liquidus_row(PAIR, x, T_K, (solid,))], [])
    # temperatures settle to 1e-4 K; one unit here is some 2 K
    assert misfit(found, ORDERED) == pytest.approx(0, abs=1e-3)


@pytest.mark.parametrize("x", [0.2, 0.5, 0.85])
def test_a_solid_solutions_own_liquidus_meets_its_equations(x):
    T_K, solid = own_liquidus(MIXED, x)
    found = observer(MIXED).liquidus_point(liquidus_row(MIXED.salts, x, T_K, (solid,)))
    assert misfit(found, MIXED) == pytest.approx(0, abs=0.01)


@pytest.mark.parametrize("solid", ["KCl", "MgCl2", "KMgCl3"])
def test_the_equation_does_not_depend_on_the_guess(solid):
    """D is linear in the parameters: equations made from two different parameter sets are the same equation."""
    row = liquidus_row(PAIR, 0.45, 760.0, (solid,))
    guess = changed(ORDERED, values=ORDERED.values * np.linspace(0.5, 1.6, len(ORDERED.values)))
    one, other = (observer(model).liquidus_point(row) for model in (ORDERED, guess))
    # the slope dD/dx that weighs the error of x follows the guess, so compare what is not weighed
    ratio = one.design[0] @ one.design[0] / (one.design[0] @ other.design[0])
    assert other.design * ratio == pytest.approx(one.design, rel=1e-9, abs=1e-12)
    assert other.target * ratio == pytest.approx(one.target, rel=1e-7)


def test_the_design_is_the_derivative_of_the_driving_force():
    row = liquidus_row(PAIR, 0.3, 800.0, ("KMgCl3",), T_sigma=1e-9)
    here = observer(ORDERED)
    found = here.liquidus_point(row)
    solid, near = here.solid("KMgCl3")
    D, *_ = here.balance(solid, near, np.array([0.3, 0.3 + 1e-4, 0.3 - 1e-4]), 800.0)
    sigma = np.hypot(0.003 * (D[1] - D[2]) / 2e-4, FLOOR_J_mol)
    for n in range(len(ORDERED.values)):
        step = np.zeros(len(ORDERED.values))
        step[n] = 1.0
        moved = observer(changed(ORDERED, values=ORDERED.values + step))
        change = moved.balance(moved.solid("KMgCl3")[0], None, np.array([0.3]), 800.0)[0][0] - D[0]
        assert found.design[0, n] == pytest.approx(change / sigma, rel=1e-5, abs=1e-9)


def test_an_invariant_of_two_solids_is_two_equations_that_both_hold():
    def gap(x):
        melts = Melts(made_up_system(PAIR, ORDERED), np.array([[1 - x, x]]))
        (one,), (other,) = ([s for s in melts.system.solids if s.name == name] for name in ("KMgCl3", "MgCl2"))
        return float(melts.solid_temperature(one)[0][0] - melts.solid_temperature(other)[0][0])

    x = brentq(gap, 0.52, 0.8, xtol=1e-10)
    T_K, _ = own_liquidus(ORDERED, x)
    found = observer(ORDERED).invariant(invariant_row(PAIR, "eutectic", x, T_K, ("KMgCl3", "MgCl2")))
    assert found.design.shape[0] == 2
    assert misfit(found, ORDERED) == pytest.approx([0, 0], abs=2e-3)


def test_errors_of_one_thermometer_and_one_balance_are_shared_by_both_equations():
    """Raising T by one sigma moves the whitened residual by one unit of length, not by two."""
    row = invariant_row(PAIR, "eutectic", 0.62, 740.0, ("KMgCl3", "MgCl2"), x_sigma=1e-9, T_sigma=20.0)
    here = observer(ORDERED)
    one = here.invariant(row)
    other = here.invariant(invariant_row(PAIR, "eutectic", 0.62, 760.0, ("KMgCl3", "MgCl2"), 1e-9, 20.0))
    # 20 K are some 600 J/mol for each solid, the floor of 25 J/mol and the curvature of D hardly matter
    assert np.linalg.norm(misfit(other, ORDERED) - misfit(one, ORDERED)) == pytest.approx(1, rel=0.1)


def test_a_row_marked_low_has_a_quarter_of_the_weight():
    rows = [liquidus_row(PAIR, 0.1, 1000.0, ("KCl",), T_sigma=50.0, use=use) for use in ("fit", "low")]
    full, low = (observer(ORDERED).liquidus_point(row) for row in rows)
    assert (low.design @ low.design.T) / (full.design @ full.design.T) == pytest.approx(0.25, rel=1e-3)


def test_a_row_marked_no_is_left_out():
    rows = [liquidus_row(PAIR, 0.1, 1000.0, ("KCl",), use=use) for use in ("fit", "no", "low")]
    heat = [mixing_row(PAIR, "enthalpy_of_mixing_J_mol", 0.5, 1000.0, -1e4, 500.0, use="no")]
    points = [invariant_row(PAIR, "eutectic", 0.6, 740.0, ("KMgCl3", "MgCl2"), use="no")]
    assert len(list(equations(observer(ORDERED), points, rows, heat))) == 2


def own_mixing_value(quantity: str, x: float, T_K: float) -> float:
    """The quantity of ORDERED's liquid, written out from its definition."""

    def excess(x, T_K, enthalpy=False):
        terms = ORDERED.terms("liquid").items()
        return sum(x * (1 - x) * (a + (0 if enthalpy else b * T_K)) * (1 - 2 * x) ** k for k, (a, b) in terms)

    if quantity == "enthalpy_of_mixing_J_mol":
        return excess(x, T_K, enthalpy=True)
    if quantity == "excess_gibbs_J_mol":
        return excess(x, T_K)
    slope = (excess(x + 1e-6, T_K) - excess(x - 1e-6, T_K)) / 2e-6
    second = "_b" in quantity
    potential = excess(x, T_K) + ((1 - x) if second else -x) * slope
    if quantity.startswith("excess_potential"):
        return potential
    gamma = np.exp(potential / (R * T_K))
    return gamma if "coefficient" in quantity else gamma * (x if second else 1 - x)


@pytest.mark.parametrize("quantity", QUANTITIES)
@pytest.mark.parametrize("x", [0.25, 0.6])
def test_a_models_own_mixing_quantities_meet_their_equations(quantity, x):
    value = own_mixing_value(quantity, x, 1000.0)
    found = observer(ORDERED).mixing_point(mixing_row(PAIR, quantity, x, 1000.0, value, 0.01 * abs(value)))
    assert misfit(found, ORDERED) == pytest.approx([0], abs=1e-3)
    wrong = observer(ORDERED).mixing_point(mixing_row(PAIR, quantity, x, 1000.0, 1.5 * value, 0.01 * abs(value)))
    assert abs(misfit(wrong, ORDERED)[0]) > 3


def test_an_enthalpy_knows_nothing_of_entropies():
    row = mixing_row(PAIR, "enthalpy_of_mixing_J_mol", 0.4, 1000.0, -1e4, 500.0)
    found = observer(ORDERED).mixing_point(row)
    slopes = [n for n, one in enumerate(ORDERED.parameters) if one.phase == "liquid" and one.per_kelvin]
    assert not found.design[0, slopes].any()
    assert not np.isfinite(found.kelvin).any()  # no temperature: not counted in the rms


def test_a_congruent_minimum_is_one_equation_a_salt():
    model = pair_model("NaCl", "KCl", ((-2000.0, 0.5),), solid=((9000.0, 0.0),))
    system = made_up_system(model.salts, model)
    x = np.linspace(0.3, 0.8, 2001)
    T = liquidus_field(model.salts, np.column_stack([1 - x, x]), system).T_K
    row = invariant_row(model.salts, "minimum", float(x[T.argmin()]), float(T.min()), ("(Na,K)Cl",))
    found = PairObserver(system).invariant(row)
    assert found.design.shape[0] == 2
    assert misfit(found, model) == pytest.approx([0, 0], abs=0.05)


def test_a_congruent_double_salt_is_placed_at_its_own_composition():
    T_K, solid = own_liquidus(ORDERED, 0.5)
    assert solid == "KMgCl3"
    for x in (0.5, 0.47, None):  # whatever was printed
        found = observer(ORDERED).invariant(invariant_row(PAIR, "congruent", x, T_K, ("KMgCl3",)))
        assert misfit(found, ORDERED) == pytest.approx([0], abs=1e-3)


def test_an_invariant_without_composition_is_placed_where_its_solids_meet_but_counts_little():
    placed, lost = (
        observer(ORDERED).invariant(invariant_row(PAIR, "eutectic", x, 740.0, ("KMgCl3", "MgCl2")))
        for x in (0.62, None)
    )
    weight = [np.linalg.norm(e.design) for e in (placed, lost)]
    assert weight[1] < weight[0]


@pytest.mark.parametrize(
    "row",
    [
        invariant_row(PAIR, "eutectic", None, 740.0, ("MgCl2",)),  # one solid and no composition say nothing
        invariant_row(PAIR, "eutectic", 0.4, None, ("KCl", "MgCl2")),
        invariant_row(PAIR, "eutectic", 0.5, 740.0, ()),  # no solid named, in the middle
        invariant_row(PAIR, "minimum", 0.5, 740.0, ("(K,Mg)Cl2",)),  # the model has no such solid
        invariant_row(PAIR, "congruent", 0.6, 740.0, ("K3Mg2Cl7",)),
        invariant_row(PAIR, "none", None, None, ()),
        liquidus_row(PAIR, 0.4, 740.0, ("K3Mg2Cl7",)),
        liquidus_row(PAIR, 0.4, 740.0, ()),
    ],
)
def test_rows_that_say_nothing_about_the_model_give_no_equation(row):
    here = observer(ORDERED)
    translate = here.invariant if hasattr(row, "kind") else here.liquidus_point
    assert translate(row) is None


def test_where_no_solid_is_named_the_main_salt_is_taken():
    named = observer(ORDERED).invariant(invariant_row(PAIR, "eutectic", 0.8, 900.0, ("MgCl2",)))
    unnamed = observer(ORDERED).invariant(invariant_row(PAIR, "eutectic", 0.8, 900.0, ()))
    assert unnamed.design == pytest.approx(named.design)


HOSTED = pair_model("LiCl", "MgCl2", ((-1500.0, 0.3),), hosts={"LiCl": (6000.0, 2000.0, -20.0, 300.0)})
EACH = pair_model("LiCl", "CaCl2", hosts={"LiCl": (9000.0, 4000.0), "CaCl2": (14000.0, 5000.0, 5.0)})


@pytest.mark.parametrize(("model", "x"), [(HOSTED, 0.2), (HOSTED, 0.8), (EACH, 0.2), (EACH, 0.8)], ids=str)
def test_the_liquidus_of_salts_of_two_kinds_of_crystal_meets_its_equations(model, x):
    T_K, _ = own_liquidus(model, x)
    row = liquidus_row(model.salts, x, T_K, (model.salts[int(x > 0.5)],))
    assert misfit(observer(model).liquidus_point(row), model) == pytest.approx(0, abs=0.01)


def test_a_name_means_the_salts_own_crystal():
    solid, near = observer(HOSTED).solid("LiCl")
    assert (solid.formulas, near) == (("LiCl", "MgCl2"), None)  # all of this crystal is LiCl's
    assert observer(HOSTED).solid("MgCl2")[0].name == "MgCl2"
    assert observer(HOSTED).solid("(Li,Mg)Cl")[0] == solid
    first, second = (observer(EACH).solid(name)[0] for name in EACH.salts)
    assert first.natives == (0,)
    assert second.natives == (1,)


def test_a_congruent_minimum_of_a_host_with_its_stranger():
    model = pair_model("LiCl", "MgCl2", hosts={"LiCl": (3000.0, 6000.0)})
    system = made_up_system(model.salts, model)
    solid = observer(model).solid("LiCl")[0]
    x = np.linspace(0.2, 0.9, 2001)
    T = Melts(system, np.column_stack([1 - x, x])).solid_temperature(solid)[0]
    row = invariant_row(model.salts, "minimum", float(x[T.argmin()]), float(T.min()), ("(Li,Mg)Cl",))
    assert misfit(PairObserver(system).invariant(row), model) == pytest.approx([0, 0], abs=0.05)
