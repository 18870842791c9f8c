"""The page's cooling check: the words of the command, mistakes, the link, melts that leave it open."""

import json
from html import escape

import pytest

from tests.present.page.page_session import address, box, boxes, fill, go, html, lines, opened, said, typed
from thermo.present.command_line.main import main
from thermo.present.words.written import plain

BATH = {"v": "1", "m": "NaF:69,AlF3:27,CaF2:4", "metal": "Al", "T": "980"}
DOWNS = {"v": "1", "m": "NaCl:42,CaCl2:58", "metal": "Na", "T": "600"}


def checked(app):
    app.button(key="cooling_check").click().run()
    assert not app.exception
    return app


def test_arrests_are_held_against_the_melt_in_the_words_of_the_command(capsys):
    app = checked(typed(opened("cooling", DOWNS), cooling_arrest_1_C=545.0, cooling_arrest_2_C=498.0))
    assert not lines(app)
    assert main(["cooling", "NaCl=42", "CaCl2=58", "--arrest", "545", "--arrest", "498", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    shown = html(app)
    assert found["verdict"][1:] in shown  # the page begins it with a capital
    told = [a["evidence"] for a in found["arrests"]] + [c["words"] for c in found["compositions"]]
    told += [e["evidence"] for e in found["other_explanations"]] + [e["check"] for e in found["other_explanations"]]
    for sentence in told:
        assert escape(plain(sentence)) in shown


def test_a_check_of_an_aluminium_bath_says_that_alumina_is_left_out():
    app = opened("cooling", BATH | {"bath_al2o3": "3"})
    assert any("with 3 mass% it is" in warning for warning in said(app, "warning"))
    assert not said(opened("cooling", DOWNS), "warning")


def test_a_check_is_not_shown_for_another_melt():
    app = checked(typed(opened("cooling", DOWNS), cooling_arrest_1_C=545.0))
    assert "Do the arrests fit?" in html(app)
    fill(app, "t_C", 610.0)
    assert "Do the arrests fit?" in html(app)
    fill(go(app, "melt"), "part_NaCl", 30.0)
    go(app, "after")
    assert "Do the arrests fit?" not in html(app)
    assert any("Press the button" in info for info in said(app, "info"))


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("cooling_arrest_1_C", -300.0, "arrest -300 °C"),
        ("cooling_arrest_2_C", 2500.0, "arrest 2500 °C"),
        ("cooling_reading_sigma_K", 0.0, "uncertainty of the reading 0 K"),
        ("cooling_off_percent", 80.0, "spread 80 mol%"),
        ("cooling_off_percent", None, "type both"),
    ],
)
def test_a_mistake_in_a_cooling_check_is_one_line_and_nothing_is_lost(key, value, words):
    app = typed(opened("cooling", DOWNS), cooling_arrest_1_C=545.0)
    typed(app, **{key: value})
    if value is not None:  # an emptied box is refused at once
        checked(app)
    assert len(lines(app)) == 1
    assert words in lines(app)[0]
    assert box(app, key) == value


def test_arrests_and_thermometer_error_are_in_the_link_and_come_back():
    app = typed(opened("cooling", DOWNS), cooling_arrest_1_C=545.0, cooling_arrest_3_C=498.5)
    typed(app, cooling_reading_sigma_K=5.0)
    link = address(app)
    assert "arrests=545,498.5" in link
    assert "reading_sigma_K=5" in link
    again = opened("cooling", DOWNS | {"arrests": "545,498.5", "reading_sigma_K": "5"})
    assert box(again, "cooling_arrest_2_C") == 498.5
    assert box(again, "cooling_reading_sigma_K") == 5


def test_a_box_more_comes_as_they_fill_up_to_eight():
    app = opened("cooling", DOWNS | {"arrests": "700,690,680,670,660"})
    assert len([name for name in boxes(app) if "arrest" in name]) == 6
    app = opened("cooling", DOWNS | {"arrests": ",".join(str(700 - 10 * n) for n in range(9))})
    assert len([name for name in boxes(app) if "arrest" in name]) == 8
    assert any("allowed are up to 8" in warning for warning in said(app, "warning"))


def test_where_the_freezing_start_is_unknown_no_arrest_fits():
    app = checked(typed(opened("cooling", {"v": "1", "m": "CsCl:50,ZnCl2:50"}), cooling_arrest_1_C=250.0))
    assert "unknown" in lines(app)[0]
    assert "Do the arrests fit?" not in html(app)
