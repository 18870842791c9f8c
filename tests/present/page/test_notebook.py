"""The page Notebook: keep, open, take out, put back, compare, log; an unwritable notebook leaves the page."""

import pytest

from tests.present.page.page_session import box, fill, go, html, lines, said, visited
from thermo.notebook.store import VARIABLE, Notebook
from thermo.present.page.notebook import fields_of, melt_record
from thermo.present.page.state import OPENING, read_link

PAIR = {"v": "1", "m": "NaCl:48,CaCl2:52", "metal": "Na", "T": "600", "amps": "7"}


@pytest.fixture(autouse=True)
def own_file(monkeypatch, tmp_path):
    monkeypatch.setenv(VARIABLE, str(tmp_path / "notebook.sqlite3"))


def opened(fields, page="notebook"):
    app = visited(page, fields)
    app.run()
    assert not app.exception
    return app


def kept(app, name, button="keep_melt"):
    app.text_input(key="keep_name").set_value(name).run()
    app.button(key=button).click().run()
    assert not app.exception
    return app


def test_a_melt_kept_is_there_tomorrow():
    kept(opened(PAIR), "bath 4")
    tomorrow = opened({})
    assert "bath 4" in html(tomorrow)
    tomorrow.button(key="entry_open").click().run()
    page = tomorrow.session_state.page
    assert dict(page.amounts) == {"NaCl": 48, "CaCl2": 52}
    assert (page.metal, page.t_C) == ("Na", 600)
    assert tomorrow.session_state.typed["amps"] == 7
    tomorrow.button(key="undo").click().run()
    assert tomorrow.session_state.page == OPENING


def test_a_record_is_the_page_again():
    assert read_link(fields_of(melt_record(OPENING, "")))[0] == OPENING
    plain = {"amounts": {"NaCl": 1.0}, "basis": "mass"}
    assert read_link(fields_of(plain))[0].metal == ""


def test_what_is_taken_out_can_be_put_back():
    app = kept(opened(PAIR), "bath 4")
    app.button(key="entry_remove").click().run()
    assert Notebook().entries() == []
    app = go(app, "notebook")
    kept(app, "bath 5")
    app.button(key="entry_back").click().run()
    assert {entry.name for entry in Notebook().entries()} == {"bath 4", "bath 5"}


def test_two_to_four_melts_stand_side_by_side():
    app = kept(opened(PAIR), "bath 4")
    go(app, "melt").button(key="hotter").click().run()
    app = kept(go(app, "notebook"), "bath 5")
    numbers = [entry.id for entry in Notebook().entries()]
    app.multiselect(key="compared").set_value(numbers).run()
    assert not lines(app)
    assert "Side by side" in html(app)
    assert html(app).count('class="mw-picture') == 2


def test_a_run_is_logged_while_it_goes():
    app = kept(opened(PAIR), "run 1", "keep_run")
    go(app, "after")
    app.session_state["open_log"] = True
    app.run()
    for name, value in (("hours", 0.5), ("volts", "4,1"), ("T_C", 602.0)):
        fill(app, f"log_log_{name}", value)
    app.button(key="log_add").click().run()
    assert not app.exception
    (entry,) = Notebook().entries("run")
    assert entry.run["readings"] == [{"hours": 0.5, "volts": 4.1, "amps": None, "T_C": 602.0, "note": ""}]
    assert box(app, "log_log_volts") is None  # ready for the next reading
    app.button(key="log_add").click().run()
    assert any("at least one of volts" in line for line in lines(app))
    fill(app, "log_weighed_g", 3.2)
    app.button(key="log_weigh").click().run()
    assert Notebook().entries("run")[0].run["weighed_g"] == 3.2


def test_a_name_from_a_file_is_text(tmp_path):
    Notebook().add("![x](http://foreign.example/x.png) <img src=x>", melt_record(OPENING, ""))
    app = opened({})
    assert "&lt;img" in html(app)
    assert "<img src=x>" not in html(app)


def test_a_notebook_that_cannot_be_written_is_one_line_and_the_page_goes_on(monkeypatch, tmp_path):
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv(VARIABLE, str(tmp_path / "file" / "notebook.sqlite3"))
    app = kept(opened(PAIR), "bath 4")
    assert any("nothing was changed" in line for line in lines(app))
    assert html(app).count("data-answer=") == 4
    assert not go(app, "melt").exception


def test_an_entry_without_a_name_is_refused_in_words():
    app = kept(opened(PAIR), " ")
    assert "1 to 80 printable" in lines(app)[0]
    assert said(app, "done") == []
