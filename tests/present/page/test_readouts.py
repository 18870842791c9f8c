"""What the page says for a state: cards, refusals in place of parts, warnings, figures for the download."""

from dataclasses import replace

import numpy as np
import pytest

from thermo.present.page.cards import cards
from thermo.present.page.readouts import other_basis_line, read_out
from thermo.present.page.state import OPENING
from thermo.records.units import kelvin


@pytest.fixture(scope="module")
def opening():
    return read_out(OPENING)


def card(out, start):
    return next(card for card in cards(out) if card.title.startswith(start))


def test_the_opening_scenario_answers_everything(opening):
    assert opening.messages == {}
    assert [card.title for card in cards(opening)] == [
        "Starts to freeze at",
        "Magnesium at 720 °C",
        "Does magnesium float?",
        "Run the cell between",
    ]
    assert all(card.answer != "not known" for card in cards(opening))
    assert "±" in card(opening, "Starts").answer


def test_a_part_that_cannot_answer_two_anions_says_so_and_the_others_stay():
    out = read_out(replace(OPENING, amounts=(("NaCl", 50.0), ("LiF", 50.0))))
    for found in cards(out):
        assert found.answer != "not known" or "two anions" in " ".join(found.details)
    assert card(out, "Magnesium at").answer == "liquid"  # needs no melt


def test_the_metal_card_says_which_metal_comes_first(opening):
    assert any("Deposits first" in line for line in card(opening, "Magnesium at").details)
    late = card(read_out(replace(OPENING, metal="Na")), "Sodium at")
    assert any("Not first to deposit: Mg" in line for line in late.details)
    assert late.alarm


@pytest.mark.parametrize(
    ("amounts", "words"),
    [
        ((("NaCl", -3.0),), "zero or more"),
        ((("NaCl", 0.0), ("KCl", 0.0)), "all amounts are zero"),
        ((), "at least one salt"),
        ((("NaCI", 1.0),), "NaCl"),
    ],
)
def test_mistakes_become_one_line(amounts, words):
    out = read_out(replace(OPENING, amounts=amounts))
    assert words in out.messages["composition"]
    assert "\n" not in out.messages["composition"]


def test_a_working_temperature_below_the_freezing_start_is_said():
    out = read_out(replace(OPENING, t_C=300.0))
    frozen = card(out, "Starts")
    assert frozen.alarm
    assert "partly frozen" in " ".join(frozen.details)
    assert "is below the window" in " ".join(card(out, "Run").details)


def test_a_metal_that_boils_has_no_verdict():
    out = read_out(replace(OPENING, metal="Na", t_C=1000.0))
    assert card(out, "Sodium at").answer == "vapour"
    assert card(out, "Does sodium").answer == "leaves as vapour"
    assert "is above the window" in " ".join(card(out, "Run").details)


def test_a_deposit_in_the_wrong_state_is_said():
    wrong = card(read_out(replace(OPENING, deposit="solid")), "Magnesium at")
    assert wrong.alarm
    assert any("Not the solid deposit" in line for line in wrong.details)
    assert not card(read_out(replace(OPENING, deposit="either")), "Magnesium at").alarm


def test_a_metal_near_boiling_is_a_warning():
    out = read_out(replace(OPENING, metal="Na", t_C=850.0))  # sodium boils at 883 deg C
    assert any("below boiling" in line for line in card(out, "Sodium at").details)


def test_a_metal_that_is_in_no_salt_is_said():
    out = read_out(replace(OPENING, metal="Li"))
    assert any("No salt of this melt holds Li" in line for line in card(out, "Lithium at").details)


def test_without_a_metal_two_cards_stay():
    out = read_out(replace(OPENING, metal=""))
    assert [card.title for card in cards(out)] == ["Starts to freeze at", "Run the cell between"]
    assert out.chart is None


def test_percent_without_a_basis_shows_what_the_other_reading_means():
    # 58.5/41.5 is the LiCl-KCl eutectic in mole percent; read as mass percent the melt is LiCl-rich and freezes
    # about a hundred degrees sooner.
    state = replace(OPENING, amounts=(("LiCl", 58.5), ("KCl", 41.5)), metal="Li", t_C=450.0)
    line = other_basis_line(state, read_out(state).liquidus)
    assert "K higher" in line
    assert "grams" in line


def test_the_other_basis_is_not_mentioned_where_it_makes_no_odds():
    state = replace(OPENING, amounts=(("NaCl", 100.0),))
    assert other_basis_line(state, read_out(state).liquidus) == ""


def test_the_chart_covers_the_freezing_start_and_the_working_temperature(opening):
    chart = opening.chart
    assert chart.T_K[0] < opening.liquidus.T_K < chart.T_K[-1]
    assert chart.T_K[0] < kelvin(OPENING.t_C) < chart.T_K[-1]
    assert np.all(chart.melt_sigma > 0)
    assert np.all(np.diff(chart.metal_T_K) > 0)
    # The chart and the card tell one story.
    at = np.interp(kelvin(OPENING.t_C), chart.T_K, chart.melt)
    assert at == pytest.approx(opening.flotation.melt_density.value_g_cm3, abs=1e-4)
