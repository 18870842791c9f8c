"""The page's further sections without a browser: each opens for every kind of melt and turns mistakes into one line."""

from pathlib import Path

import pytest

testing = pytest.importorskip("streamlit.testing.v1")
APP = str(Path(__file__).resolve().parents[1] / "app.py")
CHLORIDE = {"v": "1", "m": "NaCl:60,CaCl2:18,MgCl2:22", "metal": "Mg", "T": "720"}
FLUORIDE = {"v": "1", "m": "LiF:55,NaF:20,MgF2:25", "metal": "Mg", "T": "820"}
ESTIMATED = {"v": "1", "m": "RbCl:50,NdCl3:50", "metal": "Nd", "T": "1050"}
TWO_ANIONS = {"v": "1", "m": "NaCl:40,KCl:30,NaF:30", "metal": "Na", "T": "820"}
MELTS = [CHLORIDE, FLUORIDE, ESTIMATED]


def opened(section, fields=CHLORIDE):
    app = testing.AppTest.from_file(APP, default_timeout=60)
    for name, value in fields.items():
        app.query_params[name] = value
    app.session_state[f"open_{section}"] = True
    app.run()
    assert not app.exception
    return app


def html(app):
    return " ".join(element.proto.body for element in app.get("html"))


def typed(app, **numbers):
    for key, value in numbers.items():
        app.number_input(key=key).set_value(value).run()
    assert not app.exception
    return app


@pytest.mark.parametrize("section", ["cell"])
def test_two_anions_get_an_answer_or_a_line(section):
    app = opened(section, TWO_ANIONS)
    assert len(app.error) <= 2  # at the amounts or in the section; one line each
    assert all("\n" not in error.value for error in app.error)


@pytest.mark.parametrize("fields", MELTS)
def test_the_cell_answers(fields):
    app = opened("cell", fields)
    assert not app.error
    for words in ("Deposits first", "Voltage needed", "set free", "Order of deposition"):
        assert words in html(app)
    assert "without feed" not in html(app)
    typed(app, cell_bath_g=400.0)
    assert not app.error
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
    app = typed(opened("cell"), **{key: value})
    assert len(app.error) == 1
    assert words in app.error[0].value
    assert app.number_input(key=key).value == value


def test_what_was_typed_outlives_closing():
    app = typed(opened("cell"), cell_bath_g=333.0)
    app.session_state["open_cell"] = False
    app.run()
    assert "cell_bath_g" not in [box.key for box in app.number_input]
    app.session_state["open_cell"] = True
    app.run()
    assert app.number_input(key="cell_bath_g").value == 333


def test_the_charts_of_the_cell_are_drawn_on_request():
    app = typed(opened("cell"), cell_bath_g=400.0)
    assert not app.get("image")
    app.toggle(key="cell_drift_chart").set_value(True).run()
    app.toggle(key="cell_voltage_chart").set_value(True).run()
    app.toggle(key="cell_cell_background").set_value(True).run()
    assert not app.exception
    assert len(app.get("image")) == 2


def test_a_metal_that_is_not_first_is_said_on_its_card():
    app = opened("cell", CHLORIDE | {"metal": "Na"})
    assert "Not first to deposit: Mg" in html(app)
