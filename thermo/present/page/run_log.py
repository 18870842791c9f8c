"""The log of a run while it goes: readings as they are typed, what was weighed, a photograph if one likes.

Everything is written at once. Limits: draws; the file is thermo.notebook. Worked value: two readings make two rows and
a line on the chart.
"""

import math
from collections.abc import Mapping
from functools import partial

import streamlit as st

from thermo.notebook.photo import FORMATS, LARGEST_BYTES, small_photo
from thermo.notebook.store import LONGEST_NAME, Entry, Notebook
from thermo.present.charts.svg import Curve, lines_chart
from thermo.present.page import html as markup
from thermo.present.page.inputs import number
from thermo.present.page.messages import say
from thermo.present.page.notebook import done, show_said
from thermo.present.page.readouts import ReadOut

ss = st.session_state


def show_log(_out: ReadOut) -> None:
    """The log of a run while it goes: readings as they are typed, then what was weighed."""
    runs = {entry.id: entry for entry in Notebook().entries("run")}
    if not runs:
        say("info", "No run is kept yet: save one under Notebook with “Begin a run with it”.")
        return
    st.selectbox("Run", list(runs), key="entry_of_log", format_func=lambda n: f"{n}  {runs[n].name}", width=300)
    run = runs[ss.entry_of_log] if ss.get("entry_of_log") in runs else next(iter(runs.values()))
    with st.container(horizontal=True, key="log_boxes", vertical_alignment="bottom"):
        for name, label in (("hours", "Hours since start"), ("volts", "Volts"), ("amps", "Amperes"), ("T_C", "°C")):
            number("log", f"log_{name}", label, width=110)
        st.text_input("What was seen", key="log_note", max_chars=LONGEST_NAME, width=220)
        st.button("Write it down", key="log_add", on_click=_log, args=(run.id,), type="primary")
    show_said()
    readings = run.run["readings"] if run.run else []
    if readings:
        cells = [[*(_cell(r[key]) for key in ("hours", "volts", "amps", "T_C")), r["note"]] for r in readings]
        st.html(markup.table_html(f"Log of {run.name}", ("h", "V", "A", "°C", "seen"), cells))
        _show_log_charts(readings)
    with st.container(horizontal=True, key="log_end", vertical_alignment="bottom"):
        number("log", "weighed_g", "Metal weighed, g", width=148)
        st.button("Keep the mass", key="log_weigh", on_click=_weigh, args=(run,))
    if run.run and run.run.get("weighed_g") is not None:
        st.html(markup.hint_html(f"Weighed: {run.run['weighed_g']:g} g. The review above reads the same box."))
    _show_photo(run)


def _show_photo(run: Entry) -> None:
    """The run's one photograph: to be taken in, seen, taken out."""
    jpeg = Notebook().photo(run.id)
    with st.container(key="log_photo"):
        if jpeg is not None:
            st.image(jpeg, width=480, alt=f"Photograph of {run.name}")
            st.button("Take the photograph out", key="photo_out", on_click=_set_photo, args=(run.id, None))
        words = "Photograph of this run, if you like: made small, kept in the notebook"
        most_MB = math.ceil(LARGEST_BYTES / 1_000_000)
        kinds = [kind.lower() for kind in ("jpg", *FORMATS)]
        file = st.file_uploader(words, type=kinds, key=f"photo_{run.id}", max_upload_size=most_MB)
        if file is not None:
            taken = (run.id, file.getvalue())
            st.button("Keep this photograph", key="photo_keep", on_click=_set_photo, args=taken, type="primary")


def _set_photo(run: int, raw: bytes | None) -> None:
    def change() -> None:
        Notebook().set_photo(run, None if raw is None else small_photo(raw))

    done("Photograph taken out" if raw is None else "Photograph kept", change)


def _cell(value: float | None) -> str:
    return "" if value is None else f"{value:g}"


def _show_log_charts(readings: list[Mapping]) -> None:
    points = tuple((r["hours"], r["T_C"]) for r in readings if r["hours"] is not None and r["T_C"] is not None)
    if len(set(points)) > 1:
        chart = partial(lines_chart, [Curve("temperature", points)], "h", "°C", height=220)
        st.html(markup.sized_html(chart, "Temperature read against hours"))


def _log(run: int) -> None:
    reading = {name: ss.typed.get(f"log_{name}") for name in ("hours", "volts", "amps", "T_C")}
    done("Written down", Notebook().add_reading, run, reading, ss.get("log_note", "").strip())
    if ss.notebook_said[0] == "error":
        return
    for name in ("volts", "amps", "T_C", "hours"):
        ss.typed[f"log_{name}"] = None
    ss.log_note = ""


def _weigh(run: Entry) -> None:
    facts = {key: value for key, value in (run.run or {}).items() if key != "readings"}
    done("Kept", Notebook().write_run, run.id, {**facts, "weighed_g": ss.typed.get("weighed_g")})
