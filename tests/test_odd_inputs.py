"""No input, however odd, ends in a traceback, a second line, a number that is none or JSON that is no JSON.

Each test draws a bounded number of inputs, the same ones every time; MELTWRIGHT_TRIALS=10000 draws as many in all, new
ones each time (tests/odd_inputs.py, odd_links.py, odd_imports.py); `python -m tests.benchmarks.odd_inputs` counts them.
"""

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
from tests.odd_inputs import COMMAND_NAMES, JUNK, command_lines, faults, trial
from tests.odd_links import LINK_FIELDS, PAGE_LINKS, fields_fault, page_fault

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
@given(PAGE_LINKS)
def test_a_link_opens_a_page_whose_parts_answer_or_say_why(case):
    assert page_fault(case) == []


@trial(60, 0.1)
@given(LINK_FIELDS)
def test_what_a_link_says_was_typed_is_read_or_named(fields):
    assert fields_fault(fields) == []


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
