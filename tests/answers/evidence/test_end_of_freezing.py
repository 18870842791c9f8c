"""No melt ends freezing above the temperature at which it is known to start."""

from itertools import pairwise

import pytest

from tests.each import each
from thermo.answers.evidence.end_of_freezing import end_of_freezing
from thermo.answers.evidence.start_of_freezing import speaking_rows, start_of_freezing
from thermo.answers.melt import describe_melt
from thermo.equilibrium.freezing.solidus import solidus
from thermo.records.composition import Composition
from thermo.records.published import ternary_points
from thermo.records.substances import salts

EUTECTIC = Composition(("LiCl", "KCl", "MgCl2"), (0.55, 0.40, 0.05))  # 323 deg C: Morishita et al. 1995


def test_a_measured_start_bounds_the_computed_end():
    start, computed = start_of_freezing(EUTECTIC), solidus(EUTECTIC)
    assert computed.T_K > start.T_K + 5  # else this melt shows nothing
    end = end_of_freezing(start)
    assert end.T_K == start.T_K
    assert end.sigma_K == start.sigma_K
    assert "outranks" in end.notes[0]
    assert end.solids == computed.solids
    assert describe_melt(EUTECTIC).solidus == end


def test_a_computed_end_below_the_start_stays():
    melt = Composition(("NaCl", "CaCl2"), (0.3, 0.7))
    assert end_of_freezing(start_of_freezing(melt)) == solidus(melt)


SETS = sorted({p.salts for p in ternary_points() if p.fractions and set(p.salts) <= set(salts())})[::6]


@each(SETS, compared=len(SETS))
def test_no_published_melt_ends_freezing_above_its_start(names):
    for row in speaking_rows(names)[:2]:
        start = start_of_freezing(Composition(row.salts, tuple(x / sum(row.fractions) for x in row.fractions)))
        end = end_of_freezing(start)
        assert end.T_K is None or end.T_K <= start.T_K + 1e-3  # the solidus is found to 1e-3 K


def test_the_end_does_not_jump_as_a_measurement_fades():
    ends = []
    for shift in range(31):  # 0 to 3 mol% from the published melt, 0.1 a step
        share = 0.001 * shift
        ends.append(end_of_freezing(start_of_freezing(Composition(EUTECTIC.salts, (0.55 - share, 0.40, 0.05 + share)))))
    steps = [abs(b.T_K - a.T_K) for a, b in pairwise(ends)]
    assert max(steps) < 4  # K: the weight falls by at most 7.5 % a step, of the 49 K between measured and computed
    assert pytest.approx(ends[-1].T_K) == solidus(Composition(EUTECTIC.salts, (0.52, 0.40, 0.08))).T_K
