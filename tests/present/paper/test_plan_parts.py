"""The plan on paper: boxes for all there is to do, the pot in section, or why there is no plan."""

import io

import pytest

from thermo.answers.melt import describe_melt
from thermo.answers.plan.make import make_plan
from thermo.answers.plan.wish import PlanWish
from thermo.present.as_json.plan import plan_json
from thermo.present.paper.pdf import WIDTH, pdf
from thermo.present.paper.plan_parts import pot_picture
from thermo.present.paper.sheet import run_sheet, sheet_json, to_csv
from thermo.records.composition import from_amounts
from thermo.records.errors import InputError

pypdf = pytest.importorskip("pypdf")
MELT = from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "mass")


@pytest.fixture(scope="module")
def plan():
    return make_plan(PlanWish(MELT, "Mg", 10.0, 400.0, {"MgCl2": "MgCl2.6H2O"}, pot_mL=400.0))


def printed(sheet):
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf(sheet))).pages)


def test_every_line_to_do_has_its_box_and_the_readings_table_stays(plan):
    sheet = run_sheet(describe_melt(MELT, "Mg", plan.setting.T_K, "liquid"), plan=plan)
    text = printed(sheet)
    assert text.count("\u2610") == sum(len(step.do) for step in plan.steps)
    for step in plan.steps:
        assert f"{step.n}. {step.title}" in text
    assert "local codes" in text.lower().replace("\n", " ")
    assert sheet_json(sheet)["plan"]["possible"]
    assert "plan,steps.1.title,Look everything over" in to_csv(sheet)


def test_a_wish_that_cannot_be_says_why_and_leaves_the_rest():
    melt = from_amounts({"KCl": 1})
    sheet = run_sheet(describe_melt(melt, "K", 1080.0), plan=make_plan(PlanWish(melt, "K", 5.0)))
    text = printed(sheet)
    assert "No plan" in text
    assert "\u2610" not in text


def test_a_plan_of_another_melt_is_refused(plan):
    with pytest.raises(InputError, match="different melts"):
        run_sheet(describe_melt(from_amounts({"NaCl": 1}), "Na", 1100.0), plan=plan)


def test_the_picture_is_drawn_from_the_data(plan):
    found = plan_json(plan)["pot"]
    drawing = pot_picture(found)
    kinds = [type(part).__name__ for part in drawing.contents]
    assert kinds.count("Rect") == len(found["shapes"])
    words = " ".join(part.text for part in drawing.contents if type(part).__name__ == "String")
    for shape in found["shapes"]:
        assert not shape["label"] or shape["label"] in words
    left, _, right, _ = drawing.getBounds()
    assert left >= 0
    assert right <= WIDTH
