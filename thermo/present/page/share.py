"""What leads back to the page: its link as text and QR code, its figures and pictures as files.

Limits: the link is the page's whole state and leaves this machine only when a person copies it; the QR code is drawn
here (segno), nothing is asked elsewhere. Worked value: qr_svg("http://127.0.0.1:8501/?v=1") is one SVG element.
"""

import csv
import io
from functools import partial

import segno
import streamlit as st

from thermo.present.charts import figures
from thermo.present.page import html as markup
from thermo.present.page.downloads import drawings
from thermo.present.page.readouts import ReadOut
from thermo.present.page.sources import table_rows
from thermo.present.page.steps import link
from thermo.records.remembered import remembered_last

ss = st.session_state


def full_link() -> str:
    """The page's address with all that is set and typed."""
    base = (st.context.url or "").split("?")[0]
    return f"{base}{link(ss)}"


@remembered_last(32)
def qr_svg(text: str) -> str:
    """A QR code as an SVG element; error correction M, which still reads with 15 % of it smeared."""
    return segno.make(text, error="m", micro=False).svg_inline(border=3, scale=3, dark="#000", light="#fff")


def show_share(out: ReadOut) -> None:
    """Link, code and downloads; a drawing is made only when its button is pressed."""
    st.html(markup.hint_html("Link to this page as it is set, with what is typed on the other pages:"))
    st.html(markup.code_html(full_link()))
    st.html(markup.picture_html(qr_svg(full_link()), "The same link as a QR code", "mw-qr"))
    st.download_button("Figures shown (CSV)", partial(csv_text, out), "melt.csv", "text/csv", on_click="ignore")
    for label, name, draw in drawings(out):
        st.download_button(label, partial(picture, draw), name, "image/png", on_click="ignore")


def picture(draw) -> bytes:
    """A drawing as PNG."""
    return figures.png(draw())


def csv_text(out: ReadOut) -> str:
    """The figures shown as CSV."""
    text = io.StringIO()
    writer = csv.DictWriter(text, ["quantity", "value", "sigma", "unit"], lineterminator="\n")
    writer.writeheader()
    writer.writerows(table_rows(out))
    return text.getvalue()
