"""Widgets, knobs and the recipe line all change the one record, and nothing typed is lost."""

import math
from urllib.parse import parse_qsl

import pytest

from thermo.present.page.callbacks import adopt, link, payload, start, take_lowest, take_move, take_recipe, take_widgets
from thermo.present.page.state import OPENING


@pytest.fixture
def session():
    state = {}
    start(state, {})
    return state


def test_it_starts_with_the_opening_scenario_in_every_widget(session):
    assert session["page"] == OPENING
    assert session["chosen"] == ["NaCl", "CaCl2", "MgCl2"]
    assert session["part_NaCl"] == 60
    before = session["page"]
    take_widgets(session)
    assert session["page"] == before


def test_a_knob_shows_in_the_amounts_and_an_amount_in_the_record(session):
    take_move(session, "diagram", 4, {"shares": (50.0, 30.0, 20.0)})
    assert session["part_CaCl2"] == 30
    assert session["seq_diagram"] == 4
    session["part_CaCl2"] = 10.0
    take_widgets(session)
    assert dict(session["page"].amounts) == {"NaCl": 50, "CaCl2": 10, "MgCl2": 20}


def test_a_late_move_of_another_diagram_changes_no_amount(session):
    take_move(session, "diagram", 1, {"x": 50.0})  # three salts: there is no x
    assert session["page"] == OPENING


def test_a_temperature_outside_the_page_is_held_at_its_limit(session):
    take_move(session, "density", 1, {"t_C": 9e9})
    assert session["page"].t_C == 1500


def test_a_salt_put_back_has_its_amount(session):
    session["part_MgCl2"] = 7.0
    session["chosen"] = ["NaCl", "CaCl2"]
    take_widgets(session)
    session.pop("part_MgCl2")  # the page forgets a widget that is not drawn
    session["chosen"] = ["NaCl", "MgCl2"]
    take_widgets(session)
    assert dict(session["page"].amounts)["MgCl2"] == 7


def test_an_emptied_amount_is_not_a_number_and_comes_back(session):
    session["part_NaCl"] = None
    take_widgets(session)
    assert math.isnan(dict(session["page"].amounts)["NaCl"])
    session["part_NaCl"] = 5.0
    take_widgets(session)
    assert dict(session["page"].amounts)["NaCl"] == 5


def test_a_bad_recipe_leaves_the_melt_and_keeps_the_text(session):
    session["recipe"] = "NaCl=1 XCl=2"
    take_recipe(session)
    assert "XCl" in session["recipe_message"]
    assert session["page"] == OPENING
    session["recipe"] = "NaCl=1 KCl=2"
    take_recipe(session)
    assert session["recipe_message"] == ""
    assert session["page"].salts == ("NaCl", "KCl")
    session["recipe"] = ""
    take_recipe(session)
    assert session["page"].salts == ("NaCl", "KCl")


def test_the_lowest_mix_is_a_knob_position_that_sums_to_a_hundred(session):
    take_lowest(session)
    amounts = [amount for _, amount in session["page"].amounts]
    assert sum(amounts) == 100
    assert all(2 * amount == round(2 * amount) for amount in amounts)
    assert session["lowest_message"].startswith("Lowest:")


def test_the_lowest_mix_of_two_anions_is_found_as_well(session):
    session["recipe"] = "NaCl=1 LiF=1"
    take_recipe(session)
    take_lowest(session)
    assert session["lowest_message"].startswith("Lowest:")


def test_a_drawing_is_sent_the_number_it_must_answer(session):
    take_move(session, "diagram", 12, {"shares": (50.0, 30.0, 20.0)})
    sent = payload(session, "diagram", {"id": "a"}, {"shares": [50, 30, 20]})
    assert sent["seq"] == 12
    assert payload(session, "density", {"id": "b"}, {"t_C": 720})["seq"] == 0


@pytest.mark.parametrize("recipe", ["NaCl=48 CaCI2=52", "NaCl=1 & more"])
def test_a_recipe_that_cannot_be_read_survives_a_reload(session, recipe):
    session["recipe"] = recipe
    take_recipe(session)
    again = {}
    start(again, dict(parse_qsl(link(session).removeprefix("?"))))
    assert (again["recipe"], again["page"]) == (recipe, session["page"])
    assert again["recipe_message"] == session["recipe_message"] != ""


def test_an_amount_that_cannot_be_survives_a_reload_in_the_recipe_line(session):
    session["part_NaCl"] = -60.0
    take_widgets(session)
    again = {}
    start(again, dict(parse_qsl(link(session).removeprefix("?"))))
    assert "NaCl=-60" in again["recipe"]
    assert "NaCl -60" in again["link_messages"][0]
    third = {}
    start(third, dict(parse_qsl(link(again).removeprefix("?"))))
    assert third["recipe"] == again["recipe"]


def test_two_sessions_have_two_names():
    first, second = {}, {}
    start(first, {})
    start(second, {})
    assert first["session_id"] != second["session_id"]
    adopt(first, OPENING)
    assert first["page"] is OPENING
