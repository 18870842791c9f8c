"""What the cards say of an aluminium bath with alumina, and of crossings that lie below the freezing start."""

from dataclasses import replace

import pytest

from thermo.present.page.answers import answers
from thermo.present.page.cards import cards
from thermo.present.page.readouts import read_out
from thermo.present.page.state import OPENING
from thermo.present.words.written import degrees
from thermo.records.units import celsius, kelvin

SALTS = (("NaF", 51.96), ("AlF3", 42.89), ("CaF2", 5.15))  # 8 mass% excess AlF3, 5 CaF2 with 3 alumina
BATH = replace(OPENING, amounts=SALTS, basis="mass", metal="Al", t_C=980.0)


def card(out, title):
    return next(card for card in cards(out) if card.title.startswith(title))


@pytest.fixture(scope="module")
def bare():
    return read_out(BATH)


@pytest.fixture(scope="module")
def fed():
    return read_out(BATH, alumina_pct=3.0)


def test_a_bath_goes_by_its_ratio_and_its_excess(bare):
    # 8 g excess and 84 g cryolite in 100 g with alumina; the excess of the salts alone is 8 x 100/97
    assert "cryolite ratio 2.42, excess AlF₃ 8.2 mass%" in card(bare, "Starts to freeze").details


def test_without_alumina_this_bath_is_frozen_in_part_with_it_not(bare, fed):
    assert celsius(fed.bath.liquidus.T_K) < 980 < celsius(bare.liquidus.T_K)
    assert card(bare, "Starts to freeze").alarm
    found = card(fed, "Starts to freeze")
    assert not found.alarm
    assert "without its alumina" in found.title
    assert not any("partly frozen" in line for line in found.details)
    assert any("With 3 mass% alumina it starts at" in line for line in found.details)


def test_what_leaves_alumina_out_says_so(bare, fed):
    for title in ("Does aluminium float", "Run the cell"):
        assert any("alumina" in line for line in card(fed, title).details)
        assert not any("alumina" in line for line in card(bare, title).details)


def test_the_first_answer_names_both_freezing_starts(bare, fed):
    assert "with its alumina from" in answers(fed)[0].line
    assert "without its alumina" in answers(fed)[0].title
    assert "alumina" not in answers(bare)[0].line + answers(bare)[0].title


def test_the_freezing_card_names_the_nearest_published_melt_and_warns():
    # 30 NaCl, 20 KCl, 50 MgCl2 at 396 deg C: Fluid Fuel Reactors (1958), p. 803
    carnallite = replace(OPENING, amounts=(("NaCl", 30.0), ("KCl", 20.0), ("MgCl2", 50.0)), basis="mol")
    details = card(read_out(carnallite), "Starts to freeze").details
    assert any(line.startswith(f"Published: {degrees(kelvin(396), 5)} (eutectic, 0.0 mol% away;") for line in details)
    # 46.5-11.5-42: 454 deg C (Bergman & Dergunov 1941) and 462 (Janz & Tomkins 1981), each with its line
    flinak = replace(OPENING, amounts=(("LiF", 46.5), ("NaF", 11.5), ("KF", 42.0)), basis="mol")
    details = card(read_out(flinak), "Starts to freeze").details
    assert [line.split("(")[0].strip() for line in details if line.startswith("Published")] == [
        f"Published: {degrees(kelvin(t_C), 3)}" for t_C in (454, 462)
    ]
    # K3AlF6-LiF-CaF2 18.2-36.4-45.4 at 996.5 deg C: ORNL-3594 Table 5, 130 K above the computed liquidus
    shares = (("LiF", 23.53), ("KF", 35.29), ("CaF2", 29.35), ("AlF3", 11.83))
    details = card(read_out(replace(OPENING, amounts=shares, basis="mol")), "Starts to freeze").details
    assert any(line.startswith("measured melts lead; computed") for line in details)


def test_other_melts_know_no_alumina():
    chlorides = read_out(OPENING, alumina_pct=3.0)
    assert chlorides.bath is None
    assert cards(chlorides) == cards(read_out(OPENING))


def test_densities_that_cross_in_the_frozen_melt_are_not_told(bare):
    frozen = [c for c in bare.flotation.crossings if c.T_K + 2 * c.sigma_K < bare.liquidus.T_K]
    assert frozen  # aluminium crosses near its melting point, 660 deg C
    assert not any("turns at" in line for line in card(bare, "Does aluminium float").details)


@pytest.mark.parametrize(("flux", "undissolved"), [(2.0, False), (5.0, True)])
def test_a_magnesium_bath_with_flux_says_what_dissolves(flux, undissolved):
    """NaCl 40, MgCl2 20 mass% with CaF2 in place of KCl, at 690 deg C; 5 % is a little too much (test_little_solid)."""
    amounts = (("MgCl2", 20.0), ("NaCl", 40.0), ("KCl", 40.0 - flux), ("CaF2", flux))
    out = read_out(replace(OPENING, amounts=amounts, basis="mass", metal="Mg", t_C=690.0))
    lines = card(out, "Starts to freeze").details
    (line,) = (line for line in lines if "dissolves at 690 °C" in line)
    assert "mass% of CaF₂" in line
    assert line.endswith(f"then MgF₂ begins to come out; {flux:.1f} is in it")
    assert any("MgF₂ lies undissolved" in line for line in lines) is undissolved
    assert not any("partly frozen" in line for line in lines)
