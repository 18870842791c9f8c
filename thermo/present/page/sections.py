"""The page's further sections, each closed until asked for and computed only while open.

A refusal of the answers (InputError, RangeError) stands as one line in its section; the rest of the page stays.
Limits: layout only. Worked value: with every section closed this costs a few milliseconds a run.
"""

import streamlit as st

from thermo.present.page import bath as page_bath
from thermo.present.page import cell as page_cell
from thermo.present.page import cooling as page_cooling
from thermo.present.page import evidence as page_evidence
from thermo.present.page import find as page_find
from thermo.present.page import freezing as page_freezing
from thermo.present.page import materials as page_materials
from thermo.present.page import review as page_review
from thermo.present.page import sheet as page_sheet
from thermo.present.page import weigh as page_weigh
from thermo.present.page.readouts import ReadOut
from thermo.present.page.section_html import STYLE
from thermo.present.words.written import with_signs
from thermo.records.provenance import InputError, RangeError

SECTIONS = (
    ("cell", "Cell: which metal first, voltage, grams, halogen, drift of the bath", page_cell.show),
    ("weigh", "Weigh out: grams from the bottles at hand, and their water", page_weigh.show),
    ("review", "Review of a run: what went wrong, by what was weighed and seen", page_review.show),
    ("sheet", "Run sheet: everything on paper (PDF), as CSV, as JSON", page_sheet.show),
    ("freezing", "Freezing: when all is solid, and what freezes when", page_freezing.show_freezing),
    ("pair", "Diagram with solidus, gaps and published points", page_freezing.show_pair_diagram),
    ("cooling", "Cooling check: arrests on the thermocouple, and what else would show them", page_cooling.show),
    ("bath", "Aluminium bath: cryolite ratio, excess AlF₃, alumina, superheat", page_bath.show),
    ("evidence", "Evidence: computed beside published, where sources differ", page_evidence.show),
    ("materials", "Materials: pot, electrodes, lining", page_materials.show),
    ("find", "Find other melts for this metal", page_find.show),
)


def show_sections(out: ReadOut) -> None:
    """A heading and one expander a section."""
    st.html(STYLE)
    st.header("More about this melt")
    for key, label, show in SECTIONS:
        box = st.expander(label, key=f"open_{key}", on_change="rerun")
        if not box.open:
            continue
        with box:
            if out.composition is None:
                st.info("This section waits for a melt that can be read: see the message at the amounts.")
                continue
            try:
                show(out)
            except (InputError, RangeError) as error:
                st.error(with_signs(str(error)))
