"""Hydrolysis: its balances, its equilibrium, its classes and its refusals."""

import numpy as np
import pytest

from thermo.laws.hydrolysis import (
    DRYING_K,
    MELT_K,
    NOTICEABLE,
    cover_sigma,
    equilibrium_constant,
    halide_cover_bar,
    halide_share,
    hydrolyses,
    hydrolysis_class,
    oxide_route,
    reactions_of,
    worst,
)
from thermo.laws.reactants import reaction_gibbs
from thermo.records.composition import formula_mass
from thermo.records.provenance import InputError, read_table, sources
from thermo.records.units import R, kelvin

REACTIONS = [reaction for reactions in hydrolyses().values() for reaction in reactions]


@pytest.mark.parametrize("reaction", REACTIONS, ids=lambda r: f"{r.salt} to {r.product}")
def test_mass_balances(reaction):
    # 1e-5: atomic masses are additive, formula masses carry float error only
    assert sum(n * formula_mass(f) for f, n in reaction.counts.items()) == pytest.approx(0, abs=1e-5)


@pytest.mark.parametrize("reaction", REACTIONS, ids=lambda r: f"{r.salt} to {r.product}")
def test_constant_is_the_gibbs_energy(reaction):
    T = np.array([473.15, 773.15, 1173.15])
    assert -R * T * np.log(equilibrium_constant(reaction, T)) == pytest.approx(reaction_gibbs(reaction.counts, T))


@pytest.mark.parametrize("reaction", REACTIONS, ids=lambda r: f"{r.salt} to {r.product}")
def test_cover_is_the_balance(reaction):
    T, water, activity = 900.0, 0.02, 0.3
    halide = halide_cover_bar(reaction, T, water, activity)
    quotient = halide**reaction.gas_count / (activity * water**reaction.water)
    assert quotient == pytest.approx(equilibrium_constant(reaction, T), rel=1e-9)


def test_oxide_cover_grows_as_the_root_of_steam():
    reaction = oxide_route("MgCl2")
    assert halide_cover_bar(reaction, 800.0, 0.04) == pytest.approx(2 * halide_cover_bar(reaction, 800.0, 0.01))


def test_dilution_in_a_melt_protects():
    reaction = oxide_route("MgCl2")
    assert halide_cover_bar(reaction, 1000.0, 0.01, 0.15) < halide_cover_bar(reaction, 1000.0, 0.01)


def test_doubt_is_that_of_the_energies():
    reaction = oxide_route("LaCl3")
    sigma_J = cover_sigma(reaction, 700.0) * reaction.gas_count * R * 700.0
    assert sigma_J > 5000  # LaOCl alone is recalled within 6 kJ/mol


def test_classes():
    assert all(hydrolysis_class(f) == "hydrolyses" for f in ("MgCl2", "LaCl3", "CeCl3", "NdCl3", "ZnCl2", "AlCl3"))
    assert all(hydrolysis_class(f) == "no" for f in ("NaCl", "KCl", "BaCl2", "SrCl2", "LiCl", "CaF2", "BaF2"))
    assert hydrolysis_class("CaCl2") == "hot only"
    assert hydrolysis_class("RbCl") == "unknown"
    assert halide_share("RbCl", DRYING_K) is None


def test_worst_reaction_asks_for_most():
    for formula in hydrolyses():
        most = halide_cover_bar(worst(formula, 700.0), 700.0)
        assert all(halide_cover_bar(reaction, 700.0) <= most for reaction in reactions_of(formula))
    assert worst("RbF", 700.0) is None


def test_sources_resolve():
    assert {key for reaction in REACTIONS for key in reaction.sources} <= set(sources())
    assert {row["kind"] for row in read_table("hydrolysis.csv")} == {
        "oxide",
        "hydroxide",
        "oxychloride",
        "hydroxychloride",
    }


def test_refusals():
    with pytest.raises(InputError, match="MgCl2"):
        reactions_of("MgCl")
    reaction = oxide_route("MgCl2")
    with pytest.raises(InputError, match="steam"):
        halide_cover_bar(reaction, 800.0, 0.0)
    with pytest.raises(InputError, match="activity"):
        halide_cover_bar(reaction, 800.0, 0.1, 1.5)


def test_classes_are_asked_at_300_and_700_degrees():
    """Drying in an oven and melting in the pot; CaCl2 holds at one and gives off HCl at the other."""
    assert pytest.approx(kelvin(300)) == DRYING_K
    assert pytest.approx(kelvin(700)) == MELT_K
    assert halide_share("CaCl2", DRYING_K) < NOTICEABLE < halide_share("CaCl2", MELT_K)


def test_noticeable_is_a_thousandth_and_steam_ends_at_100_bar():
    """Both are stated limits: HX of a thousandth of the steam is a judgement, 100 bar the end of the ideal gas."""
    assert pytest.approx(1e-3) == NOTICEABLE
    reaction = oxide_route("MgCl2")
    assert halide_cover_bar(reaction, 800.0, 100.0) > 0
    with pytest.raises(InputError, match="up to 100"):
        halide_cover_bar(reaction, 800.0, 100.5)
