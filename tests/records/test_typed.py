"""Numbers as people type them are read, or refused in one line; never zero for an empty box."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo.records.provenance import InputError
from thermo.records.typed import number_text, read_number, shown_word


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12,5", 12.5),
        ("12.5", 12.5),
        (" 720 ", 720),
        ("0,125", 0.125),
        ("1 200", 1200),
        ("1 200,5", 1200.5),
        ("-3", -3),
        ("\u22123,5", -3.5),
        ("1e3", 1000),
        (",5", 0.5),
        ("5.", 5),
    ],
)
def test_a_number_is_read(text, value):
    assert read_number(text) == value


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "empty"),
        ("  ", "empty"),
        ("1,000", "decimal or thousands"),
        ("12,345,678", "decimal or thousands"),
        ("12,5,6", "not a number"),
        ("12 5", "not a number"),
        ("ten", "not a number"),
        ("nan", "not a number"),
        ("inf", "not a number"),
        ("1e400", "not a number"),
        ("9e999", "too large"),
        ("1.7976931348623157e308", "too large"),
        ("9" * 41, "too long"),
        ("5\x00", "not a number"),
    ],
)
def test_what_is_no_number_is_refused(text, words):
    if text == "1e400":
        words = "too large"
    with pytest.raises(InputError, match=words) as refusal:
        read_number(text, "current")
    assert str(refusal.value).startswith("current: ")
    assert str(refusal.value).isprintable()


def test_a_long_word_is_cut_for_its_message():
    assert shown_word("x" * 6000) == f"'{'x' * 24}…'"
    assert shown_word("a\nb") == "'a\ufffdb'"


@given(st.floats(allow_nan=False, allow_infinity=False, min_value=-1e12, max_value=1e12))
def test_what_is_written_is_read_back(value):
    assert read_number(number_text(value)) == pytest.approx(value, rel=1e-9, abs=0)
