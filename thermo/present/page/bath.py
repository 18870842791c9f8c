"""The page's section on aluminium baths: the melt by the names bath people use, and a bath typed by them.

The melt of the page has no alumina in it; what is typed here as dissolved counts in this section, and the freezing
card above mentions it. Limits: presentation; the answer is thermo.answers.bath, its words those of the command.
Worked value: 8 mass% excess AlF3, 5 CaF2, 3 Al2O3 and 10 K of superheat put on the page: NaF 51.96, AlF3 42.89, CaF2
5.15 mass%, 981 deg C.
"""

import math
from dataclasses import replace

import streamlit as st

from thermo.answers.bath import SUPERHEAT_K, BathAnswer, bath_start
from thermo.equilibrium.freezing.cryolite import STANDARD_STATES
from thermo.present.as_json.cryolite import bath_json
from thermo.present.command_line.cryolite import OPTIONS
from thermo.present.page import html as markup
from thermo.present.page.callbacks import adopt
from thermo.present.page.inputs import choice, cited_background, number
from thermo.present.page.link import BATH_NAMINGS
from thermo.present.page.messages import say
from thermo.present.page.readouts import ReadOut
from thermo.present.page.state import SUPERHEAT_K as SUPERHEAT_SPAN_K
from thermo.present.page.state import TEMPERATURE_C
from thermo.present.words import bath as bath_words
from thermo.present.words.card import Card
from thermo.present.words.written import VERDICT_SIGNS, plain, pretty, sentence
from thermo.records.baths import BathName, bath_composition, bath_name, excess_of_ratio
from thermo.records.composition import Composition
from thermo.records.provenance import InputError, RangeError
from thermo.records.units import celsius

ss = st.session_state
SAME = 0.0005  # mole fraction: what the rounding in the boxes may do
MASS_DIGITS = 3  # of a mass percent put on the page


def typed_alumina() -> float:
    """Dissolved alumina as typed, mass% of the bath; 0 where none is."""
    return ss.typed.get("bath_al2o3") or 0.0


def show(out: ReadOut) -> None:
    """The bath on the page by name, then the boxes that set it; refusals go to whoever draws the section."""
    name = out.bath.name if out.bath is not None else bath_name(out.mix)
    readable = _inputs(name, out.mix)
    if name is None:
        say("info", "The melt on the page is no aluminium bath: that takes NaF and AlF₃. The button puts one there.")
        return
    if out.bath is None and not readable:
        return
    if out.bath is None:
        raise InputError(out.messages["bath"])
    if out.liquidus is None or not out.liquidus.known:
        raise RangeError("aluminium bath: where these salts start to freeze is not known")
    found = bath_json(out.bath)
    st.html(markup.head_html("The bath on the page"))
    st.html(markup.cards_html(bath_cards(out.bath, found)))
    st.html(markup.hint_html(sentence(STANDARD_STATES)))
    cited_background("bath", found["notes"], found["sources"])


def _inputs(name: BathName | None, melt: Composition) -> bool:
    """Boxes and button, and whether they name a bath; where nothing has been typed yet they hold that of the page."""
    shown = {} if name is None else {f"bath_{f}": round(pct, 2) for f, pct in name.additions_pct.items()}
    st.html(markup.hint_html("Mass% of the whole bath, dissolved alumina included; what is not named is cryolite."))
    with st.container(horizontal=True):
        choice("bath", "bath_by", "Named by", BATH_NAMINGS, "excess", format_func=BATH_NAMINGS.get, width=190)
        if ss.typed["bath_by"] == "excess":
            excess = 0.0 if name is None else round(name.excess_alf3_pct, 2)
            number("bath", "bath_excess", "Excess AlF₃, mass%", excess, width=170)
        else:
            ratio = 3.0 if name is None else round(name.cryolite_ratio, 3)
            number("bath", "bath_ratio", "Cryolite ratio", ratio, help=RATIO_HELP, step=0.1, width=170)
        number("bath", "bath_al2o3", "Al₂O₃ dissolved", 0.0, help=ALUMINA_HELP, width=140)
        for formula in OPTIONS:
            number("bath", f"bath_{formula}", pretty(formula), shown.get(f"bath_{formula}", 0.0), width=110)
        number("bath", "bath_superheat_K", "Superheat, K", SUPERHEAT_K, help=SUPERHEAT_HELP, width=130)
    typed = None
    try:
        typed = typed_bath()
    except InputError as error:
        say("error", str(error))
    words = "Put this bath on the page, with aluminium and this superheat"
    st.button(words, on_click=_put, args=(typed,), type="primary", disabled=typed is None, key="bath_put")
    if typed is not None and name is not None and not _same(typed, melt):
        say("info", "The boxes name another bath than the one on the page: the button puts theirs there.")
    return typed is not None


RATIO_HELP = "Moles of NaF to moles of AlF₃: 3 is cryolite; half of it is the bath ratio by mass."
ALUMINA_HELP = "Counts in this section at once. The cards above leave it out: they are those of the salts alone."
SUPERHEAT_HELP = "Above the freezing start, dissolved alumina counted: sets the working temperature."


def typed_bath() -> Composition:
    """The salts of the bath in the boxes; InputError where they name none."""
    low, high = SUPERHEAT_SPAN_K
    superheat_K = _filled("bath_superheat_K", "superheat")
    if not low <= superheat_K <= high:
        raise InputError(f"superheat {superheat_K:g} K: allowed is {low:g} to {high:g}")
    additions = {formula: ss.typed.get(f"bath_{formula}") or 0.0 for formula in OPTIONS}
    if ss.typed["bath_by"] == "excess":
        excess = _filled("bath_excess", "excess AlF3")
    else:
        excess = excess_of_ratio(_filled("bath_ratio", "cryolite ratio"), additions, typed_alumina())
    return bath_composition(excess, additions, typed_alumina())


def _filled(box: str, what: str) -> float:
    if ss.typed.get(box) is None:
        raise InputError(f"{what}: type a number")
    return ss.typed[box]


def _same(one: Composition, other: Composition) -> bool:
    return one.mole_percent.keys() == other.mole_percent.keys() and all(
        abs(share - other.mole_percent[f]) < 100 * SAME for f, share in one.mole_percent.items()
    )


def _put(bath: Composition) -> None:
    """Make the bath in the boxes the page's melt, at its own working temperature where that is known."""
    amounts = tuple((name, round(share, MASS_DIGITS)) for name, share in bath.mass_percent.items())
    page = replace(ss.page, amounts=amounts, basis="mass", metal="Al", superheat_K=ss.typed["bath_superheat_K"])
    try:
        t_C = math.ceil(celsius(bath_start(bath, typed_alumina())[0].T_K) + page.superheat_K)
        page = replace(page, t_C=float(min(max(t_C, TEMPERATURE_C[0]), TEMPERATURE_C[1])))
    except RangeError:
        pass  # the section says why no freezing start is known; the temperature stays
    adopt(ss, page)
    ss.lowest_message = ""


def _alumina_card(found: dict) -> Card:
    holds, t_C = found["alumina_saturation"], found["working"]["T_C"]
    return Card(
        "Alumina dissolves",
        f"up to {holds['at_working_mass_percent']:.1f} mass%",
        (f"at {t_C:.0f} °C", f"{holds['at_liquidus_mass_percent']:.1f} mass% where it starts to freeze"),
        alarm=found["bath"]["Al2O3_mass_percent"] > holds["at_working_mass_percent"],
    )


def bath_cards(bath: BathAnswer, found: dict) -> tuple[Card, ...]:
    """Name, freezing start and superheat, alumina, aluminium: as the command says it."""
    named, liquidus, metal = found["bath"], found["liquidus"], found["aluminium"]
    additions = ", ".join(f"{pretty(f)} {pct:.1f}" for f, pct in named["additions_mass_percent"].items())
    alumina = named["Al2O3_mass_percent"]
    frozen = bath.superheat_K < 0
    return (
        Card(
            "By its name",
            f"cryolite ratio {named['cryolite_ratio']:.2f}",
            (
                f"bath ratio {named['bath_ratio']:.2f}",
                bath_words.excess_words(named),
                f"{additions} mass%" if additions else "no additions",
                f"{alumina:.1f} mass% Al₂O₃ dissolved",
            ),
        ),
        Card(
            "Starts to freeze at, alumina counted",
            plain(bath_words.start_words(found)),
            (
                f"first solid {pretty(liquidus['first_solid'])}",
                f"{found['working']['T_C']:.0f} °C is {bath_words.superheat_words(found)}",
            ),
            liquidus["status"],
            alarm=frozen,
        ),
        _alumina_card(found),
        Card(
            "Does aluminium float, alumina counted?",
            VERDICT_SIGNS.get(metal["verdict"], metal["verdict"]),
            (f"bath {bath_words.density_words(found)}", plain(bath_words.margin_words(found)).replace("-", "−")),
        ),
    )
