"""The page's section on a cooling check: arrests read on a thermocouple, held against the melt that was meant.

Limits: presentation; the answer is thermo.answers.cooling.curve and takes seconds for several salts, so it is worked
out when its button is pressed and shown as long as melt and readings stay. Its words are those of the command.
Worked value: 42 NaCl, 58 CaCl2 mol% with 545 and 498 deg C typed: the arrests fit the intended melt.
"""

from functools import partial

import streamlit as st

from thermo.answers.bath import BathAnswer
from thermo.answers.cooling.curve import check_cooling
from thermo.present.as_json.cooling import cooling_json
from thermo.present.charts.svg import Arrest, arrests_axis
from thermo.present.page import html as markup
from thermo.present.page.html import ranks_html
from thermo.present.page.inputs import cited_background, number
from thermo.present.page.link import ARRESTS
from thermo.present.page.messages import say
from thermo.present.page.readouts import ReadOut
from thermo.present.page.working import aside, working
from thermo.present.words import cooling as cooling_words
from thermo.present.words.card import Card
from thermo.present.words.written import degrees, plain
from thermo.records.composition import Composition
from thermo.records.provenance import InputError
from thermo.records.units import kelvin

ss = st.session_state
SIGMA_K, SPREAD_PERCENT = 3.0, 10.0  # shown until something else is typed
FEWEST_BOXES = 3
_READ_HELP = (
    "A temperature at which the melt stops cooling, or cools slower, for a while: as read, not corrected. Further "
    "boxes come as these fill."
)
_SIGMA_HELP = "One standard deviation of a reading: thermocouple, its cold end and the eye together."
_SPREAD_HELP = "How far from what was meant a salt may be, in the search for other compositions."


def _checked(melt: Composition, arrests_C: tuple[float, ...], sigma_K: float, off_percent: float) -> dict:
    """The answer to the question that was asked last, worked out once, with a bar and a button to leave it."""
    question = (melt, arrests_C, sigma_K, off_percent)
    asked, found = ss.get("cooling_found", (None, {}))
    if asked != question:
        with working("cooling", "Holding the arrests against this melt", _leave) as step:
            asked_K, off = tuple(map(kelvin, arrests_C)), off_percent / 100
            found = cooling_json(aside(lambda own: check_cooling(melt, asked_K, sigma_K, off, own), step))
        ss.cooling_found = (question, found)
    return found


def _leave() -> None:
    ss.cooling_asked = None


def _arrests() -> tuple[float, ...]:
    """The boxes for arrests, one more than are filled; what stands in them."""
    filled = [n for n, name in enumerate(ARRESTS, 1) if ss.typed.get(name) is not None]
    boxes = min(max(FEWEST_BOXES, max(filled, default=0) + 1), len(ARRESTS))
    with st.container(horizontal=True):
        read = [
            number("cooling", name, f"Arrest {n}, °C", help=_READ_HELP if n == 1 else None, width=120)
            for n, name in enumerate(ARRESTS[:boxes], 1)
        ]
    return tuple(t_C for t_C in read if t_C is not None)


def show(out: ReadOut) -> None:
    """Inputs and button; then the verdict, each arrest, other compositions and other explanations."""
    if out.bath is not None:
        say("warning", _without_alumina(out.bath))
    arrests_C = _arrests()
    with st.container(horizontal=True):
        sigma_K = number("cooling", "reading_sigma_K", "Reading good to ±, K", SIGMA_K, help=_SIGMA_HELP, width=190)
        off = number(
            "cooling", "off_percent", "A salt off by up to, mol%", SPREAD_PERCENT, help=_SPREAD_HELP, width=220
        )
    if sigma_K is None or off is None:
        raise InputError("reading and search: type both, in K and mol%")
    question = (out.mix, arrests_C, sigma_K, off)
    if st.button("Check these arrests", type="primary", disabled=not arrests_C, key="cooling_check"):
        ss.cooling_asked = question
    if not arrests_C:
        say("info", "Type what the thermocouple showed while the melt cooled: one to eight arrests.")
    elif ss.get("cooling_asked") != question:
        say("info", "Press the button: these arrests have not been held against this melt yet (takes a few seconds).")
    else:
        _show_answer(_checked(*question))


def _without_alumina(bath: BathAnswer) -> str:
    """What a bath with dissolved alumina would change: this check knows only its salts."""
    start, alumina = bath.liquidus, bath.name.alumina_pct
    words = "This check leaves dissolved alumina out, which lowers the freezing start"
    if not alumina:
        return f"{words}; type it under Aluminium bath to see by how much."
    return f"{words}: with {alumina:g} mass% it is {degrees(start.T_K, start.sigma_K)}."


def _show_answer(found: dict) -> None:
    st.html(markup.cards_html(check_cards(found)))
    st.html(markup.sized_html(partial(arrests_picture, found), "Computed arrests over the axis, readings under it"))
    st.html(markup.head_html("Arrests, the highest first"))
    st.html(ranks_html(cooling_words.arrest_entries(found)))
    if found["compositions"]:
        st.html(markup.head_html(f"{_capital(cooling_words.COMPOSITIONS)}"))
        st.html(markup.lines_html(cooling_words.composition_lines(found)))
    st.html(markup.head_html(f"{_capital(cooling_words.EXPLANATIONS)}"))
    st.html(ranks_html(cooling_words.explanation_entries(found)))
    cited_background("cooling", found["notes"], found["sources"])


def arrests_picture(found: dict, width: int = 640) -> str:
    """Computed events and readings on one temperature axis."""
    events = [(e["stage"], e["T_C"], e["sigma_K"] or 0.0) for e in found["events"] if e["T_C"] is not None]
    read = [Arrest(a["T_C"], a["sigma_K"] or 0.0, a["verdict"] == "fits") for a in found["arrests"]]
    return arrests_axis(events, read, width)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def check_cards(found: dict) -> tuple[Card, ...]:
    """Verdict, computed start of freezing, computed last freezing."""
    fits = all(arrest["verdict"] == "fits" for arrest in found["arrests"])
    start, last = plain(cooling_words.start_words(found)), plain(cooling_words.last_words(found))
    return (
        Card("Do the arrests fit?", _capital(found["verdict"]), alarm=not fits),
        Card("Computed: starts to freeze at", start, status=found["liquidus"]["status"]),
        Card("Computed: last freezing", last),
    )
