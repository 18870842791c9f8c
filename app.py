"""The page: drag a composition on its diagram, read what the melt and the metal do. Run with `streamlit run app.py`.

st.session_state.page is the truth; widgets and knobs change it in their callbacks only
(thermo/present/page/callbacks.py).
"""

import csv
import gc
import io
from functools import partial

import streamlit as st

from thermo.answers.window import ATMOSPHERES
from thermo.equilibrium.system.build import MOST_SALTS
from thermo.present.charts import figures
from thermo.present.charts.pair_data import (
    NOT_KNOWN_START,
    SUBLIMES,
    density_diagram,
    drawable,
    invariant_lines,
    pair_diagram,
)
from thermo.present.charts.triangle_data import triangle_diagram
from thermo.present.diagram.component import diagram, keep_address, received
from thermo.present.page import html as markup
from thermo.present.page.bath import typed_alumina
from thermo.present.page.callbacks import link, payload, start, take_lowest, take_move, take_recipe, take_widgets
from thermo.present.page.cards import cards
from thermo.present.page.downloads import drawings
from thermo.present.page.readouts import ReadOut, other_basis_line, read_out
from thermo.present.page.section_html import shares_html
from thermo.present.page.sections import show_sections
from thermo.present.page.sources import cautions_of, notes_of, sources_of, table_rows
from thermo.present.page.state import DEPOSITS, SUPERHEAT_K, TEMPERATURE_C
from thermo.present.words.written import degrees, plain, pretty
from thermo.records.composition import BASES
from thermo.records.provenance import InputError, RangeError
from thermo.records.substances import metal, metals, salts
from thermo.records.units import celsius
from thermo.records.vessels import vessels

ss = st.session_state
changed = partial(take_widgets, ss)
BASIS_WORDS = {"mol": "moles (mol%)", "mass": "grams (mass%)"}
OPENING_WORDS = (
    "When does this melt start to freeze, does the metal float, and between which temperatures can the cell run? "
    "The page opens with magnesium made from sodium, calcium and magnesium chloride at 720 °C: move the knob and read "
    "the cards. Calcium chloride makes the bath heavier, so that the metal floats; sodium chloride is cheap, but too "
    "much of it raises the freezing start."
)


def mount(key: str, figure: dict, values: dict, spoken: str = "") -> None:
    """Place a drawing with its knobs."""

    def on_move() -> None:
        move = received(key)
        if move is not None:
            take_move(ss, key, move.seq, move.changes)

    diagram(key, payload(ss, key, figure, values, spoken), on_move)


@st.cache_data(show_spinner="Working out the triangle …", max_entries=64)
def triangle(names: tuple[str, str, str]) -> dict:
    """The triangle's drawing, kept per three salts."""
    return triangle_diagram(names)


def show_diagram(out: ReadOut) -> None:
    """The pair diagram or the triangle, when the melt is one; otherwise why not."""
    names = out.state.salts
    if out.composition is None:
        st.info("The diagram waits for a melt that can be read: see the message at the amounts.")
    elif not drawable(names):
        st.info("No diagram to drag: it takes two or three salts of one anion. For this melt set the amounts below.")
        st.html(shares_html(out.composition.mole_percent))
    else:
        try:
            (show_pair if len(names) == 2 else show_triangle)(out)
        except (InputError, RangeError) as error:
            st.warning(f"Diagram: {error}")


def spoken_start(out: ReadOut) -> str:
    """The freezing start for a screen reader."""
    start_of = out.liquidus
    if start_of is None:
        return ""
    return f"starts to freeze at {degrees(start_of.T_K, start_of.sigma_K)}" if start_of.known else NOT_KNOWN_START


def show_pair(out: ReadOut) -> None:
    """Pair diagram with its numbered invariants."""
    page = out.state
    melting = (metal(page.metal).name, celsius(metal(page.metal).melting_point_K)) if page.metal else None
    values = {"x": 100 * out.composition.fractions[1], "t_C": page.t_C}
    mount("diagram", pair_diagram(*page.salts, page.t_C, melting), values, spoken_start(out))
    words = (
        "Drag the round knob, tap the plot, or use the arrow keys. The knob at the right edge sets the temperature. "
        "Under the plot: the solid that comes first."
    )
    st.html(markup.hint_html(words, *invariant_lines(*page.salts)))


def show_triangle(out: ReadOut) -> None:
    """Triangle of three salts."""
    values = {"shares": [100 * x for x in out.composition.fractions]}
    mount("diagram", triangle(out.state.salts), values, spoken_start(out))
    words = "Drag the knob, tap the triangle, or use the arrow keys (up: more of the top salt)."
    st.html(markup.hint_html(words, *[SUBLIMES] * ("AlF3" in out.state.salts)))


def show_melt_inputs(out: ReadOut) -> None:
    """Amounts in parts, their basis, what they come to, and the recipe line; each message beside its input."""
    with st.container(horizontal=True):
        for name in out.state.salts:
            label = f"{pretty(name)}, parts"
            st.number_input(label, key=f"part_{name}", step=1.0, format="%.6g", width=150, on_change=changed)
    if "composition" in out.messages:
        st.error(out.messages["composition"])
    basis_help = "Amounts of dry salt in any total. 58.5 / 41.5 in moles and in grams are two different melts."
    st.radio(
        "The parts are",
        BASES,
        key="basis",
        format_func=BASIS_WORDS.get,
        horizontal=True,
        on_change=changed,
        help=basis_help,
    )
    if out.composition is not None:
        st.html(markup.composition_html(out.composition))
    if out.liquidus is not None:
        st.markdown(other_basis_line(out.state, out.liquidus))
    lowest_words = "Find the lowest-melting mix of these salts"
    st.button(lowest_words, on_click=take_lowest, args=(ss,), disabled=len(out.state.salts) < 2)
    if ss.lowest_message:
        st.markdown(ss.lowest_message)
    st.text_input(
        "Or paste a recipe",
        key="recipe",
        placeholder="NaCl=48 CaCl2=52",
        on_change=take_recipe,
        args=(ss,),
        help="SALT=AMOUNT, in the basis chosen above. Count a hydrate's dry salt only: 100 g CaCl2.2H2O holds 75.5 g.",
    )
    if ss.recipe_message:
        st.error(ss.recipe_message)


def show_cell_inputs() -> None:
    """Metal, deposit, temperature, and the less used settings."""
    with st.container(horizontal=True):
        st.selectbox("Metal", ["", *metals()], key="metal", format_func=metal_words, width=210, on_change=changed)
        st.selectbox("Wanted deposit", DEPOSITS, key="deposit", width=150, on_change=changed)
    low, high = (int(t) for t in TEMPERATURE_C)
    st.slider("Working temperature, °C", low, high, key="t_C", step=1, on_change=changed)
    with st.expander("Superheat, vessel, atmosphere"):
        st.slider("Superheat over the freezing start, K", *SUPERHEAT_K, key="superheat", step=1.0, on_change=changed)
        st.selectbox("Vessel", ["", *vessels()], key="vessel", format_func=vessel_words, on_change=changed)
        st.radio("Atmosphere", ATMOSPHERES, key="atmosphere", horizontal=True, on_change=changed)


def metal_words(symbol: str) -> str:
    """A metal in the list."""
    return f"{metal(symbol).name} ({symbol})" if symbol else "none"


def vessel_words(name: str) -> str:
    """A vessel in the list."""
    return name or "not given"


def show_charts(out: ReadOut) -> None:
    """Density against temperature, and the operating window."""
    left, right = st.columns(2, gap="large")
    with left:
        st.header("Density against temperature")
        if out.chart is not None:
            mount("density", density_diagram(out.chart, out.state.t_C), {"t_C": out.state.t_C})
            words = "Bands: one standard deviation. Where the lines cross, floating turns to sinking."
            st.html(markup.hint_html(words, "Drag the knob to change the working temperature."))
        else:
            why = out.messages.get("chart", out.messages.get("composition", "Choose a metal to compare densities."))
            st.info(plain(why))
    with right:
        st.header("Operating window")
        if out.window is not None:
            st.html(markup.window_html(out.window, out.state.t_C))
        else:
            st.info(plain(out.messages.get("window", "The window waits for a melt that can be read.")))


def show_share(out: ReadOut) -> None:
    """Link and downloads; a drawing is made only when its button is pressed."""
    st.header("Keep and share")
    st.markdown("Link to this page as it is set, with what is typed in the sections:")
    base = (st.context.url or "").split("?")[0]
    st.code(f"{base}{link(ss)}", language=None, wrap_lines=True)
    with st.container(horizontal=True):
        st.download_button("Figures shown (CSV)", partial(csv_text, out), "melt.csv", "text/csv", on_click="ignore")
        for label, name, draw in drawings(out):
            st.download_button(label, partial(picture, draw), name, "image/png", on_click="ignore")


def picture(draw) -> bytes:
    """A drawing as PNG."""
    return figures.png(draw())


def csv_text(out: ReadOut) -> str:
    """The figures shown as CSV."""
    text = io.StringIO()
    writer = csv.DictWriter(text, ["quantity", "value", "sigma", "unit"], lineterminator="\n")
    writer.writeheader()
    writer.writerows(table_rows(out))
    return text.getvalue()


def show_background(out: ReadOut) -> None:
    """Cautions, notes on the data, sources."""
    st.header("Cautions")
    st.html(markup.lines_html(cautions_of(out)))
    st.header("Where the numbers come from")
    st.markdown(
        "± is one standard deviation. *Fitted*: fitted to published measurements of these salts; *measured*: taken "
        "from them; *estimated*: a rule stands in for measurements that nobody has published. A figure without ± was "
        "typed, follows from what was typed, or is a limit of practice or a table's value: its doubt is not known."
    )
    with st.expander("Notes on these numbers"):
        st.html(markup.lines_html(notes_of(out) or ["none"]))
    with st.expander("Sources"):
        st.html(markup.lines_html(sources_of(out)))


@st.cache_resource(show_spinner=False)
def settle() -> None:
    """Once, after everything is loaded: keep the loaded objects out of the collection that follows every run."""
    gc.collect()
    gc.freeze()


def main() -> None:
    """Lay the page out."""
    st.set_page_config(page_title="Meltwright", page_icon="⚗️", layout="wide")
    if "page" not in ss:
        start(ss, st.query_params.to_dict())
    st.html(markup.STYLE)
    st.title("Meltwright")
    st.markdown(OPENING_WORDS)
    for message in ss.link_messages:
        st.warning(message)
    out = read_out(ss.page, ss.get("open_freezing", False), typed_alumina())
    left, right = st.columns([1.15, 1], gap="large")
    with left:
        st.header("Melt")
        words = f"One to {MOST_SALTS} chlorides or fluorides."
        st.multiselect("Salts", list(salts()), key="chosen", max_selections=MOST_SALTS, on_change=changed, help=words)
        show_diagram(out)
        st.html(markup.summary_html(out))
        show_melt_inputs(out)
    with right:
        st.header("Cell")
        show_cell_inputs()
        st.html(markup.cards_html(cards(out)))
    show_charts(out)
    further = st.container()  # filled last: what takes longer keeps nothing else waiting
    show_share(out)
    show_background(out)
    with further:
        show_sections(out)
    keep_address(link(ss))
    settle()


main()
