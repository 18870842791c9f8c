"""Published points as marks: everything with a place in the diagram, oriented as asked."""

import pytest

from thermo.present.charts.published_points import MOST_SOURCES, SHAPES, author, published_marks, shapes
from thermo.records.provenance import sources
from thermo.records.published import invariants, liquidus_points


def test_worked_value():
    marks = published_marks("NaCl", "KCl", 658.0)
    assert any((m.x, m.t, m.source) == (35.0, pytest.approx(500.0), "thompson_waldbaum1969") for m in marks)


def test_points_with_a_place_are_all_there():
    placed = [r for r in (*invariants("LiCl", "KCl"), *liquidus_points("LiCl", "KCl")) if None not in (r.x_b, r.T_K)]
    assert len(published_marks("LiCl", "KCl", 353.0)) == len(placed) > 20


@pytest.mark.parametrize(("a", "b"), [("NaF", "KF"), ("NaCl", "KCl"), ("LiCl", "KCl"), ("LiF", "MgF2")])
def test_the_other_order_mirrors_them(a, b):
    one = sorted((m.x, m.t) for m in published_marks(a, b, 700.0))
    other = sorted((100 - m.x, m.t) for m in published_marks(b, a, 700.0))
    assert [x for x, _ in one] == pytest.approx([x for x, _ in other])
    assert [t for _, t in one] == pytest.approx([t for _, t in other])


def test_limits_of_solid_solutions_stand_at_the_lowest_melting_temperature():
    limits = [m.x for m in published_marks("NaF", "KF", 721.0) if m.t == 721.0 and m.x_sigma == 0]
    assert limits == pytest.approx([4.0, 90.0])  # Platonov 1946: 4 mol% KF in NaF, 10 mol% NaF in KF


def test_a_shape_for_each_of_the_most_met_sources():
    found = shapes(published_marks("LiCl", "KCl", 353.0))
    counts = [count for _, count in found.values()]
    assert counts == sorted(counts, reverse=True)
    own = [shape for shape, _ in list(found.values())[:MOST_SOURCES]]
    assert len(set(own)) == len(own)
    assert all(shape == SHAPES[MOST_SOURCES] for shape, _ in list(found.values())[MOST_SOURCES:])
    assert set(found) <= set(sources())


def test_authors_are_short():
    assert author("thompson_waldbaum1969") == "Thompson 1969"
    assert author("janz_tomkins1981").startswith("Janz")
