"""The page's section on the cell: current and time in; order of deposition, voltage, grams, halogen, drift out.

Limits: presentation; the answer is thermo.answers.cell.describe_cell, kept per question so that a re-run of the page
for something else does not ask again. Worked value: with 5 A and 2 h typed it shows 10 A h.
"""

from functools import partial

import streamlit as st

from thermo.answers.cell import CellAnswer, CellRun, describe_cell
from thermo.answers.power import CellVoltage, Geometry
from thermo.laws.oxide_stability import oxides
from thermo.present.charts.cell import drift_figure, voltage_figure
from thermo.present.charts.figures import SCREEN, png
from thermo.present.charts.svg import Part, stacked_bar
from thermo.present.page import html as markup
from thermo.present.page.html import table_html
from thermo.present.page.inputs import background, choice, dark_page, number, ticked, wide_picture
from thermo.present.page.messages import say
from thermo.present.page.readouts import ReadOut
from thermo.present.words.cell import ORDER_HEADER, cell_cards, drift_header, drift_rows, order_rows
from thermo.records.cell_practice import CATHODES, hosts
from thermo.records.composition import Composition
from thermo.records.provenance import InputError
from thermo.records.remembered import remembered_last
from thermo.records.units import kelvin

ss = st.session_state
NONE = "nothing"  # no host, no feed
NO_ALUMINA = (
    "Worked out without alumina, by taking a salt of the bath apart. A cell that is fed alumina takes that apart "
    "instead, on a carbon anode at a lower voltage and with carbon oxides in place of fluorine: choose it as the oxide "
    "fed."
)
AMPS, HOURS = 5.0, 2.0  # shown until something else is typed


@remembered_last(64)
def cell_answer(melt: Composition, symbol: str, T_K: float, run: CellRun) -> CellAnswer:
    """describe_cell, kept per question."""
    return describe_cell(melt, symbol, T_K, run)


@remembered_last(32)
def _drift_png(melt: Composition, symbol: str, T_K: float, run: CellRun, dark: bool) -> bytes:
    drift = cell_answer(melt, symbol, T_K, run).drift
    if drift is None:
        raise InputError("chart of the bath: type its grams to have it followed")
    return png(drift_figure(drift, dark), SCREEN)


@remembered_last(32)
def _voltage_png(formulas: tuple[str, ...], dark: bool) -> bytes:
    return png(voltage_figure(formulas, dark=dark), SCREEN)


def typed_run() -> CellRun:
    """The run as typed in this section; InputError where current, time or half of the electrodes is missing."""
    typed = ss.typed
    amps, hours = typed.get("amps", AMPS), typed.get("hours", HOURS)
    if amps is None or hours is None:
        raise InputError("current and time: type both, in A and h")
    area, gap = typed.get("cathode_cm2"), typed.get("gap_cm")
    if (area is None) != (gap is None):
        raise InputError("cathode area and gap: type both, in cm² and cm, or neither")
    return CellRun(
        amps=amps,
        hours=hours,
        bath_g=typed.get("bath_g"),
        efficiency=typed.get("efficiency"),
        weighed_g=typed.get("weighed_g"),
        volts=typed.get("volts"),
        geometry=None if area is None or gap is None else Geometry(area, gap, typed.get("anode_cm2")),
        surface_cm2=typed.get("surface_cm2"),
        cathode=typed.get("cell_cathode", "rod"),
        cathode_metal=None if typed.get("cell_host", NONE) == NONE else typed["cell_host"],
        feed=None if typed.get("cell_feed", NONE) == NONE else typed["cell_feed"],
        supply_V=typed.get("supply_V"),
        supply_A=typed.get("supply_A"),
    )


def _inputs(symbol: str | None) -> None:
    with st.container(horizontal=True):
        number("cell", "amps", "Current, A", AMPS)
        number("cell", "hours", "Time, h", HOURS)
        number("cell", "bath_g", "Bath, g", help="Gives the drift of the bath and when it starts to freeze.", step=10.0)
        number("cell", "volts", "Voltage, V", help="Measured at the cell: gives energy and heat.", step=0.1)
        number("cell", "efficiency", "Efficiency, 0 to 1", help="Current efficiency expected; 0.8 is 80 %.", step=0.05)
        number("cell", "weighed_g", "Metal weighed, g", step=0.1)
        number("cell", "cathode_cm2", "Cathode, cm²", help="With the gap: cell voltage and current of a supply.")
        number("cell", "anode_cm2", "Anode, cm²", help="Left empty: as the cathode.")
        number("cell", "gap_cm", "Gap, cm", step=0.5)
        number("cell", "surface_cm2", "Bath surface, cm²", help="For the heat balance.")
        number("cell", "supply_V", "Supply, V", help="What it is set to; with the electrodes gives its current.")
        number("cell", "supply_A", "Supply, A", help="The most it can give.")
        choice("cell", "cell_cathode", "Cathode is a", CATHODES, "rod", width=148)
        choice("cell", "cell_host", "taken up by", [NONE, *hosts()], NONE, width=148)
        feeds = [NONE, *(oxide.formula for oxide in oxides().values() if oxide.metal == symbol)]
        choice("cell", "cell_feed", "Oxide fed", feeds, NONE, width=148)


def voltage_parts(volts: CellVoltage) -> list[Part]:
    """The parts of the voltage a supply must give, V, at their middle values."""
    ranges = (("overvoltage", volts.overvoltage_V), ("bath", volts.ohmic_V), ("leads", volts.leads_V))
    parts = [Part("taking the salt apart", volts.decomposition_V, f"{volts.decomposition_V:.2f} V")]
    return parts + [Part(name, r.mid, f"{r.mid:.2f} V ({r.low:.2f} to {r.high:.2f})") for name, r in ranges]


def show(out: ReadOut) -> None:
    """Inputs, then the answer; InputError goes to whoever draws the section."""
    _inputs(out.state.metal)
    if not out.state.metal:
        say("info", "Choose a metal, above.")
        return
    if out.bath is not None and ss.typed.get("cell_feed", NONE) == NONE:
        say("warning", NO_ALUMINA)
    melt, T_K, run = out.mix, kelvin(out.state.t_C), typed_run()
    answer = cell_answer(melt, out.state.metal, T_K, run)
    st.html(markup.cards_html(cell_cards(answer)))
    if answer.voltage is not None:
        bar = partial(stacked_bar, voltage_parts(answer.voltage))
        st.html(markup.sized_html(bar, "What the cell voltage is made of"))
    st.html(table_html("Order of deposition", ORDER_HEADER, order_rows(answer.order), (0,)))
    if ticked("cell", "voltage_chart", "Chart: standard voltages against temperature"):
        words = "Standard decomposition voltages of the salts against temperature, with bands of one standard deviation"
        wide_picture("voltages", _voltage_png(melt.salts, dark_page()), 640, words)
    if answer.drift is not None:
        rows = drift_rows(answer)
        st.html(table_html("The bath while its salt is used up, without feed", drift_header(answer), rows))
        if ticked("cell", "drift_chart", "Chart: freezing start and density against charge"):
            words = "Freezing start and melt density of the bath against ampere-hours; the table has the figures"
            wide_picture("drift", _drift_png(melt, out.state.metal, T_K, run, dark_page()), 640, words)
    notes = [*answer.notes, *(answer.voltage.conductance.caveats if answer.voltage else ())]
    background("cell", [*notes, *(answer.drops.notes if answer.drops else ())], answer.sources)
