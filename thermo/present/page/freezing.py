"""The page's sections on freezing: when all is solid and what is solid when, and the full diagram of a pair.

Limits: presentation; the answers are thermo.equilibrium.freezing.solidus and freezing_path and the drawings
freezing_figures
and pair_figure. The solidus comes with the page's read-outs while its section is open; pictures are kept per melt.
Worked value: a mix of NaCl and CaCl2 shows "all solid below" the eutectic of the pair.
"""

from collections.abc import Callable
from functools import partial
from itertools import combinations

import streamlit as st

from thermo.equilibrium.freezing.freezing_path import FreezingPath, freezing_path
from thermo.equilibrium.freezing.solidus import Solidus
from thermo.present.charts.figures import SCREEN, png
from thermo.present.charts.freezing import freezing_figure
from thermo.present.charts.pair import pair_figure
from thermo.present.page import html as markup
from thermo.present.page.inputs import choice, dark_page, ticked, wide_picture
from thermo.present.page.readouts import ReadOut
from thermo.present.words.card import Card
from thermo.present.words.written import degrees, pretty, shares
from thermo.records.composition import Composition
from thermo.records.provenance import InputError
from thermo.records.remembered import remembered_last
from thermo.records.substances import shares_an_ion

PRINT = 200  # dots an inch of a picture that is kept


@remembered_last(32)
def _path(melt: Composition) -> FreezingPath:
    return freezing_path(melt)


@remembered_last(32)
def _path_png(melt: Composition, dark: bool, dots_per_inch: float) -> bytes:
    return png(freezing_figure(_path(melt), dark), dots_per_inch)


@remembered_last(32)
def _pair_png(a: str, b: str, dark: bool, dots_per_inch: float, here: tuple[float, float] | None) -> bytes:
    return png(pair_figure(a, b, dark=dark, here=here), dots_per_inch)


def show_freezing(out: ReadOut) -> None:
    """Where the last liquid freezes; the path from liquid to solid when asked for."""
    melt = out.mix
    found = out.solidus
    if found is None:
        raise InputError(out.messages["solidus"])
    st.html(markup.cards_html((solidus_card(found, melt),)))
    if len(melt.salts) > 1:
        words = "Chart: what is solid at which temperature (takes a few seconds)"
        if ticked("freezing", "path_chart", words):
            alt = "Moles of liquid and of each solid against temperature, from the freezing start to all solid"
            wide_picture("path", _path_png(melt, dark_page(), SCREEN), 680, alt)
            _save("path", partial(_path_png, melt, False, PRINT), f"freezing-{'-'.join(melt.salts)}.png")
    if found.notes:
        st.html(markup.lines_html(found.notes))


def solidus_card(found: Solidus, melt: Composition) -> Card:
    """The solidus with its spread, the solids it leaves and the last liquid."""
    title = "All solid below"
    if found.T_K is None:
        return Card(title, "not known", found.notes[:1], alarm=True)
    details = [f"leaves solid {' + '.join(map(pretty, found.solids))}"]
    if found.ions:
        cations, anions = (f"{shares(part)} %" for part in _ion_percent(found))
        details.append(f"last liquid: of its cations {cations}, of its anions {anions}")
    elif found.last_liquid and len(melt.salts) > 1:
        last = dict(zip(melt.salts, (100 * x for x in found.last_liquid), strict=True))
        details.append(f"last liquid {shares(last)} mol%")
    return Card(title, degrees(found.T_K, found.sigma_K), tuple(details))


def _ion_percent(found: Solidus) -> tuple[dict[str, float], dict[str, float]]:
    """Percent of the cations and of the anions in the last liquid of a melt of two anions."""
    amounts = dict(zip(found.ions, found.last_liquid, strict=True))
    cations, anions = found.ions[:-2], found.ions[-2:]
    total = sum(amounts[ion] for ion in anions)
    return {ion: 100 * amounts[ion] for ion in cations}, {ion: 100 * amounts[ion] / total for ion in anions}


def show_pair_diagram(out: ReadOut) -> None:
    """The full diagram of one pair of the page's salts with its published points, and its download."""
    pairs = [pair for pair in combinations(out.state.salts, 2) if shares_an_ion(*pair)]
    if not pairs:
        raise InputError("full diagram: allowed are two salts that share an anion or a cation")
    pair = pairs[0]
    if len(pairs) > 1:
        pair = choice("pair", "pair", "Pair", pairs, pair, format_func=_pair_words, width=260)
    here = None
    if len(out.state.salts) == 2 and out.composition is not None:
        here = (100 * out.composition.fractions[1], out.state.t_C)
    alt = f"Phase diagram of {_pair_words(pair)} with solidus, gaps, double salts and published points"
    with st.spinner("Drawing …"):
        wide_picture("pair", _pair_png(*pair, dark_page(), SCREEN, here), 760, alt)
    _save("pair", partial(_pair_png, *pair, False, PRINT, here), f"{'-'.join(pair)}-full.png")


def _pair_words(pair: tuple[str, str]) -> str:
    return "–".join(map(pretty, pair))


def _save(key: str, picture: Callable[[], bytes], name: str) -> None:
    st.download_button("Picture (PNG)", picture, name, "image/png", key=f"save_{key}", on_click="ignore")
