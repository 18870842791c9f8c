"""What the program would say of published melts of several salts had nobody measured them, against what was asked.

The melts of exactly these salts are left out of the joint update (of AlF3 the melt alone), it is solved again and the
computed values are compared: tests/benchmarks/left_out_melts.py, whose whole table stands in data/DECISIONS.md. The
figures asked come from drawing three uncertain surfaces at a eutectic; they were set before the bands were chosen.
Compounds of three salts have their energies fitted anew each time.
"""

import numpy as np
import pytest

from tests.benchmarks.left_out_melts import MEETINGS, NINETY, PLACES, LeaveOut, compare, left_in, scored
from thermo.records.ternary_terms import ALUMINIUM

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def tool():
    return LeaveOut()


@pytest.fixture(scope="module")
def plain(tool):
    """Melts without AlF3, their sets of salts left out."""
    points = [p for p in scored(tool) if ALUMINIUM not in p.salts]
    return [compare(tool.system(p.salts, left_in("system", p)), p) for p in points]


@pytest.fixture(scope="module")
def near(plain):
    found = np.abs([row.near for row in plain if row.point.kind in MEETINGS])
    assert len(found) >= 45
    return found


def test_the_coldest_melt_near_a_published_eutectic(near):
    print(f"median {np.median(near):.1f}, nine in ten {np.quantile(near, 0.9):.1f} K")
    assert np.median(near) <= 12


@pytest.mark.xfail(
    strict=True,
    reason="27.2 K for 27: LiF-KF-RbF, NaCl-KCl-CaCl2 and three of LiCl-KCl with LaCl3 and NdCl3 are 27.1 to 49 off",
)
def test_nine_in_ten_of_them(near):
    assert np.quantile(near, 0.9) <= 27


def test_saddles_and_liquidus_points(plain):
    found = np.abs([row.here for row in plain if row.point.kind in PLACES])
    assert len(found) >= 8
    assert found.mean() <= 30


def aluminium(tool, mode):
    points = [p for p in scored(tool) if ALUMINIUM in p.salts]
    rows = [compare(tool.system(p.salts, left_in(mode, p)), p) for p in points]
    assert len(rows) >= 50
    return rows


def share_inside(bands):
    away, sigma, published = np.array(bands).T
    return np.mean(np.abs(away) <= NINETY * np.hypot(sigma, published))


def test_aluminium_fluoride_in_sets_with_rows_of_their_own(tool):
    rows = aluminium(tool, "point")
    assert np.median(np.abs([row.here for row in rows])) <= 17
    assert 0.85 <= share_inside([row.here_band for row in rows]) <= 0.95


def test_the_band_of_aluminium_fluoride_that_nobody_measured_is_not_too_narrow(tool):
    """No upper end: seven sets, each astray as a whole, so the band takes the honest side."""
    assert share_inside([row.here_band for row in aluminium(tool, "system")]) >= 0.85


def test_nine_in_ten_of_the_coldest_melts_near_lie_inside_their_band(plain):
    found = [row for row in plain if row.point.kind in MEETINGS]
    assert 0.85 <= share_inside([(row.near, row.near_sigma, row.point.T_sigma_K) for row in found]) <= 0.95


def test_the_stated_spread_is_as_narrow_as_it_may_be(plain):
    assert np.median([row.here_sigma for row in plain]) <= 28


@pytest.mark.parametrize("anion", ["Cl", "F"])
def test_nine_in_ten_lie_inside_their_band(plain, anion):
    """85 to 95 %: three melts more or less than 90 % of 30 to 44."""
    rows = [row.here_band for row in plain if row.point.salts[0].rstrip("0123456789").endswith(anion)]
    inside = share_inside(rows)
    print(f"{anion}: {inside:.0%} of {len(rows)}")
    assert 0.85 <= inside <= 0.95
