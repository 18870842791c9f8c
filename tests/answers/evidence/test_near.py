"""Published melts beside a typed one: which are near, and in what order."""

import pytest

from thermo.answers.evidence.near import MOST, WITHIN, published_near
from thermo.records.composition import Composition

# NaCl-KCl-MgCl2 30-20-50: 396 deg C (Fluid Fuel Reactors 1958, ch. 22 p. 803), a row of data/ternary.csv
TERNARY = Composition(("NaCl", "KCl", "MgCl2"), (0.30, 0.20, 0.50))


def test_the_very_melt_comes_first():
    first = published_near(TERNARY)[0]
    assert (first.kind, round(first.T_K - 273.15), first.away) == ("eutectic", 396, pytest.approx(0, abs=1e-12))
    assert first.sure
    assert not first.fitted


def test_the_order_of_the_salts_does_not_matter():
    turned = Composition(("MgCl2", "NaCl", "KCl"), (0.50, 0.30, 0.20))
    assert [(row.source, row.T_K) for row in published_near(turned)] == [
        (row.source, row.T_K) for row in published_near(TERNARY)
    ]


def test_what_is_far_is_left_out_and_few_are_shown():
    assert published_near(Composition(TERNARY.salts, (0.80, 0.10, 0.10))) == ()
    many = published_near(Composition(("LiCl", "KCl"), (0.59, 0.41)))
    assert len(many) == MOST
    assert all(row.away <= WITHIN for row in many)
    assert [row.away for row in many] == sorted(row.away for row in many)
    assert all(row.fitted for row in many)


def test_doubtful_rows_come_last_and_say_so():
    # recalled: LiCl-NaCl-KCl 53-9-38 at 346 deg C
    (row,) = published_near(Composition(("LiCl", "NaCl", "KCl"), (0.53, 0.09, 0.38)))
    assert not row.sure


def test_rows_that_were_never_measured_are_not_published():
    """NaF-LaF3 is carried over from NaF-CeF3 and NaF-PuF3: see its rows of origin estimated."""
    assert published_near(Composition(("NaF", "LaF3"), (0.72, 0.28))) == ()


def test_rows_without_a_composition_have_no_place():
    assert published_near(Composition(("LiF", "MgF2", "CaF2"), (0.58, 0.25, 0.17))) == ()
