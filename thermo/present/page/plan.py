"""The page's section on the run as a plan: grams wanted, pot, supply and furnace in; the pot in section and the
steps out.

Bottles and their assays are those of the weighing, the melt, metal, vessel and deposit those of the page. A wish that
cannot be says why and what would open one. Limits: presentation; the answer is thermo.answers.plan.make.
Worked value: 10 g of magnesium from the opening melt: twelve steps.
"""

from typing import Any

import streamlit as st

from thermo.answers.plan.feed import Feed
from thermo.answers.plan.make import make_plan
from thermo.answers.plan.picture import pot_drawing
from thermo.answers.plan.setting import Setting
from thermo.answers.plan.step import Plan, PlanStep
from thermo.answers.plan.wish import PlanWish
from thermo.laws.oxide_stability import oxides
from thermo.present.charts.pot import pot_svg
from thermo.present.page import html as markup
from thermo.present.page.inputs import background, choice, number
from thermo.present.page.messages import say
from thermo.present.page.readouts import ReadOut
from thermo.present.words.card import Card
from thermo.present.words.written import plain, pretty
from thermo.records.cell_practice import CATHODES
from thermo.records.composition import Composition
from thermo.records.provenance import InputError
from thermo.records.remembered import remembered_last
from thermo.records.substances import metal
from thermo.records.units import celsius

ss = st.session_state
WANT_G = 10.0  # shown until something else is typed
HALIDE = "its halide"
USUAL = "usual"

Pairs = tuple[tuple[str, Any], ...]


@remembered_last(32)
def _planned(melt: Composition, symbol: str, want_g: float, bottles: Pairs, assays: Pairs, rest: Pairs) -> Plan:
    return make_plan(PlanWish(melt, symbol, want_g, bottles=dict(bottles), assays=dict(assays), **dict(rest)))


def _inputs(symbol: str) -> None:
    with st.container(horizontal=True):
        number("plan", "want_g", "Metal wanted, g", WANT_G)
        number("plan", "pot_mL", "Pot, mL", help="Inside volume; empty: the plan says which pot to take.")
        number("plan", "supply_V", "Supply, V", help="What it can be set to.")
        number("plan", "supply_A", "Supply, A", help="The most it can give.")
        number("plan", "furnace_W", "Furnace, W")
        feeds = [HALIDE, *(oxide.formula for oxide in oxides().values() if oxide.metal == symbol)]
        choice("plan", "plan_feed", "Fed with", feeds, HALIDE, width=148)
        choice("plan", "plan_cathode", "Cathode", [USUAL, *CATHODES], USUAL, width=148)


def bottle_words(melt: Composition) -> str:
    """Which bottles the plan weighs from, and where they are chosen."""
    own = [(f, ss.typed.get(f"bottle_{f}", f), ss.typed.get(f"assay_{f}") or 1.0) for f in melt.salts]
    named = [f"{pretty(label)}{'' if assay == 1 else f' at {100 * assay:g} %'}" for _, label, assay in own]
    return f"Weighed from {', '.join(named)}: other bottles and assays are chosen on the page Weigh."


def typed_plan(out: ReadOut) -> Plan:
    """The plan as typed in this section; InputError where no grams are wanted."""
    if out.composition is None:
        raise InputError("plan: it waits for a melt that can be read")
    melt, symbol, typed, state = out.composition.present, out.state.metal, ss.typed, out.state
    want = typed.get("want_g", WANT_G)
    if want is None:
        raise InputError("plan: type the grams of metal wanted")
    bottles = [(f, typed[f"bottle_{f}"]) for f in melt.salts if typed.get(f"bottle_{f}", f) != f]
    assays = [(f, typed[f"assay_{f}"]) for f in melt.salts if typed.get(f"assay_{f}") not in (None, 1.0)]
    feed, cathode = typed.get("plan_feed", HALIDE), typed.get("plan_cathode", USUAL)
    rest = {
        "supply_V": typed.get("supply_V"),
        "supply_A": typed.get("supply_A"),
        "furnace_W": typed.get("furnace_W"),
        "pot_mL": typed.get("pot_mL"),
        "vessel": state.vessel or None,
        "atmosphere": state.atmosphere,
        "deposit": state.deposit if state.deposit != "either" else None,
        "feed": None if feed == HALIDE else feed,
        "cathode": None if cathode == USUAL else cathode,
    }
    return _planned(melt, symbol, want, tuple(bottles), tuple(assays), tuple(rest.items()))


def show(out: ReadOut) -> None:
    """Inputs, then the plan; InputError goes to whoever draws the section."""
    if not out.state.metal:
        say("info", "Choose a metal, above.")
        return
    _inputs(out.state.metal)
    if out.composition is not None:
        st.html(markup.hint_html(bottle_words(out.composition.present)))
    plan = typed_plan(out)
    if not plan.possible or plan.setting is None:
        say("warning", plain(f"No plan. {plan.why_not}"))
        return
    st.html(markup.cards_html(plan_cards(plan.setting, plan.hours_total)))
    drawing = pot_drawing(plan.setting)
    st.html(markup.picture_html(pot_svg(drawing), drawing.title))
    for step in plan.steps:
        st.html(markup.head_html(step_head(step)))
        st.html(markup.lines_html(step_lines(step), marked=True))
    background("plan", plan.notes, plan.sources)


def plan_cards(setting: Setting, hours: float) -> tuple[Card, ...]:
    """What a person looks for first: temperature, current and hours, what to weigh, where the metal is found."""
    poles, name = setting.electrodes, metal(setting.wish.symbol).name
    weigh = [f"{grams:.2f} g {pretty(label)}" for label, grams in setting.weighing.weigh_g.items() if grams > 0]
    weigh += feed_lines(setting.feed)
    low, high = setting.efficiency
    held = (f"held down by {poles.limited_by}",) * bool(poles.limited_by)
    return (
        Card("Run at", f"{celsius(setting.T_K):.0f} °C", (plain(setting.window.explanation),)),
        Card(
            "Current and time",
            f"{poles.amps:.3g} A for {setting.hours:.2g} h",
            (f"{setting.charge_Ah:.3g} A h", f"{hours:.0f} h with everything around it", *held),
        ),
        Card("Weigh", f"{setting.weighing.total_g:.0f} g dry", tuple(weigh)),
        Card(
            f"{name.capitalize()} planned",
            f"{low * setting.cell.metal_g_max:.3g} to {high * setting.cell.metal_g_max:.3g} g",
            (pot_drawing(setting).title,),
        ),
    )


def feed_lines(feed: Feed) -> list[str]:
    """What is weighed for the feed; nothing where none is fed."""
    if not feed.g:
        return []
    start = [f"{feed.start_g:.2f} g {pretty(feed.substance)} with the charge"] if feed.start_g else []
    grams, what = (feed.bottle_g, feed.bottle) if feed.bottle else (feed.g, feed.substance)
    return [*start, f"{grams:.2f} g {pretty(what)} for the feed"]


def step_head(step: PlanStep) -> str:
    """Number, title, time and what it rests on."""
    hot = "" if step.T_K is None else f", {celsius(step.T_K):.0f} °C"
    return f"{step.n}. {step.title} ({step.hours:.2g} h{hot}; {step.rests_on})"


def step_lines(step: PlanStep) -> list[str]:
    """What to do with a box to tick, until when, what if not, and what to beware of."""
    lines = [f"\u2610 {line}" for line in step.do]
    lines += [f"\u2192 until: {step.until}", f"\u2192 if not: {step.if_not}"]
    return [*lines, *(f"\u26a0 {line}" for line in step.cautions)]
