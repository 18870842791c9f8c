"""The page's section on a run that is over: what the weighed metal says, and what most likely went wrong.

Limits: presentation; the answer is thermo.answers.run.review. Current, time, bath and grams weighed are those of the
cell's
section: typed once. Worked value: 0.5 g of magnesium from 10 A h gives 11 % and its causes, the likeliest first.
"""

from functools import partial

import streamlit as st

from thermo.answers.run.facts import run_of
from thermo.answers.run.planned import Beside, beside, planned_of
from thermo.answers.run.review import Review, review
from thermo.present.as_json.plan import plan_json
from thermo.present.charts.svg import Part, ranked_bars
from thermo.present.page import html as markup
from thermo.present.page.cell import AMPS, HOURS
from thermo.present.page.html import ranks_html, table_html
from thermo.present.page.inputs import background, number, several
from thermo.present.page.messages import say
from thermo.present.page.plan import typed_plan
from thermo.present.page.readouts import ReadOut
from thermo.present.words.card import Card
from thermo.present.words.written import pretty
from thermo.records.composition import Composition
from thermo.records.hydrates import hydrates_of
from thermo.records.provenance import InputError, RangeError
from thermo.records.remembered import remembered_last
from thermo.records.seen_in_a_run import observations
from thermo.records.substances import metal
from thermo.records.units import kelvin

ss = st.session_state
STRONG, FAIR = 0.4, 0.15  # weights from which a cause is called likely, possible: judgement


@remembered_last(64)
def _reviewed(melt: Composition, symbol: str, T_K: float, told: tuple, hydrates: tuple, saw: tuple) -> Review:
    amps, hours, weighed_g, bath_g, volts, vessel, atmosphere = told
    run = run_of(melt, symbol, T_K, amps, hours, weighed_g, bath_g, volts, vessel, atmosphere, hydrates)
    return review(run, saw)


def _inputs(melt: Composition) -> tuple[list, list]:
    with st.container(horizontal=True):
        number("review", "amps", "Current, A", AMPS)
        number("review", "hours", "Time, h", HOURS)
        number("review", "weighed_g", "Metal weighed, g", step=0.1, help="Clean metal; 0 for none.")
        number("review", "bath_g", "Bath, g", step=10.0)
        number("review", "volts", "Voltage, V", step=0.1)
    saw = several("review", "saw", "What was seen", observations(), format_func=lambda word: observations()[word].label)
    damp = [formula for formula in melt.salts if hydrates_of(formula)]
    words = "Salts brought in as hydrate"
    from_bottles = [formula for formula in damp if ss.typed.get(f"bottle_{formula}", formula) != formula]
    hydrates = several("review", "hydrates", words, damp, from_bottles, format_func=pretty) if damp else []
    return saw, hydrates


def show(out: ReadOut) -> None:
    """Inputs, then the ranked causes; InputError goes to whoever draws the section."""
    melt = out.mix
    saw, hydrates = _inputs(melt)
    if not out.state.metal:
        say("info", "Choose a metal, above.")
        return
    amps, hours, weighed = (ss.typed.get(name) for name in ("amps", "hours", "weighed_g"))
    if amps is None or hours is None:
        raise InputError("current and time: type both, in A and h")
    if weighed is None:
        say("info", "Type the grams of metal weighed: 0 where there was none.")
        return
    rest = (ss.typed.get("bath_g"), ss.typed.get("volts"), out.state.vessel or None, out.state.atmosphere)
    told = (amps, hours, weighed, *rest)
    found = _reviewed(melt, out.state.metal, kelvin(out.state.t_C), told, tuple(hydrates), tuple(saw))
    st.html(markup.cards_html((efficiency_card(found),)))
    _show_planned(out, amps, hours, weighed)
    if found.causes:
        st.html(markup.head_html("Likely causes, the strongest first"))
        bars = [Part(c.cause, c.weight, f"{c.weight:.2f}") for c in found.causes]
        st.html(markup.sized_html(partial(ranked_bars, bars), "Causes by weight; the list below has the words"))
        st.html(ranks_html(cause_entries(found)))
    else:
        say("info", "No cause with a number behind it.")
    if found.unexplained:
        st.html(markup.head_html("Seen and not explained"))
        st.html(markup.lines_html(found.unexplained))
    st.html(markup.lines_html(found.notes))
    background("review", (), found.sources)


def _show_planned(out: ReadOut, amps: float, hours: float, weighed_g: float) -> None:
    """Planned beside read, where a plan was asked for on its page."""
    if "want_g" not in ss.typed:
        return
    try:
        plan = typed_plan(out)
    except (InputError, RangeError):
        return
    if plan.possible:
        rows = beside(planned_of(plan_json(plan)), out.state.t_C, amps, hours, weighed_g, ss.typed.get("volts"))
        st.html(table_html("Planned beside read", ("", "planned", "read", "says"), planned_rows(rows)))


def planned_rows(rows: tuple[Beside, ...]) -> list[list[str]]:
    """Each thing with what was planned, what was read and what its gap says."""
    return [
        [row.name, *("" if v is None else f"{v:.3g}" for v in (row.planned, row.read)), row.says or "as planned"]
        for row in rows
    ]


def efficiency_card(found: Review) -> Card:
    """The current efficiency with its spread, and the grams behind it."""
    name = metal(found.run.symbol).name
    made = f"{found.run.weighed_g:.3g} g of at most {found.most_g:.3g} g {name} from {found.run.charge_Ah:.3g} A h"
    answer = f"{100 * found.current_efficiency:.1f} ± {100 * found.efficiency_sigma:.1f} %"
    return Card("Current efficiency", answer, (made,))


def cause_entries(found: Review) -> list[tuple[str, tuple[str, ...]]]:
    """Each cause with its weight in words and number, the number behind it, and what to do."""
    entries: list[tuple[str, tuple[str, ...]]] = []
    for cause in found.causes:
        word = "likely" if cause.weight >= STRONG else "possible" if cause.weight >= FAIR else "less likely"
        head = f"{cause.cause[:1].upper()}{cause.cause[1:]} ({word}, weight {cause.weight:.2f})"
        entries.append((head, (f"because {cause.evidence}", f"remedy: {cause.remedy}")))
    return entries
