"""The page's section on weighing out: grams from the bottles at hand, the water in them, and the commonest slip.

Limits: presentation; the answer is thermo.answers.weighing. Worked value: 500 g of a melt with MgCl2 taken from its
hexahydrate: one row a bottle, the grams of water to drive off, and what the melt would be if that were overlooked.
"""

import streamlit as st

from thermo.answers.cautions import cautions
from thermo.answers.weighing import WATER_AH_G, WeighedAsDry, Weighing, weigh_out, weighed_as_dry
from thermo.present.page import html as markup
from thermo.present.page.html import table_html
from thermo.present.page.inputs import background, choice, number
from thermo.present.page.readouts import ReadOut
from thermo.present.words.card import Card
from thermo.present.words.written import degrees, pretty, shares
from thermo.records.composition import Composition
from thermo.records.hydrates import hydrates_of
from thermo.records.provenance import InputError
from thermo.records.remembered import remembered_last
from thermo.records.units import celsius

ss = st.session_state
TOTAL_G = 500.0  # shown until something else is typed


@remembered_last(64)
def _weighed(
    melt: Composition, total_g: float, bottles: tuple[tuple[str, str], ...], assays: tuple[tuple[str, float], ...]
) -> tuple[Weighing, WeighedAsDry | None]:
    weighing = weigh_out(melt, total_g, dict(bottles), dict(assays))
    return weighing, weighed_as_dry(weighing, dict(bottles))


def typed_weighing(melt: Composition) -> tuple[Weighing, WeighedAsDry | None]:
    """The weigh-out as typed in this section; InputError where no total is given or a bottle cannot serve."""
    total = ss.typed.get("total_g", TOTAL_G)
    if total is None:
        raise InputError("batch: type the grams of dry melt wanted")
    bottles, assays = [], []
    for formula in melt.salts:
        label = ss.typed.get(f"bottle_{formula}", formula)
        assay = ss.typed.get(f"assay_{formula}", 1.0)
        if label != formula:
            bottles.append((formula, label))
        if assay is not None and assay != 1:
            assays.append((formula, assay))
    return _weighed(melt, total, tuple(bottles), tuple(assays))


def _inputs(melt: Composition) -> None:
    number("weigh", "total_g", "Dry melt wanted, g", TOTAL_G, step=50.0)
    for formula in melt.salts:
        with st.container(horizontal=True, key=f"bottle_row_{formula}"):
            allowed = [formula, *(hydrate.label for hydrate in hydrates_of(formula))]
            words = f"Bottle of {pretty(formula)}"
            choice("weigh", f"bottle_{formula}", words, allowed, formula, format_func=_bottle_words, width=160)
            number("weigh", f"assay_{formula}", "Assay, 0 to 1", 1.0, help=ASSAY_HELP, step=0.01, width=146)


ASSAY_HELP = (
    "Mass fraction of the bottle that is what its label names: 0.99 for 99 %. Where a bottle labelled anhydrous holds "
    "a salt that takes up water, the rest is counted as water."
)


def _bottle_words(label: str) -> str:
    return pretty(label) if "H2O" in label else f"{pretty(label)}, anhydrous"


def show(out: ReadOut) -> None:
    """Inputs, then what to weigh; InputError goes to whoever draws the section."""
    melt = out.mix
    _inputs(melt)
    weighing, slip = typed_weighing(melt)
    st.html(table_html("Weigh out", ("bottle", "weigh, g", "of it dry salt, g"), weigh_rows(weighing)))
    st.html(markup.cards_html(weigh_cards(weighing, slip)))
    general = set(cautions(melt))
    own = [line for line in weighing.cautions if line not in general]
    if own:
        st.html(markup.head_html("Drying"))
        st.html(markup.lines_html(own))
    background("weigh", weighing.notes, weighing.sources)


def weigh_rows(weighing: Weighing) -> list[list[str]]:
    """One row a bottle, in the order of the melt's salts, and their sum."""
    rows = [
        [_bottle_words(label), f"{grams:.2f}", f"{weighing.anhydrous_g[formula]:.2f}"]
        for formula, (label, grams) in zip(weighing.composition.salts, weighing.weigh_g.items(), strict=True)
    ]
    return [*rows, ["sum", f"{sum(weighing.weigh_g.values()):.2f}", f"{sum(weighing.anhydrous_g.values()):.2f}"]]


def weigh_cards(weighing: Weighing, slip: WeighedAsDry | None) -> tuple[Card, ...]:
    """What must leave, what is added for the cure, and the melt that results if the water is overlooked."""
    cards = []
    if weighing.water_g > 0:
        charge = f"each gram left in the melt takes {WATER_AH_G:.2f} A h, all of it {weighing.water_charge_Ah:.3g} A h"
        cards.append(Card("Water to drive off", f"{weighing.water_g:.2f} g", (charge,), alarm=True))
    else:
        cards.append(Card("Water to drive off", "none counted", ("Opened bottles of damp salts hold some.",)))
    for name, grams in weighing.driven_g.items():
        cards.append(Card(f"{pretty(name)} to drive off", f"{grams:.2f} g"))
    for name, grams in weighing.reagents_g.items():
        cards.append(Card(f"{pretty(name)} for the cure", f"{grams:.2f} g", ("On top; all of it leaves again.",)))
    if weighing.other_g > 0:
        cards.append(Card("Impurity that stays", f"{weighing.other_g:.2f} g"))
    if slip is not None:
        shift = slip.liquidus_T_K - slip.intended_liquidus_T_K
        details = (
            f"{shares(slip.composition.mole_percent)} mol%",
            f"freezes from {celsius(slip.liquidus_T_K):.0f} instead of {degrees(slip.intended_liquidus_T_K)} "
            f"({shift:+.0f} K)".replace("-", "−"),
        )
        cards.append(Card("If the hydrate were weighed as dry", "another melt", details, alarm=True))
    return tuple(cards)
