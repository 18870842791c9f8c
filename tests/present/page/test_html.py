"""The page's own HTML: escaped, in words, bars where the limits are."""

import re
from dataclasses import replace

import pytest

from thermo.present.page.cards import cards
from thermo.present.page.html import cards_html, composition_html, hint_html, lines_html, summary_html, window_html
from thermo.present.page.readouts import read_out
from thermo.present.page.state import OPENING
from thermo.present.words.card import Card
from thermo.records.composition import from_amounts
from thermo.records.units import celsius

EVIL = '<img src=x onerror="alert(1)">'


def test_nothing_typed_reaches_the_page_as_markup():
    for html in (
        cards_html((Card(EVIL, EVIL, (EVIL,), "estimated"),)),
        lines_html([EVIL]),
        hint_html(EVIL),
    ):
        assert "<img" not in html
        assert "&lt;img" in html


def test_a_card_says_how_its_answer_is_known():
    html = cards_html(cards(read_out(OPENING)))
    assert re.search(r'class="how (fitted|estimated)">\1<', html)
    assert "deg C" not in html


def test_mole_and_mass_percent_stand_side_by_side():
    html = composition_html(from_amounts({"LiCl": 58.5, "KCl": 41.5}))
    # 58.5 mol% LiCl is 44.5 mass%: 58.5 * 42.39 / (58.5 * 42.39 + 41.5 * 74.55)
    assert "<td>LiCl</td><td>58.5</td><td>44.5</td>" in html


def test_the_summary_names_all_three_answers():
    html = summary_html(read_out(OPENING))
    for word in ("freezes from", "magnesium", "run"):
        assert word in html
    assert summary_html(read_out(replace(OPENING, amounts=()))) == '<div class="mw-strip"></div>'


def test_window_bars_stand_at_their_limits():
    out = read_out(OPENING)
    html = window_html(out.window, OPENING.t_C)
    assert html.count("sets the window") == 2
    assert html.count('class="now"') == len(out.window.limits) + 1
    low, high = (float(v) for v in re.findall(r">(-?\d+)</span>", html)[:: len(re.findall("</span>", html)) - 1])
    place = float(re.search(r'bar free" style="left:([\d.]+)%', html).group(1))
    assert low + place / 100 * (high - low) == pytest.approx(celsius(out.window.low_K), abs=1)


def test_no_window_is_said_in_words():
    out = read_out(replace(OPENING, deposit="solid", amounts=(("NaCl", 100.0),)))
    html = window_html(out.window, 720.0)
    assert "no window" in html
    assert "bar free" not in html
