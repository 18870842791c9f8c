"""The comparison of published points with computed ones: matching, spreads, totals, tables."""

import csv
import io
from dataclasses import dataclass, replace

import numpy as np
import pytest

from thermo.answers.evidence import (
    SECTIONS,
    Nearby,
    all_disputes,
    compared,
    disputes,
    disputes_near,
    family_name,
    nearby,
    section,
    tallies,
    tally,
)
from thermo.answers.evidence_density import density_evidence
from thermo.answers.evidence_melts import (
    MeltComparison,
    MeltNotCompared,
    coldest,
    compare_melt,
    lowest_evidence,
    melt_evidence,
    one_melt,
)
from thermo.answers.evidence_pairs import (
    MEETINGS,
    NotCompared,
    PairComparison,
    compare,
    matching_invariant,
    one_invariant,
    pair_evidence,
)
from thermo.answers.melt import describe_melt
from thermo.equilibrium.assessment_files import all_pairs
from thermo.equilibrium.freezing_point import liquidus
from thermo.equilibrium.invariants import pair_curve, pair_invariants
from thermo.equilibrium.volume_points import points as all_volume_points
from thermo.laws.density import melt_density
from thermo.present.evidence_view import csv_text, disagreements, markdown, near_melt, summary
from thermo.records.composition import Composition
from thermo.records.measurements import MeltPoint, PublishedInvariant, Reference, invariants, ternary_points
from thermo.records.provenance import sources

CHECKED = Reference("janaf1998", "made up", "measured", "checked", "fit", "")


def published(kind="eutectic", x=0.41, x_sigma=0.01, T_K=627.0, T_sigma=3.0, solids=("LiCl", "KCl"), pair=None, **more):
    """A made-up published row of a pair."""
    reference = replace(CHECKED, **more)
    return PublishedInvariant(reference, pair or ("LiCl", "KCl"), kind, x, x_sigma, T_K, T_sigma, solids)


@dataclass(frozen=True)
class Made:
    """A made-up comparison."""

    difference: float
    sigmas: float
    salts: tuple = ("LiCl", "KCl")
    counted: bool = True


@dataclass(frozen=True)
class MadeWithSources(Made):
    within_sources: bool = True


# ---- totals


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
    rows = [MadeWithSources(1.0, 0.5, within_sources=False), MadeWithSources(12.0, 1.0), MadeWithSources(9.0, 1.0)]
    rows.append(MadeWithSources(15.0, 2.0, within_sources=False))
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


# ---- which computed point belongs to a published one


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
    ],
)
def test_what_cannot_be_compared_says_why(row, reason):
    found = compare(row)
    assert isinstance(found, NotCompared)
    assert reason in found.reason


def test_unsure_and_withdrawn_rows_do_not_count():
    assert compare(published()).counted
    assert not compare(published(caveat="unsure: recalled")).counted
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


# ---- sources side by side


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


def test_known_disputes_are_found():
    """LiCl-BaCl2 freezes last at 512 deg C (Janz & Tomkins 1981) or 526 (a Chinese study of 1986)."""
    found = [{row.salts for row in group} for group in all_disputes()]
    assert {("LiCl", "BaCl2")} in found
    temperatures = [{round(row.point.T_K - 273.15) for row in group} for group in all_disputes()]
    assert any({512, 526} <= values for values in temperatures)


# ---- melts of three and more salts


def melt_point(fractions=(0.465, 0.115, 0.42), kind="eutectic", T_K=730.0, **more):
    return MeltPoint(replace(CHECKED, **more), ("LiF", "NaF", "KF"), fractions, kind, T_K, 3.0, ())


def test_a_melt_is_compared_at_its_composition_with_fractions_brought_to_one():
    found = compare_melt(melt_point((0.93, 0.23, 0.84)))
    assert found.found_K == pytest.approx(liquidus(Composition(("LiF", "NaF", "KF"), (0.465, 0.115, 0.42))).T_K)
    assert found.difference == pytest.approx(found.found_K - 730.0)
    assert found.sigmas == pytest.approx(found.difference / np.hypot(found.model_sigma_K, 3.0))


def test_a_melt_with_a_foreign_salt_says_so():
    point = replace(melt_point(), salts=("LiF", "NaF", "ZnF2"))
    found = compare_melt(point)
    assert isinstance(found, MeltNotCompared)
    assert "ZnF2" in found.reason


def test_the_coldest_melt_leaves_out_what_cannot_be_the_lowest():
    good = melt_point(T_K=730.0)
    others = [
        melt_point(T_K=700.0, caveat="unsure: recalled"),
        melt_point(T_K=700.0, kind="peritectic"),
        melt_point(T_K=700.0, caveat="on the section from LiF-NaF-KF"),
    ]
    assert coldest([*others, good]) is good
    assert coldest(others) is None


def test_one_melt_is_order_blind_and_close():
    first = compare_melt(melt_point())
    turned = replace(first, point=replace(first.point, salts=("KF", "LiF", "NaF"), fractions=(0.42, 0.465, 0.115)))
    assert one_melt(first, turned)
    moved = replace(first, point=replace(first.point, fractions=(0.42, 0.16, 0.42)))
    assert not one_melt(first, moved)


def test_lowest_melt_of_flinak_is_the_coldest_published():
    found = lowest_evidence("LiF", "NaF", "KF")
    assert found.way == "lowest"
    assert pytest.approx(454 + 273.15) == found.point.T_K
    assert sum(found.found_fractions) == pytest.approx(1.0)
    assert lowest_evidence("NaCl", "RbCl", "CsCl") is None


# ---- densities


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


# ---- what bears on one melt, and the tables


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


def test_a_table_has_one_set_of_columns_and_cites_its_sources():
    table = near_melt(("NaCl", "KCl", "MgCl2"))
    assert len({tuple(row) for row in table}) == 1
    cited = [source.cite() for source in sources().values()]
    assert all(any(row["source"].startswith(text) for text in cited) for row in table)
    assert all(row["difference"] or row["compared by"].startswith("not compared: ") for row in table)


def test_found_published_and_difference_agree_in_a_row():
    row = next(r for r in near_melt(("NaCl", "CaCl2")) if r["what"].startswith("eutectic"))

    def number(text):
        return float(text.replace("\u00a0", " ").replace("−", "-").split()[0])

    # each figure is rounded to 0.1, so the difference of two rounded ones is good to 0.1
    assert number(row["difference"]) == pytest.approx(number(row["found"]) - number(row["published"]), abs=0.11)


def test_disagreements_are_numbered_point_by_point():
    table = disagreements(("LiCl", "BaCl2"))
    assert [row["point"] for row in table] == sorted(row["point"] for row in table)
    assert len(table) >= 2


def test_markdown_and_csv_hold_every_row():
    table = [{"a": "1 | 2", "b": "x,y"}, {"a": "3", "b": "\u00a0z"}]
    lines = markdown(table).splitlines()
    assert lines == ["| a | b |", "| --- | --- |", "| 1 / 2 | x,y |", "| 3 | \u00a0z |"]
    assert markdown(table, ["b"]).splitlines()[0] == "| b |"
    assert list(csv.DictReader(io.StringIO(csv_text(table)))) == [{"a": "1 | 2", "b": "x,y"}, {"a": "3", "b": " z"}]
    assert (markdown([]), csv_text([])) == ("", "")


def test_the_summary_has_a_row_for_every_tally():
    table = summary(["densities", "densities_left_out"])
    assert len(table) == len(section("densities").tallies) + len(section("densities_left_out").tallies)
    assert {row["how"] for row in table} == {"fitted", "left out"}


def test_meetings_are_kinds_the_diagram_knows():
    kinds = {p.kind for pair in (("LiCl", "KCl"), ("NaCl", "KCl"), ("NaCl", "MgCl2")) for p in pair_invariants(*pair)}
    assert kinds <= {*MEETINGS, "congruent"}


def test_melts_of_a_set_of_salts_in_any_order():
    assert {row.point for row in melt_evidence("KF", "NaF", "LiF")} == {
        row.point for row in melt_evidence("LiF", "NaF", "KF")
    }


# ---- every pair has an answer


@pytest.mark.parametrize("pair", all_pairs(), ids="-".join)
def test_every_pair_answers_with_its_status(pair):
    """The diagram and a melt of every pair of two chlorides or two fluorides, measured or not."""
    curve = pair_curve(*pair, points=11)
    assert np.isfinite(curve.T_K).all()
    assert (curve.sigma_K >= 0).all()
    melt = describe_melt(Composition(pair, (0.5, 0.5)))
    assert melt.liquidus.status in ("assessed", "estimated")
    assert {point.status for point in curve.invariants} <= {melt.liquidus.status}
    said = any("estimated by the size rule" in note for note in melt.liquidus.notes)
    assert said == (melt.liquidus.status == "estimated")
