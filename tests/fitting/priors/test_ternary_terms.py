"""What a third salt is expected to do to a melt of AlF3, and which melts have no more than that."""

import pytest

from thermo.equilibrium.system.one_anion import regular_interaction
from thermo.fitting.priors.ternary_terms import ALKALIS_A_COMPLEX, SPREAD_T, expected_terms, unmeasured_melts
from thermo.records.fitted import pair_models
from thermo.records.substances import salts
from thermo.records.ternary_terms import ternary_terms

POTASSIUM = frozenset(("KF", "SrF2", "AlF3"))


def test_what_the_complex_takes_is_lost_to_the_third_salt():
    """On the section of the cryolite with a trace of the salt, -3 L undoes what three alkalis an AlF3 would bind."""
    models = pair_models()
    L = regular_interaction(models[frozenset(("KF", "SrF2"))])
    found = expected_terms(POTASSIUM, models)
    assert found[POTASSIUM, "plain"] == (pytest.approx(-ALKALIS_A_COMPLEX * L), SPREAD_T["plain"])
    assert found[POTASSIUM, "balance"] == (0.0, SPREAD_T["balance"])


def test_two_alkali_fluorides_lose_nothing():
    names = frozenset(("NaF", "KF", "AlF3"))
    assert expected_terms(names, pair_models())[names, "plain"][0] == 0.0


def test_every_melt_of_aluminium_with_a_third_salt_has_terms():
    assert POTASSIUM in unmeasured_melts(())
    assert POTASSIUM not in unmeasured_melts({POTASSIUM})
    others = [f for f, s in salts().items() if s.anion == "F" and s.charge > 1 and f != "AlF3"]
    assert len(unmeasured_melts(())) == 5 * len(others)
    assert all((names, kind) in ternary_terms() for names in unmeasured_melts(()) for kind in SPREAD_T)
