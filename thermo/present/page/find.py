"""The page's section that searches other melts for the metal, and puts one of them on the page.

Limits: presentation; the search is thermo.answers.finder and runs when its button is pressed. Worked value: sodium out
of NaCl, KCl, CaCl2 lists a melt near 48 NaCl, 52 CaCl2 mol% with its freezing start.
"""

from dataclasses import replace

import streamlit as st

from thermo.answers.finder import MOST_IN_LIST, MOST_SALTS, FoundMelt, Search, Wish, find_melts
from thermo.present.page import html as markup
from thermo.present.page.callbacks import adopt
from thermo.present.page.html import table_html
from thermo.present.page.inputs import choice, number, several
from thermo.present.page.messages import say
from thermo.present.page.readouts import ReadOut
from thermo.present.words.written import VERDICT_SIGNS, degrees, shares, signed_density
from thermo.records.composition import Composition
from thermo.records.provenance import InputError, RangeError
from thermo.records.substances import salts
from thermo.records.units import celsius, kelvin

ss = st.session_state
WANTS = {"": "either way", "floats": "the metal floats", "sinks": "the metal sinks"}
JUDGED = {"page": "at the working temperature", "own": "just above each melt's freezing start"}


def _inputs(out: ReadOut) -> Wish:
    if "at_hand" not in ss.typed:
        ss.typed["at_hand"] = list(out.mix.salts)
    help_words = f"Up to {MOST_IN_LIST}; one of them must hold the metal."
    at_hand = several("find", "at_hand", "Salts at hand", salts(), max_selections=MOST_IN_LIST, help=help_words)
    with st.container(horizontal=True):
        want = choice("find", "want", "Wanted", WANTS, "", format_func=WANTS.get, width=200)
        most = choice("find", "most", "Most salts in one melt", range(1, MOST_SALTS + 1), 3, width=200)
        below = number("find", "below_C", "Freezes below, °C", step=10.0, width=160)
        judged = choice("find", "judged", "Judged", JUDGED, "page", format_func=JUDGED.get, width=290)
    state = out.state
    return Wish(
        symbol=state.metal,
        salts=tuple(at_hand),
        most=most,
        T_K=kelvin(state.t_C) if judged == "page" else None,
        want=want or None,
        below_K=None if below is None else kelvin(below),
        superheat_K=state.superheat_K,
        deposit=None if state.deposit == "either" else state.deposit,
        vessel=state.vessel or None,
        atmosphere=state.atmosphere,
    )


def _want(wish: Wish | None) -> None:
    """The search that the next run of the page is to do; None to leave it."""
    ss.searching = wish


def _search(wish: Wish) -> None:
    """Search with a bar that moves and a button to leave it: any press ends the run at the bar's next step."""
    with st.container(horizontal=True, vertical_alignment="center"):
        bar = st.progress(0.0, "Looking at melts …", width="stretch")
        st.button("Cancel", key="find_cancel", on_click=_want, args=(None,))

    def moved(done: int, of: int) -> None:
        bar.progress(done / of, f"Looking at melts: {done} of {of} mixes of salts")

    try:
        ss.found = (wish, find_melts(wish, progress=moved), "")
    except (InputError, RangeError) as error:
        ss.found = (wish, None, str(error))
    ss.searching = None
    st.rerun()


def _use(melt: Composition, T_K: float) -> None:
    """Put a melt that was found on the page, in moles, at the temperature it was judged at."""
    amounts = tuple((name, round(share, 2)) for name, share in melt.mole_percent.items())
    adopt(ss, replace(ss.page, amounts=amounts, basis="mol", t_C=float(round(celsius(T_K)))))
    ss.lowest_message = ""


def show(out: ReadOut) -> None:
    """Inputs and button; then what was found for them."""
    if not out.state.metal:
        say("info", "Choose a metal, above.")
        return
    wish = _inputs(out)
    st.button("Search", on_click=_want, args=(wish,), type="primary", disabled=not wish.salts)
    if ss.get("searching") == wish:
        _search(wish)
    asked, search, refusal = ss.get("found", (None, None, ""))
    if refusal:
        raise InputError(refusal)
    if search is None:
        return
    if asked != wish:
        say("info", "The list below answers an earlier question: press Search again.")
    if not search.melts:
        say("info", "No melt passes.")
    else:
        header = ("melt", "mol%", "freezes from", "judged at", "metal", "margin", "window", "deposits first")
        st.html(table_html(f"Melts for {asked.symbol}, best first", header, found_rows(search), downwards=True))
        with st.container(horizontal=True):
            for rank, found in enumerate(search.melts, 1):
                st.button(f"Use melt {rank}", key=f"use_{rank}", on_click=_use, args=(found.composition, found.T_K))
    st.html(markup.lines_html([f"{search.searched} melts looked at", *search.notes]))


def found_rows(search: Search) -> list[list[str]]:
    """One row a melt, best first."""
    return [[str(rank), *_row(found)] for rank, found in enumerate(search.melts, 1)]


def _row(found: FoundMelt) -> list[str]:
    flotation, window, order = found.flotation, found.window, found.order
    margin, ends, verdict = flotation.margin, "none", "leaves as vapour"
    if window.span_K is not None:
        low, high = window.span_K
        ends = f"{degrees(low, window.sigma_low_K or None)} to {degrees(high)}"
    if margin is not None:
        verdict = VERDICT_SIGNS.get(margin.verdict, margin.verdict)
    behind = ""
    if order.margin_V is not None:
        behind = f", {order.margin_V:.2f} ± {order.couples[1].gap_sigma_V:.2f} V before the next"
    return [
        shares(found.composition.mole_percent, 0),
        f"{degrees(found.liquidus.T_K, found.liquidus.sigma_K)}, {found.liquidus.status}",
        degrees(found.T_K),
        f"{flotation.state}, {verdict}",
        "" if margin is None else signed_density(margin.difference_g_cm3, margin.sigma_g_cm3),
        ends,
        f"{order.first.metal}{behind}",
    ]
