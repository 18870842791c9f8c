"""The page's own HTML: escaped, in words, bars where the limits are."""

import re

from thermo.present.page.answers import answers, sentence
from thermo.present.page.cards import cards
from thermo.present.page.html import (
    answers_html,
    cards_html,
    caution_html,
    code_html,
    composition_html,
    hint_html,
    lines_html,
    say_html,
    slip_html,
)
from thermo.present.page.readouts import read_out
from thermo.present.page.state import OPENING
from thermo.present.words.card import Card
from thermo.records.composition import from_amounts

EVIL = '<img src=x onerror="alert(1)">'


def test_nothing_typed_reaches_the_page_as_markup():
    for html in (
        cards_html((Card(EVIL, EVIL, (EVIL,), "estimated"),)),
        lines_html([EVIL]),
        hint_html(EVIL),
        say_html("error", EVIL),
        slip_html(EVIL),
        code_html(EVIL),
        caution_html(EVIL, [EVIL]),
        answers_html((), EVIL),
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


def test_markdown_in_a_word_stays_text():
    assert say_html("warning", "![x](http://foreign.example/x.png) **b**").count("**b**") == 1


def test_the_answers_carry_their_keys_a_sign_and_one_live_sentence():
    out = read_out(OPENING)
    html = answers_html(answers(out), sentence(out))
    assert re.findall(r'data-answer="(\w+)"', html) == ["freezing", "metal", "float", "window"]
    assert html.count('aria-live="polite"') == 1
    assert "deg C" not in html
