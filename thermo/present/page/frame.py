"""The frame round every page: bar, pages, metal and temperature, the four answers, the dangers.

Wide: one bar, the pages under it, then inputs, and diagram and answers side by side. Narrow: the answers stay in view
while the page scrolls, the pages are at the foot. Where things stand is the style sheet's matter (page.css).
Limits: draws; what a control does is in `callbacks`. Worked value: the opening page shows four boxes with data-answer.
"""

from collections.abc import Callable, Mapping, Sequence
from functools import partial

import streamlit as st
from streamlit.navigation.page import Page

from thermo.answers.window import ATMOSPHERES
from thermo.present.page import html as markup
from thermo.present.page.answers import answers, sentence
from thermo.present.page.callbacks import adopt, set_temperature, take_metal, take_widgets
from thermo.present.page.messages import say
from thermo.present.page.quick_starts import START
from thermo.present.page.readouts import ReadOut, into_window
from thermo.present.page.share import show_share
from thermo.present.page.sources import cautions_of, dangers_of
from thermo.present.page.state import DEPOSITS
from thermo.present.page.steps import redo, undo
from thermo.present.words.written import pretty, shares
from thermo.records.substances import metal, metals
from thermo.records.vessels import vessels

ss = st.session_state
changed = partial(take_widgets, ss)
STEP_C = 10.0
FOLDED = ("cell", "after", "find", "evidence", "materials")  # pages behind More on a narrow screen


def show_bar(out: ReadOut, pages: Mapping[str, Page]) -> None:
    """Name, pages, quick starts, undo, redo, notebook, share: one row on a wide screen."""
    with st.container(key="bar", horizontal=True):
        st.html('<h1 class="mw-name">Meltwright</h1>')
        _show_pages(pages)
        start = st.popover("Start", key="pop_start", on_change="rerun")
        if start.open:
            with start:
                _show_starts()
        trail = ss.trail
        first = not trail.can_undo and out.composition is not None
        st.button("Undo", key="undo", icon=":material/undo:", disabled=first, on_click=undo, args=(ss,))
        last = not trail.can_redo
        st.button("Redo", key="redo", icon=":material/redo:", disabled=last, on_click=redo, args=(ss,))
        st.page_link(pages["notebook"], label="Notebook", icon=":material/book_2:")
        share = st.popover("Share", key="pop_share", on_change="rerun")
        if share.open:
            with share:
                show_share(out)


def _show_starts() -> None:
    st.html(markup.hint_html("A melt, temperature and deposit to begin with; Undo brings the old melt back."))
    for symbol, start in START.items():
        mix = " ".join(f"{pretty(name)} {amount:g}" for name, amount in start.amounts)
        words = f"{symbol} {metal(symbol).name}: {mix}, {start.t_C:.0f} °C"
        st.button(words, key=f"start_{symbol}", on_click=_begin, args=(symbol,), width="stretch")


def _begin(symbol: str) -> None:
    adopt(ss, START[symbol].page(symbol, ss.page))
    ss.pop_start = False


def _show_pages(pages: Mapping[str, Page]) -> None:
    """A link to each page; on a narrow screen four of them and the rest behind More."""
    with st.container(key="nav", horizontal=True):
        for key, page in pages.items():
            if key == "notebook":
                continue  # it has its place in the bar
            folded = key in FOLDED
            with st.container(key=f"{'wide' if folded else 'nav'}_{key}", width="content"):
                st.page_link(page)
        with st.container(key="fold_more", width="content"):
            more = st.popover("More", key="pop_more", on_change="rerun")
            if more.open:
                with more:
                    for key in FOLDED:
                        st.page_link(pages[key])


def show_answers(out: ReadOut, named: bool) -> None:
    """The four boxes and the one live sentence; named: with the melt in a line, where no amounts are shown."""
    melt = f"{shares(out.composition.mole_percent)} mol%" if named and out.composition is not None else ""
    with st.container(key="answers"):
        st.html(markup.answers_html(answers(out), sentence(out), melt))


def show_inputs(out: ReadOut) -> None:
    """Metal, deposit, temperature, and the less used settings."""
    with st.container(key="inputs", horizontal=True):
        every = ["", *metals()]
        st.selectbox("Metal", every, key="metal", format_func=metal_words, width=170, on_change=take_metal, args=(ss,))
        st.selectbox("Wanted deposit", DEPOSITS, key="deposit", width=130, on_change=changed)
        _show_heat(out)
        rest = st.popover("Vessel, air", key="pop_rest", on_change="rerun")
        if rest.open:
            with rest:
                _show_rest()
        if "t_C" in ss.slips:  # last in the row: nothing moves aside for it
            st.html(markup.slip_html(ss.slips["t_C"]))
    if ss.moved_message:
        say("info", ss.moved_message)


def _show_heat(out: ReadOut) -> None:
    """Working temperature as a number, in steps, and into the window."""
    t_C = out.state.t_C
    with st.container(key="heat", horizontal=True, width="content"):
        st.text_input("Temperature, °C", key="t_C", on_change=changed, width=118)
        step = partial(st.button, on_click=set_temperature)
        step("−10", key="colder", args=(ss, t_C - STEP_C, "heat"))
        step("+10", key="hotter", args=(ss, t_C + STEP_C, "heat"))
        target = into_window(out.window)
        step("Into the window", key="into", args=(ss, target or t_C), disabled=target is None)


def _show_rest() -> None:
    st.text_input("Superheat over the freezing start, K", key="superheat", on_change=changed)
    if "superheat" in ss.slips:
        st.html(markup.slip_html(ss.slips["superheat"]))
    st.selectbox("Vessel", ["", *vessels()], key="vessel", format_func=vessel_words, on_change=changed)
    st.radio("Atmosphere", ATMOSPHERES, key="atmosphere", horizontal=True, on_change=changed)


def metal_words(symbol: str) -> str:
    """A metal in the list."""
    return f"{metal(symbol).name} ({symbol})" if symbol else "none"


def vessel_words(name: str) -> str:
    """A vessel in the list."""
    return name or "not given"


def show_caution(out: ReadOut) -> None:
    """The dangers by name, what to do about them on a tap."""
    found = cautions_of(out)
    if found:
        with st.container(key="caution"):
            st.html(markup.caution_html(dangers_of(out), found))


def show_link_messages(messages: Sequence[str]) -> None:
    """What of a link could not be read, all in one box: the answers stay near the top."""
    if messages:
        say("warning", "\n".join(messages))


def drawn_page(out: ReadOut, show: Callable[[ReadOut], None], other: bool) -> None:
    """A page's own content inside the frame."""
    with st.container(key="content"):
        if other:
            st.html('<span class="mw-page-other"></span>')
        if out.composition is None:
            say("info", "This page waits for a melt that can be read: see the message at the amounts.")
            return
        show(out)
