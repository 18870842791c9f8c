"""The run sheet as a PDF of A4 pages: what to weigh, where to run, what to expect, room for readings, every figure.

Pages flow (reportlab's platypus), so nothing is left out: what does not fit goes to the next page. On request an
appendix lists every figure of the JSON by its path. No letter is smaller than 8 points: it is read beside a furnace.
Everything printed comes from the dictionary of thermo.present.paper.sheet. No date is written, so the same run gives
the same bytes.
Limits: Latin letters and the signs of DejaVu Sans. Worked value: pdf(sheet)[:5] = b"%PDF-".
"""

import io
from collections.abc import Iterator
from pathlib import Path
from xml.sax.saxutils import escape

import matplotlib as mpl
import segno
from reportlab.graphics.shapes import Drawing, Line, Polygon, PolyLine, Rect, String
from reportlab.lib.colors import HexColor, black
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import registerFont
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import Flowable, KeepTogether, Paragraph, SimpleDocTemplate, Spacer, Table, TableStyle

from thermo.present.paper.plan_parts import plan_parts
from thermo.present.paper.sheet import READING_COLUMNS, RunSheet, leaves, sheet_json
from thermo.present.words.written import plain, pretty

MARGIN = 16 * mm
WIDTH = A4[0] - 2 * MARGIN
BLUE, ORANGE, GREY = HexColor("#0060a8"), HexColor("#c05800"), HexColor("#777777")
READING_ROWS = 14
QR_SIDE, QR_QUIET = 34 * mm, 4  # width of the code; white squares round it, as its standard asks
PRINTED_IN_FULL = ("title", "notes", "cautions", "sources", "link")  # not among the figures at the end
_FONTS = Path(mpl.get_data_path()) / "fonts" / "ttf"
for _name, _file in (("Sheet", "DejaVuSans.ttf"), ("Sheet-Bold", "DejaVuSans-Bold.ttf")):
    registerFont(TTFont(_name, _FONTS / _file))

TEXT = ParagraphStyle("text", fontName="Sheet", fontSize=8.5, leading=11.5)
SMALL = ParagraphStyle("small", parent=TEXT, fontSize=8, leading=10.2)
BOLD = ParagraphStyle("bold", parent=TEXT, fontName="Sheet-Bold", fontSize=10.5, leading=14)
HANGING = ParagraphStyle(
    "hanging", parent=TEXT, leftIndent=13, bulletIndent=0, bulletFontName="Sheet", bulletFontSize=8.5
)
HEAD = ParagraphStyle("head", parent=BOLD, textColor=BLUE, spaceBefore=7)
TITLE = ParagraphStyle("title", parent=BOLD, fontSize=16, leading=20)
CELL = TableStyle([
    ("FONT", (0, 0), (-1, -1), "Sheet", 8), ("TEXTCOLOR", (0, 0), (-1, 0), GREY), ("LEADING", (0, 0), (-1, -1), 10),
    ("ALIGN", (1, 0), (-1, -1), "RIGHT"), ("TOPPADDING", (0, 0), (-1, -1), 1), ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
])  # fmt: skip


def pdf(sheet: RunSheet, figures: bool = False) -> bytes:
    """The sheet as PDF; figures: with the appendix that lists every figure."""
    found = sheet_json(sheet)
    pages = _built(found, 0, figures)[1]  # a first time to count the pages
    return _built(found, pages, figures)[0]


def _built(found: dict, pages: int, figures: bool) -> tuple[bytes, int]:
    """The bytes and how many pages they are; pages: what the foot of each says."""
    buffer = io.BytesIO()
    document = SimpleDocTemplate(
        buffer, pagesize=A4, leftMargin=MARGIN, rightMargin=MARGIN, topMargin=MARGIN, bottomMargin=MARGIN,
        title=found["title"], author="Meltwright", invariant=1,
    )  # fmt: skip

    def foot(canvas, _) -> None:
        canvas.setFont("Sheet", 8)
        canvas.setFillColor(GREY)
        canvas.drawRightString(A4[0] - MARGIN, 9 * mm, f"page {canvas.getPageNumber()} of {pages}")

    document.build(story(found, figures), onFirstPage=foot, onLaterPages=foot)
    return buffer.getvalue(), document.page


def story(found: dict, figures: bool = False) -> list[Flowable]:
    """Everything that is printed, in order; figures: the appendix too."""
    cell, plan = found["cell"], found.get("plan")
    if plan is not None and plan["possible"]:  # the plan has every figure in its step
        parts = [*_opening(found), *plan_parts(plan, _say, _part)]
    else:
        parts = [*_opening(found), *_weigh(found["weigh"]), *_temperatures(found["melt"]), *_verdict(found["melt"])]
        if cell is not None:
            parts += [*_expected(cell), *_voltages(cell)]
        if plan is not None:
            parts += plan_parts(plan, _say, _part)
    parts += [*_drift(found), *_materials(found["materials"]), *_readings(), *_way_back(found.get("link", ""))]
    for title in ("cautions", "notes", "sources"):
        parts += _lines(
            f"{title.capitalize()} ({len(found[title])})", found[title], TEXT if title == "cautions" else SMALL
        )
    return parts + (_figures(found) if figures else [_say("Every figure is in the CSV and JSON files of this sheet.")])


def _say(words: str, style: ParagraphStyle = TEXT, mark: str = "") -> Paragraph:
    """A paragraph; with a mark before it, the words hang beside the mark."""
    return Paragraph(escape(words), HANGING if mark and style is TEXT else style, bulletText=mark or None)


def _lines(head: str, lines: list[str], style: ParagraphStyle) -> list[Flowable]:
    hanging = ParagraphStyle(f"{style.name}-list", parent=style, leftIndent=9, bulletIndent=0)
    body = [_say(plain(line), hanging, "•") for line in lines] or [_say("none", style)]
    return [KeepTogether([_say(head, HEAD), body[0]]), *body[1:]]


def _table(rows: list[list[str]], widths: list[float] | None = None) -> Table:
    return Table(rows, colWidths=widths, hAlign="LEFT", style=CELL, repeatRows=1)


def _part(head: str, *body: Flowable) -> list[Flowable]:
    return [KeepTogether([_say(head, HEAD), *body])]


def _opening(found: dict) -> Iterator[Flowable]:
    yield _say("Run sheet", TITLE)
    yield _say(plain(found["title"]), HEAD)
    yield _say("date ....................   by ....................   run number ....................")
    composition = found["melt"]["composition"]
    rows = [["salt", "mol%", "mass%"]]
    for formula, mole in composition["mole_percent"].items():
        rows.append([pretty(formula), f"{mole:.2f}", f"{composition['mass_percent'][formula]:.2f}"])
    yield from _part("Melt", _table(rows))


def _weigh(weigh: dict | None) -> list[Flowable]:
    if weigh is None:
        return _part("Weigh out", _say("no weigh-out was asked for"))
    rows = [["bottle", "g", "weighed"]]
    rows += [[pretty(label), f"{grams:.2f}", ".........."] for label, grams in weigh["weigh_g"].items()]
    rows += [[f"{pretty(name)} (cure)", f"{grams:.2f}", ".........."] for name, grams in weigh["reagents_g"].items()]
    lines = [f"dry melt {weigh['total_g']:.2f} g; water to drive off {weigh['water_g']:.2f} g"]
    slip = weigh["weighed_as_dry"]
    if slip is not None:
        freezes = f"{slip['liquidus_C']:.0f} instead of {slip['intended_liquidus_C']:.0f} °C"
        lines.append(f"weighed as though dry it would freeze at {freezes}")
    lines += [f"{pretty(name)} to drive off {grams:.2f} g" for name, grams in weigh["driven_g"].items()]
    return _part("Weigh out", _table(rows), *map(_say, lines))


def _temperatures(melt: dict) -> list[Flowable]:
    liquidus, solidus, window = melt["liquidus"], melt["solidus"], melt["window"]
    start = "start of freezing not known"
    if liquidus["T_C"] is not None:
        start = (
            f"starts to freeze {_band(liquidus['T_C'], liquidus['sigma_K'])}, first {pretty(liquidus['first_solid'])}"
        )
    lines = [f"{start} ({liquidus['status']})"]
    if solidus["T_C"] is not None:
        lines.append(f"all solid below {_band(solidus['T_C'], solidus['sigma_K'])}")
    if window["exists"]:
        lines.append(f"run between {window['low_C']:.0f} and {window['high_C']:.0f}")
    for limit in window["limits"]:
        lines.append(
            f"{'not below' if limit['side'] == 'low' else 'not above'} {limit['T_C']:.0f}: {plain(limit['reason'])}"
        )
    lines += [f"advice {limit['T_C']:.0f}: {plain(limit['reason'])}" for limit in window["advice"]]
    lines += [plain(text) for text in (*(() if window["exists"] else [window["explanation"]]), *window["cautions"])]
    return _part("Temperatures, °C", *map(_say, lines))


def _band(value: float, sigma: float | None, digits: int = 0) -> str:
    return f"{value:.{digits}f}" if sigma is None else f"{value:.{digits}f} ± {sigma:.{digits}f}"


def _verdict(melt: dict) -> list[Flowable]:
    density = melt["density"]
    lines = ["melt: not known"]
    if density["melt_g_cm3"] is not None:
        lines = [f"melt {_band(density['melt_g_cm3'], density['sigma_g_cm3'], 3)}"]
    if "metal" in melt:
        lines += _metal_lines(melt["metal"], melt["float_or_sink"])
    return _part(f"Density at {density['T_C']:.0f} °C, g/cm³", *map(_say, lines))


def _metal_lines(metal: dict, verdict: dict) -> Iterator[str]:
    own = "" if metal["density_g_cm3"] is None else f" {_band(metal['density_g_cm3'], metal['sigma_g_cm3'], 3)}"
    yield f"{metal['symbol']} {metal['state']}{own}"
    if verdict["verdict"] is not None:
        difference = f"{verdict['difference_g_cm3']:+.3f} ± {verdict['sigma_g_cm3']:.3f}"
        yield f"{verdict['verdict']}: difference {difference}, P(float) {verdict['p_float']:.2f}"
    for crossing in verdict["crossings_C"]:
        yield f"{crossing['above']} above {_band(crossing['T_C'], crossing['sigma_K'])} °C"


def _expected(cell: dict) -> list[Flowable]:
    gas, feed = cell["halogen"], cell["feed"]
    lines = [
        f"charge {cell['charge_Ah']:.4g} A h; {cell['metal']} at most {cell['metal_g_max']:.4g} g",
        f"expected {cell['metal_g_expected']:.4g} g; weighed ................ g",
    ]
    if feed is None:
        lines += [
            f"{pretty(gas['formula'])} {gas['g']:.4g} g, {gas['L_25C_1atm']:.3g} L (25 °C, 1 atm); "
            f"NaOH {gas['NaOH_g']:.3g} g",
            f"salt used up {cell['salt_consumed_g']:.4g} g",
        ]
    else:
        made = [cell["gas"], *cell["other_gases"]]
        gases = " or ".join(f"{entry['L_25C_1atm']:.3g} L {pretty(entry['formula'])}" for entry in made)
        lines.append(f"{pretty(feed['oxide'])} fed {feed['g']:.4g} g; anode gas {gases} (25 °C, 1 atm)")
    if cell["energy_kWh_per_kg"] is not None:
        lines.append(f"energy {cell['energy_kWh_per_kg']:.3g} kWh/kg")
    return _part("This run", *map(_say, lines), *([_say(plain(cell["capture"]))] if cell["capture"] else []))


def _voltages(cell: dict) -> list[Flowable]:
    rows = [["metal", "E", "±", "gap", "activity"]]
    for c in cell["order"]:
        rows.append([c["metal"], f"{c['E_V']:.3f}", f"{c['sigma_V']:.3f}", f"{c['gap_V']:.3f}", f"{c['activity']:.3g}"])
    return _part("Voltages, V, in the order they deposit", _table(rows))


def _materials(materials: list[dict]) -> list[Flowable]:
    kinds = list(dict.fromkeys(entry["verdict"] for entry in materials))
    named = {kind: [entry["material"] for entry in materials if entry["verdict"] == kind] for kind in kinds}
    return _part("Materials", *[_say(f"{kind}: {', '.join(names)}") for kind, names in named.items()]) if kinds else []


def _drift(found: dict) -> list[Flowable]:
    points = None if found["cell"] is None else found["cell"]["drift"]
    if not points:
        return _part("Drift of the bath", _say("no drift chart: no run with a bath mass was asked for"))
    freezes = found["cell"]["freezes_at_Ah"]
    said = "" if freezes is None else f"; freezes at {freezes:.3g} A h"
    words = f"Start of freezing, ± one standard deviation, against charge; dotted: run at {found['T_C']:.0f} °C{said}"
    return _part("Drift of the bath", drift_drawing(points, found["T_C"], freezes), _say(words, SMALL))


def drift_drawing(points: list[dict], run_C: float, freezes_Ah: float | None) -> Drawing:
    """Liquidus with its band against charge, the bath's temperature, and where it freezes."""
    left, low, width, height = 30, 18, WIDTH - 40, 40 * mm
    edges = [t for p in points for t in (p["liquidus_C"] - p["sigma_K"], p["liquidus_C"] + p["sigma_K"])]
    bottom, top, last = min(*edges, run_C) - 5, max(*edges, run_C) + 5, points[-1]["Ah"]

    def at(charge: float, t_C: float) -> tuple[float, float]:
        return left + width * charge / last, low + height * (t_C - bottom) / (top - bottom)

    ways = [(p, way) for run, way in ((points, 1), (points[::-1], -1)) for p in run]
    band = [c for p, way in ways for c in at(p["Ah"], p["liquidus_C"] + way * p["sigma_K"])]
    drawing = Drawing(WIDTH, height + low + 8)
    drawing.add(Polygon(band, fillColor=HexColor("#bcd6ea"), strokeColor=None))
    drawing.add(PolyLine([c for p in points for c in at(p["Ah"], p["liquidus_C"])], strokeColor=BLUE, strokeWidth=1.2))
    drawing.add(Line(*at(0, run_C), *at(last, run_C), strokeColor=black, strokeDashArray=(1, 2)))
    if freezes_Ah is not None and freezes_Ah <= last:
        drawing.add(Line(*at(freezes_Ah, bottom), *at(freezes_Ah, top), strokeColor=ORANGE, strokeDashArray=(4, 2)))
    marks = [bottom, top, *([run_C] if min(run_C - bottom, top - run_C) > 0.08 * (top - bottom) else [])]
    for t_C in marks:
        drawing.add(String(left - 4, at(0, t_C)[1] - 2, f"{t_C:.0f}", fontName="Sheet", fontSize=8, textAnchor="end"))
    for charge in (0, last / 2, last):
        x = at(charge, bottom)[0]
        drawing.add(String(x, low - 10, f"{charge:.3g} A h", fontName="Sheet", fontSize=8, textAnchor="middle"))
    drawing.add(Line(left, low, left + width, low, strokeColor=GREY))
    drawing.add(Line(left, low, left, low + height, strokeColor=GREY))
    return drawing


def _readings() -> list[Flowable]:
    rows = [[plain(name) for name in READING_COLUMNS], *([""] * len(READING_COLUMNS) for _ in range(READING_ROWS))]
    widths = [WIDTH * share for share in (0.12, 0.12, 0.12, 0.12, 0.12, 0.40)]
    grid = TableStyle([("GRID", (0, 0), (-1, -1), 0.5, GREY), *CELL.getCommands()])
    return _part(
        "Readings", Table(rows, colWidths=widths, rowHeights=[12, *[16] * READING_ROWS], style=grid), Spacer(1, 4)
    )


def _way_back(link: str) -> list[Flowable]:
    """The page's address of this melt as text and as a QR code; nothing where there is none."""
    if not link:
        return []
    squares = segno.make(link, error="m", micro=False).matrix
    side = QR_SIDE / (len(squares) + 2 * QR_QUIET)
    code = Drawing(QR_SIDE, QR_SIDE)
    for row, line in enumerate(squares, QR_QUIET):
        for column, dark in enumerate(line, QR_QUIET):
            if dark:
                code.add(Rect(column * side, QR_SIDE - (row + 1) * side, side, side, fillColor=black, strokeColor=None))
    words = _say(
        "Opens this melt where the page runs; the part from the question mark on works on any such page.", SMALL
    )
    text = Paragraph(escape(link), ParagraphStyle("link", parent=SMALL, wordWrap="CJK"))
    return _part("Back to this melt", Table([[code, [words, text]]], colWidths=[QR_SIDE + 8, WIDTH - QR_SIDE - 8]))


def _figures(found: dict) -> list[Flowable]:
    """Every figure of the JSON by its path, a line each; what stands in full above is left out."""
    body: list[Flowable] = []
    count = 0
    for section, value in found.items():
        if section in PRINTED_IN_FULL:
            continue
        own = [(path, leaf) for path, leaf in leaves(value) if path.split(".")[0] not in PRINTED_IN_FULL]
        count += len(own)
        said = [f"{path} {'unknown' if leaf is None else leaf}".strip() for path, leaf in own]
        body += [_say(section, BOLD), *(_say(line, SMALL) for line in said)]
    return [_say(f"Every figure of this sheet ({count}), as in its JSON: an appendix", HEAD), *body]
