"""What is expected of a pair before its own points: size of interaction, bending, entropy, double salts, dissolving."""

import numpy as np
import pytest

from thermo.fitting.pair_fit import fit_pair, parameters_of
from thermo.fitting.priors.double_salts import entropy_prior
from thermo.fitting.priors.pairs import (
    Expectation,
    bend_of,
    expectation,
    formations,
    prior,
    unmeasured_model,
)
from thermo.fitting.priors.size_rule import family, fit_rule, regular_interaction
from thermo.fitting.priors.solid_solutions import solid_priors
from thermo.laws.mixing import REFERENCE_K
from thermo.records.fitted import own_strengths
from thermo.records.parameters import Parameter
from thermo.records.substances import double_salts, salts


def test_priors_alone_say_nothing_bends_and_entropy_follows_enthalpy():
    names = parameters_of("NaCl", "KCl")
    P, t = prior(names, "NaCl", "KCl", -10000.0)
    assert P.shape == (len(names), len(names))
    expected = dict(zip(names, np.linalg.solve(P, t), strict=True))
    assert [expected[Parameter("liquid", f"a{k}")] for k in range(4)] == pytest.approx([0, 0, 0, 0], abs=1e-9)
    assert expected[Parameter("solid solution", "a0")] == pytest.approx(
        solid_priors("NaCl", "KCl")[Parameter("solid solution", "a0")][0], rel=1e-9
    )
    # a known a_0 of -10 kJ/mol expects b_0 = 10000 / 3000 = 3.3 J/(mol K), G^E = 0.70 H^E at 900 K (van der Kemp 1992)
    row = P[names.index(Parameter("liquid", "b0"))]
    b0 = -row[names.index(Parameter("liquid", "a0"))] * -10000.0 / row[names.index(Parameter("liquid", "b0"))]
    assert 1 - 900 * b0 / 10000 == pytest.approx(0.70, abs=0.01)


def test_a_stronger_pair_may_bend_more():
    names = parameters_of("KCl", "MgCl2")
    weak, strong = (np.linalg.inv(prior(names, "KCl", "MgCl2", L)[0])[2, 2] for L in (-10000.0, -60000.0))
    assert strong == pytest.approx(6 * weak, rel=1e-6)


# compounds of AlF3 have tables: tests/test_compound_priors.py
WITHOUT_TABLE = [
    f for f, d in double_salts().items() if d.fitted and set(d.pair) <= set(salts()) and "AlF3" not in d.pair
]


@pytest.mark.parametrize("formula", WITHOUT_TABLE)
def test_a_double_salts_entropy_is_near_zero_except_where_entropy_holds_it(formula):
    mean, spread = entropy_prior(formula)
    counts = sorted(double_salts()[formula].stoichiometry.values())
    held = counts == [1, 3] and any(metal in formula for metal in ("La", "Ce", "Nd"))
    assert (mean, spread) == ((55.0, 15.0) if held else (0.0, 2.0 * sum(counts)))


def others(a, b):
    return [s for s in own_strengths() if set(s.salts) != {a, b}]


def test_the_expectation_of_a_pair_is_the_rule_of_the_others():
    found = expectation("KCl", "CaCl2", own_strengths())
    rule = fit_rule(family("KCl", "CaCl2"), others("KCl", "CaCl2"))
    assert found.interaction == rule.interaction("KCl", "CaCl2")
    assert found.formation == formations("KCl", "CaCl2", others("KCl", "CaCl2"))
    assert set(found.formation) == {"KCaCl3"}


@pytest.mark.parametrize("pair", [("CaF2", "CaCl2"), ("NaF", "AlF3")])
def test_no_rule_speaks_of_one_cation_or_of_aluminium_fluoride(pair):
    assert expectation(*pair, own_strengths()) == Expectation(None, {})


def test_what_is_expected_enters_the_prior_with_its_spread():
    """Without points a pair is what the others say of it, as uncertain as they say."""
    names = parameters_of("RbCl", "CaCl2")
    expected = Expectation((-40000.0, 3000.0), {"RbCaCl3": (-25000.0, 5000.0)})
    P, t = prior(names, "RbCl", "CaCl2", -40000.0, expected)
    assert len(P) == len(names) + 2
    theta, covariance = np.linalg.lstsq(P, t, rcond=None)[0], np.linalg.inv(P.T @ P)
    for (value, sigma), weights in (
        (expected.interaction, {Parameter("liquid", "a0"): 1.0, Parameter("liquid", "b0"): REFERENCE_K}),
        (expected.formation["RbCaCl3"], {Parameter("RbCaCl3", "dH"): 1.0, Parameter("RbCaCl3", "dS"): -REFERENCE_K}),
    ):
        g = np.array([weights.get(name, 0.0) for name in names])
        # the wide priors of the family (60 and 40 kJ/mol) pull by less than a tenth of the narrow ones' spread
        assert g @ theta == pytest.approx(value, abs=0.12 * sigma)
        assert np.sqrt(g @ covariance @ g) == pytest.approx(sigma, rel=0.02)


def test_a_weakly_known_pair_follows_its_relatives_and_a_well_known_one_does_not():
    """RbCl-CaCl2 has only the melting point of RbCaCl3, KCl-CaCl2 a dozen equations."""
    moved = {}
    for pair in (("RbCl", "CaCl2"), ("KCl", "CaCl2")):
        own, rule = fit_pair(*pair).model, expectation(*pair, own_strengths())
        both = fit_pair(*pair, expected=rule).model
        moved[pair] = abs(regular_interaction(both) - rule.interaction[0]) / abs(
            regular_interaction(own) - rule.interaction[0]
        )
    assert moved["RbCl", "CaCl2"] < 0.2 < 0.3 < moved["KCl", "CaCl2"]


def test_an_unmeasured_pair_has_the_double_salts_that_the_rule_covers():
    assert set(unmeasured_model("CsCl", "ZnCl2", own_strengths()).double_salts()) == {"Cs2ZnCl4"}
    assert unmeasured_model("KF", "AlF3", others("KF", "AlF3")).double_salts() == {}


def test_families_bend_differently():
    assert bend_of("LiCl", "KCl").tau_K < bend_of("KCl", "MgCl2").tau_K
    assert max(bend_of("LiCl", "KCl").shares) < max(bend_of("KCl", "MgCl2").shares)
