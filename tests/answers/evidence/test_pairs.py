"""Published invariants of pairs beside computed ones: which belong together, and where sources disagree."""

from dataclasses import replace

import numpy as np
import pytest

from tests.made_up import invariant_row
from thermo.answers.evidence.pairs import (
    MEETINGS,
    NotCompared,
    PairComparison,
    compare,
    matching_invariant,
    one_invariant,
    pair_evidence,
)
from thermo.answers.evidence.totals import compared, disputes
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.records.composition import Composition
from thermo.records.published import invariants


def published(kind="eutectic", x=0.41, x_sigma=0.01, T_K=627.0, T_sigma=3.0, solids=("LiCl", "KCl"), pair=None, **more):
    """A made-up published row of a pair."""
    row = invariant_row(pair or ("LiCl", "KCl"), kind, x, T_K, solids, x_sigma, T_sigma)
    return replace(row, reference=replace(row.reference, **more))


def test_a_eutectic_is_matched_by_its_solids():
    found = compare(published())
    (eutectic,) = (p for p in pair_invariants("LiCl", "KCl") if p.kind == "eutectic")
    assert found.way == "invariant"
    assert found.found_K == eutectic.T_K
    assert found.found_x == eutectic.fractions[1]
    assert found.difference == pytest.approx(eutectic.T_K - 627.0)
    assert found.sigmas == pytest.approx(found.difference / np.hypot(eutectic.sigma_K, 3.0))


def test_the_order_of_salts_does_not_matter():
    forward, back = pair_evidence("KCl", "LiCl"), pair_evidence("LiCl", "KCl")
    assert compared(back)
    for one, other in zip(compared(forward), compared(back), strict=True):
        assert one.found_K == pytest.approx(other.found_K, abs=0.01)  # the solver settles to 1e-3 K
        assert one.found_x is None or one.found_x == pytest.approx(1 - other.found_x, abs=1e-4)


def test_of_several_invariants_the_one_with_its_solids_is_taken():
    """KCl-MgCl2 has three eutectics within 40 K: 430 deg C (KCl), 429 (K2MgCl4 + KMgCl3), 469 (MgCl2)."""
    for solids, x in ((("KCl", "K2MgCl4"), 0.3), (("KMgCl3", "MgCl2"), 0.58)):
        found = matching_invariant(published(x=x, T_K=720.0, solids=solids, pair=("KCl", "MgCl2")))
        assert set(found.solids) == set(solids)


def test_without_known_solids_the_liquidus_at_the_composition_is_compared():
    found = compare(published(solids=(), x=0.2, T_K=800.0))
    assert found.way == "liquidus"
    assert found.found_K == pytest.approx(liquidus(Composition(("LiCl", "KCl"), (0.8, 0.2))).T_K)


def test_an_error_of_composition_counts_through_the_slope():
    exact, loose = (compare(published(solids=(), x=0.2, x_sigma=s, T_K=800.0)) for s in (0.0, 0.02))
    ends = [liquidus(Composition(("LiCl", "KCl"), (1 - x, x))).T_K for x in (0.19, 0.21)]
    slope = (ends[1] - ends[0]) / 0.02
    assert exact.published_sigma_K == 3.0
    # the curve is bent, so a chord over 2 mol% gives its slope to a few per cent
    assert loose.published_sigma_K == pytest.approx(np.hypot(3.0, 0.02 * slope), rel=0.05)


def test_a_congruent_point_is_the_melting_of_its_solid():
    found = compare(published("congruent", 0.5, 0.0, 760.0, solids=("KMgCl3",), pair=("KCl", "MgCl2")))
    (top,) = (p for p in pair_invariants("KCl", "MgCl2") if p.kind == "congruent" and p.solids == ("KMgCl3",))
    assert found.way == "own liquidus"
    assert found.found_K == pytest.approx(top.T_K, abs=0.01)


def test_a_temperature_alone_is_matched_through_one_solid_but_not_through_none():
    alone = published(x=None, x_sigma=None, solids=("LiCl",))
    assert compare(alone).way == "invariant"
    assert "LiCl" in matching_invariant(alone).solids
    nothing = compare(published(x=None, x_sigma=None, solids=()))
    assert isinstance(nothing, NotCompared)
    assert "no composition" in nothing.reason


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        (published(pair=("LiCl", "Al2O3")), "Al2O3 not in the list"),
        (published(T_K=None, T_sigma=None), "no temperature"),
        (published("none"), "no temperature of a melt"),
        (published("polymorph"), "no temperature of a melt"),
        (published(origin="estimated"), "not measured"),
    ],
)
def test_what_cannot_be_compared_says_why(row, reason):
    found = compare(row)
    assert isinstance(found, NotCompared)
    assert reason in found.reason


def test_unsure_and_withdrawn_rows_do_not_count():
    assert compare(published()).counted
    assert not compare(published(unsure=True)).counted
    assert not compare(published(use="no")).counted
    assert compare(published(use="low")).counted


def test_every_published_invariant_is_compared_or_says_why():
    for point in invariants():
        found = compare(point)
        if isinstance(found, PairComparison):
            assert np.isfinite([found.found_K, found.sigmas]).all()
            assert found.model_sigma_K > 0
        else:
            assert found.reason


def test_the_spread_of_the_sources_spans_all_their_values():
    rows = [r for r in compared(pair_evidence("LiCl", "KCl")) if r.point.kind == "eutectic"]
    used = [r.point for r in rows if r.point.use != "no"]
    low, high = min(p.T_K - p.T_sigma_K for p in used), max(p.T_K + p.T_sigma_K for p in used)
    assert len(used) > 5
    assert {r.spread_K for r in rows if r.point.use != "no"} == {(low, high)}


def test_one_invariant_by_solids_and_by_place():
    def row(**more):
        return compare(published(pair=("KCl", "MgCl2"), **more))

    first = row(x=0.3, T_K=708.0, solids=("KCl", "K2MgCl4"))
    assert one_invariant(first, row(x=0.32, T_K=699.0, solids=("K2MgCl4", "KCl")))
    assert one_invariant(first, row(x=0.31, T_K=700.0, solids=()))
    assert not one_invariant(first, row(x=0.31, T_K=760.0, solids=()))
    assert not one_invariant(first, row(x=0.36, T_K=708.0, solids=("K2MgCl4", "KMgCl3")))
    assert not one_invariant(first, row(kind="congruent", x=1 / 3, T_K=708.0, solids=("K2MgCl4",)))


def test_a_dispute_needs_more_than_twice_the_joint_sigma():
    def pair_of(gap):
        return [compare(published(T_K=620.0)), compare(published(T_K=620.0 + gap))]

    limit = 2 * np.hypot(3.0, 3.0)
    assert disputes(pair_of(limit - 0.1), one_invariant) == []
    (group,) = disputes(pair_of(limit + 0.1)[::-1], one_invariant)
    assert [row.point.T_K for row in group] == [620.0, 620.0 + limit + 0.1]


def test_meetings_are_kinds_the_diagram_knows():
    kinds = {p.kind for pair in (("LiCl", "KCl"), ("NaCl", "KCl"), ("NaCl", "MgCl2")) for p in pair_invariants(*pair)}
    assert kinds <= {*MEETINGS, "congruent"}
