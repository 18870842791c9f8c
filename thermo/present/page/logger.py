"""The page's section on a logger's file: columns chosen, charge and means of a run, arrests of a cooling curve, both
drawn.

What is read is handed on by a button: to the review (current, time, volts) and to the cooling check (arrests).
Limits: presentation; the reading is thermo.records.logger, the figures thermo.answers.run.log.
Worked value: two columns in s and deg C of a melt that rests twice: two arrests with their spread.
"""

import streamlit as st

from thermo.answers.run.log import Arrest, Charge, arrests_of, charge_of, mean_of
from thermo.present.charts.log import log_svg
from thermo.present.page import html as markup
from thermo.present.page.inputs import choice, words
from thermo.present.page.link import ARRESTS
from thermo.present.page.messages import say
from thermo.present.page.readouts import ReadOut
from thermo.present.words.card import Card
from thermo.records.logger import QUANTITIES, UNITS_S, Log, read_log
from thermo.records.provenance import InputError
from thermo.records.units import celsius

ss = st.session_state
LABELS = {"time": "Time is in column", "T": "Temperature, °C", "amps": "Current, A", "volts": "Volts"}
_HELP = "The name in the file's header, or its number from 1; empty: there is none."


def show(out: ReadOut) -> None:
    """Upload and columns, then what the file says; InputError goes to whoever draws the section."""
    loaded = st.file_uploader("A logger's table", type=["csv", "txt", "tsv", "dat"], key="log_file")
    with st.container(horizontal=True):
        chosen = {q: words("logger", f"log_{q}", LABELS[q], "1" if q == "time" else "", help=_HELP, width=170)
                  for q in QUANTITIES}  # fmt: skip
        unit = choice("logger", "log_unit", "Plain time is in", list(UNITS_S), "s", width=130)
    if loaded is None:
        say("info", "Comma, semicolon or tab between columns; decimal point or comma; empty cells are gaps.")
        return
    columns = {quantity: word.strip() for quantity, word in chosen.items() if word.strip()}
    if "time" not in columns:
        raise InputError("logger: say in which column the time is")
    show_log(read_log(text_of(loaded.getvalue()), columns, unit, loaded.name))


def text_of(raw: bytes) -> str:
    """The text of an uploaded file: UTF-8, else that of western loggers."""
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError:
        return raw.decode("cp1252", errors="replace")


def show_log(log: Log) -> None:
    """Cards, drawing, and the buttons that hand the figures on."""
    charge = charge_of(log) if "amps" in log.values else None
    arrests: tuple[Arrest, ...] = ()
    if "T" in log.values:
        try:
            arrests = arrests_of(log)
        except InputError as error:
            say("info", f"{error}")
    st.html(markup.cards_html(log_cards(log, charge, arrests)))
    st.html(markup.picture_html(log_svg(log, arrests), "Readings against time, arrests marked"))
    if charge is not None and st.button("Take current, time and volts over to the review", key="log_to_review"):
        volts = mean_of(log, "volts")
        ss.typed |= {"amps": charge.mean_A, "hours": charge.hours} | ({"volts": volts[0]} if volts else {})
        st.rerun()
    if arrests and st.button("Take the arrests over to the cooling check", key="log_to_cooling"):
        ss.typed |= dict(zip(ARRESTS, [round(celsius(a.T_K), 1) for a in arrests], strict=False))
        st.rerun()


def log_cards(log: Log, charge: Charge | None, arrests: tuple[Arrest, ...]) -> tuple[Card, ...]:
    """Charge, mean values, arrests."""
    cards = []
    if charge is not None:
        gap = (f"{charge.gap_hours:.2g} h without reading, not counted",) * (charge.gap_hours > 0)
        details = (f"{charge.mean_A:.3g} A over {charge.hours:.3g} h, {charge.readings} readings", *gap)
        cards.append(Card("Charge", f"{charge.Ah:.4g} A h", details, alarm=charge.gap_hours > 0))
    for quantity, title, unit in (("T", "Temperature", "°C"), ("volts", "Voltage", "V")):
        mean = mean_of(log, quantity)
        if mean is not None:
            cards.append(Card(title, f"{mean[0]:.4g} ± {mean[1]:.2g} {unit}", ("mean and scatter of the readings",)))
    if arrests:
        lines = tuple(
            f"{celsius(a.T_K):.1f} ± {a.sigma_K:.1f} °C for {(a.to_s - a.from_s) / 60:.1f} min" for a in arrests
        )
        cards.append(Card("Arrests", f"{len(arrests)} seen", lines))
    return tuple(cards)
