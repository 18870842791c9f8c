"""What leads where a melt starts to freeze: measured melts, computed ones, and no jump between them."""

import numpy as np
import pytest

from thermo.answers.evidence.start_of_freezing import (
    BOTH,
    CLEARLY_K,
    COMPUTED,
    FULL,
    MEASURED,
    REACH,
    leading_field,
    measured_near,
    start_of_freezing,
    weights,
)
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.records.composition import Composition

CHLORIDES = ("LiCl", "KCl", "MgCl2")
EUTECTIC = Composition(CHLORIDES, (0.55, 0.40, 0.05))  # 323 deg C: Morishita et al. 1995, data/ternary.csv
FLINAK = Composition(("LiF", "NaF", "KF"), (0.465, 0.115, 0.42))  # 454 (1941) and 462 deg C (Janz & Tomkins 1981)


def test_a_published_melt_that_freezes_colder_leads():
    found = start_of_freezing(EUTECTIC)
    assert pytest.approx(323) == found.T_K - 273.15
    assert found.rests_on == MEASURED
    assert 3 <= found.sigma_K <= 8  # 3 as published, and 5 K a mol% for a composition read to 1 mol%
    assert found.computed.T_K == liquidus(EUTECTIC).T_K
    assert "morishita1995" in found.sources
    assert found.computed.T_K - found.T_K > CLEARLY_K
    assert "below the computed" in found.notes[0]


def test_two_sources_lead_together_and_their_distance_counts():
    found = start_of_freezing(FLINAK)
    assert pytest.approx(458) == found.T_K - 273.15
    assert found.sigma_K > 4  # half the distance of the two
    assert {row.source for row in found.measured.rows} == {"ornl2548", "janz_tomkins1981"}


def test_the_weight_is_full_to_one_mole_per_cent_and_gone_at_three():
    assert weights(np.array([0.0, FULL, 0.02, REACH, 0.1])) == pytest.approx([1, 1, 0.5, 0, 0])


def test_nothing_jumps_while_a_knob_is_dragged_past_a_measured_melt():
    shifts = np.linspace(-0.06, 0.06, 121)  # 0.1 mol% a step
    x = np.array(EUTECTIC.fractions) + np.outer(shifts, [1.0, -1.0, 0.0])
    found = [start_of_freezing(Composition(CHLORIDES, tuple(row))) for row in x]
    T_K = np.array([f.T_K for f in found])
    assert np.abs(np.diff(T_K)).max() < 6  # 56 K taken up over 2 mol%, 1.5 times as steep in the middle
    assert np.abs(np.diff([f.sigma_K for f in found])).max() < 6  # steepest where the weight leaves 1
    assert [f.rests_on for f in (found[0], found[-1])] == [COMPUTED, COMPUTED]
    assert found[0].T_K == found[0].computed.T_K
    assert BOTH in {f.rests_on for f in found}
    assert pytest.approx(T_K, abs=0.01) == leading_field(CHLORIDES, x).T_K


def test_a_trace_of_another_salt_does_not_hide_a_measured_melt():
    traced = Composition((*FLINAK.salts, "CeF3"), (0.4627, 0.1144, 0.4179, 0.005))
    assert measured_near(traced).weight == 1.0


def test_pairs_without_a_common_ion_lead_as_no_fit_has_seen_them():
    # 786 +- 3 deg C at 4.5 +- 0.5 mol% MgF2: Sharma & Johnson 1969; a branch of 25 K a mol% beside it
    found = start_of_freezing(Composition(("NaCl", "MgF2"), (0.955, 0.045)))
    assert found.rests_on == MEASURED
    assert pytest.approx(786) == found.T_K - 273.15
    assert 12 <= found.sigma_K <= 30  # 0.5 to 1 mol% of such a branch
    # 719 deg C: Gabcova et al. 1976, within 2 K of a flat eutectic
    flat = start_of_freezing(Composition(("LiF", "KCl"), (0.2, 0.8)))
    assert flat.rests_on == MEASURED
    assert flat.sigma_K < 10


def test_pairs_and_doubtful_rows_do_not_lead():
    assert start_of_freezing(Composition(("LiCl", "KCl"), (0.59, 0.41))).rests_on == COMPUTED
    # recalled: LiCl-NaCl-KCl 53-9-38 at 346 deg C
    assert measured_near(Composition(("LiCl", "NaCl", "KCl"), (0.53, 0.09, 0.38))) is None


def test_the_second_reading_is_colder_and_the_low_side_of_the_band_reaches_it():
    found = start_of_freezing(Composition(("NaCl", "KCl", "MgCl2"), (0.36, 0.36, 0.28)))
    near = found.coldest_near
    assert near.T_K < found.computed.T_K
    assert np.abs(np.array(near.composition.fractions) - found.composition.fractions).max() <= 0.03 + 1e-9
    assert found.T_K - 1.645 * found.sigma_low_K <= near.T_K - 1.645 * near.sigma_K + 1e-6
    assert found.sigma_high_K == found.sigma_K


def test_one_salt_has_no_second_reading():
    assert start_of_freezing(Composition(("NaCl",), (1.0,))).coldest_near is None


def test_a_wide_band_says_why_and_what_would_narrow_it():
    """NaCl-CaCl2-MgCl2: two eutectic temperatures are published, no composition (data/ternary.csv)."""
    found = start_of_freezing(Composition(("NaCl", "CaCl2", "MgCl2"), (0.60, 0.18, 0.22)))
    assert found.sigma_K > 30
    assert any("one cooling curve of this melt" in note and "would narrow it" in note for note in found.notes)
    assert not any("would narrow it" in note for note in start_of_freezing(EUTECTIC).notes)
