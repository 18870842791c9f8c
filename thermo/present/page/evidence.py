"""The page's section on evidence: what was published on these salts beside what is computed, and totals over all.

Limits: presentation; the numbers are those of thermo.answers.evidence.totals, the rows those of evidence_view. Totals
of one
sort of evidence are worked out when it is chosen. Worked value: NaCl-CaCl2 lists its eutectic once a source.
"""

from functools import partial

import streamlit as st

from thermo.answers.evidence.totals import SECTIONS, pieces, section
from thermo.present.charts.svg import Dot, dots
from thermo.present.page import html as markup
from thermo.present.page.evidence_tables import (
    Table,
    compounds_table,
    csv_text,
    difference_dots,
    disagreements,
    near_melt,
    summary,
    taken_up_table,
    wanted_table,
)
from thermo.present.page.html import table_html
from thermo.present.page.inputs import choice, ticked
from thermo.present.page.messages import say
from thermo.present.page.readouts import ReadOut
from thermo.present.page.working import working
from thermo.records.remembered import remembered_last

NEAR = {
    "what": "what",
    "published at": "at",
    "found": "computed",
    "published": "published",
    "difference": "difference",
    "sigmas": "in σ",
    "compared by": "compared by",
    "used": "used",
    "source": "source",
    "provenance": "how read",
    "caveat": "caveat",
}
SORTS = {
    "": "choose one",
    "pairs": "pairs, as fitted",
    "pairs_left_out": "pairs, each predicted without its own points",
    "melts": "melts of three and more salts (the joint update has seen them)",
    "lowest": "lowest melts of three and more salts (seen too; takes some seconds the first time)",
    "densities": "densities, as fitted",
    "densities_left_out": "densities, each pair predicted without its own",
    "wanted": "pairs estimated by size alone, and what would settle each",
    "compounds": "compounds of three salts without an energy, known or suspected",
    "taken_up": "melts that the joint update has seen",
}
LISTS = {
    "wanted": ("Not in the data: one freezing point that would tell most of each pair", wanted_table),
    "compounds": ("Compounds of three salts that take no part: how they melt would settle it", compounds_table),
    "taken_up": ("Published melts of several salts in the joint update", taken_up_table),
}


@remembered_last(64)
def _near(salts: tuple[str, ...]) -> Table:
    return near_melt(salts)


MOST_DOTS = 24  # of the values drawn


@remembered_last(64)
def _dots(salts: tuple[str, ...]) -> list[Dot]:
    return difference_dots(salts)


@remembered_last(64)
def _disputes(salts: tuple[str, ...]) -> Table:
    return disagreements(salts)


@remembered_last(len(SECTIONS))
def _totals(key: str) -> Table:
    return summary((key,))


def show(out: ReadOut) -> None:
    """The table for the page's salts, their disputes, the totals."""
    names = out.mix.salts
    if len(names) < 2:
        say("info", "One salt alone: its melting point and its source stand in the list of sources below.")
    else:
        with st.spinner("Comparing with what was published …"):
            _show_near(names)
    _show_totals()


def _show_near(names: tuple[str, ...]) -> None:
    rows = _near(names)
    if not rows:
        say("info", "Nothing published on these salts together is in the tables: what is computed rests on rules.")
        return
    shown = _dots(names)
    if shown:
        alt = "Computed less published for the values with the largest difference; the table has all of them"
        st.html(markup.sized_html(partial(dots, shown[:MOST_DOTS], "K"), alt))
    caption = f"Published on these salts, and computed: {len(rows)} values"
    st.html(table_html(caption, list(NEAR.values()), _cells(rows)))
    st.download_button(
        "These values (CSV)", csv_text(rows), "evidence.csv", "text/csv", key="save_evidence", on_click="ignore"
    )
    disputed = _disputes(names)
    if disputed:
        caption = "Where sources differ by more than they allow; one number, one point"
        cells = [[row["point"], *cells] for row, cells in zip(disputed, _cells(disputed), strict=True)]
        st.html(table_html(caption, ["point", *NEAR.values()], cells))
    else:
        say("info", "No two sources on these salts differ by more than they allow.")


def _cells(rows: Table) -> list[list[str]]:
    return [[row[key] for key in NEAR] for row in rows]


def _leave_totals() -> None:
    st.session_state.typed["sort"] = ""


def _show_totals() -> None:
    key = choice("evidence", "sort", "Totals over all salts", SORTS, "", format_func=SORTS.get, width=520)
    if not key:
        return
    if key in LISTS:
        caption, table = LISTS[key]
        rows = table()
        st.html(table_html(caption, list(rows[0]), [list(row.values()) for row in rows]))
        return
    with working("totals", "Comparing with what was published", _leave_totals) as step:
        todo = pieces(key)
        for done, piece in enumerate(todo):
            step(done, len(todo))
            piece()
        rows = _totals(key)
    if not rows:
        return
    first = section(key)
    header = [name for name in rows[0] if name not in ("evidence", "how") and any(row[name] for row in rows)]
    caption = f"{first.title[:1].upper()}{first.title[1:]} ({first.seen})"
    st.html(table_html(caption, header, [[row[name] for name in header] for row in rows], (0,)))
    if ticked("evidence", "totals_help", "What the columns mean"):
        st.html(
            markup.hint_html(
                "Difference is computed less published. If the stated spreads are true, 68 % of the values lie within "
                "one standard deviation and 95 % within two. Fitted: the fit has seen these values; left out: each "
                "pair was predicted without its own; never fitted: no fit has seen them."
            )
        )
