"""The page's section that searches other melts for the metal, and puts one of them on the page.

What is found stands as a picture to choose from, as a table and as buttons.
Limits: presentation; the search is thermo.answers.finder and runs when its button is pressed. Worked value: sodium out
of NaCl, KCl, CaCl2 lists a melt near 48 NaCl, 52 CaCl2 mol% with its freezing start.
"""

from dataclasses import replace

import streamlit as st

from thermo.answers.finder import FoundMelt, Search, Wish, find_melts
from thermo.present.charts.choices import AXES, available, choices_picture, left_out
from thermo.present.page import html as markup
from thermo.present.page.callbacks import adopt
from thermo.present.page.find_choices import choices
from thermo.present.page.find_wish import show_inputs, wish_of
from thermo.present.page.html import table_html
from thermo.present.page.inputs import choice
from thermo.present.page.messages import say
from thermo.present.page.readouts import ReadOut
from thermo.present.words.written import VERDICT_SIGNS, degrees, plain, sentence, shares, signed_density
from thermo.records.composition import Composition
from thermo.records.provenance import InputError, RangeError
from thermo.records.units import celsius

ss = st.session_state
PICTURE = "find_picture"
SAME = 0.001  # mole fraction: rounding of a melt put on the page


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


def use(melt: Composition, T_K: float) -> None:
    """Put a melt that was found on the page, in moles, at the temperature it was judged at."""
    amounts = tuple((name, round(share, 2)) for name, share in melt.mole_percent.items())
    adopt(ss, replace(ss.page, amounts=amounts, basis="mol", t_C=float(round(celsius(T_K)))))
    ss.lowest_message = ""


def show(out: ReadOut) -> None:
    """Inputs and button; then what was found for them."""
    if not out.state.metal:
        say("info", "Choose a metal, above.")
        return
    show_inputs(out)
    wish = wish_of(out)
    st.button("Search", on_click=_want, args=(wish,), type="primary", disabled=not wish.salts)
    if ss.get("searching") == wish:
        _search(wish)
    asked, search, refusal = ss.get("found", (None, None, ""))
    if refusal:
        raise InputError(refusal)
    if search is None:
        return
    if asked != wish:
        say("info", "What is below answers an earlier question: press Search again.")
    notes = search.notes
    if not search.melts:
        say("info", sentence(notes[0] if notes else "no melt passes"))
        notes = notes[1:]
    else:
        _show_picture(asked, search, out)
        _show_table(asked, search)
    st.html(markup.lines_html([f"{search.searched} melts looked at", *notes]))


def _show_picture(asked: Wish, search: Search, out: ReadOut) -> None:
    """Points to choose from, by two merits that the person picks."""
    names = available(search)
    words = {name: AXES[name][0] for name in names}
    with st.container(horizontal=True):
        across = choice("find", "find_across", "Across", names, "start", format_func=words.get, width=260)
        up = choice("find", "find_up", "Upwards", names, "margin", format_func=words.get, width=260)
    figure = choices_picture(asked.symbol, search, across, up)
    chosen = chosen_of(search, out.composition)

    def take(n: int) -> None:
        use(search.melts[n].composition, search.melts[n].T_K)

    choices(PICTURE, figure, chosen, len(search.melts), take)
    lines = ["A point puts its melt on the page. Full: no other melt found beats it in everything that counts. "
             "Dashed: another does. Bars: one standard deviation."]  # fmt: skip
    missing = left_out(figure, search)
    if missing:
        lines.append(f"Not in the picture for want of one of the two: {', '.join(map(str, missing))}.")
    st.html(markup.hint_html(*lines))


def chosen_of(search: Search, melt: Composition | None) -> int | None:
    """Which of the melts found stands on the page; None where none does."""
    if melt is None:
        return None
    here = dict(zip(melt.salts, melt.fractions, strict=True))
    for n, found in enumerate(search.melts):
        there = dict(zip(found.composition.salts, found.composition.fractions, strict=True))
        if all(abs(here.get(f, 0.0) - there.get(f, 0.0)) < SAME for f in {*here, *there}):
            return n
    return None


def _show_table(asked: Wish, search: Search) -> None:
    header = ["melt", "mol%", "freezes from", "judged at", "metal", "margin", "window", "deposits first"]
    priced = any(found.price is not None for found in search.melts)
    rows = found_rows(search)
    if priced:
        header.append("cost a kg")
        rows = [[*row, "" if m.price is None else f"{m.price:.2f}"] for row, m in zip(rows, search.melts, strict=True)]
    caption = f"Melts for {asked.symbol}, best first; in heavy type those that nothing beats"
    st.html(table_html(caption, header, rows, search.pareto, downwards=True))
    with st.container(horizontal=True):
        for rank, found in enumerate(search.melts, 1):
            st.button(f"Use melt {rank}", key=f"use_{rank}", on_click=use, args=(found.composition, found.T_K))


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
    return [
        shares(found.composition.mole_percent, 0),
        f"{degrees(found.liquidus.T_K, found.liquidus.sigma_K)}, {found.liquidus.status}",
        degrees(found.T_K),
        f"{flotation.state}, {verdict}",
        "" if margin is None else signed_density(margin.difference_g_cm3, margin.sigma_g_cm3),
        ends,
        plain(order.first_words),
    ]
