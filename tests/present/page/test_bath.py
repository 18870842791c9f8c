"""The page's section on aluminium baths: the melt by its name, a bath typed by name, mistakes, the link."""

from html import escape

import pytest

from tests.present.page.page_session import address, box, html, said, typed
from tests.present.page.page_session import boxes as boxes_of
from tests.present.page.page_session import opened as open_section
from thermo.equilibrium.freezing.cryolite import STANDARD_STATES
from thermo.present.command_line.main import main
from thermo.present.words.written import plain
from thermo.records.baths import bath_composition

BATH = {"v": "1", "m": "NaF:51.96,AlF3:42.89,CaF2:5.15", "basis": "mass", "metal": "Al", "T": "985"}
CHLORIDE = {"v": "1", "m": "NaCl:60,CaCl2:40", "metal": "Na", "T": "720"}


def opened(fields):
    return open_section("bath", fields)


def boxes(app, **numbers):
    return typed(app, **{f"bath_bath_{name}": value for name, value in numbers.items()})


def put(app):
    app.button(key="bath_put").click().run()
    assert not app.exception
    return app


def parts(app):
    return {name.removeprefix("part_"): box(app, name) for name in boxes_of(app) if name.startswith("part_")}


def test_a_bath_on_the_page_is_shown_by_its_name_and_fills_the_boxes():
    # 8 mass% excess AlF3 and 5 CaF2 in a bath with 3 alumina are 8 x 100/97 and 5 x 100/97 of its salts
    app = opened(BATH)
    assert "cryolite ratio 2.42" in html(app)
    assert box(app, "bath_bath_excess") == pytest.approx(8 * 100 / 97, abs=0.02)
    assert box(app, "bath_bath_CaF2") == pytest.approx(5 * 100 / 97, abs=0.02)
    assert escape(plain(STANDARD_STATES)[1:]) in html(app)
    assert not said(app, "error")
    assert not any("another bath" in info for info in said(app, "info"))


def test_alumina_counts_in_the_section_and_is_said_on_the_freezing_card(capsys):
    app = boxes(opened(BATH), al2o3=3.0)
    shown = html(app)
    assert "3.0 mass% Al₂O₃ dissolved" in shown
    assert "8.0 mass% excess AlF₃" in shown
    assert "With 3 mass% alumina it starts at" in shown
    assert main(["cryolite", "--excess-alf3", "8", "--caf2", "5", "--al2o3", "3"]) == 0
    start = capsys.readouterr().out.split("starts to freeze")[1].split(",")[0].strip()
    assert start.replace("deg C", "°C").replace("+-", "±") in shown  # as the command says it


def test_a_bath_typed_by_excess_is_put_on_a_page_of_chlorides():
    app = opened(CHLORIDE)
    assert any("no aluminium bath" in info for info in said(app, "info"))
    put(boxes(app, excess=8.0, CaF2=5.0, al2o3=3.0, superheat_K=12.0))
    assert not said(app, "error")
    wanted = bath_composition(8.0, {"CaF2": 5.0}, 3.0).mass_percent
    assert parts(app) == pytest.approx(wanted, abs=6e-4)  # rounded to 0.001
    assert app.session_state.page.basis == "mass"
    assert app.selectbox(key="metal").value == "Al"
    assert "12 K of superheat" in html(app) or "13 K of superheat" in html(app)  # the slider has whole degrees


def test_a_bath_typed_by_its_ratio_reads_back():
    app = opened(CHLORIDE)
    app.selectbox(key="bath_bath_by").set_value("ratio").run()
    put(boxes(app, ratio=2.25, LiF=2.0))
    assert "cryolite ratio 2.25" in html(app)
    assert "LiF 2.0 mass%" in html(app)
    assert set(parts(app)) == {"NaF", "AlF3", "LiF"}


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("excess", 70.0, "boils off"),
        ("excess", None, "excess AlF3: type a number"),
        ("CaF2", -1.0, "CaF2 -1 mass%"),
        ("CaF2", 150.0, "CaF2 150 mass%"),
        ("al2o3", 25.0, "Al2O3 25 mass%"),
        ("superheat_K", -5.0, "superheat -5 K"),
    ],
)
def test_a_bath_that_cannot_be_is_one_line_and_nothing_is_lost(name, value, words):
    app = boxes(opened(BATH), **{name: value})
    assert len(said(app, "error")) == 1
    assert words in said(app, "error")[0]
    assert box(app, f"bath_bath_{name}") == value
    assert app.button(key="bath_put").disabled
    assert parts(app) == {"NaF": 51.96, "AlF3": 42.89, "CaF2": 5.15}


def test_a_ratio_that_is_none_is_one_line():
    app = opened(BATH)
    app.selectbox(key="bath_bath_by").set_value("ratio").run()
    boxes(app, ratio=-1.0)
    assert len(said(app, "error")) == 1
    assert "cryolite ratio -1" in said(app, "error")[0]


def test_additions_beyond_the_saturation_equation_are_said_in_one_line():
    app = put(boxes(opened(CHLORIDE), LiF=30.0))
    assert len(said(app, "error")) == 1
    assert "alumina saturation with" in said(app, "error")[0]
    assert set(parts(app)) == {"NaF", "AlF3", "LiF"}


def test_what_is_typed_is_in_the_link_and_comes_back():
    app = opened(CHLORIDE)
    app.selectbox(key="bath_bath_by").set_value("ratio").run()
    boxes(app, ratio=2.25, al2o3=3.5)
    link = address(app)
    for field in ("bath_by=ratio", "bath_ratio=2.25", "bath_al2o3=3.5"):
        assert field in link
    again = opened(BATH | {"bath_by": "ratio", "bath_ratio": "2.25", "bath_al2o3": "3.5"})
    assert box(again, "bath_bath_ratio") == 2.25
    assert any("another bath" in info for info in said(again, "info"))


def test_below_the_freezing_start_part_of_the_bath_is_said_to_be_frozen():
    assert "partly frozen" in html(opened(BATH | {"T": "940"}))
