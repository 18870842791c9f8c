"""What would settle an estimated pair: the point named is the one whose measurement leaves least open."""

from dataclasses import replace

import numpy as np
import pytest

from thermo.answers.evidence.wanted import melts_taken_up, wanted_measurements
from thermo.fitting import agreement, wanted
from thermo.fitting.joint.update import melts
from thermo.records.fitted import pair_fits
from thermo.records.provenance import DATA, Origin


def test_every_pair_by_size_alone_is_listed_once():
    estimated = {frozenset(m.salts) for m in pair_fits().values() if m.status == Origin.ESTIMATED}
    listed = [frozenset(row.salts) for row in wanted_measurements()]
    assert len(listed) == len(set(listed))
    assert set(listed) == estimated


def test_measuring_tells_more_than_nothing_and_never_leaves_less_than_the_reading():
    for row in wanted_measurements():
        assert 0 < row.after_K < row.mean_sigma_K
        assert 0.1 <= row.x_b <= 0.9


def test_one_parameter_is_settled_by_one_point():
    """A covariance of rank one: after a reading of R the sigma s becomes s R / sqrt(s^2 + R^2), elsewhere in step."""
    model = pair_fits()[frozenset(("NaF", "LaF3"))]
    slope = np.zeros(len(model.parameters))
    slope[0] = 2000.0
    one = replace(model, covariance=np.outer(slope, slope))
    x_b, _, _, sigma, before, after = wanted.most_telling(one)
    assert after == pytest.approx(before * wanted.READ_K / np.hypot(sigma, wanted.READ_K), rel=1e-6)
    assert 0.1 <= x_b <= 0.9


def test_the_file_is_what_a_fresh_run_writes():
    fresh = wanted.regenerate()
    stored = {name: (DATA / name).read_text(encoding="utf-8") for name in fresh}
    assert agreement.differing(stored, fresh) == []


def test_the_melts_taken_up_are_those_of_the_tables():
    listed = {(frozenset(row.salts), row.source, round(row.T_K, 1)) for row in melts_taken_up()}
    known = {(frozenset(p.salts), p.source, round(p.T_K, 1)) for p in melts() if not p.unsure}
    assert len(known & listed) > 100
    assert any(not row.used for row in melts_taken_up())
