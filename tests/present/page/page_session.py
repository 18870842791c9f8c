"""The page's sections without a browser: open one, type into its boxes, read what is drawn."""

from pathlib import Path

import pytest

testing = pytest.importorskip("streamlit.testing.v1")
APP = str(Path(__file__).resolve().parents[3] / "app.py")


def opened(section, fields):
    """The page opened by a link's fields, with one section open."""
    app = testing.AppTest.from_file(APP, default_timeout=60)
    for name, value in fields.items():
        app.query_params[name] = value
    app.session_state[f"open_{section}"] = True
    app.run()
    assert not app.exception
    return app


def html(app):
    """All of the page's own HTML."""
    return " ".join(element.proto.body for element in app.get("html"))


def typed(app, **numbers):
    """Numbers typed into boxes by their keys, one after the other."""
    for key, value in numbers.items():
        app.number_input(key=key).set_value(value).run()
    assert not app.exception
    return app


def lines(app):
    """The refusals shown."""
    return [error.value for error in app.error]
