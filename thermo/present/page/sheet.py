"""The page's section on the run sheet: two pages to take to the furnace, the same figures as CSV and JSON.

The melt is that of the page; run and weigh-out are what the sections above hold. A file is written only when its
button is pressed. Limits: presentation; see thermo.present.paper.sheet. Worked value: three buttons, one of them a PDF.
"""

from collections.abc import Callable
from functools import partial

import streamlit as st

from thermo.answers.materials import judge_materials
from thermo.present.page.cell import cell_answer, typed_run
from thermo.present.page.inputs import ticked, words
from thermo.present.page.link import LONGEST_TITLE
from thermo.present.page.plan import typed_plan
from thermo.present.page.readouts import ReadOut, described
from thermo.present.page.share import full_link
from thermo.present.page.weigh import typed_weighing
from thermo.present.paper.sheet import RunSheet, run_sheet, to_csv, to_json
from thermo.records.provenance import InputError, RangeError
from thermo.records.units import kelvin

ss = st.session_state


def _pdf(sheet: RunSheet, figures: bool) -> bytes:
    from thermo.present.paper.pdf import pdf  # fonts are measured on import: only when a PDF is asked for

    return pdf(sheet, figures)


def show(out: ReadOut) -> None:
    """What goes in, then the buttons; what cannot go in is said before a button is pressed."""
    words("sheet", "sheet_title", "Title", placeholder="as: run 12, magnesium", max_chars=LONGEST_TITLE)
    with st.container(horizontal=True):
        weigh = ticked("sheet", "with_weighing", "Weigh-out", True)
        run = ticked("sheet", "with_run", "Run of the cell", True, disabled=not out.state.metal)
        pots = ticked("sheet", "with_materials", "Materials", True)
        planned = ticked("sheet", "with_plan", "Plan", True, disabled=not out.state.metal)
        figures = ticked("sheet", "with_figures", "Every figure, as an appendix", False)
    # Put together now: a button's press is answered outside the script, where nothing typed can be read.
    sheet = _sheet(out, weigh, run and bool(out.state.metal), pots, planned and bool(out.state.metal))
    with st.container(horizontal=True):
        for label, name, kind, build in (
            ("Run sheet (PDF)", "run-sheet.pdf", "application/pdf", partial(_pdf, sheet, figures)),
            ("Figures (CSV)", "run-sheet.csv", "text/csv", partial(to_csv, sheet)),
            ("Figures (JSON)", "run-sheet.json", "application/json", partial(to_json, sheet)),
        ):
            st.download_button(label, build, name, kind, key=f"sheet_{name}", on_click="ignore")


def _sheet(out: ReadOut, weigh: bool, run: bool, pots: bool, planned: bool) -> RunSheet:
    """The sheet, with what was ticked; InputError names the part that cannot go in."""
    state, melt, T_K = out.state, out.mix, kelvin(out.state.t_C)
    symbol = state.metal or None
    deposit = state.deposit if symbol and state.deposit != "either" else None
    answer = described(melt, symbol, T_K, deposit, state.superheat_K, state.vessel or None, state.atmosphere)
    weighing, slip = _part("weigh-out", lambda: typed_weighing(melt)) if weigh else (None, None)
    cell = _part("run of the cell", lambda: cell_answer(melt, symbol, T_K, typed_run())) if run else None
    judged = judge_materials(melt, symbol, T_K, state.atmosphere) if pots else ()
    plan = _part("plan", lambda: typed_plan(out)) if planned else None
    title = ss.typed.get("sheet_title", "").strip()
    return run_sheet(answer, weighing, slip, cell, judged, title, plan, full_link())


def _part(name: str, question: Callable):
    try:
        return question()
    except (InputError, RangeError) as error:
        raise InputError(f"{name}: {error} (leave it out above, or put it right in its section)") from error
