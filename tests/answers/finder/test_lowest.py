"""The lowest liquidus that a search finds is the lowest melt: of every fitted pair and every measured set of three."""

import numpy as np
import pytest

from thermo.answers.deposition import deposition_order
from thermo.answers.evidence.start_of_freezing import speaking_rows, start_of_freezing
from thermo.answers.finder import Wish
from thermo.answers.finder.refine import LEAST, refined
from thermo.answers.finder.search import SHORT_LIST
from thermo.answers.finder.sweep import sweep, tasks
from thermo.answers.finder.wish import complete
from thermo.equilibrium.invariants.lowest import lowest
from thermo.laws.elements import HIGHEST_K, LOWEST_K
from thermo.records.baths import MOST_ALF3
from thermo.records.composition import Composition
from thermo.records.fitted import pair_models
from thermo.records.provenance import Origin, RangeError
from thermo.records.published import ternary_points
from thermo.records.substances import metals, salt, salts

CLOSE_K, CLOSE = 1.0, 0.01  # what is asked of an optimum: a kelvin and a mol%


def _searchable(names):
    """Sets whose metals all have voltages and whose ions have both salts in the data."""
    return complete(names) and all(salt(f).cation in metals() for f in names)


def fitted_pairs():
    pairs = [model.salts for model in pair_models().values() if model.status == Origin.FITTED]
    return [names for names in pairs if _searchable(names)]


def measured_threes():
    found = dict.fromkeys(
        tuple(f for f in salts() if f in point.salts)
        for point in ternary_points()
        if len(set(point.salts) & set(salts())) == len(set(point.salts)) == 3
    )
    return [names for names in found if _searchable(names)]


SETS = [*fitted_pairs(), *measured_threes()]
SAMPLE = 24  # of them in the ordinary suite: every so many


def optimum(wish, names):
    """The coldest of the melts of exactly these salts that the search refines, before bands are weighed."""
    rough = [c for task in tasks(wish) if task.names == names for c in sweep(task).best]
    return min((refined(wish, c) for c in sorted(rough, key=lambda c: c.rank)[:SHORT_LIST]), key=lambda c: c.liquidus_K)


def check(names):
    try:
        point = lowest(names)
    except RangeError:
        pytest.skip("nobody knows where it freezes")
    if min(point.fractions) < LEAST:  # less of a salt than a search counts as another melt
        return check(tuple(f for f, x in zip(point.salts, point.fractions, strict=True) if x >= LEAST))
    there = Composition(point.salts, point.fractions)
    if dict(zip(point.salts, point.fractions, strict=True)).get("AlF3", 0.0) > MOST_ALF3:
        pytest.skip("the lowest melt holds more AlF3 than a search takes: no density")
    # the metal that comes first there: a melt in which another comes first ranks below one that freezes hotter
    symbol = deposition_order(there.present, min(max(point.T_K + 30, LOWEST_K), HIGHEST_K)).first.metal
    best = optimum(Wish(symbol, names, len(names), deposit="solid", share=(0.0, 1.0)), names)
    # where melts were measured they lead in both: the lowest of the laws is then no colder than what is found
    assert best.liquidus_K <= start_of_freezing(there.present).T_K + CLOSE_K
    if not speaking_rows(names):
        assert pytest.approx(point.T_K, abs=CLOSE_K) == best.liquidus_K
        assert np.array(best.fractions) == pytest.approx(np.array(point.fractions), abs=CLOSE)
    return None


@pytest.mark.parametrize("names", SETS[::SAMPLE], ids="-".join)
def test_the_lowest_liquidus_found_is_the_lowest_melt(names):
    check(names)


@pytest.mark.slow
@pytest.mark.parametrize("names", [s for n, s in enumerate(SETS) if n % SAMPLE], ids="-".join)
def test_the_lowest_liquidus_found_is_the_lowest_melt_of_every_set(names):
    check(names)


def test_there_are_as_many_sets_as_the_data_hold():
    assert len(fitted_pairs()) > 80
    assert len(measured_threes()) > 20
