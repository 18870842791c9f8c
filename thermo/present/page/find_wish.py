"""What the person wishes of a melt: boxes and switches of the Find page, and the wish they make.

The wish is read from what is typed (`session.typed`), so that other sections ask the same without drawing the boxes.
Limits: draws; checks nothing: a senseless wish is refused by the search, in one line. Worked value: with nothing typed
the wish is any melt of the page's salts, judged at the page's temperature.
"""

from dataclasses import replace

import streamlit as st

from thermo.answers.finder import MOST_IN_LIST, MOST_SALTS, Wish
from thermo.answers.finder.wish import LEAST_OWN
from thermo.present.page import html as markup
from thermo.present.page.inputs import choice, number, several, ticked
from thermo.present.page.readouts import ReadOut
from thermo.records.substances import salts
from thermo.records.units import kelvin

ss = st.session_state
WANTS = {"": "either way", "floats": "the metal floats", "sinks": "the metal sinks"}
JUDGED = {"page": "at the working temperature", "own": "just above each melt's freezing start"}
MORE = (  # name, label, what the empty box means
    ("find_chance", "Chance of that, %", "empty: at least likely, as the verdict has it"),
    ("find_margin_V", "First metal by, V", "empty: not asked for"),
    ("find_share_least", "Metal's salt at least, mass%", f"empty: {100 * LEAST_OWN:g}, or the cathode starves"),
    ("find_share_most", "Metal's salt at most, mass%", "empty: no limit"),
    ("find_vapour_Pa", "Salt vapour at most, Pa", "empty: no limit"),
    ("find_window_K", "Window at least, K wide", "empty: not asked for"),
)


def show_inputs(out: ReadOut) -> None:
    """All boxes; the rarer wishes behind a switch, without which they do not count."""
    if "at_hand" not in ss.typed:
        ss.typed["at_hand"] = list(out.mix.salts)
    help_words = f"Up to {MOST_IN_LIST}; one of them must hold the metal."
    several("find", "at_hand", "Salts at hand", salts(), max_selections=MOST_IN_LIST, help=help_words)
    with st.container(horizontal=True):
        choice("find", "want", "Wanted", WANTS, "", format_func=WANTS.get, width=200)
        choice("find", "most", "Most salts in one melt", range(1, MOST_SALTS + 1), 3, width=200)
        number("find", "below_C", "Freezes below, °C", width=160)
        choice("find", "judged", "Judged", JUDGED, "page", format_func=JUDGED.get, width=290)
    if ticked("find", "find_more", "More wishes: chance, margin, share, vapour, window, poison, water, cost"):
        with st.container(horizontal=True):
            for name, label, empty in MORE:
                number("find", name, label, help=empty, width=200)
        with st.container(horizontal=True):
            ticked("find", "find_no_poison", "No barium salts (poison)")
            ticked("find", "find_no_wet", "No salt that drying spoils")
        _cost_inputs()


def _cost_inputs() -> None:
    if not ticked("find", "find_by_cost", "By cost: my price of a kilogram of each salt"):
        return
    st.html(markup.hint_html("Any currency; a melt with an unpriced salt does not pass a limit."))
    with st.container(horizontal=True):
        for formula in ss.typed["at_hand"]:
            number("find", f"find_cost_{formula}", f"{formula}, a kg", width=148)
        number("find", "find_cost_most", "The mix at most, a kg", help="empty: no limit", width=200)


def wish_of(out: ReadOut) -> Wish:
    """The wish that is typed, for the page's metal and its choices."""
    typed, state = ss.typed, out.state
    at_hand = tuple(typed.get("at_hand") or out.mix.salts)
    below_C = typed.get("below_C")
    wish = Wish(
        symbol=state.metal,
        salts=at_hand,
        most=typed.get("most", 3),
        T_K=kelvin(state.t_C) if typed.get("judged", "page") == "page" else None,
        want=typed.get("want") or None,
        below_K=None if below_C is None else kelvin(below_C),
        superheat_K=state.superheat_K,
        deposit=None if state.deposit == "either" else state.deposit,
        vessel=state.vessel or None,
        atmosphere=state.atmosphere,
    )
    return _with_more(wish) if typed.get("find_more") else wish


def _with_more(wish: Wish) -> Wish:
    typed = ss.typed
    chance, least, most = (typed.get(f"find_{name}") for name in ("chance", "share_least", "share_most"))
    prices = {f: typed.get(f"find_cost_{f}") for f in wish.salts} if typed.get("find_by_cost") else {}
    return replace(
        wish,
        chance=None if chance is None else chance / 100,
        margin_V=typed.get("find_margin_V"),
        share=(LEAST_OWN if least is None else least / 100, 1.0 if most is None else most / 100),
        vapour_Pa=typed.get("find_vapour_Pa"),
        window_K=typed.get("find_window_K"),
        poison=not typed.get("find_no_poison", False),
        wet=not typed.get("find_no_wet", False),
        cost={formula: price for formula, price in prices.items() if price is not None},
        most_cost=typed.get("find_cost_most") if prices else None,
    )
