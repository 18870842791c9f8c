"""The size rule of unmeasured pairs: geometry, regression, and whether its spread is honest."""

import numpy as np
import pytest

from tests.made_up import pair_model
from thermo.equilibrium.system.one_anion import regular_interaction
from thermo.fitting.priors.size_rule import (
    Bend,
    FLOOR_J_mol,
    distance_A,
    estimated_model,
    family,
    feature_row,
    features_of,
    fit_rule,
    fit_rules,
    size_parameter,
    strength_of,
)
from thermo.fitting.priors.solid_solutions import solid_priors
from thermo.laws.mixing import REFERENCE_K
from thermo.records.fitted import own_strengths
from thermo.records.parameters import Parameter

ALKALI_CHLORIDES = ("LiCl", "NaCl", "KCl", "RbCl", "CsCl")


def made_rule(models):
    """The rule of alkali chlorides from made-up pair models."""
    return fit_rule(("alkali", "alkali", "Cl"), [strength_of(model) for model in models.values()])


def test_worked_value():
    """Shannon's radii, pm: Li 76, K 138, Cl 181; d = 2.57 and 3.19 angstrom."""
    assert distance_A("LiCl") == pytest.approx(2.57, abs=1e-9)
    assert size_parameter("LiCl", "KCl") == pytest.approx((2.57 - 3.19) / (2.57 * 3.19), rel=1e-9)
    assert size_parameter("LiCl", "KCl") == pytest.approx(-0.0756, abs=5e-5)
    assert size_parameter("KCl", "LiCl") == -size_parameter("LiCl", "KCl")
    assert size_parameter("KCl", "KCl") == 0


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        ("LiCl", "KCl", ("alkali", "alkali", "Cl")),
        ("MgCl2", "KCl", ("alkali", "divalent", "Cl")),
        ("NdF3", "LiF", ("alkali", "trivalent", "F")),
        ("CaF2", "MgF2", ("divalent", "divalent", "F")),
        ("ZnCl2", "NdCl3", ("divalent", "trivalent", "Cl")),
    ],
)
def test_families(a, b, expected):
    assert family(a, b) == family(b, a) == expected


def test_salts_of_one_charge_may_be_swapped():
    for names in (("LiCl", "KCl"), ("MgCl2", "CaCl2")):
        features = features_of(family(*names))
        assert feature_row(features, *names) == pytest.approx(feature_row(features, *names[::-1]))
    assert features_of(("alkali", "alkali", "Cl")) == ("delta2",)  # equal sizes: no interaction


def test_a_rule_finds_what_made_its_pairs():
    """L = -300 kJ/mol * 10 * delta^2 for ten made-up pairs of alkali chlorides: found within its own spread."""
    strength = -2.0e6
    made = {}
    for i, a in enumerate(ALKALI_CHLORIDES):
        for b in ALKALI_CHLORIDES[i + 1 :]:
            made[frozenset((a, b))] = pair_model(a, b, ((strength * size_parameter(a, b) ** 2, 0.0),))
    rule = made_rule(made)
    assert rule.pairs == 10
    assert abs(rule.coefficients[0] - strength) < 2 * np.sqrt(rule.covariance[0, 0])
    for model in made.values():
        L, sigma = rule.interaction(*model.salts)
        assert abs(L - regular_interaction(model)) < sigma
        assert sigma >= FLOOR_J_mol  # exact points do not make an exact rule


def test_scattered_pairs_make_a_wide_rule():
    random = np.random.default_rng(1)
    made = {}
    for i, a in enumerate(ALKALI_CHLORIDES):
        for b in ALKALI_CHLORIDES[i + 1 :]:
            made[frozenset((a, b))] = pair_model(a, b, ((random.normal(0, 15000), 0.0),))
    assert made_rule(made).scatter_J_mol == pytest.approx(15000, rel=0.5)


def test_a_family_without_pairs_says_only_its_prior():
    rule = fit_rule(("trivalent", "trivalent", "Cl"), [])
    L, sigma = rule.interaction("LaCl3", "NdCl3")
    assert pytest.approx(0, abs=1e-6) == L
    assert sigma > 10000


def test_alkali_pairs_attract_more_the_more_they_differ():
    """Hersh & Kleppa 1965: heats of mixing of alkali chlorides are negative and grow with delta^2."""
    rule = fit_rule(("alkali", "alkali", "Cl"), own_strengths())
    found = [rule.interaction("LiCl", other)[0] for other in ("NaCl", "KCl", "RbCl", "CsCl")]
    assert all(value < 0 for value in found)
    assert found == sorted(found, reverse=True)


@pytest.mark.parametrize("anion", ["F", "Cl"])
def test_alkaline_earths_are_bound_more_by_large_alkali_ions(anion):
    """Davis 1972, from memory; also Kleppa's heats of mixing: Cs > K > Na > Li with MgCl2 and CaCl2."""
    rule = fit_rule(("alkali", "divalent", anion), own_strengths())
    tail = anion
    found = [rule.interaction(f"{alkali}{tail}", f"Mg{tail}2")[0] for alkali in ("Li", "Na", "K", "Rb", "Cs")]
    assert found == sorted(found, reverse=True)


def test_the_spread_covers_pairs_left_out():
    """Each fitted pair predicted by a rule made without it: two of three within one standard deviation or so."""
    inside = []
    for own in own_strengths():
        if not own.compound:
            others = [s for s in own_strengths() if s.salts != own.salts]
            L, sigma = fit_rule(family(*own.salts), others).interaction(*own.salts)
            inside.append(abs(L - own.value_J_mol) < np.hypot(sigma, own.sigma_J_mol))
    assert 0.55 < np.mean(inside) < 0.95


def test_an_estimated_model_is_one_regular_term_whose_entropy_follows():
    rule = fit_rule(("divalent", "trivalent", "Cl"), own_strengths())
    model = estimated_model("MgCl2", "LaCl3", rule, {}, Bend((0.3, 0.2), 10000.0, 3000.0), {})
    L, sigma = rule.interaction("MgCl2", "LaCl3")
    assert model.status == "estimated"
    assert model.parameters == (
        Parameter("liquid", "a0"),
        Parameter("liquid", "b0"),
        Parameter("liquid", "a1"),
        Parameter("liquid", "a2"),
    )
    a, b, *bends = model.values
    assert bends == [0, 0]
    strength = max(np.hypot(L, sigma), 10000.0)
    assert np.sqrt(np.diag(model.covariance))[2:] == pytest.approx([0.3 * strength, 0.2 * strength], rel=1e-9)
    assert a + b * REFERENCE_K == pytest.approx(L, rel=1e-9)
    assert a == pytest.approx(-3000.0 * b, rel=1e-9)
    at_reference = np.array([1.0, REFERENCE_K])
    assert at_reference @ model.covariance[:2, :2] @ at_reference == pytest.approx(sigma**2, rel=1e-9)
    assert "estimated by the size rule" in model.note
    assert (model.points, model.rms_K, model.sources) == (0, None, ())


def test_a_known_solid_solution_comes_with_its_prior():
    """RbCl-CsCl dissolve completely as solids: an estimate keeps that, with the volume rule's size and spread."""
    rule = fit_rule(("alkali", "alkali", "Cl"), own_strengths())
    expected = solid_priors("KCl", "RbCl")
    model = estimated_model("KCl", "RbCl", rule, expected, Bend((), 10000.0, 3000.0), {})
    for name, (value, spread) in expected.items():
        n = model.parameters.index(name)
        assert model.values[n] == value
        assert model.covariance[n, n] == pytest.approx(spread**2)


def test_a_double_salt_of_known_energy_comes_with_its_spread():
    rule = fit_rule(("alkali", "divalent", "Cl"), own_strengths())
    model = estimated_model(
        "KCl", "CaCl2", rule, {}, Bend((), 10000.0, 8000.0), {"KCaCl3": ((-20000.0, 6000.0), (2.0, 4.0))}
    )
    assert model.double_salts()["KCaCl3"] == pytest.approx((-20000.0 + REFERENCE_K * 2.0, 2.0))
    g = np.array([1.0, -REFERENCE_K])
    assert g @ model.covariance[2:, 2:] @ g == pytest.approx(6000.0**2)  # at 900 K the energy, not its parts
    assert model.covariance[3, 3] == pytest.approx(16.0)
    assert "KCaCl3" in model.note


def test_every_family_has_a_rule():
    rules = fit_rules(own_strengths())
    assert {family(*s.salts) for s in own_strengths()} <= set(rules)
