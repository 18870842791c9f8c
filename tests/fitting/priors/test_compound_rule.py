"""The line of formation energies of double salts against size."""

import numpy as np
import pytest

from thermo.fitting.priors.compound_rule import covered, fit_formation, formation_rule, formation_strengths
from thermo.fitting.priors.size_rule import family, size_parameter
from thermo.laws.mixing import REFERENCE_K
from thermo.records.fitted import Strength, own_strengths, pair_models
from thermo.records.substances import double_salts

PAIRS = (("NaCl", "MgCl2"), ("KCl", "MgCl2"), ("RbCl", "MgCl2"), ("CsCl", "MgCl2"))


def test_worked_value():
    per_formula, sigma = formation_rule("K3NdCl6", own_strengths())
    assert per_formula == pytest.approx(-40000, abs=1000)  # two digits are printed in the docstring
    assert 0 < sigma < 25000


def test_the_line_gives_back_what_lies_on_it():
    u, v = -2000.0, -250000.0
    made = [Strength(pair, "made up", u + v * size_parameter(*pair), 500.0) for pair in PAIRS]
    rule = fit_formation(family(*PAIRS[0]), made)
    for strength in made:
        value, sigma = rule.interaction(*strength.salts)
        assert abs(value - strength.value_J_mol) < sigma


def test_strength_is_what_the_pair_says_at_900_K_for_a_mole_of_cations():
    model = pair_models()[frozenset(("KCl", "MgCl2"))]
    found = {s.compound: s for s in formation_strengths(model)}
    dH, dS = model.double_salts()["K2MgCl4"]
    assert found["K2MgCl4"].value_J_mol == pytest.approx((dH - REFERENCE_K * dS) / 3)
    assert set(found) == set(model.double_salts())
    assert all(s.sigma_J_mol > 0 for s in found.values())


@pytest.mark.parametrize("pair", [("LiCl", "RbCl"), ("CaCl2", "BaCl2"), ("NaF", "AlF3")])
def test_where_the_rule_is_mute(pair):
    assert not covered(pair)
    own = [double.formula for double in double_salts().values() if set(double.pair) == set(pair)]
    assert own
    assert [formation_rule(formula, own_strengths()) for formula in own] == [None] * len(own)
    assert formation_strengths(pair_models()[frozenset(pair)]) == []


def test_too_few_double_salts_make_no_rule():
    assert formation_rule("KMgCl3", [Strength(PAIRS[0], "made up", -3000.0, 500.0)]) is None


@pytest.mark.parametrize("kind", [("alkali", "divalent", "Cl"), ("alkali", "trivalent", "Cl")])
def test_larger_alkali_ions_bind_more(kind):
    """As for the melts (Kleppa): the Gibbs energy of formation falls from Na to Cs."""
    rule = fit_formation(kind, own_strengths())
    other = "MgCl2" if kind[1] == "divalent" else "NdCl3"
    found = [rule.interaction(alkali, other)[0] for alkali in ("NaCl", "KCl", "RbCl", "CsCl")]
    assert found == sorted(found, reverse=True)
    assert found[-1] < 0


def left_out() -> np.ndarray:
    """Each double salt from those of other pairs, in standard deviations of both."""
    away = []
    for own in own_strengths():
        if own.compound:
            rule = fit_formation(family(*own.salts), [s for s in own_strengths() if s.salts != own.salts])
            value, sigma = rule.interaction(*own.salts)
            away.append((value - own.value_J_mol) / np.hypot(sigma, own.sigma_J_mol))
    return np.array(away)


def test_the_spread_covers_double_salts_left_out():
    """Two of three within one standard deviation or so, and the root of their mean square near one."""
    away = left_out()
    assert len(away) > 30
    assert 0.55 < np.mean(np.abs(away) < 1) < 0.98
    assert np.sqrt(np.mean(away**2)) == pytest.approx(1, abs=0.1)


@pytest.mark.xfail(
    strict=True,
    reason="59 of 66 (60 before calorimetry at 25 mol% NdCl3 bound Cs3NdCl6 more): six pairs lie 2.1 to 2.6 off, the "
    "others nearer than normal; size alone does not tell them apart",
)
def test_nine_in_ten_left_out_are_within_two_standard_deviations():
    assert np.mean(np.abs(left_out()) < 2) > 0.9
