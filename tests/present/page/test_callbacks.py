"""Widgets, knobs and the recipe line all change the one record, and nothing typed is lost."""

import math
from dataclasses import replace
from urllib.parse import parse_qsl

import pytest

from thermo.equilibrium.invariants.lowest import lowest
from thermo.present.page.answers import answers
from thermo.present.page.callbacks import (
    adopt,
    corners_of,
    drop_salt,
    nudge,
    payload,
    take_corners,
    take_lowest,
    take_metal,
    take_move,
    take_recipe,
    take_salt,
    take_widgets,
)
from thermo.present.page.readouts import read_out
from thermo.present.page.state import OPENING
from thermo.present.page.steps import link, redo, remember, start, take_address, undo
from thermo.records.typed import number_text


@pytest.fixture
def session():
    state = {}
    start(state, {})
    return state


def test_it_starts_with_the_opening_scenario_in_every_widget(session):
    assert session["page"] == OPENING
    assert session["page"].salts == ("NaCl", "CaCl2", "MgCl2")
    assert session["part_NaCl"] == "60"
    before = session["page"]
    take_widgets(session)
    assert session["page"] == before


def test_a_knob_shows_in_the_amounts_and_an_amount_in_the_record(session):
    take_move(session, "diagram", 4, {"shares": (50.0, 30.0, 20.0)})
    assert session["part_CaCl2"] == "30"
    assert session["seq_diagram"] == 4
    session["part_CaCl2"] = "10"
    take_widgets(session)
    assert dict(session["page"].amounts) == {"NaCl": 50, "CaCl2": 10, "MgCl2": 20}


def test_a_late_move_of_another_diagram_changes_no_amount(session):
    take_move(session, "diagram", 1, {"x": 50.0})  # three salts: there is no x
    take_move(session, "shares", 2, {"mix": (25.0, 25.0, 25.0, 25.0)})
    assert session["page"] == OPENING


def test_shares_dragged_are_the_whole_melt_in_the_basis_in_use(session):
    take_move(session, "shares", 1, {"mix": (50.0, 30.0, 20.0)})
    assert session["page"].amounts == (("NaCl", 50.0), ("CaCl2", 30.0), ("MgCl2", 20.0))
    session["basis"] = "mass"
    take_widgets(session)
    take_move(session, "shares", 2, {"mix": (50.0, 30.0, 20.0)})
    # 0.5 x 58.44 = 29.22, 0.3 x 110.98 = 33.29, 0.2 x 95.21 = 19.04 g of 81.55; written to 0.01 %
    assert dict(session["page"].amounts) == pytest.approx({"NaCl": 35.83, "CaCl2": 40.82, "MgCl2": 23.35}, abs=0.015)


def test_the_corners_chosen_stay_while_their_box_is_not_drawn(session):
    session["add_salt"] = "KCl"
    take_salt(session)
    session["corners"] = ("NaCl", "MgCl2", "KCl")
    take_corners(session)
    session.pop("corners")  # the page forgets a widget that is not drawn
    assert corners_of(session, session["page"]) == ("NaCl", "MgCl2", "KCl")
    drop_salt(session, "MgCl2")
    assert corners_of(session, session["page"]) == ("NaCl", "CaCl2", "KCl")


def test_a_temperature_outside_the_page_is_held_at_its_limit(session):
    take_move(session, "density", 1, {"t_C": 9e9})
    assert session["page"].t_C == 1500


def test_a_salt_put_back_has_its_amount(session):
    session["part_MgCl2"] = "7"
    take_widgets(session)
    drop_salt(session, "MgCl2")
    session.pop("part_MgCl2")  # the page forgets a widget that is not drawn
    assert session["page"].salts == ("NaCl", "CaCl2")
    session["add_salt"] = "MgCl2"
    take_salt(session)
    assert dict(session["page"].amounts)["MgCl2"] == 7
    assert session["add_salt"] is None


def test_a_mineral_is_added_as_its_salts(session):
    session["add_salt"] = "cryolite"
    take_salt(session)
    assert dict(session["page"].amounts) == {"NaCl": 60, "CaCl2": 18, "MgCl2": 22, "NaF": 30, "AlF3": 10}
    session["add_salt"] = "chiolite"  # its salts are in already
    take_salt(session)
    for more in ("KCl", "LiCl"):
        session["add_salt"] = more
        take_salt(session)
    assert len(session["page"].salts) == 6
    assert "at most 6" in session["lowest_message"]


def test_steps_of_an_amount_never_go_below_zero(session):
    nudge(session, "MgCl2", -30.0)
    assert dict(session["page"].amounts)["MgCl2"] == 0
    nudge(session, "MgCl2", 1.0)
    assert session["part_MgCl2"] == "1"


def test_undo_redo_and_back_bring_everything_back(session):
    remember(session)
    opening = link(session)
    drop_salt(session, "NaCl")
    session["typed"]["amps"] = 7.0
    remember(session)
    undo(session)
    assert link(session) == opening
    assert "amps" not in session["typed"]
    redo(session)
    assert session["typed"]["amps"] == 7
    assert session["page"].salts == ("CaCl2", "MgCl2")
    take_address(session, opening)
    assert link(session) == opening
    for strange in (None, 7, "x" * 5000):
        take_address(session, strange)
        assert link(session) == opening


def test_another_metal_takes_the_temperature_into_its_window_and_says_so(session):
    session["page"] = replace(OPENING, amounts=(("CaCl2", 82.0), ("CaF2", 18.0)))
    adopt(session, session["page"])
    session["metal"] = "Ca"
    take_metal(session)
    assert session["page"].t_C > 842  # calcium melts at 842 deg C
    assert "from 720 to" in session["moved_message"]
    session["metal"] = "Mg"
    take_metal(session)
    assert session["moved_message"] == ""  # magnesium is liquid there too: it may stay


def test_what_was_not_drawn_keeps_its_value(session):
    session["vessel"] = "graphite"
    take_widgets(session)
    for key in ("vessel", "basis", "part_NaCl", "t_C", "superheat", "recipe"):
        session.pop(key)
    before = session["page"]
    take_widgets(session)
    assert session["page"] == before
    assert session["vessel"] == "graphite"


def test_an_emptied_amount_is_not_a_number_and_comes_back(session):
    session["part_NaCl"] = ""
    take_widgets(session)
    assert math.isnan(dict(session["page"].amounts)["NaCl"])
    session["part_NaCl"] = "5,0"
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


def find_and_take_lowest(session):
    """What two runs of the page do."""
    session["lowest_found"] = session["page"], lowest(session["page"].salts)
    take_lowest(session)


def test_the_lowest_mix_is_a_knob_position_that_sums_to_a_hundred(session):
    find_and_take_lowest(session)
    amounts = [amount for _, amount in session["page"].amounts]
    assert sum(amounts) == 100
    assert all(amount == round(amount, 2) for amount in amounts)
    assert session["lowest_message"].startswith("Lowest:")


def test_the_lowest_mix_is_named_with_the_figure_of_its_card(session):
    find_and_take_lowest(session)
    card = answers(read_out(session["page"]))[0]
    assert card.key == "freezing"
    assert session["lowest_message"].startswith(f"Lowest: {card.figure} at ")


def test_a_refused_recipe_is_nothing_to_undo(session):
    remember(session)
    session["recipe"] = "NaCl=50 CaCI2=50"
    take_recipe(session)
    remember(session)
    assert "did you mean" in session["recipe_message"]
    assert "recipe=" in link(session)  # the link carries it all the same
    assert not session["trail"].can_undo
    take_address(session, link(session))  # Back to an address that carries it
    remember(session)
    assert not session["trail"].can_undo


def test_the_lowest_mix_of_two_anions_is_found_as_well(session):
    session["recipe"] = "NaCl=1 LiF=1"
    take_recipe(session)
    find_and_take_lowest(session)
    assert session["lowest_message"].startswith("Lowest:")


def test_a_lowest_mix_that_was_asked_for_another_page_is_dropped(session):
    before = session["page"]
    session["lowest_found"] = replace(before, t_C=before.t_C + 1), lowest(before.salts)
    take_lowest(session)
    assert session["page"] is before
    assert session["lowest_message"] == ""
    take_lowest(session)  # nothing was found
    assert session["page"] is before


def test_a_refused_lowest_mix_says_so(session):
    session["lowest_found"] = session["page"], "a line"
    take_lowest(session)
    assert session["lowest_message"] == "a line"


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
    session["part_NaCl"] = "-60"
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


SIX = (("NaCl", 30.0), ("CaCl2", 18.0), ("MgCl2", 22.0), ("KCl", 15.0), ("LiCl", 10.0), ("SrCl2", 5.0))


def test_a_box_that_answers_late_does_not_move_what_a_knob_holds(session, monkeypatch):
    """NaCl, KCl and LiCl are dragged, the others held: the browser's answer has some boxes of the move before."""
    adopt(session, replace(session["page"], amounts=SIX))
    session["typed"]["corners"] = ["NaCl", "KCl", "LiCl"]
    take_move(session, "map", 1, {"shares": (51.5, 29.0, 19.5)})
    at_first = dict(session["page"].amounts)
    take_move(session, "map", 2, {"shares": (30.5, 39.5, 30.0)})
    session["part_KCl"], session["part_LiCl"] = "15", number_text(at_first["LiCl"])
    take_widgets(session)
    take_move(session, "map", 3, {"shares": (30.0, 40.0, 30.0)})
    found = dict(session["page"].amounts)
    assert [found[name] for name in ("CaCl2", "MgCl2", "SrCl2")] == pytest.approx([18.0, 22.0, 5.0])
    assert [found[name] for name in ("NaCl", "KCl", "LiCl")] == pytest.approx([16.5, 22.0, 16.5])
    session["part_KCl"] = "23"  # typed: another number than the knob has been at
    take_widgets(session)
    assert dict(session["page"].amounts)["KCl"] == 23.0
    monkeypatch.setattr("thermo.present.page.callbacks.time.monotonic", lambda: session["echo_until"] + 1)
    session["part_KCl"] = "15"  # and later an old one counts as typed
    take_widgets(session)
    assert dict(session["page"].amounts)["KCl"] == 15.0
