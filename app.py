"""The page: set a melt, read what it and the metal do. Run with `streamlit run app.py`.

st.session_state.page is the truth; widgets and knobs change it in their callbacks only, a search that took a run
before the first widget of the next one (thermo/present/page/callbacks.py). The frame (thermo/present/page/frame.py)
stands round every page.
"""

import gc
from contextlib import suppress
from functools import partial

import streamlit as st
from starlette.middleware import Middleware
from streamlit.navigation.page import Page

from thermo.present.diagram.component import keep_address
from thermo.present.page import frame
from thermo.present.page import html as markup
from thermo.present.page.answers import answers, sentence
from thermo.present.page.bath import typed_alumina
from thermo.present.page.callbacks import keep_widgets, take_lowest
from thermo.present.page.headers import SafeHeaders
from thermo.present.page.map import show_diagram, triangle
from thermo.present.page.melt import show_amounts, show_axis, show_pot
from thermo.present.page.messages import guarded
from thermo.present.page.packed import PackedFiles
from thermo.present.page.readouts import read_out
from thermo.present.page.sections import PAGES, PageOf, show_sections
from thermo.present.page.share import full_link
from thermo.present.page.state import OPENING
from thermo.present.page.steps import link, remember, restarted, start, take_address
from thermo.records.errors import DataError

ss = st.session_state


@st.cache_resource(show_spinner=False)
def settle() -> None:
    """Once, after everything is loaded: keep the loaded objects out of the collection that follows every run."""
    gc.collect()
    gc.freeze()


def pages() -> dict[str, Page]:
    """Streamlit's pages, each with its address; which one runs is asked for below."""
    return {
        key: st.Page(partial(_nothing, key), title=page.name, url_path=page.address or None, default=key == "melt")
        for key, page in PAGES.items()
    }


def _nothing(_key: str) -> None:
    """The frame draws a page's content itself, in its own place."""


def main() -> None:
    """Lay the page out: the frame, and inside it the page that the address names."""
    st.set_page_config(page_title="Meltwright", page_icon="⚗️", layout="wide")
    if "page" not in ss:
        start(ss, st.query_params.to_dict())
    take_lowest(ss)
    keep_widgets(ss)
    remember(ss)
    st.html(markup.style())
    named = pages()
    current = st.navigation(list(named.values()), position="hidden")
    page = PAGES[next(key for key, entry in named.items() if entry == current)]
    out = read_out(ss.page, ss.get("open_freezing", False), typed_alumina())
    _draw(page, out, named)
    keep_address(link(ss), ss.trail.place, ss.session_id, partial(take_address, ss), partial(restarted, ss))
    settle()


def _draw(page: PageOf, out, named: dict) -> None:
    first = page is PAGES["melt"]
    with guarded("The bar", full_link):
        frame.show_bar(out, named)
        frame.show_link_messages(ss.link_messages)
    with st.container(key="frame"):
        with guarded("The answers", full_link):
            frame.show_answers(out, named=not first)
        with guarded("The inputs", full_link):
            frame.show_inputs(out)
        if first:
            with st.container(key="mix"):
                with guarded("The diagram", full_link):
                    show_diagram(out)
                with guarded("The amounts", full_link):
                    show_amounts(out)
        with guarded("The temperature axis", full_link):
            show_axis(out)
        with guarded("Dangers", full_link):
            frame.show_caution(out)
        if first:
            with guarded("The pot", full_link):
                show_pot(out)
        frame.drawn_page(out, partial(show_sections, page), other=not first)


def warm() -> None:
    """Once, when the server is started: tables read and the opening page worked out, so that nobody waits for them."""
    out = read_out(OPENING)
    markup.answers_html(answers(out), sentence(out))
    triangle(OPENING.salts, ())


if __name__ == "__main__":  # each run of the page
    with guarded("The page"):
        main()
else:  # once, when the server is started
    with suppress(DataError):  # a table that cannot be read: the page says which
        warm()
    app = st.App(__file__, middleware=[Middleware(SafeHeaders), Middleware(PackedFiles)])
