"""The page Notebook: keep the melt that is set, open one again, compare two to four, log a run, export, import.

Everything is written at once; where the file cannot be written the refusal stands as one line and the page goes on.
Limits: draws; the file is thermo.notebook. Worked value: a melt saved and opened again is the same PageState.
"""

from collections.abc import Mapping
from functools import partial

import streamlit as st

from thermo.answers.melt import MeltAnswer
from thermo.laws.density import melt_density
from thermo.notebook.exchange import LARGEST, checked_melt, read_entries, write_entries
from thermo.notebook.store import LONGEST_NAME, Entry, Notebook
from thermo.present.charts.svg import Curve, OnAxis, common_axis, lines_chart
from thermo.present.page import html as markup
from thermo.present.page.callbacks import adopt
from thermo.present.page.messages import say
from thermo.present.page.readouts import ReadOut, read_out
from thermo.present.page.state import PageState, read_link
from thermo.present.page.steps import link, open_address
from thermo.present.words.written import VERDICT_SIGNS, degrees, shares
from thermo.records.provenance import InputError, RangeError
from thermo.records.units import celsius

ss = st.session_state
MOST_COMPARED = 4
DENSITY_STEPS = 12


def melt_record(page: PageState, address: str) -> dict:
    """What the notebook keeps of a page's state."""
    return checked_melt(
        {
            "amounts": dict(page.amounts),
            "basis": page.basis,
            "metal": page.metal or None,
            "at_C": page.t_C,
            "deposit": page.deposit,
            "superheat_K": page.superheat_K,
            "vessel": page.vessel or None,
            "atmosphere": page.atmosphere,
            "address": address,
        }
    )


def fields_of(melt: Mapping) -> dict[str, str]:
    """A kept melt as the fields of a link, so that it is read as carefully as one."""
    fields = {"v": "1", "m": ",".join(f"{salt}:{amount:.10g}" for salt, amount in melt["amounts"].items())}
    named = {"basis": "basis", "metal": "metal", "at_C": "T", "deposit": "deposit", "superheat_K": "superheat"}
    named |= {"vessel": "vessel", "atmosphere": "atmosphere"}
    for key, field in named.items():
        if melt.get(key) is not None:
            fields[field] = f"{melt[key]:.10g}" if isinstance(melt[key], float) else str(melt[key])
    return {"metal": "", **fields}


def show_keep(out: ReadOut) -> None:
    """Save the melt that is set, then the list with what can be done with an entry."""
    with st.container(key="keep", horizontal=True, vertical_alignment="bottom"):
        st.text_input("Name", key="keep_name", max_chars=LONGEST_NAME, placeholder="as: bath 4", width=260)
        st.button("Save this melt", key="keep_melt", on_click=_keep, args=("melt",), type="primary")
        st.button("Begin a run with it", key="keep_run", on_click=_keep, args=("run",))
    show_said()
    entries = Notebook().entries()
    if not entries:
        say("info", f"Nothing is kept yet. The notebook is one file on this machine: {Notebook().path}")
    else:
        rows = [[str(e.id), e.name, _kind(e), e.changed[:16].replace("T", " "), _mix(e)] for e in entries]
        header = ("no.", "name", "kind", "changed (UTC)", "melt")
        st.html(markup.table_html("Kept", header, rows, downwards=True))
        _show_entry(entries)
    _show_files(entries)


def _kind(entry: Entry) -> str:
    return f"{entry.kind}, photograph" if entry.photo_bytes else entry.kind


def _mix(entry: Entry) -> str:
    wanted = f", {entry.melt['metal']}" if entry.melt.get("metal") else ""
    at = f", {entry.melt['at_C']:g} °C" if entry.melt.get("at_C") is not None else ""
    return f"{shares(dict(entry.melt['amounts']), 2)} ({entry.melt['basis']}){wanted}{at}"


def show_said() -> None:
    """What the last change came to."""
    kind, text = ss.pop("notebook_said", ("", ""))
    if text:
        say(kind, text)


def done(words: str, change, *arguments) -> object:
    """Carry out a change of the notebook in a callback; its refusal is shown on the next run."""
    try:
        found = change(*arguments)
    except InputError as error:
        ss.notebook_said = ("error", str(error))
        return None
    ss.notebook_said = ("done", words)
    return found


def _keep(kind: str) -> None:
    name = ss.keep_name.strip()

    def add() -> int:
        return Notebook().add(name, melt_record(ss.page, link(ss)), kind, {} if kind == "run" else None)

    number_of = done(f"Kept: {name}", add)
    if number_of is not None and kind == "run":
        ss.entry_of_log = number_of


def _show_entry(entries: list[Entry]) -> None:
    by_id = {entry.id: entry for entry in entries}
    with st.container(key="entry", horizontal=True, vertical_alignment="bottom"):
        st.selectbox("Entry", list(by_id), key="entry_chosen", format_func=lambda n: f"{n}  {by_id[n].name}", width=300)
        chosen = by_id[ss.entry_chosen] if ss.get("entry_chosen") in by_id else entries[0]
        st.button("Open", key="entry_open", on_click=open_entry, args=(chosen,), type="primary")
        st.button("Take out", key="entry_remove", on_click=_remove, args=(chosen.id,))
        gone = ss.get("entry_gone")
        if gone is not None:
            st.button(f"Put back entry {gone.id}", key="entry_back", on_click=_put_back)


def open_entry(entry: Entry) -> None:
    """Make a kept melt the page's melt; Undo brings the old one back."""
    address = entry.melt.get("address", "")
    if isinstance(address, str) and address.startswith("?v="):
        open_address(ss, address)
        return
    page, messages, _ = read_link(fields_of(entry.melt))
    adopt(ss, page)
    ss.link_messages = messages


def _remove(number_of: int) -> None:
    gone = done(f"Taken out: entry {number_of}", Notebook().remove, number_of)
    if gone is not None:
        ss.entry_gone = gone


def _put_back() -> None:
    if done("Put back", Notebook().import_entries, [ss.entry_gone]) is not None:
        ss.entry_gone = None


def _show_files(entries: list[Entry]) -> None:
    with st.container(horizontal=True):
        st.download_button(
            "Export all (JSON)",
            lambda: write_entries(Notebook().entries(photos=True)),
            "meltwright-notebook.json",
            "application/json",
            key="notebook_export",
            on_click="ignore",
            disabled=not entries,
        )
    file = st.file_uploader(
        "Import (JSON of a notebook)", type="json", key="notebook_import", max_upload_size=LARGEST // 1_000_000
    )
    if file is not None and st.button("Import these entries", key="notebook_take"):
        try:
            added = Notebook().import_entries(read_entries(file.getvalue().decode("utf-8", "replace")))
            say("done", f"{added} entries added; what was here already stayed as it was.")
        except InputError as error:
            say("error", str(error))


def show_compare(_out: ReadOut) -> None:
    """Two to four kept melts: a table, one temperature axis, densities on one chart."""
    by_id = {entry.id: entry for entry in Notebook().entries()}
    ss.setdefault("compared", [])
    ss.compared = [n for n in ss.compared if n in by_id]
    chosen = st.multiselect(
        "Melts to compare, two to four",
        list(by_id),
        key="compared",
        format_func=lambda n: f"{n} {by_id[n].name}",
        max_selections=MOST_COMPARED,
    )
    if len(chosen) < 2:
        say("info", "Choose two to four entries.")
        return
    outs = [(by_id[n].name, read_out(read_link(fields_of(by_id[n].melt))[0])) for n in chosen]
    header = ("melt", "mol%", "freezes from", "metal", "window")
    st.html(markup.table_html("Side by side", header, [_row(*one) for one in outs], downwards=True))
    axis = partial(common_axis, [_on_axis(*one) for one in outs])
    st.html(markup.sized_html(axis, "The melts on one temperature axis"))
    curves = [Curve(name, points) for name, out in outs if out.melt and (points := _density(out.melt))]
    if curves:
        chart = partial(lines_chart, curves, "°C", "melt, g/cm³")
        st.html(markup.sized_html(chart, "Densities of the melts against temperature"))


def _row(name: str, out: ReadOut) -> list[str]:
    start, window = out.liquidus, out.window
    freezes = degrees(start.T_K, start.sigma_K) if start is not None and start.known else "not known"
    verdict = out.flotation.verdict if out.flotation is not None else None
    does = f"{out.state.metal} {VERDICT_SIGNS.get(verdict, verdict)}" if verdict else out.state.metal
    ends = "none" if window is None or window.span_K is None else _ends(*window.span_K)
    mix = "" if out.composition is None else shares(out.composition.mole_percent)
    return [name, mix, freezes, does, ends]


def _ends(low_K: float, high_K: float) -> str:
    return f"{celsius(low_K):.0f} to {celsius(high_K):.0f} °C"


def _on_axis(name: str, out: ReadOut) -> OnAxis:
    start, window = out.liquidus, out.window
    begins, sigma_K = (celsius(start.T_K), start.sigma_K) if start is not None and start.known else (None, 0.0)
    ends = None
    if window is not None and window.span_K is not None:
        ends = (celsius(window.span_K[0]), celsius(window.span_K[1]))
    return OnAxis(name, begins, sigma_K, ends, out.state.t_C)


def _density(melt: MeltAnswer) -> tuple[tuple[float, float], ...]:
    """Density from the start of freezing to 400 K above it; empty where there is none."""
    low_K = melt.liquidus.T_K if melt.liquidus.known else melt.T_K
    temperatures = [low_K + 400 * k / DENSITY_STEPS for k in range(DENSITY_STEPS + 1)]
    try:
        return tuple((celsius(T_K), melt_density(melt.composition, T_K).value_g_cm3) for T_K in temperatures)
    except (InputError, RangeError):
        return ()
