"""The plan and the logger's file on the page: steps with boxes, the pot, why not, what is read and handed on."""

import pytest

from tests.present.page.page_session import html, opened, said, typed
from thermo.answers.plan.make import make_plan
from thermo.answers.plan.wish import PlanWish
from thermo.answers.run.log import arrests_of
from thermo.present.charts.log import log_svg
from thermo.present.page.logger import log_cards, text_of
from thermo.present.page.plan import plan_cards, step_head, step_lines
from thermo.records.composition import from_amounts
from thermo.records.logger import read_log

MELT = {"v": "1", "m": "NaCl:60,CaCl2:18,MgCl2:22", "metal": "Mg", "T": "720"}


@pytest.fixture(scope="module")
def plan():
    return make_plan(PlanWish(from_amounts({"NaCl": 60, "CaCl2": 18, "MgCl2": 22}), "Mg", 10.0))


def test_the_page_shows_every_step_and_the_pot():
    text = html(opened("plan", MELT))
    for n, title in enumerate(("Look everything over", "Dry the salts", "Charge and melt", "Check the freezing start")):
        assert f"{n}. {title}" in text
    assert text.count("\u2610") > 30
    assert "data:image/svg+xml" in text
    assert "Weighed from NaCl, CaCl₂, MgCl₂: other bottles and assays are chosen on the page Weigh." in text


def test_what_is_typed_moves_the_plan():
    app = typed(opened("plan", MELT), plan_want_g=20)
    assert "20 to " in html(app) or "20.0 to" in html(app)
    app = typed(app, plan_pot_mL=40)
    assert any("No plan" in line for line in said(app, "warning"))


def test_a_link_brings_the_wish_along():
    text = html(opened("plan", MELT | {"want_g": "5", "pot_mL": "250"}))
    assert "250 mL" in text


def test_without_a_window_it_says_what_would_open_one():
    app = opened("plan", {"v": "1", "m": "KCl:1", "metal": "K", "T": "800"})
    assert any("What would open one" in line for line in said(app, "warning"))


def test_cards_and_lines_have_the_figures_of_the_plan(plan):
    cards = plan_cards(plan.setting, plan.hours_total)
    assert cards[0].answer == "720 °C"
    assert f"{plan.setting.electrodes.amps:.3g} A" in cards[1].answer
    for step in plan.steps:
        lines = step_lines(step)
        assert sum(line.startswith("\u2610") for line in lines) == len(step.do)
        assert step.rests_on in step_head(step)


def test_a_logger_file_is_read_drawn_and_carded():
    rows = [f"{60 * k};{(640 - 0.5 * k if k < 60 else 610 if k < 100 else 660 - 0.5 * k):.1f};5,0" for k in range(240)]
    log = read_log("s;C;A\n" + "\n".join(rows) + "\n", {"time": "s", "T": "C", "amps": "A"})
    arrests = arrests_of(log)
    assert [round(arrest.T_K - 273.15) for arrest in arrests] == [610]
    text = log_svg(log, arrests)
    assert text.count("<path") == 3
    assert "610" in text
    assert [card.title for card in log_cards(log, None, arrests)] == ["Temperature", "Arrests"]
    assert text_of("50 °C".encode("cp1252")) == "50 °C"


def test_the_logger_section_opens_and_asks_for_a_file():
    app = opened("logger", MELT)
    assert any("decimal point or comma" in line for line in said(app, "info"))


def test_the_review_has_planned_beside_read():
    told = MELT | {"want_g": "10", "amps": "6", "hours": "2", "weighed_g": "3"}
    text = html(opened("review", told))
    assert "Planned beside read" in text
    assert "the run ended early" in text
    assert "Planned beside read" not in html(opened("review", {k: v for k, v in told.items() if k != "want_g"}))
