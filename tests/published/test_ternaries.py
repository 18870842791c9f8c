"""Published melts of three and more salts beside the computed ones. -s shows each row.

No fit has seen any of them but those marked so. Sources stand with the rows in data/ternary.csv. Rows marked unsure are
printed but not judged.
"""

import numpy as np
import pytest

from thermo.answers.evidence.melts import MeltComparison, all_lowest_evidence, melt_evidence
from thermo.answers.evidence.totals import compared, section
from thermo.records.published import ternary_points
from thermo.records.substances import salts

MISSED = {
    (
        "BaCl2",
        "CaCl2",
        "NaCl",
    ): "off by 94 K because 450 deg C was read from damaged digits: 4.5 mol% BaCl2 cannot lower "
    "the 500 deg C of NaCl-CaCl2 by 50 K",
    ("KF", "NaF", "RbF"): "off by 84 K because NaF-RbF itself is known to 40 K only (675 and 644 deg C published)",
}


def system(names):
    marks = pytest.mark.xfail(reason=MISSED[names], strict=True) if names in MISSED else ()
    return pytest.param(names, marks=marks, id="-".join(names))


def judged(point):
    """Whether a row takes part: not fitted, neither unsure nor called a misquotation in its own caveat."""
    sure = not point.unsure and "misquotation" not in point.caveat
    return point.use == "no" and sure and bool(point.fractions)


KNOWN = [point for point in ternary_points() if judged(point) and set(point.salts) <= set(salts())]
SYSTEMS = list(dict.fromkeys(tuple(sorted(point.salts)) for point in KNOWN))


def test_every_missed_melt_is_still_in_the_data():
    assert set(MISSED) <= set(SYSTEMS)


def show(row):
    point = row.point
    shares = [f"{100 * x:.1f} " for x in point.fractions] or [""] * len(point.salts)
    mix = " ".join(map("".join, zip(shares, point.salts, strict=True)))
    if not isinstance(row, MeltComparison):
        return f"  {point.kind:12s} {mix}: not compared, {row.reason}"
    return (
        f"  {point.kind:12s} {mix}: published {point.T_K - 273.15:.0f} +- {point.T_sigma_K:.0f}, found "
        f"{row.found_K - 273.15:.0f} +- {row.model_sigma_K:.0f} deg C: {row.difference:+.0f} K = {row.sigmas:+.1f} "
        f"sigma, {row.status} {point.source}{'' if row.counted else ' [not counted]'}"
    )


def test_only_a_published_equation_of_cryolite_baths_was_fitted():
    fitted = {(point.source, point.salts) for point in ternary_points() if point.use != "no"}
    assert fitted == {("jmmb2014_cryolite", ("NaF", "AlF3", "CaF2"))}


@pytest.mark.parametrize("names", [system(names) for names in SYSTEMS])
def test_melt_at_its_composition(names):
    """Within four standard deviations, for gross misses only; test_bands.py says whether the bands are true."""
    rows = melt_evidence(*names)
    print(f"\n{'-'.join(names)}", *map(show, rows), sep="\n")
    sure = [row for row in compared(rows) if judged(row.point)]
    assert sure
    assert [(row.point.source, round(row.sigmas, 1)) for row in sure if abs(row.sigmas) > 4] == []


def at_composition():
    return section("melts").tallies[0]


def lowest_melts():
    for row in all_lowest_evidence():
        print("lowest of", *row.point.salts, show(row))
    return section("lowest").tallies[0]


@pytest.mark.xfail(
    reason="off by 28 K in the median instead of 15, because at a eutectic the computed liquidus is the highest of "
    "three surfaces, each 20-40 K uncertain",
    strict=True,
)
def test_median_liquidus_at_the_published_composition_within_15_K():
    print(f"median {at_composition().median:.1f} K of {at_composition().count} melts")
    assert at_composition().median <= 15


def test_median_lowest_melt_within_10_K():
    found = lowest_melts()
    print(f"median {found.median:.1f} K of {found.count} systems")
    assert found.count > 20
    assert found.median <= 10


@pytest.mark.xfail(
    reason="off: 88 % of 34 within 25 K instead of 90 %, because of NaCl-KCl-CaCl2 (-34 K), NaF-KF-RbF (+29), "
    "NaCl-KCl-ZnCl2 (-27) and KF-CsF-AlF3 (-26); all lie inside two of their standard deviations",
    strict=True,
)
def test_nine_in_ten_lowest_melts_within_25_K():
    found = lowest_melts()
    assert found.within_far >= 0.90


def test_errors_of_the_lowest_melts_have_no_bias():
    """The mean difference stays within twice its own standard error (chance of a false alarm: 5 %)."""
    away = np.array([row.difference for row in all_lowest_evidence() if row.counted])
    assert abs(away.mean()) < 2 * away.std(ddof=1) / np.sqrt(len(away))
