"""Slips of a batch: signs a chemist expects, and figures that the answers for the slipped melt itself give."""

import pytest

from thermo.answers.evidence.start_of_freezing import start_of_freezing
from thermo.answers.finder.sensitivity import sensitivity
from thermo.answers.flotation import float_or_sink
from thermo.records.composition import from_amounts
from thermo.records.units import kelvin

BATH = from_amounts({"NaCl": 42, "CaCl2": 58}, "mass")


@pytest.fixture(scope="module")
def slips():
    return {slip.what: slip for slip in sensitivity(BATH, "Na", kelvin(600))}


def test_a_gram_more_is_the_melt_with_a_gram_more(slips):
    more = from_amounts({"NaCl": 42, "CaCl2": 59}, "mass")
    slip = slips["1 g more CaCl2 in 100 g"]
    assert slip.liquidus_K == pytest.approx(start_of_freezing(more).T_K - start_of_freezing(BATH).T_K, abs=1e-6)
    moved = [float_or_sink(melt, "Na", kelvin(600)).difference_g_cm3 for melt in (more, BATH)]
    assert slip.difference_g_cm3 == pytest.approx(moved[0] - moved[1], abs=1e-9)


def test_water_in_the_calcium_chloride_is_less_of_it(slips):
    """NaCl takes up no water that stays: it has no hydrate at room temperature."""
    assert "NaCl with 1 mass% water" not in slips
    less = from_amounts({"NaCl": 42, "CaCl2": 58 * 0.99}, "mass")
    assert slips["CaCl2 with 1 mass% water"].liquidus_K == pytest.approx(
        start_of_freezing(less).T_K - start_of_freezing(BATH).T_K, abs=1e-6
    )


def test_hotter_is_the_same_melt_at_another_temperature(slips):
    assert slips["+10 K"].liquidus_K == pytest.approx(0, abs=1e-9)
    assert slips["+10 K"].difference_g_cm3 == pytest.approx(-slips["-10 K"].difference_g_cm3, rel=0.05)
    assert slips["+10 K"].verdict == "floats"
