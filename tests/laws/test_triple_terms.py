"""Terms of three salts together: their sum, one melt in plain numbers, second derivatives by hand."""

import numpy as np
import pytest

from tests.made_up import random_fractions
from thermo.laws.mixing import add_triple, triple_potentials
from thermo.laws.triple_terms import TripleTerms


def test_terms_of_three_salts_together_are_their_sum():
    x, at = random_fractions(10, 5), [(0, 1, 3), (1, 2, 4), (0, 2, 3)]
    sizes = [2000.0, -7000.0, 300.0]
    together = TripleTerms(5, list(zip(at, sizes, strict=True))).potentials(x)
    apart = sum(size * triple_potentials(x, *triple) for triple, size in zip(at, sizes, strict=True))
    assert together == pytest.approx(apart, rel=1e-12, abs=1e-9)
    assert not TripleTerms(5, []).potentials(x).any()


def test_one_triple_in_plain_numbers_is_the_array_of_it():
    terms = TripleTerms(5, [((0, 1, 3), 2000.0), ((1, 2, 4), -7000.0)])
    for row in random_fractions(5, 5):
        found, own = [0.0] * 5, [0.0] * 5
        rest = terms.add_to(found, row.tolist())
        assert np.array(found) + rest == pytest.approx(terms.potentials(row[None, :])[0], rel=1e-12, abs=1e-9)
        rest = add_triple(own, row.tolist(), (0, 2, 3), 300.0, (0, 1))
        expected = 300.0 * triple_potentials(row[None, :], 0, 2, 3, alkalis=(0, 1))[0]
        assert np.array(own) + rest == pytest.approx(expected, rel=1e-12, abs=1e-12)


def test_second_derivatives_by_hand():
    """G^E = s x_1 x_2 x_3: s x_3 by 1 and 2, nothing by 1 twice; a fourth salt has none."""
    s, x = -2700.0, np.array([0.2, 0.3, 0.4, 0.1])
    found = TripleTerms(4, [((0, 1, 2), s)]).bends(x)
    expected = s * np.array([[0, 0.4, 0.3, 0], [0.4, 0, 0.2, 0], [0.3, 0.2, 0, 0], [0, 0, 0, 0]])
    assert found == pytest.approx(expected, rel=1e-12)


def test_worked_value():
    third = np.full((1, 3), 1 / 3)
    mu = TripleTerms(3, [((0, 1, 2), -2700.0)]).potentials(third)[0]
    assert third[0] @ mu == pytest.approx(-100.0, rel=1e-12)
