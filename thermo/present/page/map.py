"""The map of the melt: pair diagram, triangle of three salts, draggable shares of four to six, edges in small.

Of four to six salts any three are on the triangle's corners, chosen by the person, and the others are held; the shares
of all of them can be dragged instead. Limits: draws; what a knob does is in `callbacks`. Worked value: with three salts
the diagram is their triangle, with two their pair diagram, with one none.
"""

from itertools import combinations

import streamlit as st

from thermo.answers.evidence.start_of_freezing import COMPUTED, FreezingStart
from thermo.present.charts.edges import edge_line, edge_picture, edge_span
from thermo.present.charts.pair_data import NOT_KNOWN_START, drawable, pair_diagram
from thermo.present.charts.shares_data import shares_diagram
from thermo.present.charts.triangle_data import triangle_diagram
from thermo.present.diagram.component import diagram, received
from thermo.present.page import html as markup
from thermo.present.page.callbacks import corners_of, payload, take_corners, take_move
from thermo.present.page.inputs import choice
from thermo.present.page.messages import say
from thermo.present.page.readouts import WORTH_SAYING_K, ReadOut
from thermo.present.page.working import working
from thermo.present.words.written import degrees, pretty, shares
from thermo.records.composition import Composition
from thermo.records.provenance import InputError, RangeError
from thermo.records.remembered import remembered_last
from thermo.records.substances import metal, shares_an_ion
from thermo.records.units import celsius

ss = st.session_state
TRIANGLE, SHARES = "Triangle", "Shares"


def mount(key: str, figure: dict, values: dict, spoken: str = "") -> None:
    """Place a drawing with its knobs."""

    def on_move() -> None:
        move = received(key)
        if move is not None:
            take_move(ss, key, move.seq, move.changes)

    diagram(key, payload(ss, key, figure, values, spoken), on_move)


triangle = remembered_last(64)(triangle_diagram)  # kept per three salts and what is held


def show_diagram(out: ReadOut) -> None:
    """The pair diagram or the triangle."""
    with st.container(key="diagram"):
        _show_drawing(out)


def _show_drawing(out: ReadOut) -> None:
    names = out.state.salts
    if out.composition is None:
        say("info", "The diagram waits for a melt that can be read: see the message at the amounts.")
        return
    try:
        if len(names) == 2 and drawable(names):
            _show_pair(out, out.composition)
        elif len(names) >= 3:
            _show_triangle(out, out.composition)
        else:
            st.html(markup.shares_html(out.composition.mole_percent))
    except (InputError, RangeError) as error:
        say("warning", f"Diagram: {error}")


def spoken_start(out: ReadOut) -> str:
    """The freezing start for the knob's plate and a screen reader."""
    start_of = out.liquidus
    if start_of is None:
        return ""
    return f"freezes from {degrees(start_of.T_K, start_of.sigma_K)}" if start_of.known else NOT_KNOWN_START


def coldest_near(out: ReadOut) -> Composition | None:
    """The coldest computed melt within 3 mol% of the page's, where its card names it; None elsewhere."""
    start = out.liquidus
    near = start.coldest_near if start is not None and start.computed.known else None
    if start is None or near is None or start.computed.T_K - near.T_K <= WORTH_SAYING_K:
        return None
    return near.composition


def _aside(start: FreezingStart | None) -> str:
    """' (measured)' where the start of freezing lies off the curve, which is computed."""
    if start is None or not start.known or start.rests_on == COMPUTED:
        return ""
    return " (measured)" * (abs(start.T_K - start.computed.T_K) > WORTH_SAYING_K)


def _show_pair(out: ReadOut, composition: Composition) -> None:
    page, (first, second) = out.state, out.state.salts
    melting = (metal(page.metal).name, celsius(metal(page.metal).melting_point_K)) if page.metal else None
    values = {"x": 100 * composition.fractions[1], "t_C": page.t_C}
    mount("map", pair_diagram(first, second, page.t_C, melting), values, f"{spoken_start(out)}{_aside(out.liquidus)}")


def _show_triangle(out: ReadOut, composition: Composition) -> None:
    """Any three of the salts on the corners, the others held at their shares; or the shares of all of them."""
    corners: tuple[str, ...] = corners_of(ss, out.state)
    share = composition.mole_percent
    if len(out.state.salts) > 3:
        with st.container(key="map_choice", horizontal=True, vertical_alignment="bottom"):
            view = choice("map", "map_view", "Drawn as", (TRIANGLE, SHARES), TRIANGLE, width=120)
            if view == TRIANGLE:
                corners = _choose_corners(out.state.salts, corners)
                held = {name: x for name, x in share.items() if name not in corners}
                st.html(markup.hint_html(f"held, mol%: {shares(held)}"))
        if view == SHARES:
            values = {"mix": [share[name] for name in out.state.salts]}
            mount("shares", shares_diagram(out.state.salts), values, spoken_start(out))
            return
    room = sum(share[name] for name in corners)
    kept = tuple((name, round(share[name] / 100, 4)) for name in share if name not in corners and share[name] > 0)
    if room <= 0:
        say("info", "These three salts are not in the melt: choose others for the corners.")
        return
    values = {"shares": [100 * share[name] / room for name in corners]}
    if not kept and (near := coldest_near(out)) is not None:
        values["near"] = [near.mole_percent.get(name, 0.0) for name in corners]
    mount("map", triangle((corners[0], corners[1], corners[2]), kept), values, spoken_start(out))


def _choose_corners(salts: tuple[str, ...], corners: tuple[str, ...]) -> tuple[str, ...]:
    choices = list(combinations(salts, 3))
    ss.corners = next(three for three in choices if set(three) == set(corners))
    words = "On the corners; others held"
    st.selectbox(
        words, choices, key="corners", format_func=_corner_words, width=230, on_change=take_corners, args=(ss,)
    )
    return ss.corners


def _corner_words(three: tuple[str, str, str]) -> str:
    return " – ".join(map(pretty, three))


def show_edges(out: ReadOut) -> None:
    """The pairs of the melt's salts as small pictures of their start of freezing, all on one scale."""
    pairs = [pair for pair in combinations(out.mix.salts, 2) if shares_an_ion(*pair)]
    if len(out.mix.salts) < 3:
        say("info", "Three salts or more have edges: a pair has the diagram above.")
        return
    with working("edges", "Drawing the pairs") as step:
        for done, pair in enumerate(pairs):
            step(done, len(pairs))
            edge_line(*pair)
    pictures, (low_C, high_C) = _edges(tuple(pairs))
    st.html(pictures)
    st.html(markup.hint_html(f"Start of freezing against mol%, each from {low_C:.0f} to {high_C:.0f} °C; ◆ coldest"))


@remembered_last(32)
def _edges(pairs: tuple[tuple[str, str], ...]) -> tuple[str, tuple[float, float]]:
    """The pictures as HTML, and the span of their scale in deg C."""
    lines = [edge_line(*pair) for pair in pairs]
    span_C = edge_span(lines)
    words = [f"{_pair_words(pair)}: start of freezing against composition" for pair in pairs]
    drawn = [(edge_picture(line, span_C), text) for line, text in zip(lines, words, strict=True)]
    return markup.pictures_html(drawn), span_C


def _pair_words(pair: tuple[str, str]) -> str:
    return "–".join(map(pretty, pair))
