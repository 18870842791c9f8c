"""The pages without a browser: open one, type into its boxes, read what is drawn."""

import html as html_of
import json
import re
from pathlib import Path

import pytest

from thermo.present.page.html import style
from thermo.present.page.sections import PAGES

testing = pytest.importorskip("streamlit.testing.v1")
APP = str(Path(__file__).resolve().parents[3] / "app.py")
PAGE_OF = {section.key: key for key, page in PAGES.items() for section in page.sections}


def visited(page, fields):
    """The page of this key, opened by a link's fields."""
    from streamlit.util import calc_hash

    app = testing.AppTest.from_file(APP, default_timeout=60)
    if page != "melt":
        app._page_hash = calc_hash(
            PAGES[page].address
        )  # st.navigation's pages are no files: AppTest has no word for it
    for name, value in fields.items():
        app.query_params[name] = value
    return app


def go(app, page):
    """To another page of the same visit."""
    from streamlit.util import calc_hash

    app._page_hash = calc_hash(PAGES[page].address)
    app.run()
    assert not app.exception
    return app


def opened(section, fields):
    """The page with this section on it, opened by a link's fields, the section open."""
    app = visited(PAGE_OF[section], fields)
    app.session_state[f"open_{section}"] = True
    app.run()
    assert not app.exception
    return app


def html(app):
    """All of the page's own HTML without the style sheet."""
    return " ".join(element.proto.body for element in app.get("html")).replace(style(), "")


def _key(name):
    return name if name.startswith("part_") or name in ("t_C", "superheat", "recipe") else f"num_{name}"


def fill(app, name, value):
    """Type into one box; None empties it."""
    text = "" if value is None else value if isinstance(value, str) else f"{value:.10g}"
    app.text_input(key=_key(name)).set_value(text).run()
    return app


def typed(app, **values):
    """Numbers or text typed into boxes by their keys, one after the other."""
    for name, value in values.items():
        fill(app, name, value)
    assert not app.exception
    return app


def box(app, name):
    """The number in a box; None where it is empty."""
    text = app.text_input(key=_key(name)).value
    return float(text) if text else None


def boxes(app):
    """Names of all boxes shown."""
    return [entry.key.removeprefix("num_") for entry in app.text_input]


def sent(app):
    """The data of every component on the page."""
    return [json.loads(element.proto.json or element.proto.mixed.json) for element in app.get("bidi_component")]


def knobs(app):
    """The data of the drawings mounted on the page, but for the temperature axis."""
    return [data for data in sent(app) if "figure" in data and data["figure"]["kind"] != "axis"]


def address(app):
    """The link that the address bar is given: one, whatever is drawn."""
    (found,) = (data["address"] for data in sent(app) if "address" in data)
    return found


def said(app, kind):
    """The messages of this kind shown, as text."""
    found = re.findall(rf'<div class="mw-say {kind}".*?<span>([^<]*)</span></div>', html(app), re.DOTALL)
    return [html_of.unescape(text) for text in found]


def lines(app):
    """The refusals shown."""
    return said(app, "error")


def slips(app):
    """What is wrong with what stands in boxes."""
    found = re.findall(r'<p class="mw-slip"[^>]*>.*?</span>([^<]*)</p>', html(app), re.DOTALL)
    return [html_of.unescape(text).strip() for text in found]
