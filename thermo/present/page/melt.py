"""The page Melt: amounts, temperature axis and pot, and further down composition, density, sources.

Limits: draws; what a control does is in `callbacks`, the diagram in `map`. Worked value: three salts have three rows.
"""

from functools import partial

import streamlit as st

from thermo.equilibrium.invariants.lowest import lowest
from thermo.equilibrium.invariants.pair import Invariant
from thermo.present.as_json.melt import dissolved_json
from thermo.present.charts.pair_data import (
    SUBLIMES,
    density_diagram,
    drawable,
    invariant_lines,
)
from thermo.present.charts.svg import pot
from thermo.present.charts.temperature_axis import temperature_axis
from thermo.present.page import html as markup
from thermo.present.page.callbacks import (
    drop_salt,
    nudge,
    take_recipe,
    take_salt,
    take_widgets,
    want_lowest,
)
from thermo.present.page.map import mount
from thermo.present.page.messages import say
from thermo.present.page.readouts import ReadOut, other_basis_line
from thermo.present.page.sources import notes_of, sources_of
from thermo.present.page.working import aside, working
from thermo.present.words.dissolved import dissolved_words
from thermo.present.words.written import plain, pretty
from thermo.records.composition import BASES
from thermo.records.provenance import InputError, RangeError
from thermo.records.salt_names import TRADE_NAMES, other_names
from thermo.records.substances import metal, salts
from thermo.records.units import celsius, kelvin

ss = st.session_state
changed = partial(take_widgets, ss)
BASIS_WORDS = {"mol": "moles", "mass": "grams"}


def show_amounts(out: ReadOut) -> None:
    """A row a salt: amount, less, more, out; then basis, a salt to add, lowest mix, recipe; messages beside inputs."""
    with st.container(key="amounts"):
        with st.container(key="rows", horizontal=True):
            for name in out.state.salts:
                _show_row(name, out)
        _show_recipe(out)


def _show_recipe(out: ReadOut) -> None:
    """Basis, a salt to add, lowest mix, recipe line, and their messages."""
    unsaid = "composition" in out.messages and not ss.slips
    if unsaid:
        say("error", out.messages["composition"])
    with st.container(key="basis_row", horizontal=True):
        st.segmented_control(
            "The amounts are",
            BASES,
            key="basis",
            format_func=BASIS_WORDS.__getitem__,
            on_change=changed,
            required=True,
            label_visibility="collapsed",
        )
        _show_add_salt(out)
        one = len(out.state.salts) < 2
        st.button("Lowest mix", key="lowest", on_click=want_lowest, args=(ss,), disabled=one)
        st.text_input(
            "Recipe",
            key="recipe",
            placeholder="or a recipe: NaCl 48 CaCl2 52",
            label_visibility="collapsed",
            on_change=take_recipe,
            args=(ss,),
            width="stretch",
        )
    _find_lowest()
    if ss.recipe_message:
        st.html(markup.slip_html(ss.recipe_message))
    for note in (*ss.recipe_notes, *filter(None, (ss.lowest_message,))):
        say("info", plain(note))


def _show_add_salt(out: ReadOut) -> None:
    """The list of salts that are not in the melt."""
    st.selectbox(
        "Add a salt",
        [name for name in addable() if name not in out.state.salts],
        index=None,
        key="add_salt",
        format_func=salt_words,
        placeholder="add a salt: name",
        label_visibility="collapsed",
        on_change=take_salt,
        args=(ss,),
        width=176,
    )


def _find_lowest() -> None:
    """Look for the lowest mix of this page's salts where that was asked for; the next run takes it (`take_lowest`)."""
    asked = ss.get("lowest_asked")
    if asked is None or asked != ss.page:  # any other change of the page leaves it
        ss.lowest_asked = None
        return
    found: Invariant | str
    with working("lowest", "Looking for the lowest mix", want_lowest, (ss, False)) as step:
        try:
            found = aside(lambda own: lowest(asked.salts, own), step)
        except (InputError, RangeError) as error:
            found = str(error)
    ss.lowest_asked, ss.lowest_found = None, (asked, found)
    st.rerun()


def addable() -> list[str]:
    """Salts, then the minerals and compounds that stand for more than one salt or bring water."""
    return [*salts(), *(word for word, formula in TRADE_NAMES.items() if formula not in salts())]


def salt_words(word: str) -> str:
    """A salt in the list: formula, chemical name, names of the trade."""
    if word in TRADE_NAMES:
        return f"{word}, {pretty(TRADE_NAMES[word])}"
    return f"{pretty(word)} {word if pretty(word) != word else ''} {', '.join(other_names(word))}".replace("  ", " ")


def _show_row(name: str, out: ReadOut) -> None:
    share = "" if out.composition is None else f" {out.composition.mole_percent[name]:.1f} mol%"
    step = 1.0 if out.state.basis == "mol" else 5.0
    with st.container(key=f"salt_{name}", width="content", gap=None):
        with st.container(key=f"salt_row_{name}", horizontal=True, width="content"):
            st.text_input(f"{pretty(name)}{share}", key=f"part_{name}", on_change=changed, width=76)
            st.button(
                f"less {name}", icon=":material/remove:", key=f"less_{name}", on_click=nudge, args=(ss, name, -step)
            )
            st.button(f"more {name}", icon=":material/add:", key=f"more_{name}", on_click=nudge, args=(ss, name, step))
            st.button(
                f"take {name} out", icon=":material/close:", key=f"drop_{name}", on_click=drop_salt, args=(ss, name)
            )
        slip = ss.slips.get(f"part_{name}")
        if slip:
            st.html(markup.slip_html(slip))


def show_axis(out: ReadOut) -> None:
    """The temperature axis with its knob."""
    state = out.state
    start_C = celsius(out.liquidus.T_K) if out.liquidus is not None and out.liquidus.known else None
    ends = best = None
    if out.window is not None and out.window.span_K is not None:
        (low_K, high_K), preferred = out.window.span_K, out.window.preferred
        ends = celsius(low_K), celsius(high_K)
        best = None if preferred is None else (celsius(preferred.low_K), celsius(preferred.high_K))
    element = metal(state.metal) if state.metal else None
    points = None
    if element is not None:
        points = (element.name.capitalize(), celsius(element.melting_point_K), celsius(element.boiling_point_K))
    with st.container(key="axis"):
        mount("heat_axis", temperature_axis(state.t_C, start_C, ends, points, best), {"t_C": state.t_C})


def show_pot(out: ReadOut) -> None:
    """The pot in section: where the metal goes."""
    state = out.state
    if not state.metal or out.composition is None:
        return
    element = metal(state.metal)
    found = out.flotation
    words = ""
    if found is not None and found.verdict is not None and found.melt_density and found.metal_density:
        melt_is, metal_is = found.melt_density.value_g_cm3, found.metal_density.value_g_cm3
        words = f"melt {melt_is:.2f} g/cm³|{element.name} {metal_is:.2f} g/cm³"
    phase = element.state(kelvin(state.t_C))
    verdict = (found.verdict or "") if found is not None else ""
    svg = pot(element.name, phase, verdict, words)
    with st.container(key="pot"):
        st.html(markup.picture_html(svg, f"The pot in section: {element.name} is {phase}, {verdict or 'not known'}"))


def show_density(out: ReadOut) -> None:
    """Melt and metal density against temperature."""
    if out.chart is None:
        say("info", plain(out.messages.get("chart", "Choose a metal to compare densities.")))
        return
    mount("density", density_diagram(out.chart, out.state.t_C), {"t_C": out.state.t_C})
    words = "Bands: one standard deviation. Where the lines cross, floating turns to sinking."
    st.html(markup.hint_html(words, "Drag the knob to change the working temperature."))


def show_composition(out: ReadOut) -> None:
    """Mole and mass percent, what the other basis would mean, and the numbered points of a pair."""
    st.html(markup.composition_html(out.named))
    if out.liquidus is not None:
        line = other_basis_line(out.state, out.liquidus)
        if line:
            st.html(markup.hint_html(line))
    names = out.state.salts
    if len(names) == 2 and drawable(names):
        st.html(markup.hint_html(*invariant_lines(*names)))
    elif "AlF3" in names:
        st.html(markup.hint_html(SUBLIMES))


def show_dissolved(out: ReadOut) -> None:
    """What dissolves of each fluoride in a melt of both anions."""
    found = {} if out.melt is None else dissolved_json(out.melt)
    if not found.get("dissolves"):
        say("info", "One anion alone: this asks how much of a fluoride a bath of chlorides takes up.")
        return
    st.html(markup.lines_html([dissolved_words(row) for row in found["dissolves"]]))
    left = found["undissolved_mass_percent"]
    if left:
        words = ", ".join(f"{percent:.2f} mass% {solid}" for solid, percent in left.items())
        say("warning", f"At {out.state.t_C:.0f} °C this stays undissolved: {words}")


def show_background(out: ReadOut) -> None:
    """Notes on the data and sources."""
    st.html(
        markup.hint_html(
            "± is one standard deviation. Fitted: fitted to published measurements of these salts; measured: taken "
            "from them; estimated: a rule stands in for measurements that nobody has published. A figure without ± was "
            "typed, follows from what was typed, or is a limit of practice or a table's value: its doubt is not known."
        )
    )
    st.html(markup.head_html("Notes on these numbers"))
    st.html(markup.lines_html(notes_of(out) or ["none"]))
    st.html(markup.head_html("Sources"))
    st.html(markup.lines_html(sources_of(out)))
