"""HTML of the page's sections: escaped, reachable with the keyboard, numbers beside bars."""

import re

from thermo.present.page.html import ranks_html, shares_html, table_html

NASTY = "<script>alert(1)</script>"


def test_everything_is_escaped():
    made = table_html(NASTY, [NASTY], [[NASTY]]) + ranks_html([(NASTY, [NASTY])]) + shares_html({NASTY: 50.0}, NASTY)
    assert "<script" not in made
    assert made.count("&lt;script") >= 7


def test_a_table_with_sentences_carries_its_columns_names_into_the_cells():
    """On a narrow screen each cell stands under the name of its column."""
    made = table_html("Pots", ["material", "why"], [["iron", "it alloys with the metal or is eaten into, slowly"]])
    assert "mw-stack" in made
    assert 'data-head="why">it alloys' in made
    assert "mw-stack" not in table_html("Order", ["metal", "V"], [["Mg", "2.6"]])


def test_a_table_scrolls_inside_itself_and_takes_the_focus():
    made = table_html("Order", ["metal", "V"], [["Mg", "2.6"], ["Na", "3.3"]], strong=[0])
    assert 'tabindex="0"' in made
    assert 'aria-label="Order"' in made
    assert re.findall(r'<tr( class="strong")?><td>(\w+)', made) == [(' class="strong"', "Mg"), ("", "Na")]


def test_shares_fall_and_carry_their_numbers():
    made = shares_html({"NaCl": 20.0, "CaCl2": 70.0, "KCl": 10.0})
    assert re.findall(r"<p>([^<]+)</p>", made) == ["CaCl₂ 70.0 mol%", "NaCl 20.0 mol%", "KCl 10.0 mol%"]


def test_ranks_keep_their_order():
    made = ranks_html([("first", ["because"]), ("second", [])])
    assert made.index("first") < made.index("because") < made.index("second")
