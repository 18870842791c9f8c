"""The liquidus of one melt: what it says besides the temperature, and whether its spread is the true one."""

import numpy as np
import pytest

from tests.each import each
from tests.made_up import ExactSalts, changed, made_up_system, pair_model
from thermo.equilibrium.freezing.liquidus import (
    WIDEST_K,
    liquid_unmixing,
    liquidus,
    liquidus_sigma,
)
from thermo.equilibrium.phases.balance import phase_balance
from thermo.equilibrium.system import one_anion as module
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.crowding import LEFT_BY_TERMS, crowding, model_error_J_mol
from thermo.equilibrium.system.driving_force import Melts, driving_slope, liquidus_field
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.laws.solid_solution import SolutionSolid, simplex_grid
from thermo.records.composition import Composition, from_amounts
from thermo.records.fitted import pair_models
from thermo.records.provenance import sources
from thermo.records.substances import salt, salts
from thermo.records.ternary_terms import LEFT_J_mol
from thermo.records.units import R


def first_solid(system: SaltSystem, x: np.ndarray):
    """Melts, first solid, its temperature and composition."""
    melts = Melts(system, x[None, :])
    found = [(solid, *melts.solid_temperature(solid)) for solid in system.solids]
    solid, T, y = max(found, key=lambda entry: entry[1][0])
    return melts, solid, float(T[0]), None if y is None else y[0]


@pytest.mark.parametrize("formula", salts())
def test_a_pure_salt_melts_where_it_melts_as_sure_as_its_melting_point(formula):
    found = liquidus(Composition((formula,), (1.0,)))
    assert pytest.approx(salt(formula).melting_point_K, abs=0.05) == found.T_K
    # sigma_G / S = (H sigma_Tm / Tm) / (H / Tm)
    assert found.sigma_K == pytest.approx(salt(formula).melting_point_sigma_K, rel=0.02)
    assert (found.first_solid, found.status, found.notes) == (formula, "fitted", ())


@pytest.mark.parametrize(
    ("salts_", "x"),
    [(("LiCl", "KCl"), 0.3), (("LiCl", "KCl"), 0.6), (("KCl", "MgCl2"), 0.5), (("NaCl", "KCl"), 0.3)],
    ids=["LiCl first", "KCl first", "KMgCl3 first", "solid solution first"],
)
def test_sigma_is_the_spread_of_the_liquidus_when_the_parameters_are_sampled(salts_, x):
    """Linear propagation against 400 draws from the fitted covariance; their own spread is known to 4 %."""
    model = pair_models()[frozenset(salts_)]
    fractions = np.array([1 - x, x])
    system = ExactSalts(salts_)
    sigma = liquidus_sigma(system, *first_solid(system, fractions))
    draws = np.random.default_rng(6).multivariate_normal(model.values, model.covariance, 400, method="eigh")
    T = [
        liquidus_field(
            salts_, fractions[None, :], SaltSystem(salts_, {frozenset(salts_): changed(model, values=values)})
        ).T_K[0]
        for values in draws
    ]
    assert np.std(T) == pytest.approx(sigma, rel=0.12)
    assert np.mean(T) == pytest.approx(liquidus_field(salts_, fractions[None, :]).T_K[0], abs=4 * sigma / 20 + 0.3)


def test_an_uncertain_pure_salt_makes_an_uncertain_liquidus():
    """Ideal melt of exact interactions: sigma_T = sigma(G fusion) / S with nothing else in it."""
    system = made_up_system(("NaCl", "CaCl2"))
    melts, solid, T_K, y = first_solid(system, np.array([0.9, 0.1]))
    up, down = (melts.salt_forces(np.array([T_K + d]), (0,))[0][0, 0] for d in (0.5, -0.5))
    expected = system.fusion_errors(solid, T_K, y)[0] / (down - up)
    assert liquidus_sigma(system, melts, solid, T_K, y) == pytest.approx(expected, rel=1e-3)


def test_three_salts_carry_the_error_of_the_model(monkeypatch):
    x = np.array([0.3, 0.3, 0.4])
    assert crowding(np.full(3, 1 / 3)) == pytest.approx(1, rel=1e-12)
    assert crowding(np.array([0.5, 0.5])) == crowding(np.array([0.5, 0.5, 0.0])) == 0
    assert model_error_J_mol(np.array([0.2, 0.8])) == 0
    fitted = [frozenset((0, 1, 2))]  # terms of their own take most of the error, not all of it
    assert crowding(np.full(3, 1 / 3), fitted) == pytest.approx(LEFT_BY_TERMS)
    # of the four triples of four salts, 27/64 each, one is fitted
    assert crowding(np.full(4, 1 / 4), fitted) == pytest.approx((3 + LEFT_BY_TERMS) * 27 / 64)
    parts = first_solid(system := salt_system(("NaCl", "KCl", "MgCl2")), x)
    with_error = liquidus_sigma(system, *parts)
    monkeypatch.setattr(module, "LEFT_J_mol", {"Cl": 0.0})
    pairs_only = liquidus_sigma(system, *parts)
    monkeypatch.undo()
    added = np.sqrt(with_error**2 - pairs_only**2) * -driving_slope(parts[0], *parts[1:])
    assert added == pytest.approx(LEFT_J_mol["Cl"] * crowding(x), rel=1e-9)


def test_more_salts_are_no_surer_than_their_pairs():
    """The spread grows from a binary into the triangle: nothing is known better for being mixed."""
    edge = liquidus(from_amounts({"NaCl": 60, "MgCl2": 40})).sigma_K
    inside = liquidus(from_amounts({"NaCl": 45, "MgCl2": 30, "KCl": 25})).sigma_K
    assert inside > edge


def test_a_salt_of_amount_zero_is_not_in_the_melt():
    with_zero = liquidus(from_amounts({"LiCl": 58, "NaCl": 0, "KCl": 42}))
    without = liquidus(from_amounts({"LiCl": 58, "KCl": 42}))
    assert with_zero == without


def test_the_solid_is_named_by_what_is_in_it():
    assert liquidus(from_amounts({"NaCl": 50, "KCl": 50})).first_solid == "(Na,K)Cl"
    assert liquidus(from_amounts({"KCl": 50, "MgCl2": 50})).first_solid == "KMgCl3"
    assert liquidus(from_amounts({"LiCl": 90, "KCl": 10})).first_solid == "LiCl"


def test_an_estimated_pair_is_announced():
    estimated = [model for model in pair_models().values() if model.status == "estimated"]
    for model in estimated[::12]:
        found = liquidus(Composition(model.salts, (0.5, 0.5)))
        assert found.status == "estimated"
        assert any("estimated by the size rule" in note for note in found.notes)
        assert found.sigma_K > 5  # an interaction known to 2.5 kJ/mol at best, times x^2, over 30 J/(mol K)


def test_a_spread_without_bounds_is_cut():
    nothing_known = pair_model("LiCl", "KCl", ((-10000.0, 100.0),), spread=100.0)
    system = made_up_system(("LiCl", "KCl"), nothing_known)
    assert liquidus_sigma(system, *first_solid(system, np.array([0.5, 0.5]))) == WIDEST_K


def test_sources_resolve():
    found = liquidus(from_amounts({"LiF": 46.5, "NaF": 11.5, "KF": 42}))
    assert found.sources
    assert set(found.sources) <= set(sources())


@pytest.mark.parametrize(("share_of_critical", "unmixes"), [(0.9, True), (1.01, False)])
def test_a_liquid_of_strongly_repelling_salts_unmixes_below_its_critical_temperature(share_of_critical, unmixes):
    """A regular melt of interaction L has its critical point at x = 1/2, T = L / 2R."""
    L = 2 * R * 1200.0
    system = made_up_system(("NaCl", "CaCl2"), pair_model("NaCl", "CaCl2", ((L, 0.0),)))
    notes = liquid_unmixing(system, np.array([0.5, 0.5]), 1200.0 * share_of_critical)
    assert bool(notes) is unmixes
    if unmixes:
        assert "two liquids" in notes[0]


def test_outside_the_gap_and_in_ideal_melts_there_is_one_liquid():
    L = 2 * R * 1200.0
    repelling = made_up_system(("NaCl", "CaCl2"), pair_model("NaCl", "CaCl2", ((L, 0.0),)))
    assert liquid_unmixing(repelling, np.array([0.99, 0.01]), 1100.0) == ()
    for formulas in (("NaCl", "CaCl2"), ("NaCl", "KCl", "MgCl2"), ("LiF", "NaF", "KF", "CaF2")):
        even = np.full(len(formulas), 1 / len(formulas))
        assert liquid_unmixing(made_up_system(formulas), even, 700.0) == ()
    assert liquid_unmixing(salt_system(("NaCl",)), np.ones(1), 1073.0) == ()


@each(pair_models().values())
def test_no_fitted_pair_unmixes_on_its_own_liquidus(model):
    for x in (0.2, 0.5, 0.8):
        assert not [note for note in liquidus(Composition(model.salts, (1 - x, x))).notes if "two liquids" in note]


@pytest.mark.parametrize(("amounts", "known"), [({"CsCl": 52, "ZnCl2": 48}, False), ({"NaCl": 48, "CaCl2": 52}, True)])
def test_a_melt_that_no_solid_with_data_ends_has_no_known_liquidus(amounts, known):
    found = liquidus(from_amounts(amounts))
    assert found.known == known
    assert any("is unknown" in note for note in found.notes) != known


def test_a_melt_whose_first_solid_has_an_estimated_energy_is_estimated():
    found = liquidus(from_amounts({"RbCl": 70, "NdCl3": 30}))
    assert found.first_solid in ("Rb3NdCl6", "Rb2NdCl5")
    assert found.status == "estimated"
    assert any("estimated by the rule of size" in note for note in found.notes)
    assert liquidus(from_amounts({"RbCl": 99, "NdCl3": 1})).status == "fitted"  # freezes as RbCl


def test_two_liquids_that_the_salts_weighed_in_cannot_make_up_are_seen():
    """Both liquids of this melt lie off the salts it is named by: looked for among all that its ions can make.

    Two liquids are reported in Li,Cs//F,Cl (Flor, Margheritis & Sinistri 1978, title).
    """
    mix = from_amounts({"CsF": 1, "LiCl": 1})
    found, phases = liquidus(mix), phase_balance(mix.salts)
    assert any("two liquids" in note for note in found.notes)
    assert [phase.solid for phase in phases.at(phases.mix(mix), found.T_K + 30).phases] == [None, None]


@pytest.mark.parametrize("cations", [(0.22, 0.60, 0.18), (0.20, 0.55, 0.25), (0.40, 0.48, 0.12)])
def test_no_composition_of_a_solid_solution_forms_above_the_liquidus(cations):
    """Of Ca, Sr and Ba chlorides, where steps towards the best composition turn: tried one by one in 0.5 % steps."""
    system = salt_system(("CaCl2", "SrCl2", "BaCl2"))
    found = liquidus_field(system.salts, np.array([cations])).T_K[0]
    (solution,) = (solid for solid in system.solids if isinstance(solid, SolutionSolid))
    y = np.clip(simplex_grid(3, 200), 1e-9, None)
    y /= y.sum(axis=1, keepdims=True)
    T = np.full(len(y), found + 0.1)  # 0.1 K: to what a nearly critical solution is settled
    d = Melts(system, np.array([cations])).salt_forces(T[:1], solution.indices)[0]
    assert solution.driving_force(y, np.repeat(d, len(y), axis=0), T)[0].max() < 0


@pytest.mark.parametrize(
    ("amounts", "told"), [({"LiF": 50, "CsCl": 50}, "Flor"), ({"MgF2": 40, "CsCl": 60}, "not reported")]
)
def test_two_liquids_are_told_with_what_print_says(amounts, told):
    """Where the law parts the balance holds two liquids too: with CsCl and MgF2 none are known."""
    mix = from_amounts(amounts)
    found, phases = liquidus(mix), phase_balance(mix.salts)
    (note,) = (note for note in found.notes if "two liquids" in note)
    assert told in note
    assert [phase.solid for phase in phases.at(phases.mix(mix), found.T_K + 5).phases] == [None, None]
