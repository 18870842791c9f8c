"""Of the Find page: what a small addition does to the page's melt, what small slips do, and the metal's atlas.

Limits: presentation; additions and slips are worked out when their fold is opened, for the wish that is typed. The
atlas is the stored table: a bath put on the page is computed anew. Worked value: for KCl-MgCl2 with magnesium to float
the list of additions holds CaCl2.
"""

import streamlit as st

from thermo.answers.finder.improve import Addition, Improvement, changes, improve
from thermo.answers.finder.sensitivity import Slip, sensitivity
from thermo.present.page import html as markup
from thermo.present.page.find import use
from thermo.present.page.find_wish import wish_of
from thermo.present.page.inputs import choice
from thermo.present.page.messages import say
from thermo.present.page.readouts import ReadOut
from thermo.present.words.written import VERDICT_SIGNS, degrees, pretty, shares
from thermo.records.composition import from_amounts, parse_amounts
from thermo.records.provenance import read_table, sources
from thermo.records.remembered import remembered, remembered_last
from thermo.records.units import kelvin

ss = st.session_state
improved = remembered_last(16)(improve)
slips = remembered_last(16)(sensitivity)
TURNS = {"verdict": "turns the verdict", "window": "opens a window", "liquidus": "freezes lower"}
FIGURE = "find_atlas"


def show_improve(out: ReadOut) -> None:
    """Smallest additions of the salts at hand, each to be put on the page; then the slips."""
    if not out.state.metal:
        say("info", "Choose a metal, above.")
        return
    with st.spinner("Adding salt by salt …"):
        found = improved(wish_of(out), out.mix)
    _show_additions(found)
    found_slips = slips(out.mix, out.state.metal, found.melt.T_K)
    header = ("slip", "freezes from", "melt less metal, g/cm³", "verdict")
    st.html(markup.table_html("What small slips do to this melt", header, [_slip_row(s) for s in found_slips]))


def _show_additions(found: Improvement) -> None:
    if found.additions:
        header = ("turns", "add", "and then")
        rows = [_addition_row(found, entry) for entry in found.additions]
        caption = f"Smallest additions, judged at {degrees(found.melt.T_K)}; mol% of the new mix"
        st.html(markup.table_html(caption, header, rows, downwards=True))
        with st.container(horizontal=True):
            for n, entry in enumerate(found.additions, 1):
                words = f"{n}: with {100 * entry.fraction:.1f} % {pretty(entry.salt)}"
                st.button(words, key=f"add_{n}", on_click=use, args=(entry.melt.composition, entry.melt.T_K))
    if found.notes:
        st.html(markup.lines_html(found.notes))


def _addition_row(found: Improvement, entry: Addition) -> list[str]:
    band = f"± {100 * entry.sigma:.1f}" if entry.sigma < 1 else "± unknown"
    return [TURNS[entry.turns], f"{100 * entry.fraction:.1f} {band} mol% {entry.salt}", changes(found.melt, entry.melt)]


def _slip_row(slip: Slip) -> list[str]:
    moved = "" if slip.difference_g_cm3 is None else _signed(slip.difference_g_cm3, 4)
    verdict = "leaves as vapour" if slip.verdict is None else VERDICT_SIGNS.get(slip.verdict, slip.verdict)
    return [slip.what, f"{_signed(slip.liquidus_K, 1)} K", moved, verdict]


def _signed(value: float, digits: int) -> str:
    """A change with its sign; what rounds to nothing has a plus."""
    return f"{round(value, digits) + 0.0:+.{digits}f}"


@remembered
def _rows() -> tuple[dict[str, str], ...]:
    return tuple(read_table("fitted/atlas.csv"))


def show_atlas(out: ReadOut) -> None:
    """The best baths of the page's metal out of all salts, as computed once; one of them to be put on the page."""
    symbol = out.state.metal
    if not symbol:
        say("info", "Choose a metal, above.")
        return
    rows = [row for row in _rows() if row["metal"] == symbol]
    if not rows:
        say("info", f"The atlas has no bath of {symbol}.")
        return
    header = ("bath, mol%", "kind", "rank", "freezes from", "judged at", "metal", "window", "deposits first", "how")
    caption, cells = f"Baths for {symbol} out of all salts", [_atlas_row(row) for row in rows]
    st.html(markup.table_html(caption, header, cells, downwards=True))
    baths = {row["bath"]: row for row in rows}
    with st.container(horizontal=True, vertical_alignment="bottom"):
        bath = choice("find", FIGURE, "Bath", baths, next(iter(baths)), format_func=_words, width=420)
        T_K = kelvin(float(baths[bath]["T_C"]))
        st.button("Put it on the page", key="use_atlas", on_click=use, args=(_melt(bath), T_K))
    st.html(markup.hint_html(
        f"Figures of {rows[0]['made']} (commit {rows[0]['commit']}); looked for in every set of up to three salts, and "
        "with a fourth beside the best. Ranked among baths of one kind and as many salts; a published bath stands with "
        "the rank it would have, and what the first in rank has of it."
    ))  # fmt: skip


def _melt(bath: str):
    return from_amounts(parse_amounts(bath.split()))


def _words(bath: str) -> str:
    return shares(_melt(bath).mole_percent, 0)


def _atlas_row(row: dict[str, str]) -> list[str]:
    tells = f"{row['status']}, {row['rests_on']}"
    if row["published"]:
        tells = f"run by {sources()[row['published']].short}" + (
            f"; first in rank has {row['behind']}" if row["behind"] else ""
        )
    return [
        _words(row["bath"]),
        row["kind"],
        row["rank"],
        degrees(kelvin(float(row["liquidus_C"])), float(row["sigma_K"])),
        f"{float(row['T_C']):.0f} °C",
        VERDICT_SIGNS.get(row["verdict"], row["verdict"]),
        f"{row['window_K']} K",
        row["first_metal"],
        tells,
    ]
