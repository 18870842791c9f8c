"""No input, however odd, ends in a traceback, a second line, a number that is none or JSON that is no JSON.

Each test draws a bounded number of inputs, the same ones every time; MELTWRIGHT_TRIALS=10000 draws as many in all, new
ones each time (tests/odd_inputs.py).
"""

from urllib.parse import parse_qs

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.odd_imports import (
    RECIPES,
    log_fault,
    log_files,
    notebook_command_fault,
    notebook_fault,
    notebook_files,
    notebook_words,
    recipe_fault,
)
from tests.odd_inputs import COMMAND_NAMES, JUNK, NO_NUMBER, command_lines, faults, links, melts, trial
from thermo.present.page.cards import cards
from thermo.present.page.link import NUMBERS, read_typed, write_typed
from thermo.present.page.readouts import read_out
from thermo.present.page.sources import cautions_of, notes_of, sources_of, table_rows
from thermo.present.page.state import LINK_VERSION, read_link, write_link

EXAMPLES = {"melt": 60, "pair": 30, "lowest": 15, "find": 15, "cooling": 12, "salts": 4}  # quick ones 40
JSON = st.sampled_from([["--json"], []])


@pytest.mark.parametrize("command", COMMAND_NAMES)
def test_every_command_answers_or_refuses_in_one_line(command):
    @trial(EXAMPLES.get(command, 40), 0.08)
    @given(command_lines(command), JSON)
    def asked(words, form):
        assert faults([*words, *form]) == []

    asked()


@trial(40, 0.05)
@given(st.lists(st.one_of(JUNK, st.sampled_from([*COMMAND_NAMES, "--help", "--json", "--version"])), max_size=4))
def test_loose_words(words):
    assert faults(words) == []


@trial(40, 0.1)
@given(melts(), links(["T", "superheat", "v"]))
def test_a_link_opens_a_page_whose_parts_answer_or_say_why(words, fields):
    melt = ",".join(word.replace("=", ":") for word in words)
    state, messages, recipe = read_link({"v": LINK_VERSION, "m": melt} | fields)
    out = read_out(state)
    texts = [*out.messages.values(), *notes_of(out), *sources_of(out), *cautions_of(out)]
    texts += [text for card in cards(out) for text in (card.title, card.answer, *card.details)]
    assert [text for text in texts if "\n" in text or NO_NUMBER.search(text)] == []
    assert [text for text in messages if "\n" in text] == []
    assert all(float(row["value"]) == float(row["value"]) for row in table_rows(out))
    written = write_link(state, {}, recipe)  # ten digits of each number
    again = {name: values[0] for name, values in parse_qs(written[1:], keep_blank_values=True).items()}
    assert write_link(read_link(again)[0], {}, recipe) == written


@trial(60, 0.1)
@given(links(list(NUMBERS)))
def test_what_a_link_says_was_typed_is_read_or_named(fields):
    typed, messages = read_typed(fields)
    assert all("\n" not in message for message in messages)
    again, more = read_typed(write_typed(typed))
    assert more == ()
    for name, value in typed.items():  # numbers are written to ten digits, an assay of 1 (all of it) is not
        assert again.get(name, 1.0) == (pytest.approx(value, rel=1e-9) if isinstance(value, float) else value)


@trial(60, 0.05)
@given(RECIPES)
def test_a_recipe_is_read_or_refused(text):
    assert recipe_fault(text) == []


@trial(60, 0.05)
@given(notebook_files())
def test_a_notebook_file_is_imported_or_refused(text):
    assert notebook_fault(text) == []


@trial(100, 0.05)
@given(log_files())
def test_a_log_is_read_or_refused(case):
    assert log_fault(case) == []


@trial(40, 0.05)
@given(notebook_words())
def test_every_word_of_the_notebook_command(words):
    assert notebook_command_fault(words) == []
