"""What is typed in the sections travels in the share link and comes back; what cannot be read is named."""

import pytest

from thermo.present.page.link import NUMBERS, read_typed, write_typed
from thermo.present.page.state import OPENING, read_link, write_link

TYPED = {
    "amps": 5.5,
    "bath_g": 1200.0,
    "arrest_1_C": 545.0,
    "arrest_2_C": 498.5,
    "bath_ratio": 2.25,
    "bath_by": "ratio",
    "bottle_CaCl2": "CaCl2.2H2O",
    "assay_NaCl": 0.985,
    "saw": ["black-sponge", "foam"],
    "at_hand": ["NaCl", "CaCl2"],
    "hydrates": ["CaCl2"],
    "corners": ["NaCl", "CaCl2", "LiCl"],
    "sheet_title": "run 12, magnesium & lime = ?",
}


def test_it_comes_back_as_it_was():
    assert read_typed(write_typed(TYPED)) == (TYPED, ())


def test_what_is_empty_or_says_nothing_is_not_written():
    plain = {"amps": None, "bottle_NaCl": "NaCl", "assay_NaCl": 1.0, "saw": [], "drift_chart": True}
    assert write_typed(plain) == {}


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"amps": "five"}, "amps"),
        ({"hours": "inf"}, "hours"),
        ({"hours": "1.7976931348623157e308"}, "up to 1e+300"),  # to ten digits it would be infinite
        ({"bottles": "CaCl2:MgCl2.6H2O"}, "bottles"),
        ({"bottles": "CaCl2"}, "bottles"),
        ({"assays": "XyCl:0.9"}, "assays"),
        ({"bath_by": "weight"}, "excess and ratio"),
        ({"arrests": "warm"}, "arrests: 'warm'"),
        ({"saw": "black-spong"}, "black-sponge"),
        ({"at_hand": "NaCI"}, "NaCl"),
        ({"hydrates": "NaCl"}, "hydrates"),
    ],
)
def test_what_cannot_be_read_is_named_and_left_out(fields, words):
    typed, messages = read_typed(fields)
    assert not any(typed.values())
    assert len(messages) == 1
    assert words in messages[0]


def test_the_link_of_the_page_carries_it_and_keeps_its_own_fields():
    link = write_link(OPENING, TYPED)
    assert link.startswith(write_link(OPENING))
    assert "amps=5.5" in link
    assert not set(NUMBERS) & {"v", "m", "basis", "metal", "T", "deposit", "superheat", "vessel", "atmosphere"}


def test_a_link_without_these_fields_reads_as_before():
    assert read_typed({"v": "1", "m": "NaCl:1"}) == ({}, ())
    assert read_link({"v": "1", "m": "NaCl:1"})[1] == ()
