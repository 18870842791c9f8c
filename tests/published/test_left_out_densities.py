"""Densities of mixed melts predicted without the pair's own rows, and with them. Run with -s to see every pair.

Sources stand with the rows in data/density. NSRDS-NBS 61 Part IV, from which most come, states 1-2 %.
"""

import numpy as np
import pytest

from thermo.answers.evidence.densities import density_evidence
from thermo.fitting.leave_out import left_out_densities, volume_points

PAIRS = sorted({tuple(sorted(p.salts)) for p in volume_points() if p.use == "fit" and len(p.salts) == 2})


@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_pair_left_out(pair):
    """The mean error of a pair stays within three times its spread at that composition, and inside 5 %.

    Volumes added are wrong by 1 to 2 % as a rule, so three times a spread of 2 to 4 % would let anything pass; with
    AlF3 they fail by design (below).
    """
    rows = left_out_densities(*pair)
    errors = np.array([row.difference for row in rows])
    sigmas = np.array([row.sigmas for row in rows])
    print(f"\n{'-'.join(pair)}: {len(rows)} values, mean |error| {np.mean(np.abs(errors)):.2f} %, largest "
          f"{errors[np.argmax(np.abs(errors))]:+.2f} %, rms {np.sqrt(np.mean(sigmas**2)):.2f} sigma")  # fmt: skip
    assert abs(np.mean(sigmas)) < 3
    if "AlF3" not in pair:
        assert np.mean(np.abs(errors)) < 5


def test_mean_error_of_pairs_left_out():
    """At most 1.5 % over all values without AlF3, whose melts open up: adding volumes is wrong there by design."""
    rows = [row for pair in PAIRS if "AlF3" not in pair for row in left_out_densities(*pair)]
    error = np.mean([abs(row.difference) for row in rows])
    print(f"mean |error| {error:.2f} % of {len(rows)} values")
    assert error <= 1.5


@pytest.mark.parametrize(("percent", "off"), [(30, 5), (40, 18)])
def test_added_volumes_fail_above_20_percent_of_aluminium_fluoride(percent, off):
    """NSRDS-NBS 61 Part IV, system 85: the melt is 5 % lighter than added volumes at 30 mol% AlF3, 18 % at 40; the
    published densities are good to 1-2 %."""
    rows = [r for r in left_out_densities("NaF", "AlF3") if r.point.row and _alf3(r) == pytest.approx(percent, abs=0.5)]
    assert np.mean([row.difference for row in rows]) == pytest.approx(off, abs=2.5)


def _alf3(row):
    return 100 * row.point.fractions[row.point.salts.index("AlF3")]


def test_mean_error_where_the_pairs_were_measured():
    """At most 1.0 % over all values, the two light sets of fluorides (4-5 % off by their own pure salts) included."""
    rows = [row for row in density_evidence() if row.counted and len(row.salts) == 2]
    error = np.mean([abs(row.difference) for row in rows])
    print(f"mean |error| {error:.2f} % of {len(rows)} values")
    assert error <= 1.0


def test_measuring_a_pair_helps():
    """The fit must beat the rule of added volumes on the same rows, or it is not worth having. Without AlF3, where
    beating it is easy; to 0.6 of its error (a demand of this project, no source)."""
    pairs = [pair for pair in PAIRS if "AlF3" not in pair]
    added = [abs(row.difference) for pair in pairs for row in left_out_densities(*pair)]
    rows = [row for row in density_evidence() if row.point.use == "fit" and tuple(sorted(row.salts)) in pairs]
    fitted = [abs(row.difference) for row in rows]
    print(f"{len(rows)} values: fitted {np.mean(fitted):.2f} %, added volumes {np.mean(added):.2f} %")
    assert len(fitted) == len(added)
    assert np.mean(fitted) < 0.6 * np.mean(added)
