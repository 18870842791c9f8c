"""The run sheet as a PDF of two A4 pages: before the run on the first, cautions, readings and sources on the second.

Everything printed comes from the dictionary of thermo.present.paper.sheet. Text is wrapped, never cut: what does not
fit
(sources, at most) is counted and said. No date is written, so the same run gives the same bytes.
Limits: Latin letters and the signs of the default font; figures are drawn with `Figure`, never pyplot.
Worked value: pdf(sheet)[:5] = b"%PDF-", two pages.
"""

import io

import numpy as np
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.font_manager import findfont, get_font
from matplotlib.lines import Line2D

from thermo.present.paper.sheet import READING_COLUMNS, RunSheet, sheet_json
from thermo.present.words.written import pretty
from thermo.records.remembered import remembered_last

A4 = (8.27, 11.69)  # inches
LEFT, MIDDLE, RIGHT, TOP, BOTTOM = 0.07, 0.53, 0.95, 0.965, 0.03
TEXT, HEAD, SMALL = 8.0, 9.5, 6.2  # points
LINE = 1.32  # line height over letter height
MELT, REACHED = "#0060a8", "#c05800"
STEP = 0.0195  # height of a row for readings, share of the page
FEWEST_ROWS = 6
MANY_NOTES = 25  # from here on the second page has no room for readings
CHART = (0.12, 0.05, 0.80, 0.21)  # of the page: left, bottom, width, height
LIGHT = "#888888"


class Column:
    """Text from the top of a column downwards; y is where the next line begins, as a share of the page."""

    def __init__(self, figure: Figure, x: float, y: float, right: float):
        self.figure, self.x, self.y, self.right = figure, x, y, right

    def height(self, size: float) -> float:
        """One line of letters of this size, as a share of the page."""
        return size * LINE / 72 / A4[1]

    def wrapped(self, words: str, size: float) -> list[str]:
        """The words in lines that fit the column, with room for a mark; a word longer than a line stays whole."""
        room = (self.right - self.x) * A4[0] * 72 - 2 * size
        lines: list[str] = []
        for word in words.split():
            longer = f"{lines[-1]} {word}" if lines else word
            if lines and width_points(longer, size) <= room:
                lines[-1] = longer
            else:
                lines.append(word)
        return lines or [""]

    def line(self, words: str, size: float = TEXT, mono: bool = False, bold: bool = False, colour: str = "black"):
        """One line as it is."""
        family = "DejaVu Sans Mono" if mono else "DejaVu Sans"
        weight = "bold" if bold else "normal"
        self.figure.text(
            self.x, self.y, words, fontsize=size, family=family, weight=weight, color=colour, va="top", parse_math=False
        )
        self.y -= self.height(size)

    def text(self, words: str, size: float = TEXT, mark: str = ""):
        """A paragraph, wrapped; further lines hang under the first word."""
        indent = " " * (3 * len(mark))
        for number, piece in enumerate(self.wrapped(words, size)):
            self.line(f"{mark} {piece}" if mark and number == 0 else f"{indent}{piece}", size)

    def head(self, words: str):
        """A heading with room above it."""
        self.y -= 0.008
        self.line(words, HEAD, bold=True, colour=MELT)
        self.y -= 0.002

    def table(self, rows: list[list[str]]):
        """Columns padded to the widest cell, first row as the names."""
        widths = [max(len(row[c]) for row in rows) for c in range(len(rows[0]))]
        for number, row in enumerate(rows):
            cells = [row[0].ljust(widths[0]), *(c.rjust(w) for c, w in zip(row[1:], widths[1:], strict=True))]
            self.line("  ".join(cells), mono=True, colour=LIGHT if number == 0 else "black")


@remembered_last(4096)
def _word_width(word: str) -> float:
    """Width of one word over the size of its letters; measured large, since small widths are rounded to pixels."""
    font = get_font(findfont("DejaVu Sans"))
    font.set_size(100, 72)
    return sum(font.load_char(ord(letter)).linearHoriAdvance for letter in word) / 65536 / 100


def width_points(words: str, size: float) -> float:
    """Width of a line of letters of this size, in points."""
    return size * (sum(_word_width(word) for word in words.split(" ")) + words.count(" ") * _word_width(" "))


def pdf(sheet: RunSheet) -> bytes:
    """The sheet as PDF."""
    found = sheet_json(sheet)
    buffer = io.BytesIO()
    with PdfPages(buffer, metadata={"CreationDate": None, "Title": found["title"]}) as pages:
        for page in (first_page(found), second_page(found)):
            pages.savefig(page)
    return buffer.getvalue()


def first_page(found: dict) -> Figure:
    """Composition, weigh-out, temperatures, verdict, voltages, expected mass and the drift chart."""
    figure = Figure(figsize=A4)
    top = Column(figure, LEFT, TOP, RIGHT)
    top.line("Run sheet", 15, bold=True)
    top.text(found["title"], HEAD)
    top.line("date                         by                                   run number", TEXT, colour=LIGHT)
    left, right = Column(figure, LEFT, top.y, MIDDLE - 0.02), Column(figure, MIDDLE, top.y, RIGHT)
    _composition(left, found["melt"]["composition"])
    _weigh(left, found["weigh"])
    _materials(left, found["materials"])
    _temperatures(right, found["melt"])
    _verdict(right, found["melt"])
    if found["cell"] is not None:
        _expected(right, found["cell"])
        _voltages(right, found["cell"])
    floor = _drift(figure, found)
    y = min(left.y, right.y) - 0.01
    rows = int((y - floor) / STEP) - 3
    if rows >= FEWEST_ROWS:
        _readings(Column(figure, LEFT, y, RIGHT), rows)
    return figure


def second_page(found: dict) -> Figure:
    """Cautions, notes, room for readings, sources."""
    figure = Figure(figsize=A4)
    column = Column(figure, LEFT, TOP, RIGHT)
    column.head("Cautions")
    for line in found["cautions"]:
        column.text(line, TEXT - 0.8, "•")
    if found["notes"]:
        column.head("Notes")
    for line in found["notes"]:
        column.text(line, SMALL + 0.4, "•")
    if len(found["notes"]) < MANY_NOTES:
        _readings(column, FEWEST_ROWS)
    _sources(column, found["sources"])
    return figure


def _composition(column: Column, composition: dict) -> None:
    column.head("Melt")
    rows = [["salt", "mol%", "mass%"]]
    for formula, mole in composition["mole_percent"].items():
        rows.append([pretty(formula), f"{mole:.2f}", f"{composition['mass_percent'][formula]:.2f}"])
    column.table(rows)


def _weigh(column: Column, weigh: dict | None) -> None:
    column.head("Weigh out")
    if weigh is None:
        column.text("no weigh-out was asked for")
        return
    rows = [["bottle", "g", "weighed"]]
    rows += [[pretty(label), f"{grams:.2f}", "........"] for label, grams in weigh["weigh_g"].items()]
    rows += [[f"{pretty(name)} (cure)", f"{grams:.2f}", "........"] for name, grams in weigh["reagents_g"].items()]
    column.table(rows)
    column.text(f"dry melt {weigh['total_g']:.2f} g; water to drive off {weigh['water_g']:.2f} g")
    slip = weigh["weighed_as_dry"]
    if slip is not None:
        column.text(
            f"weighed as though dry it would freeze at {slip['liquidus_C']:.0f} instead of "
            f"{slip['intended_liquidus_C']:.0f} °C"
        )
    for name, grams in weigh["driven_g"].items():
        column.text(f"{name} to drive off {grams:.2f} g")


def _materials(column: Column, materials: list[dict]) -> None:
    if not materials:
        return
    column.head("Materials")
    for verdict in ("fits", "with care", "unfit"):
        names = [entry["material"] for entry in materials if entry["verdict"] == verdict]
        if names:
            column.text(f"{verdict}: {', '.join(names)}", TEXT - 0.8)


def _temperatures(column: Column, melt: dict) -> None:
    column.head("Temperatures, °C")
    liquidus, window = melt["liquidus"], melt["window"]
    if liquidus["T_C"] is None:
        start = "start of freezing not known"
    else:
        start = f"starts to freeze {liquidus['T_C']:.0f} ± {liquidus['sigma_K']:.0f}, first "
        start += pretty(liquidus["first_solid"])
    column.text(f"{start} ({liquidus['status']})")
    if window["exists"]:
        column.text(f"run between {window['low_C']:.0f} and {window['high_C']:.0f}")
    for limit in window["limits"]:
        side = "not below" if limit["side"] == "low" else "not above"
        column.text(f"{side} {limit['T_C']:.0f}: {limit['reason']}", TEXT - 0.8, "•")
    if not window["exists"]:
        column.text(window["explanation"])


def _verdict(column: Column, melt: dict) -> None:
    density = melt["density"]
    column.head(f"Density at {density['T_C']:.0f} °C, g/cm³")
    known = density["melt_g_cm3"] is not None
    column.text(f"melt {density['melt_g_cm3']:.3f} ± {density['sigma_g_cm3']:.3f}" if known else "melt: not known")
    if "metal" not in melt:
        return
    metal, verdict = melt["metal"], melt["float_or_sink"]
    if metal["density_g_cm3"] is None:
        column.text(f"{metal['symbol']} is a vapour")
        return
    column.text(f"{metal['symbol']} {metal['state']} {metal['density_g_cm3']:.3f} ± {metal['sigma_g_cm3']:.3f}")
    if verdict["verdict"] is None:
        return
    column.text(
        f"{verdict['verdict']}: difference {verdict['difference_g_cm3']:+.3f} ± {verdict['sigma_g_cm3']:.3f}, "
        f"P(float) {verdict['p_float']:.2f}"
    )
    for crossing in verdict["crossings_C"]:
        column.text(f"{crossing['above']} above {crossing['T_C']:.0f} ± {crossing['sigma_K']:.0f} °C", mark="•")


def _expected(column: Column, cell: dict) -> None:
    column.head("This run")
    gas = cell["halogen"]
    column.text(f"charge {cell['charge_Ah']:.4g} A h; {cell['metal']} at most {cell['metal_g_max']:.4g} g")
    column.text(f"expected {cell['metal_g_expected']:.4g} g; weighed ................ g")
    volume = f"{gas['L_25C_1atm']:.3g} L (25 °C, 1 atm)"
    column.text(f"{pretty(gas['formula'])} {gas['g']:.4g} g, {volume}; NaOH {gas['NaOH_g']:.3g} g")
    column.text(f"salt used up {cell['salt_consumed_g']:.4g} g")
    if cell["energy_kWh_per_kg"] is not None:
        column.text(f"energy {cell['energy_kWh_per_kg']:.3g} kWh/kg")


def _voltages(column: Column, cell: dict) -> None:
    column.head("Voltages, V, in the order they deposit")
    rows = [["metal", "E", "±", "gap", "activity"]]
    for c in cell["order"]:
        rows.append([c["metal"], f"{c['E_V']:.3f}", f"{c['sigma_V']:.3f}", f"{c['gap_V']:.3f}", f"{c['activity']:.3g}"])
    column.table(rows)


def _drift(figure: Figure, found: dict) -> float:
    """Draw the drift chart; how far up the page it reaches."""
    points = None if found["cell"] is None else found["cell"]["drift"]
    if not points:
        figure.text(LEFT, BOTTOM, "no drift chart: no run with a bath mass was asked for", fontsize=TEXT, color=LIGHT)
        return BOTTOM + 0.03
    axes = figure.add_axes(CHART)
    charge = np.array([p["Ah"] for p in points])
    t_C = np.array([p["liquidus_C"] for p in points])
    band = np.array([p["sigma_K"] for p in points])
    axes.fill_between(charge, t_C - band, t_C + band, color=MELT, alpha=0.25, lw=0)
    axes.plot(charge, t_C, color=MELT, label="starts to freeze, ± one standard deviation")
    axes.axhline(found["T_C"], color="black", ls=":", label=f"run at {found['T_C']:.0f} °C")
    freezes = found["cell"]["freezes_at_Ah"]
    if freezes is not None and freezes <= charge[-1]:
        axes.axvline(freezes, color=REACHED, ls="--", label=f"freezes at {freezes:.3g} A h")
    axes.set_xlim(0, charge[-1])
    axes.set_xlabel("charge, A h", fontsize=TEXT)
    axes.set_ylabel("°C", fontsize=TEXT)
    axes.tick_params(labelsize=TEXT - 1)
    axes.legend(fontsize=TEXT - 1)
    axes.set_title("Drift of the bath", fontsize=HEAD, color=MELT, loc="left")
    return CHART[1] + CHART[3] + 0.03


def _readings(column: Column, rows: int) -> None:
    column.head("Readings")
    edges = np.linspace(LEFT, RIGHT - 0.30, len(READING_COLUMNS))
    for x, name in zip(edges, READING_COLUMNS, strict=True):
        column.figure.text(x + 0.004, column.y, name, fontsize=TEXT, va="top", color=LIGHT)
    top = column.y
    bottom = top - (rows + 0.8) * STEP
    for y in (top, *(bottom + row * STEP for row in range(rows + 1))):
        column.figure.add_artist(Line2D([LEFT, RIGHT], [y, y], color=LIGHT, lw=0.5))
    for x in (*edges, RIGHT):
        column.figure.add_artist(Line2D([x, x], [bottom, top], color=LIGHT, lw=0.5))
    column.y = bottom - 0.006


def _sources(column: Column, sources: list[str]) -> None:
    column.head("Sources")
    for number, entry in enumerate(sources):
        lines = len(column.wrapped(entry, SMALL))
        left = len(sources) - number
        last = 0 if left == 1 else 1  # a line must stay free to say how many more there are
        if column.y - (lines + last) * column.height(SMALL) < BOTTOM:
            column.line(f"and {left} more, in the CSV and JSON of this sheet", SMALL)
            return
        column.text(entry, SMALL, "•")
