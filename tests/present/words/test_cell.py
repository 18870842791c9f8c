"""A run of a cell in cards and tables: each says what the answer says, and what to type for what was not asked."""

import pytest

from thermo.answers.cell import CellRun, describe_cell
from thermo.answers.power import Geometry
from thermo.present.words.cell import cell_cards, drift_header, drift_rows, order_rows
from thermo.records.composition import from_amounts

MELT = from_amounts({"NaCl": 40.0, "KCl": 40.0, "MgCl2": 20.0}, "mass")
T_K = 973.15


@pytest.fixture(scope="module")
def bare():
    return describe_cell(MELT, "Mg", T_K, CellRun(5.0, 2.0))


@pytest.fixture(scope="module")
def full():
    asked = {"bath_g": 200.0, "weighed_g": 3.0, "volts": 6.0, "surface_cm2": 80.0, "supply_V": 12.0}
    return describe_cell(MELT, "Mg", T_K, CellRun(5.0, 2.0, geometry=Geometry(20.0, 3.0), **asked))


def card(answer, title):
    return next(card for card in cell_cards(answer) if title in card.title)


def text(found):
    return " ".join((found.answer, *found.details))


def test_grams_and_chlorine_of_ten_ampere_hours(bare):
    # Faraday: 10 A h = 0.37312 mol of electrons; 24.305 / 2 and 70.90 / 2 g a mole (atomic masses, IUPAC).
    assert card(bare, "made").answer == "4.53 g at most"
    assert card(bare, "Chlorine").answer == "13.2 g"
    assert "NaOH" in text(card(bare, "Chlorine"))


def test_magnesium_comes_first_of_its_bath(bare):
    assert card(bare, "first").answer == "magnesium"
    assert not card(bare, "first").alarm


def test_a_metal_that_is_not_first_is_an_alarm():
    answer = describe_cell(MELT, "K", 1000.0, CellRun(5.0, 2.0))
    assert card(answer, "first").alarm
    assert "K is not first" in text(card(answer, "first"))


def test_a_near_tie_is_too_close_to_call():
    # NaCl and CaCl2 take the same voltage within 0.04 V: one fraction near which neither is surely first.
    amounts = ({"NaCl": x, "CaCl2": 100.0 - x} for x in range(4, 60, 4))
    answers = (describe_cell(from_amounts(melt), "Na", 873.15, CellRun(5.0, 2.0)) for melt in amounts)
    close = [answer for answer in answers if answer.order.p_first < 0.8]
    assert close
    assert all("too close to call" in card(answer, "first").answer for answer in close)
    assert all(card(answer, "first").alarm for answer in close)


def test_what_was_not_asked_says_what_to_type(bare):
    assert card(bare, "freeze").answer == "not asked"
    assert "Type" in text(card(bare, "Voltage"))
    assert not [found for found in cell_cards(bare) if found.title == "Heat"]


def test_everything_asked_is_shown(full):
    voltage = text(card(full, "Voltage"))
    for words in ("at the terminals", "kWh per kg", "drive about", "S/cm"):
        assert words in voltage
    # 3.000 of 4.534 g.
    assert "66.2" in text(card(full, "made"))
    assert card(full, "Heat").answer.endswith(" W")


def test_the_table_of_the_order_has_one_row_a_metal(full):
    rows = order_rows(full.order)
    assert [row[0] for row in rows] == [c.metal for c in full.order.couples]
    assert rows[0][3] == "first"


def test_the_drift_table_begins_and_ends_with_the_run(full):
    rows = drift_rows(full)
    assert len(rows) <= 12
    assert float(rows[0][0]) == 0
    assert float(rows[-1][0]) == pytest.approx(full.drift.points[-1].charge_Ah, rel=0.01)  # three digits printed
    assert all(len(row) == len(drift_header(full)) for row in rows)


def test_a_bath_fed_with_oxide_has_no_halogen_on_its_cards():
    melt = from_amounts({"NaF": 66, "AlF3": 28, "CaF2": 6})
    answer = describe_cell(melt, "Al", 1245.0, CellRun(25.0, 6.0, bath_g=500.0, feed="Al2O3", cathode="pool"))
    feed = answer.kind.feed
    gas = card(answer, "Gas of the anode")
    assert gas.answer == f"{feed.litres(feed.main):.3g} L CO₂"
    assert any(line.endswith("L CO") for line in gas.details)
    assert f"{feed.feed_g:.4g} g Al₂O₃" in card(answer, "Aluminium made").details[0]
    assert "fed with Al₂O₃ the bath stays as it is" in card(answer, "starts to freeze").details
    assert not any("Fluorine" in found.title for found in cell_cards(answer))
