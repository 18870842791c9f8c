"""The run sheet: same figures in its three forms, the same bytes twice, nothing left out or over the edge, refusals."""

import csv
import io
import json
import re
from dataclasses import replace

import pytest
from pypdf import PdfReader
from reportlab.graphics.shapes import PolyLine

from thermo.answers.cell import CellRun, describe_cell
from thermo.answers.materials import judge_materials
from thermo.answers.melt import describe_melt
from thermo.answers.weighing import weigh_out, weighed_as_dry
from thermo.present.as_json.cell import cell_json
from thermo.present.as_json.melt import melt_json
from thermo.present.as_json.weigh import weigh_json
from thermo.present.paper.pdf import MARGIN, WIDTH, drift_drawing, pdf
from thermo.present.paper.sheet import leaves, run_sheet, sheet_json, to_csv, to_json
from thermo.present.words.written import plain
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError
from thermo.records.units import kelvin

SIX = {"LiCl": 30, "NaCl": 10, "KCl": 30, "CaCl2": 20, "SrCl2": 5, "BaCl2": 5}


def full(amounts=None, basis="mass", symbol="Mg", t_C=720.0, bath_g=400.0, bottles=None):
    bottles = {"MgCl2": "MgCl2.6H2O"} if bottles is None else bottles
    melt = from_amounts(amounts or {"MgCl2": 20, "NaCl": 40, "KCl": 40}, basis)
    weighing = weigh_out(melt, 400, bottles)
    cell = describe_cell(melt, symbol, kelvin(t_C), CellRun(5, 8, bath_g=bath_g, efficiency=0.8, volts=6))
    answer = describe_melt(melt, symbol, kelvin(t_C), "liquid")
    judged = judge_materials(melt, symbol, kelvin(t_C))
    return run_sheet(answer, weighing, weighed_as_dry(weighing, bottles), cell, judged)


def printed(sheet, figures=False):
    """Text of the PDF's pages, by an independent reader, with single blanks."""
    pages = [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf(sheet, figures))).pages]
    return [re.sub(r"page \d+ of \d+", "", page) for page in pages]


def squeezed(text):
    return "".join(text.split())  # a reader of the PDF may put blanks at the ends of lines


def test_a_melt_of_unknown_freezing_has_a_sheet_that_says_so():
    unknown = run_sheet(describe_melt(from_amounts({"CsCl": 50, "ZnCl2": 50}), "Zn", kelvin(480)))
    words = " ".join(printed(unknown))
    assert "start of freezing not known" in words
    assert "-23" not in words.split("Cautions")[0]  # where the search ended
    assert pdf(unknown).startswith(b"%PDF")


@pytest.fixture(scope="module")
def sheet():
    return full()


@pytest.fixture(scope="module")
def bare():
    return run_sheet(describe_melt(from_amounts(SIX), "Li", kelvin(600)))


def test_figures_are_those_of_the_screen(sheet):
    found = sheet_json(sheet)
    assert found["melt"] == melt_json(sheet.melt)
    assert found["weigh"] == weigh_json(sheet.weighing, sheet.slip)
    assert found["cell"] == cell_json(sheet.cell)
    assert json.loads(to_json(sheet)) == found


def test_csv_holds_every_number(sheet):
    rows = list(csv.DictReader(io.StringIO(to_csv(sheet))))
    by_path = {(row["section"], row["item"]): row["value"] for row in rows}
    assert len(by_path) == len(rows)
    assert float(by_path["melt", "liquidus.T_C"]) == melt_json(sheet.melt)["liquidus"]["T_C"]
    assert float(by_path["weigh", "weigh_g.MgCl2.6H2O"]) == pytest.approx(2 * 85.41, abs=0.02)
    assert float(by_path["cell", "metal_g_max"]) == pytest.approx(18.14, abs=0.01)  # 40 A h x 0.4534 g
    charges = [float(value) for (_, item), value in by_path.items() if re.fullmatch(r"drift\.\d+\.Ah", item)]
    assert (min(charges), max(charges)) == (0, 40)


def test_the_same_run_gives_the_same_bytes_without_a_date(sheet, bare):
    for one in (sheet, bare):
        first = pdf(one)
        assert first.startswith(b"%PDF-")
        assert first == pdf(one)
        made = PdfReader(io.BytesIO(first)).metadata
        assert made.creation_date is None or made.creation_date.year == 2000  # reportlab's word for "no date"


def test_everything_asked_for_is_printed(sheet):
    found = sheet_json(sheet)
    words = " ".join(printed(sheet))
    for part in (
        "MgCl₂·6H₂O",
        "170.83",
        "90.83 g",
        "too close to call",
        f"{found['melt']['liquidus']['T_C']:.0f} ± ",
        "18.14 g",
        "NH₄Cl (cure)",
        "not below",
        "P(float)",
        "alumina",
        "Readings",
        "local codes and licensed practice decide",
        "weighed as though dry",
    ):
        assert part in words, part


@pytest.mark.parametrize("name", ["sheet", "bare"])
def test_nothing_is_left_out_and_all_is_counted(name, request):
    sheet = request.getfixturevalue(name)
    found, words = sheet_json(sheet), squeezed(" ".join(printed(sheet, figures=True)))
    short = squeezed(" ".join(printed(sheet)))
    assert len(printed(sheet)) < len(printed(sheet, figures=True))
    assert "Everyfigureofthissheet" not in short
    assert squeezed("Every figure is in the CSV and JSON files") in short
    for title in ("cautions", "notes", "sources"):
        assert f"{title.capitalize()}({len(found[title])})" in short
        assert f"{title.capitalize()}({len(found[title])})" in words
        assert [line for line in found[title] if squeezed(plain(line)) not in words] == []
    figures = [
        (f"{path} {'unknown' if leaf is None else leaf}")
        for section in ("T_C", "melt", "weigh", "cell", "materials")
        for path, leaf in leaves(found[section])
        if path.split(".")[0] not in ("notes", "cautions", "sources", "title")
    ]
    assert f"Everyfigureofthissheet({len(figures)})" in words
    assert [figure for figure in figures if squeezed(figure) not in words] == []


@pytest.mark.parametrize("name", ["sheet", "bare"])
@pytest.mark.parametrize("figures", [False, True])
def test_no_letter_is_smaller_than_eight_points(name, figures, request):
    """Read beside a furnace; size as set times the scale of the text matrix."""
    sizes = set()
    for page in PdfReader(io.BytesIO(pdf(request.getfixturevalue(name), figures))).pages:
        page.extract_text(
            visitor_text=lambda text, _, at, __, size, sizes=sizes: (
                sizes.add(round(size * abs(at[3] or 1), 2)) if text.strip() else None
            )
        )
    assert min(sizes) >= 8


def test_every_page_says_which_it_is(sheet):
    reader = PdfReader(io.BytesIO(pdf(sheet)))
    for number, page in enumerate(reader.pages, 1):
        assert f"page {number} of {len(reader.pages)}" in page.extract_text()


def test_what_was_not_asked_for_is_said(bare):
    words = " ".join(printed(bare))
    assert "no weigh-out was asked for" in words
    assert "no drift chart" in words


@pytest.mark.parametrize("name", ["sheet", "bare"])
def test_nothing_runs_over_the_edge(name, request):
    for page in PdfReader(io.BytesIO(pdf(request.getfixturevalue(name)))).pages:
        starts = []
        page.extract_text(
            visitor_text=lambda text, _, at, *__, starts=starts: starts.append(at[4]) if text.strip() else 0
        )
        assert min(x for x in starts if x) >= 0
        assert max(starts) <= MARGIN + WIDTH


def test_drift_drawing_shows_the_numbers(sheet):
    points = sheet_json(sheet)["cell"]["drift"]
    drawing = drift_drawing(points, 720.0, None)
    (curve,) = (shape for shape in drawing.contents if isinstance(shape, PolyLine))
    x, y = curve.points[0::2], curve.points[1::2]
    charge, liquidus = [p["Ah"] for p in points], [p["liquidus_C"] for p in points]
    for drawn, values in ((x, charge), (y, liquidus)):  # in proportion to what they show
        scale = (drawn[-1] - drawn[0]) / (values[-1] - values[0])
        assert [drawn[0] + scale * (v - values[0]) for v in values] == pytest.approx(drawn)


def test_cautions_end_with_local_codes(sheet):
    assert sheet_json(sheet)["cautions"][-1] == melt_json(sheet.melt)["cautions"][-1]
    assert any("hydrolyses" in line for line in sheet_json(sheet)["cautions"])


def test_parts_of_different_melts_are_refused(sheet):
    other = from_amounts({"LiCl": 58.5, "KCl": 41.5})
    with pytest.raises(InputError, match="one melt"):
        run_sheet(sheet.melt, weigh_out(other, 100))
    melt = sheet.melt.composition
    with pytest.raises(InputError, match="one temperature"):
        run_sheet(sheet.melt, cell=describe_cell(melt, "Mg", kelvin(700), CellRun(5, 2)))


def test_order_of_salts_does_not_matter(sheet):
    turned = from_amounts({"KCl": 40, "NaCl": 40, "MgCl2": 20}, "mass")
    assert run_sheet(sheet.melt, weigh_out(turned, 100)).weighing.total_g == 100


@pytest.mark.parametrize(
    ("amounts", "symbol", "t_C"),
    [
        ({"LiF": 46.5, "NaF": 11.5, "KF": 42}, "K", 900.0),  # a vapour
        ({"NaCl": 1}, "Na", 700.0),  # below the melting point of the bath
        (SIX, "Li", 600.0),
    ],
)
def test_odd_runs_still_print(amounts, symbol, t_C):
    made = full(amounts, "mol", symbol, t_C, 2000.0, {})
    assert "Run sheet" in printed(made)[0]


def test_a_melt_without_a_density_has_a_sheet():
    made = run_sheet(describe_melt(from_amounts({"AlF3": 60, "NaF": 40}), "Al", kelvin(1000)))
    assert "melt: not known" in " ".join(printed(made))


def test_the_sheet_leads_back_to_its_melt():
    """The link is in the JSON, and the PDF grows by its code: the same link gives the same bytes."""
    bare = run_sheet(describe_melt(from_amounts({"NaCl": 48, "CaCl2": 52})))
    linked = replace(bare, link="http://127.0.0.1:8501/?v=1&m=NaCl:48,CaCl2:52")
    assert "link" not in sheet_json(bare)
    assert sheet_json(linked)["link"] == linked.link
    assert len(pdf(linked)) > len(pdf(bare)) + 500
    assert pdf(linked) == pdf(linked)
    assert pdf(replace(linked, link=linked.link + "&T=600")) != pdf(linked)


def test_a_run_fed_with_oxide_prints_its_gas_and_no_fluorine():
    melt = from_amounts({"NaF": 75, "AlF3": 25})
    cell = describe_cell(melt, "Al", kelvin(1000), CellRun(20, 2, feed="Al2O3", cathode="pool"))
    words = " ".join(printed(run_sheet(describe_melt(melt, "Al", kelvin(1000), "liquid"), cell=cell)))
    assert f"Al₂O₃ fed {cell.kind.feed.feed_g:.4g} g; anode gas " in words
    assert "F₂ 0" not in words
