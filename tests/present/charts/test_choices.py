"""The picture of the melts found: a point inside the axes for every melt with both merits, the unbeaten ones marked."""

import pytest

from thermo.answers.finder import Wish, ahead_V, find_melts
from thermo.present.charts.choices import AXES, available, choices_picture, left_out, merit

WISH = Wish("Na", ("NaCl", "KCl", "CaCl2"), 3, 873.15)


@pytest.fixture(scope="module")
def search():
    return find_melts(WISH)


@pytest.mark.parametrize(("across", "up"), [("start", "margin"), ("window", "ahead"), ("margin", "window")])
def test_every_melt_with_both_merits_has_a_point_in_the_frame(search, across, up):
    figure = choices_picture("Na", search, across, up)
    assert sorted([p["n"] + 1 for p in figure["points"]] + left_out(figure, search)) == [
        n + 1 for n in range(len(search.melts))
    ]
    for point in figure["points"]:
        assert figure["x"]["low"] < point["x"] < figure["x"]["high"]
        assert figure["y"]["low"] < point["y"] < figure["y"]["high"]
        assert (point["n"] in search.pareto) is point["best"]
        assert point["words"].startswith(f"{point['n'] + 1}: ")


def test_the_merits_are_those_of_the_answers(search):
    melt = search.melts[0]
    assert merit("Na", melt, "margin")[0] == melt.flotation.difference_g_cm3
    assert merit("Na", melt, "ahead")[0] == ahead_V("Na", melt)
    low, high = melt.window.span_K
    assert merit("Na", melt, "window")[0] == high - low


def test_cost_is_an_axis_only_where_it_was_typed(search):
    assert "price" not in available(search)
    priced = find_melts(Wish("Na", ("NaCl", "CaCl2"), 2, 873.15, cost={"NaCl": 1.0, "CaCl2": 3.0}))
    assert available(priced) == list(AXES)
    # 1 to 3 a kg: every mix lies between its salts
    assert all(1 <= merit("Na", melt, "price")[0] <= 3 for melt in priced.melts)


def test_a_melt_without_a_merit_is_left_out_and_named(search):
    alone = find_melts(Wish("Na", ("NaCl",), 1, 1173.15))  # no other metal: nothing to come before
    figure = choices_picture("Na", alone, "start", "ahead")
    assert figure["points"] == []
    assert left_out(figure, alone) == [1]


def test_among_melts_that_rank_alike_one_that_nothing_beats_comes_first():
    """Magnesium from four chlorides at 720 deg C, either way: all melts rank alike, 670 deg C being magnesium's."""
    found = find_melts(Wish("Mg", ("NaCl", "KCl", "CaCl2", "MgCl2"), 3, 993.15))
    assert found.pareto[0] == 0
