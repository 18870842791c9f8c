"""The page's section on materials: what pot, electrodes and lining may be made of for this melt, metal, temperature.

Limits: presentation; the answer is thermo.answers.materials. Worked value: one row a material, those that fit first.
"""

import streamlit as st

from thermo.answers.materials import MaterialVerdict, judge_materials
from thermo.present.page import html as markup
from thermo.present.page.html import table_html
from thermo.present.page.readouts import ReadOut
from thermo.records.units import celsius, kelvin

SIGNS = {"fits": "✓ fits", "with care": "△ with care", "unfit": "✕ unfit"}


def show(out: ReadOut) -> None:
    """The table of verdicts."""
    state = out.state
    judged = judge_materials(out.mix, state.metal or None, kelvin(state.t_C), state.atmosphere)
    where = "in air" if state.atmosphere == "air" else "under inert gas"
    caption = f"Materials at {state.t_C:.0f} °C {where}"
    st.html(table_html(caption, ("material", "verdict", "why", "for", "limit"), material_rows(judged)))
    st.html(
        markup.hint_html(
            "Limits are common practice; what a metal does to an oxide is computed. Try a small piece first."
        )
    )


def material_rows(judged: tuple[MaterialVerdict, ...]) -> list[list[str]]:
    """One row a material; the verdict has a sign as well as a word."""
    return [
        [
            verdict.name,
            SIGNS[verdict.verdict],
            "; ".join(verdict.reasons) or "nothing speaks against it",
            ", ".join(verdict.roles),
            f"{celsius(verdict.limit_K):.0f} °C",
        ]
        for verdict in judged
    ]
