"""The comparison of published points with computed ones: totals, densities, what bears on one melt."""

from dataclasses import dataclass

import numpy as np
import pytest

from thermo.answers.evidence.densities import density_evidence
from thermo.answers.evidence.melts import MeltComparison
from thermo.answers.evidence.totals import (
    SECTIONS,
    Nearby,
    all_disputes,
    disputes_near,
    family_name,
    nearby,
    pieces,
    section,
    tallies,
    tally,
)
from thermo.fitting.volume_points import points as all_volume_points
from thermo.laws.density import melt_density
from thermo.records.composition import Composition
from thermo.records.published import ternary_points


@dataclass(frozen=True)
class Made:
    """A made-up comparison."""

    difference: float
    sigmas: float
    salts: tuple = ("LiCl", "KCl")
    counted: bool = True
    within_sources: bool | None = None


def test_tally_counts_shares_and_spreads():
    rows = [Made(1.0, 0.5), Made(-3.0, -1.5), Made(10.0, 2.5), Made(30.0, -1.7)]
    found = tally("made up", rows, close=8.0, far=20.0)
    assert (found.count, found.within_close, found.within_far) == (4, 0.5, 0.75)
    assert (found.one_sigma, found.two_sigmas, found.ninety) == (0.25, 0.75, 0.5)
    assert found.median == 6.5  # of 1, 3, 10 and 30
    assert found.mean == 11.0
    assert found.rms_sigmas == pytest.approx(np.sqrt((0.25 + 2.25 + 6.25 + 2.89) / 4))
    assert found.within_sources is None


def test_the_spread_of_the_sources_only_adds_rows():
    rows = [
        Made(1.0, 0.5, within_sources=False),
        Made(12.0, 1.0, within_sources=True),
        Made(9.0, 1.0, within_sources=True),
        Made(15.0, 2.0, within_sources=False),
    ]
    found = tally("made up", rows, close=8.0, far=20.0)
    assert (found.within_close, found.within_sources) == (0.25, 0.75)


def test_an_empty_tally_is_an_error_not_a_share_of_nothing():
    with pytest.raises(ValueError, match="no rows"):
        tally("made up", [], 8.0, 20.0)
    assert tallies([Made(1.0, 1.0, counted=False)], 8.0, 20.0) == ()


def test_tallies_split_by_family_and_drop_what_does_not_count():
    rows = [Made(1.0, 1.0), Made(2.0, 1.0, ("NaF", "CaF2")), Made(500.0, 99.0, counted=False)]
    found = tallies(rows, 8.0, 20.0)
    assert [(t.family, t.count) for t in found] == [
        ("all", 2),
        ("alkali + alkali chlorides", 1),
        ("alkali + divalent fluorides", 1),
    ]


@pytest.mark.parametrize(
    ("salts", "name"),
    [
        (("CaCl2", "NaCl"), "alkali + divalent chlorides"),
        (("LiF", "NdF3"), "alkali + trivalent fluorides"),
        (("LiF", "NaF", "KF"), "3 fluorides"),
        (("LiF", "NaCl"), "fluorides with chlorides"),
    ],
)
def test_family_names(salts, name):
    assert family_name(salts) == name


def test_densities_are_those_of_the_density_answer():
    rows = density_evidence("LiF", "NaF", "KF")
    assert len(rows) > 20
    for row in rows[:5]:
        found = melt_density(Composition(row.salts, tuple(row.point.fractions)), row.point.T_K)
        assert row.found == pytest.approx(found.value_g_cm3)
        assert row.model_sigma == pytest.approx(found.sigma_g_cm3)
        assert row.difference == pytest.approx(100 * (found.value_g_cm3 - row.published) / row.published)


def test_dissenting_and_withdrawn_densities_are_shown_but_not_counted():
    rows = density_evidence()
    assert len(rows) == len(all_volume_points())
    assert {row.point.use for row in rows if not row.counted} == {"low", "no"}


@pytest.mark.slow
def test_known_disputes_are_found():
    """LiCl-BaCl2 freezes last at 512 deg C (Janz & Tomkins 1981) or 526 (a Chinese study of 1986)."""
    found = [{row.salts for row in group} for group in all_disputes()]
    assert {("LiCl", "BaCl2")} in found
    temperatures = [{round(row.point.T_K - 273.15) for row in group} for group in all_disputes()]
    assert any({512, 526} <= values for values in temperatures)


def test_nearby_gathers_the_pairs_the_melts_and_the_densities():
    found = nearby(("NaCl", "KCl", "MgCl2"))
    pairs = {frozenset(row.point.pair) for row in found.pairs}
    assert pairs == {frozenset(p) for p in (("NaCl", "KCl"), ("NaCl", "MgCl2"), ("KCl", "MgCl2"))}
    assert len(found.melts) == len(ternary_points("NaCl", "KCl", "MgCl2")) > 3
    assert {frozenset(row.salts) for row in found.densities} >= pairs
    assert isinstance(found.lowest, MeltComparison)


def test_nearby_a_single_salt_is_empty():
    assert nearby(("NaCl",)) == Nearby((), (), None, ())


def test_disputes_near_a_melt_are_those_of_its_pairs():
    groups = disputes_near(("LiCl", "BaCl2"))
    assert groups
    assert all(set(row.salts) == {"LiCl", "BaCl2"} for group in groups for row in group)


def test_sections_name_all_evidence():
    assert set(SECTIONS) == {"pairs", "pairs_left_out", "melts", "lowest", "densities", "densities_left_out"}
    part = section("densities")
    assert part.tallies[0].family == "all"
    assert part.tallies[0].count == sum(t.count for t in part.tallies[1:])


@pytest.mark.parametrize("key", ["pairs", "melts", "lowest"])
def test_pieces_are_what_the_long_sorts_are_made_of(key):
    # One piece for each: enough that a bar moves, and every piece is kept, so a section after them is quick.
    counts = {"pairs": 60, "melts": 60, "lowest": 20}  # far fewer than the tables hold
    todo = pieces(key)
    assert len(todo) > counts[key]
    first = todo[0]()
    assert todo[0]() is first
    assert pieces("densities") == ()
