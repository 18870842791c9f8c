"""Sources, tables and the errors of the package."""

import pytest

from thermo.records.provenance import (
    DATA,
    InputError,
    RangeError,
    Source,
    cite,
    listed,
    number,
    read_table,
    sources,
    suggest,
)


def test_the_errors_are_value_errors_and_different():
    assert issubclass(InputError, ValueError)
    assert issubclass(RangeError, ValueError)
    assert not issubclass(InputError, RangeError)
    assert not issubclass(RangeError, InputError)


def test_a_table_is_read_whole():
    lines = (DATA / "salts.csv").read_text(encoding="utf-8").splitlines()
    rows = read_table("salts.csv")
    assert len(rows) == len(lines) - 1
    assert list(rows[0]) == lines[0].split(",")


@pytest.mark.parametrize(("text", "value"), [("1.5", 1.5), ("-3e4", -30000.0), ("", None), ("  ", None)])
def test_an_empty_cell_is_unknown(text, value):
    assert number(text) == value


def test_a_cell_that_is_no_number_is_an_error():
    with pytest.raises(ValueError, match="about 5"):
        number("about 5")


def test_the_bibliography_is_keyed_by_its_first_column():
    assert sources()["chiotti1969"].key == "chiotti1969"
    assert len(sources()) == len(read_table("sources.csv"))
    with pytest.raises(TypeError):
        sources()["new"] = None  # read-only


def test_a_citation_names_authors_year_title_place_and_identifier():
    source = Source("k", "A. Smith", "1969", "Salts", "J. Salt 1, 2", "doi:1", "note")
    assert source.cite() == "A. Smith (1969), Salts, J. Salt 1, 2, doi:1"
    assert Source("k", "A. Smith", "", "Salts", "", "", "note").cite() == "A. Smith, Salts"
    assert source.short == "A. Smith 1969"
    assert Source("k", "A. Smith; B. Jones", "1970", "Salts", "J", "", "").short == "A. Smith et al. 1970"
    assert Source("k", "anonymous (names not noted)", "", "Salts", "J. Salt 3", "", "").short == "J. Salt 3"


def test_citations_come_once_each_in_order():
    keys = ["ornl2548", "chiotti1969", "ornl2548"]
    assert cite(keys) == [sources()["ornl2548"].cite(), sources()["chiotti1969"].cite()]
    assert cite([]) == []


def test_an_unknown_key_is_an_error():
    with pytest.raises(KeyError):
        cite(["nobody1900"])


@pytest.mark.parametrize(
    ("word", "told"),
    [
        ("NaCI", "did you mean NaCl"),
        ("nacl", "did you mean NaCl"),
        ("MGCL2", "did you mean MgCl2"),
        ("xyzzy", "allowed: NaCl, KCl, MgCl2"),
    ],
)
def test_mistyped_words_get_a_suggestion(word, told):
    assert told in suggest(word, ["NaCl", "KCl", "MgCl2"])


def test_a_word_that_is_not_in_its_list_is_refused():
    assert listed({"use": "low"}, "use", ("fit", "low", "no")) == "low"
    with pytest.raises(InputError, match="row NaCl, lwo: use 'lwo'; allowed are fit, low, no"):
        listed({"salt": "NaCl", "use": "lwo"}, "use", ("fit", "low", "no"))
