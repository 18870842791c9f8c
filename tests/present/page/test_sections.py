"""The page's further sections without a browser: each opens for every kind of melt and turns mistakes into one line."""

import pytest

from tests.present.page.page_session import (
    PAGE_OF,
    address,
    box,
    boxes,
    fill,
    go,
    html,
    lines,
    opened,
    said,
    typed,
    visited,
)
from thermo.present.page.sections import PAGES

CHLORIDE = {"v": "1", "m": "NaCl:60,CaCl2:18,MgCl2:22", "metal": "Mg", "T": "720"}
FLUORIDE = {"v": "1", "m": "LiF:55,NaF:20,MgF2:25", "metal": "Mg", "T": "820"}
ESTIMATED = {"v": "1", "m": "RbCl:50,NdCl3:50", "metal": "Nd", "T": "1050"}
TWO_ANIONS = {"v": "1", "m": "NaCl:40,KCl:30,NaF:30", "metal": "Na", "T": "820"}
ONE_SALT = {"v": "1", "m": "NaCl:1", "metal": "Na", "T": "820"}
BATH = {"v": "1", "m": "NaF:69,AlF3:27,CaF2:4", "metal": "Al", "T": "980"}
MELTS = [CHLORIDE, FLUORIDE, ESTIMATED, BATH]


@pytest.mark.parametrize("section", list(PAGE_OF))
def test_every_section_opens_for_every_kind_of_melt(section):
    for fields in MELTS:
        assert not lines(opened(section, fields)), fields
    for fields in (TWO_ANIONS, ONE_SALT, CHLORIDE | {"metal": ""}):
        assert all("\n" not in line for line in lines(opened(section, fields)))


@pytest.mark.parametrize("page", list(PAGES))
def test_every_page_has_the_four_answers_round_it_and_its_sections(page):
    app = visited(page, CHLORIDE)
    app.run()
    assert not app.exception
    assert html(app).count("data-answer=") == 4
    closed = [section.key for section in PAGES[page].sections if section.closed]
    assert [entry.label for entry in app.expander] == [
        section.heading for section in PAGES[page].sections if section.key in closed
    ]


@pytest.mark.parametrize("broken", [ZeroDivisionError("division by zero"), KeyError("LiCl")])
def test_a_fault_in_one_section_is_one_line_and_leaves_the_others(monkeypatch, broken):
    from thermo.present.page import sections

    def fail(_out):
        raise broken

    after = sections.PAGES["after"]
    first = sections.Section("review", after.sections[0].heading, fail)
    monkeypatch.setitem(
        sections.PAGES, "after", sections.PageOf(after.name, after.address, (first, *after.sections[1:]))
    )
    app = opened("cooling", CHLORIDE)
    assert len(lines(app)) == 1
    assert "a fault of the program" in lines(app)[0]
    assert type(broken).__name__ in lines(app)[0]
    assert "m=NaCl:60" in lines(app)[0]  # what to report: the page's address
    assert "cooling_arrest_1_C" in boxes(app)
    assert html(app).count("data-answer=") == 4


@pytest.mark.parametrize("fields", MELTS)
def test_the_cell_answers(fields):
    app = opened("cell", fields)
    assert not said(app, "error")
    for words in ("Deposits first", "Voltage needed", "set free", "Order of deposition"):
        assert words in html(app)
    assert "without feed" not in html(app)
    typed(app, cell_bath_g=400.0)
    assert not said(app, "error")
    assert "without feed" in html(app)


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("cell_amps", -2.0, "current -2 A"),
        ("cell_hours", None, "type both"),
        ("cell_efficiency", 85.0, "0.8 means 80 %"),
        ("cell_weighed_g", 50.0, "at most"),
        ("cell_cathode_cm2", 20.0, "or neither"),
    ],
)
def test_a_mistake_in_the_cell_is_one_line_and_stays(key, value, words):
    app = typed(opened("cell", CHLORIDE), **{key: value})
    assert len(said(app, "error")) == 1
    assert words in said(app, "error")[0]
    assert box(app, key) == value


def test_what_was_typed_outlives_another_page():
    app = typed(opened("cell", CHLORIDE), cell_bath_g=333.0)
    go(app, "weigh")
    assert "cell_bath_g" not in boxes(app)
    go(app, "cell")
    assert box(app, "cell_bath_g") == 333


def test_the_charts_of_the_cell_are_drawn_on_request():
    app = typed(opened("cell", CHLORIDE), cell_bath_g=400.0)
    assert not app.get("image")
    app.toggle(key="cell_drift_chart").set_value(True).run()
    app.toggle(key="cell_voltage_chart").set_value(True).run()
    app.toggle(key="cell_cell_background").set_value(True).run()
    assert not app.exception
    assert len(app.get("image")) == 2


def test_a_metal_that_is_not_first_is_said_on_its_card():
    app = opened("cell", CHLORIDE | {"metal": "Na"})
    assert "Not first to deposit: Mg" in html(app)


def test_bottles_with_water_weigh_more_and_say_what_leaves():
    app = opened("weigh", CHLORIDE)
    assert "none counted" in html(app)
    app.selectbox(key="weigh_bottle_CaCl2").set_value("CaCl2.2H2O").run()
    # 500 g of 60/18/22 mol%: 131.45 g CaCl2; 147.01 / 110.98 g of the dihydrate a gram (atomic masses, IUPAC).
    assert "174.1" in html(app)
    assert "If the hydrate were weighed as dry" in html(app)
    assert not lines(app)


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("weigh_total_g", -1.0, "total -1 g"),
        ("weigh_total_g", None, "grams"),
        ("weigh_assay_NaCl", 99.0, "99 % is 0.99"),
    ],
)
def test_a_mistake_in_weighing_is_one_line_and_stays(key, value, words):
    app = typed(opened("weigh", CHLORIDE), **{key: value})
    assert len(lines(app)) == 1
    assert words in lines(app)[0]
    assert box(app, key) == value


def test_a_review_ranks_causes_and_takes_what_was_seen():
    app = typed(opened("review", CHLORIDE), review_weighed_g=0.5, review_bath_g=300.0)
    assert "11.0 ±" in html(app)
    assert "remedy:" in html(app)
    app.multiselect(key="review_saw").set_value(["black-sponge"]).run()
    assert not lines(app)
    assert "saw=black-sponge" in address(app)


def test_current_and_time_are_typed_once_for_cell_and_review():
    app = typed(opened("cell", CHLORIDE), cell_amps=7.0)
    go(app, "after")
    assert box(app, "review_amps") == 7
    typed(app, review_amps=9.0)
    go(app, "cell")
    assert box(app, "cell_amps") == 9


def test_the_run_sheet_names_the_part_that_cannot_go_in():
    app = typed(opened("sheet", CHLORIDE | {"amps": "-3"}))
    assert "run of the cell: current -3 A" in lines(app)[0]
    app.toggle(key="sheet_with_run").set_value(False).run()
    assert not lines(app)
    labels = [button.proto.label for button in app.get("download_button")]
    assert {"Run sheet (PDF)", "Figures (CSV)", "Figures (JSON)"} <= set(labels)


def test_the_solidus_is_on_the_freezing_card_while_asked_for():
    app = opened("freezing", {"v": "1", "m": "NaCl:30,CaCl2:70", "metal": "Na", "T": "700"})
    assert "all solid below" in html(app)
    app.session_state["open_freezing"] = False
    app.run()
    assert "all solid below" not in html(app)


def test_two_anions_have_a_solidus_with_the_ions_of_the_last_liquid_and_a_chart():
    app = opened("freezing", {"v": "1", "m": "LiF:11,NaCl:48,KCl:41", "metal": "Li", "T": "700"})
    assert "last liquid: of its cations Li" in html(app)
    next(t for t in app.toggle if t.label.startswith("Chart: what is solid")).set_value(True).run()
    assert not app.exception
    assert len(app.get("image")) == 1


def test_a_pair_of_a_triangle_has_its_full_diagram():
    app = opened("pair", CHLORIDE)
    app.selectbox(key="pair_pair").set_value(("NaCl", "MgCl2")).run()
    assert not app.exception
    assert len(app.get("image")) == 1


def test_evidence_lists_sources_and_totals():
    app = opened("evidence", CHLORIDE)
    assert "Published on these salts" in html(app)
    app.selectbox(key="evidence_sort").set_value("densities").run()
    assert not app.exception
    assert "within 2 sigma (95 % expected)" in html(app)


def test_a_found_melt_is_put_on_the_page():
    app = opened("find", {"v": "1", "m": "NaCl:90,CaCl2:10", "metal": "Na", "T": "850"})
    assert "best first" not in html(app)
    app.selectbox(key="find_judged").set_value("own").run()
    next(button for button in app.button if button.label == "Search").click().run()
    assert "best first" in html(app)
    app.button(key="use_1").click().run()
    assert not app.exception
    found = dict(app.session_state.page.amounts)
    assert 40 < found["CaCl2"] < 60  # towards the eutectic, 51 mol%
    assert box(app, "t_C") < 850


def test_a_search_that_cannot_be_is_one_line():
    app = opened("find", CHLORIDE)
    app.multiselect(key="find_at_hand").set_value(["NaCl", "KCl"]).run()
    next(button for button in app.button if button.label == "Search").click().run()
    assert not app.exception
    assert "none of the salts" in lines(app)[0]


def test_what_a_link_holds_is_in_the_boxes():
    app = opened("cell", CHLORIDE | {"amps": "12", "bath_g": "750", "hours": "soon"})
    assert box(app, "cell_amps") == 12
    assert box(app, "cell_bath_g") == 750
    assert any("hours: 'soon'" in warning for warning in said(app, "warning"))


def test_a_hydrate_chosen_outlives_a_moment_without_its_salt():
    app = opened("review", CHLORIDE | {"hydrates": "CaCl2"})
    fill(go(app, "melt"), "part_CaCl2", 0.0)
    go(app, "after")
    fill(go(app, "melt"), "part_CaCl2", 18.0)
    assert go(app, "after").multiselect(key="review_hydrates").value == ["CaCl2"]


def test_a_pair_chosen_outlives_a_moment_without_its_salt():
    app = opened("pair", CHLORIDE)
    app.selectbox(key="pair_pair").set_value(("CaCl2", "MgCl2")).run()
    fill(app, "part_CaCl2", 0.0)
    assert not app.exception
    fill(app, "part_CaCl2", 18.0)
    assert app.selectbox(key="pair_pair").value == ("CaCl2", "MgCl2")


def test_the_cell_of_an_aluminium_bath_says_that_it_knows_no_alumina():
    assert any("without alumina" in warning for warning in said(opened("cell", BATH), "warning"))
    assert not said(opened("cell", CHLORIDE), "warning")
