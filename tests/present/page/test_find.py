"""The Find page: wishes typed become the wish, a melt found becomes the page's, additions, slips, the atlas."""

import re

import pytest

from tests.present.page.page_session import html, lines, opened, said, sent, typed
from thermo.answers.finder.wish import LEAST_OWN
from thermo.present.page.find_choices import read_choice

FOUR = {"v": "1", "m": "NaCl:60,CaCl2:18,MgCl2:22", "metal": "Mg", "T": "720", "at_hand": "NaCl,KCl,CaCl2,MgCl2"}
PAIR = {"v": "1", "m": "NaCl:70,CaCl2:30", "metal": "Na", "T": "620", "deposit": "liquid"}


def press(app, label):
    next(button for button in app.button if button.label == label).click().run()
    assert not app.exception
    return app


def searched(fields, **boxes):
    app = typed(opened("find", fields), **boxes)
    return press(app, "Search")


def picture(app):
    (found,) = (data for data in sent(app) if "chosen" in data)
    return found


def test_every_wish_reaches_the_search():
    app = opened("find", PAIR)
    app.toggle(key="find_find_more").set_value(True).run()
    numbers = {"find_chance": 90, "find_margin_V": 0.2, "find_share_least": 20, "find_share_most": 60,
               "find_vapour_Pa": 50, "find_window_K": 100, "below_C": 580}  # fmt: skip
    app = typed(app, **{f"find_{name}": value for name, value in numbers.items()})
    for key in ("find_find_no_poison", "find_find_no_wet", "find_find_by_cost"):
        app.toggle(key=key).set_value(True).run()
    app = typed(app, find_find_cost_NaCl=1, find_find_cost_CaCl2=3, find_find_cost_most=2.5)
    press(app, "Search")
    wish = app.session_state.found[0]
    assert (wish.chance, wish.margin_V, wish.share) == (0.9, 0.2, (0.2, 0.6))
    assert (wish.vapour_Pa, wish.window_K, wish.below_K) == (50, 100, pytest.approx(853.15))
    assert (wish.poison, wish.wet, wish.cost, wish.most_cost) == (False, False, {"NaCl": 1, "CaCl2": 3}, 2.5)


def test_nothing_typed_is_no_wish():
    wish = searched(PAIR).session_state.found[0]
    assert (wish.chance, wish.margin_V, wish.share, wish.most_cost) == (None, None, (LEAST_OWN, 1.0), None)
    assert (wish.poison, wish.wet) == (True, True)


def test_a_melt_found_becomes_the_melt_of_the_page_and_is_marked():
    app = searched(FOUR)
    assert picture(app)["chosen"] is None
    melts = app.session_state.found[1].melts
    app = press(app, "Use melt 2")
    assert dict(app.session_state.page.amounts) == {
        f: pytest.approx(x, abs=0.005) for f, x in melts[1].composition.mole_percent.items()
    }
    assert picture(app)["chosen"] == 1


def test_the_axes_of_the_picture_are_the_persons():
    app = searched(FOUR)
    app.selectbox(key="find_find_up").set_value("window").run()
    assert picture(app)["figure"]["y"]["label"] == "width of the window, K"
    assert len(picture(app)["figure"]["points"]) == len(app.session_state.found[1].melts)


def test_an_impossible_wish_is_told_by_what_keeps_out_most():
    app = searched(PAIR, find_below_C=300)
    assert any(text.startswith("No melt passes; most fail by one condition alone") for text in said(app, "info"))
    assert html(app).lower().count("no melt passes") == 1  # said once


def test_a_senseless_wish_is_refused_in_one_line():
    app = opened("find", PAIR)
    app.toggle(key="find_find_more").set_value(True).run()
    app = press(typed(app, find_find_chance=200), "Search")
    assert any("chance 2" in line for line in lines(app))


def test_a_wish_behind_the_switch_counts_only_while_it_is_shown():
    app = opened("find", PAIR)
    app.toggle(key="find_find_more").set_value(True).run()
    app = typed(app, find_find_window_K=100)
    app.toggle(key="find_find_more").set_value(False).run()
    assert press(app, "Search").session_state.found[0].window_K is None


@pytest.mark.parametrize(
    ("state", "count", "choice"),
    [({"chosen": 2}, 5, 2), ({"chosen": 5}, 5, None), ({"chosen": True}, 5, None), ({"chosen": "1"}, 5, None),
     ({"chosen": -1}, 5, None), (None, 5, None), ([1], 5, None)],
)  # fmt: skip
def test_nothing_the_browser_sends_is_trusted(state, count, choice):
    assert read_choice(state, count) == choice


def test_additions_and_slips_of_the_melt_on_the_page():
    fields = {"v": "1", "m": "KCl:75,MgCl2:25", "metal": "Mg", "T": "720", "at_hand": "KCl,MgCl2,CaCl2"}
    app = opened("improve", fields)
    app.selectbox(key="find_want").set_value("floats").run()
    assert re.search(r"turns the verdict</td>", html(app))
    assert "1 g more KCl in 100 g" in html(app)
    before = app.session_state.page
    button = next(b for b in app.button if b.label.startswith("1: with "))
    button.click().run()
    assert app.session_state.page != before
    assert "CaCl2" in dict(app.session_state.page.amounts)


def test_the_atlas_of_the_metal_and_a_bath_of_it_on_the_page():
    app = opened("atlas", PAIR)
    assert "Baths for Na out of all salts" in html(app)
    box = app.selectbox(key="find_find_atlas")
    assert len(box.options) > 5
    press(app, "Put it on the page")
    held = set(dict(app.session_state.page.amounts))
    assert held == {word.split("=")[0] for word in app.session_state["find_find_atlas"].split()}


def test_without_a_metal_every_section_says_what_it_needs():
    app = opened("improve", {**PAIR, "metal": ""})
    assert "Choose a metal, above." in said(app, "info")
