"""The run sheet: same figures in its three forms, two pages, the same bytes twice, nothing over the edge, refusals."""

import csv
import io
import json
import re

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from thermo.answers.cell import CellRun, describe_cell
from thermo.answers.materials import judge_materials
from thermo.answers.melt import describe_melt
from thermo.answers.weighing import weigh_out, weighed_as_dry
from thermo.present.as_json.cell import cell_json
from thermo.present.as_json.melt import melt_json
from thermo.present.as_json.weigh import weigh_json
from thermo.present.paper.pdf import first_page, pdf, second_page, width_points
from thermo.present.paper.sheet import run_sheet, sheet_json, to_csv, to_json
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


def test_a_melt_of_unknown_freezing_has_a_sheet_that_says_so():
    unknown = run_sheet(describe_melt(from_amounts({"CsCl": 50, "ZnCl2": 50}), "Zn", kelvin(480)))
    page = first_page(sheet_json(unknown))
    words = " ".join(text.get_text() for text in page.findobj(lambda artist: hasattr(artist, "get_text")))
    assert "start of freezing not known" in words
    assert "-23" not in words
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


def test_pdf_has_two_pages_and_the_same_bytes_twice(sheet, bare):
    for one in (sheet, bare):
        first = pdf(one)
        assert first.startswith(b"%PDF-")
        assert len(re.findall(rb"/Type /Page\b", first)) == 2
        assert b"CreationDate" not in first
        assert first == pdf(one)


def page_texts(found):
    return [text.get_text() for page in (first_page(found), second_page(found)) for text in page.texts]


def test_everything_asked_for_is_printed(sheet):
    found = sheet_json(sheet)
    words = " ".join(page_texts(found))
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
        "Sources",
        "local codes and licensed practice decide",
        "weighed as though dry",
    ):
        assert part in words, part
    joined = words.replace("\n", " ")
    for line in found["cautions"]:
        assert all(word in joined for word in line.split()), line


def test_what_was_not_asked_for_is_said(bare):
    words = " ".join(page_texts(sheet_json(bare)))
    assert "no weigh-out was asked for" in words
    assert "no drift chart" in words


@pytest.mark.parametrize("name", ["sheet", "bare"])
def test_nothing_runs_over_the_edge(name, request):
    found = sheet_json(request.getfixturevalue(name))
    for page in (first_page(found), second_page(found)):
        canvas = FigureCanvasAgg(page)
        page.set_dpi(300)
        canvas.draw()
        width, height = page.bbox.width, page.bbox.height
        for text in page.texts:
            box = text.get_window_extent(canvas.get_renderer())
            assert box.x0 >= 0
            assert box.x1 <= 0.985 * width, text.get_text()
            assert box.y0 >= 0, text.get_text()
            assert box.y1 <= height


def test_columns_do_not_overlap(sheet):
    page = first_page(sheet_json(sheet))
    canvas = FigureCanvasAgg(page)
    page.set_dpi(300)
    canvas.draw()
    boxes = [text.get_window_extent(canvas.get_renderer()) for text in page.texts if text.get_text().strip()]
    left = max(
        box.x1 for box in boxes if 0.06 < box.x0 / page.bbox.width < 0.09 and 0.5 < box.y0 / page.bbox.height < 0.9
    )
    assert left <= 0.53 * page.bbox.width


def test_sources_that_do_not_fit_are_counted(bare):
    found = sheet_json(bare)
    found["sources"] = [f"Author, A. {n} (1900), a title of some length, J. Journal {n}, 1" for n in range(200)]
    texts = page_texts(found)
    (last,) = (text for text in texts if "more, in the CSV and JSON" in text)
    shown = sum("Author, A." in text for text in texts)
    assert shown + int(re.search(r"and (\d+) more", last).group(1)) == 200


def test_drift_chart_shows_the_numbers(sheet):
    found = sheet_json(sheet)
    (axes,) = first_page(found).axes
    points = found["cell"]["drift"]
    drawn = [np.asarray(line.get_ydata()) for line in axes.lines if len(line.get_xdata()) == len(points)]
    assert drawn[0] == pytest.approx([p["liquidus_C"] for p in points])


def test_cautions_end_with_local_codes(sheet):
    assert sheet_json(sheet)["cautions"][-1] == melt_json(sheet.melt)["cautions"][-1]
    assert any("hydrolyses" in line for line in sheet_json(sheet)["cautions"])


def test_width_of_letters_grows_with_size():
    assert width_points("magnesium", 12) == pytest.approx(2 * width_points("magnesium", 6), rel=1e-6)
    assert width_points("magnesium chloride", 8) > width_points("magnesium", 8)


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
    assert len(re.findall(rb"/Type /Page\b", pdf(made))) == 2
