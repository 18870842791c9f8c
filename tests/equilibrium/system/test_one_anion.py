"""Laws of one set of salts put together: which solids it has, and derivatives by every fitted parameter."""

import numpy as np
import pytest

from tests.made_up import changed, made_up_system, pair_model, random_fractions
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.equilibrium.system.solids import solid_weights
from thermo.laws.gibbs import fusion_sigma
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import DoubleSolid
from thermo.records.fitted import pair_models
from thermo.records.provenance import InputError, sources
from thermo.records.substances import double_salts, salt, salts

SALTS = ("NaCl", "KCl", "MgCl2")
PAIRS = (
    pair_model("NaCl", "KCl", ((-2000.0, 0.5), (300.0, -0.2)), solid=((21000.0, -6.0), (-1500.0, 0.4))),
    pair_model("NaCl", "MgCl2", ((-30000.0, 8.0), (5000.0, 1.0), (-4000.0, 2.0))),
    pair_model("KCl", "MgCl2", ((-60000.0, 9.0),), doubles={"KMgCl3": (-19000.0, -1.0), "K2MgCl4": (-21000.0, 2.0)}),
)
HOSTED = ("LiCl", "MgCl2", "CaCl2")
HOSTS = (
    pair_model("LiCl", "MgCl2", ((-2000.0, 0.5),), hosts={"LiCl": (7000.0, 3000.0, -20.0, 800.0)}),
    pair_model("LiCl", "CaCl2", hosts={"LiCl": (12000.0, 5000.0), "CaCl2": (15000.0, 4000.0, 10.0)}),
)
MELT = np.array([[0.31, 0.42, 0.27]])


def by_name(system: SaltSystem, name: str):
    (found,) = (s for s in system.solids if (s.formulas if isinstance(s, SolutionSolid) else s.name) == name)
    return found


def driving_force(system: SaltSystem, name, T_K: float, y=None) -> float:
    """D of one solid in MELT at T, a solution at composition y, J/mol."""
    solid, melts, T = by_name(system, name), Melts(system, MELT), np.array([T_K])
    if isinstance(solid, SolutionSolid):
        return float(solid.driving_force(y[None, :], melts.salt_forces(T, solid.indices)[0], T)[0][0])
    weights = solid_weights(solid, 3, None)
    D = melts.salt_forces(T, (0, 1, 2))[0][0] @ weights
    return float(D - solid.energy_and_slope(T)[0][0]) if isinstance(solid, DoubleSolid) else float(D)


def test_solids_of_a_system():
    names = {s.formulas if isinstance(s, SolutionSolid) else s.name for s in made_up_system(SALTS, *PAIRS).solids}
    assert names == {"MgCl2", "KMgCl3", "K2MgCl4", ("NaCl", "KCl")}
    # worked value: lithium and potassium chloride stay pure
    assert [s.name for s in salt_system(("LiCl", "KCl")).solids] == ["LiCl", "KCl"]


@pytest.mark.parametrize("name", ["MgCl2", "KMgCl3", "K2MgCl4", ("NaCl", "KCl")])
def test_parameter_gradients_are_derivatives_of_the_driving_force(name):
    check_gradients(SALTS, PAIRS, name, np.array([0.6, 0.4]) if isinstance(name, tuple) else None)


@pytest.mark.parametrize(("name", "y"), [(HOSTED, (0.5, 0.3, 0.2)), (("LiCl", "CaCl2"), (0.2, 0.8)), ("MgCl2", None)])
def test_the_gradients_of_a_crystal_that_holds_strangers(name, y):
    """Rock salt LiCl with MgCl2 and CaCl2, CaCl2 with LiCl, and MgCl2 that takes up nothing."""
    check_gradients(HOSTED, HOSTS, name, None if y is None else np.array(y))


def check_gradients(salts, models, name, y):
    T_K, system = 850.0, made_up_system(salts, *models)
    gradients = system.parameter_gradient(by_name(system, name), MELT[0], T_K, y)
    for p, pair in enumerate(system.pairs):
        for n in range(len(pair.parameters)):
            found = []
            for sign in (1, -1):
                values = pair.values.copy()
                values[n] += sign * 10.0  # D is linear in the parameters: any step will do
                others = [changed(pair, values=values) if q == p else other for q, other in enumerate(system.pairs)]
                found.append(driving_force(made_up_system(salts, *others), name, T_K, y))
            slope = (found[0] - found[1]) / 20.0
            assert gradients[p][n] == pytest.approx(slope, rel=1e-6, abs=1e-9), pair.parameters[n]


def test_the_order_of_the_salts_changes_nothing():
    T_K = 900.0
    one = made_up_system(SALTS, *PAIRS, preference=0.1).excess_potentials(MELT, T_K)[0]
    for order in ([1, 0, 2], [2, 1, 0], [1, 2, 0]):
        names = tuple(SALTS[i] for i in order)
        other = made_up_system(names, *PAIRS, preference=0.1).excess_potentials(MELT[:, order], T_K)[0]
        assert other == pytest.approx(one[order], rel=1e-9)


def test_a_pair_stored_the_other_way_round_is_the_same_pair():
    """Odd terms change sign when the salts are swapped; double salts and solid solutions follow."""
    pair = PAIRS[0]
    signs = np.array([-1.0 if one.order == 1 else 1.0 for one in pair.parameters])
    swapped = pair_model("KCl", "NaCl", ((-2000.0, 0.5), (-300.0, 0.2)), solid=((21000.0, -6.0), (1500.0, -0.4)))
    assert swapped.values == pytest.approx(signs * pair.values)
    x, T = random_fractions(8, 2), np.full(8, 900.0)
    one, other = made_up_system(("NaCl", "KCl"), pair), made_up_system(("NaCl", "KCl"), swapped)
    assert other.excess_potentials(x, 900.0) == pytest.approx(one.excess_potentials(x, 900.0), rel=1e-9)
    d = Melts(one, x).salt_forces(T, (0, 1))[0]
    forces = [s.driving_force(s.refine(s.grid_start(d, T), d, T, 200), d, T)[0] for s in (*one.solids, *other.solids)]
    assert forces[1] == pytest.approx(forces[0], rel=1e-9)


def test_variance_adds_independent_causes():
    """Two parameters and two salts, all independent: the sum of squares."""
    model = pair_model("LiCl", "KCl", ((-17000.0, 4.0),), spread=0.1)
    system = made_up_system(("LiCl", "KCl"), model)
    gradient, fusion = np.array([0.25, 200.0]), np.array([30.0, 40.0])
    expected = (0.25 * 1700) ** 2 + (200 * 0.4) ** 2 + 30**2 + 40**2
    assert system.variance([gradient], fusion) == pytest.approx(expected, rel=1e-12)


def test_parameters_that_answer_a_fusion_error_can_cancel_it():
    """A pair fitted to a liquidus takes up an error of the pure salt: no error is left where D = 0 was measured."""
    model = pair_model("LiCl", "KCl", ((-17000.0, 4.0),))
    model.fusion_response[0, 0] = -100.0
    system = made_up_system(("LiCl", "KCl"), model)
    assert system.variance([np.array([0.3, 0.0])], np.array([30.0, 0.0])) == pytest.approx(0.0, abs=1e-9)
    assert system.variance([np.array([0.0, 0.0])], np.array([30.0, 0.0])) == pytest.approx(900.0, rel=1e-12)


def test_fusion_errors_are_those_of_the_salts_in_the_solid():
    system = made_up_system(SALTS, *PAIRS)
    errors = system.fusion_errors(by_name(system, "K2MgCl4"), 800.0, None)
    expected = [0.0, 2 / 3 * fusion_sigma("KCl", 800.0), 1 / 3 * fusion_sigma("MgCl2", 800.0)]
    assert errors == pytest.approx(expected, rel=1e-12)


def test_a_single_salt_is_a_system():
    system = salt_system(("NaF",))
    assert (system.pairs, system.status) == ([], "fitted")
    assert system.excess_potentials(np.array([[1.0]]), 1300.0) == pytest.approx(np.zeros((1, 1)))


def test_one_estimated_pair_makes_the_system_estimated():
    estimated = next(model for model in pair_models().values() if model.status == "estimated")
    assert salt_system(estimated.salts).status == "estimated"
    assert salt_system(("LiCl", "KCl")).status == "fitted"


def test_sources_resolve_and_name_every_salt():
    system = salt_system(("LiF", "NaF", "KF"))
    assert set(system.sources) <= set(sources())
    for formula in system.salts:
        assert set(salt(formula).sources) <= set(system.sources)


def test_an_unknown_salt_is_refused():
    with pytest.raises(InputError, match="KC1"):
        SaltSystem(("LiCl", "KC1"))


def test_every_fitted_double_salt_is_a_solid_of_its_system():
    for double in double_salts().values():
        if double.fitted and set(double.pair) <= set(salts()):
            names = [s.name for s in salt_system(double.pair).solids if isinstance(s, DoubleSolid)]
            assert double.formula in names


def test_the_third_salt_term_needs_three_salts_and_a_preference():
    assert salt_system(("NaCl", "MgCl2")).triples == []
    even = made_up_system(SALTS, preference=0.1)  # all pairs ideal: nobody is preferred
    assert even.excess_potentials(MELT, 900.0) == pytest.approx(np.zeros((1, 3)), abs=1e-9)
    uneven = made_up_system(SALTS, *PAIRS, preference=0.1)
    plain = made_up_system(SALTS, *PAIRS)
    mean = ((uneven.excess_potentials(MELT, 900.0) - plain.excess_potentials(MELT, 900.0)) * MELT).sum()
    assert mean < 0  # a cation that may choose its neighbours only lowers the energy


def test_more_than_six_salts_are_refused():
    seven = tuple(formula for formula, component in salts().items() if component.anion == "Cl")[:7]
    assert salt_system(seven[:6]).salts == seven[:6]
    with pytest.raises(InputError, match="7 salts in one melt: allowed are up to 6"):
        salt_system(seven)
