"""A little undissolved fluoride: how much, where the melt above it freezes, when it is too much; the window with it."""

import pytest

from thermo.answers.little_solid import LITTLE_MASS_PERCENT, little_solid
from thermo.answers.melt import describe_melt
from thermo.equilibrium.freezing.freezing_path import freezing_path
from thermo.records.composition import from_amounts
from thermo.records.units import celsius, kelvin

FLUXED = from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 35, "CaF2": 5}, basis="mass")


def test_a_magnesium_bath_with_too_much_flux():
    """Solids and the start of the melt's own freezing as on the freezing path."""
    found = little_solid(FLUXED, kelvin(690.0))
    (name, percent), path = found.solids[0], freezing_path(FLUXED, points=12)
    assert name == "MgF2"
    assert 0 < percent < LITTLE_MASS_PERCENT
    assert found.too_much_K is None
    tracks = dict(path.phases)
    host = next(name for name, _ in path.phases if name != "MgF2")
    appears = path.T_K[tracks[host] > 0].max()
    assert found.freezes_K == pytest.approx(appears, abs=2.0)


def test_solid_by_hand():
    """NaCl 91, CaF2 9 mass% at 800 deg C: lever rule from what dissolves there, W = (w - s) / (1 - s)."""
    melt = from_amounts({"NaCl": 91, "CaF2": 9}, basis="mass")
    found, answer = little_solid(melt, kelvin(800.0)), describe_melt(melt, T_K=kelvin(800.0))
    saturated = answer.dissolves[0].mass_percent
    assert found.mass_percent == pytest.approx(100 * (9 - saturated) / (100 - saturated), abs=0.02)
    assert found.freezes_K is None
    assert found.too_much_K < kelvin(800.0)


@pytest.mark.parametrize(
    ("amounts", "t_C"),
    [
        ({"MgCl2": 20, "NaCl": 40, "KCl": 38, "CaF2": 2}, 700),  # liquid
        ({"MgCl2": 20, "NaCl": 40, "KCl": 33, "MgF2": 7}, 700),  # more than a little
        ({"NaCl": 99, "CaF2": 1}, 790),  # it is the chloride that freezes
        ({"NaCl": 50, "CaCl2": 50}, 500),  # one anion
    ],
)
def test_otherwise_there_is_none(amounts, t_C):
    assert little_solid(from_amounts(amounts, basis="mass"), kelvin(t_C)) is None


def test_the_window_is_that_of_the_melt_above_the_solid():
    answer = describe_melt(FLUXED, "Mg", kelvin(690.0), "liquid")
    assert celsius(answer.liquidus.T_K) > 690
    assert answer.window.low_K < kelvin(690.0) < answer.window.high_K
    assert "lies undissolved" in answer.window.explanation
    assert any("MgF2" in note and "undissolved" in note for note in answer.notes)
    low = next(limit for limit in answer.window.limits if limit.kind == "liquidus")
    assert pytest.approx(answer.little_solid.freezes_K + 30) == low.T_K


def test_a_frozen_bath_stays_frozen():
    """Below where the melt itself freezes nothing is excused."""
    answer = describe_melt(FLUXED, "Mg", kelvin(610.0))
    assert answer.little_solid is None
    assert answer.window.low_K > kelvin(700.0)
    assert any("frozen" in note for note in answer.notes)
