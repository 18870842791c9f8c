"""The pages and what stands on each; a section that takes longer is closed until asked for, and computed only then.

A refusal of the answers stands as one line in its section, and so does a fault of the program; the rest stays.
Limits: layout only. Worked value: PAGES["weigh"] holds the weigh-out alone.
"""

from collections.abc import Callable
from dataclasses import dataclass

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from thermo.present.page import bath as page_bath
from thermo.present.page import cell as page_cell
from thermo.present.page import cooling as page_cooling
from thermo.present.page import evidence as page_evidence
from thermo.present.page import find as page_find
from thermo.present.page import find_more
from thermo.present.page import freezing as page_freezing
from thermo.present.page import logger as page_logger
from thermo.present.page import map as page_map
from thermo.present.page import materials as page_materials
from thermo.present.page import melt as page_melt
from thermo.present.page import notebook as page_notebook
from thermo.present.page import plan as page_plan
from thermo.present.page import review as page_review
from thermo.present.page import run_log as page_run_log
from thermo.present.page import sheet as page_sheet
from thermo.present.page import weigh as page_weigh
from thermo.present.page.messages import guarded
from thermo.present.page.readouts import ReadOut
from thermo.present.page.share import full_link


@dataclass(frozen=True)
class Section:
    """One question on a page: key, heading, what draws it, and whether it is closed until asked for."""

    key: str
    heading: str
    show: Callable[[ReadOut], None]
    closed: bool = False


@dataclass(frozen=True)
class PageOf:
    """One page: its name, the word in its address ('' for the first), its sections."""

    name: str
    address: str
    sections: tuple[Section, ...]


PAGES = {
    "melt": PageOf(
        "Melt",
        "",
        (
            Section("composition", "In moles and in grams", page_melt.show_composition),
            Section("density", "Density against temperature", page_melt.show_density),
            Section(
                "freezing", "Freezing: when all is solid, and what freezes when", page_freezing.show_freezing, True
            ),
            Section("edges", "Pairs: the edges in small pictures", page_map.show_edges, True),
            Section("pair", "Diagram with solidus, gaps and published points", page_freezing.show_pair_diagram, True),
            Section("dissolved", "What dissolves of a fluoride", page_melt.show_dissolved, True),
            Section("bath", "Type an aluminium bath: cryolite ratio, excess AlF₃, alumina", page_bath.show, True),
            Section("background", "Where the numbers come from", page_melt.show_background, True),
        ),
    ),
    "plan": PageOf(
        "Plan",
        "plan",
        (
            Section("plan", "The run, step by step", page_plan.show),
            Section("sheet", "Run sheet: everything on paper, as CSV, as JSON", page_sheet.show),
        ),
    ),
    "cell": PageOf("Cell", "cell", (Section("cell", "Which metal first, voltage, grams, gas, drift", page_cell.show),)),
    "weigh": PageOf("Weigh", "weigh", (Section("weigh", "Grams from the bottles at hand", page_weigh.show),)),
    "after": PageOf(
        "After the run",
        "after",
        (
            Section("review", "What went wrong, by what was weighed and seen", page_review.show),
            Section("logger", "A logger's file: charge of the run, arrests of a cooling curve", page_logger.show, True),
            Section("cooling", "Cooling check: arrests on the thermocouple", page_cooling.show, True),
            Section("log", "Log of a run", page_run_log.show_log, True),
        ),
    ),
    "find": PageOf(
        "Find",
        "find",
        (
            Section("find", "Other melts for this metal", page_find.show),
            Section(
                "improve",
                "This melt: smallest addition that helps, small slips",
                find_more.show_improve,
                True,
            ),
            Section("atlas", "Out of all salts: the best baths of this metal", find_more.show_atlas, True),
        ),
    ),
    "evidence": PageOf("Evidence", "evidence", (Section("evidence", "Computed beside published", page_evidence.show),)),
    "materials": PageOf(
        "Materials", "materials", (Section("materials", "Pot, electrodes, lining", page_materials.show),)
    ),
    "notebook": PageOf(
        "Notebook",
        "notebook",
        (
            Section("keep", "Keep this melt, open another", page_notebook.show_keep),
            Section("compare", "Compare", page_notebook.show_compare),
        ),
    ),
}


def show_sections(page: PageOf, out: ReadOut) -> None:
    """A heading and a section each, or a box to open."""
    for section in page.sections:
        if section.closed:
            folded = st.expander(section.heading, key=f"open_{section.key}", on_change="rerun")
            if not folded.open:
                continue
            box: DeltaGenerator = folded
        else:
            st.header(section.heading, anchor=False)
            box = st.container(key=f"section_{section.key}")
        with box, guarded(section.heading, full_link):
            section.show(out)
